"""The person shown, with the way to another one."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QMenu, QWidget

from app.domain.person import Person
from app.look.icons import Icon, paint_icon
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import RESERVE, mirrored, paint_box, paint_ring, px
from app.ui.controls.wrapping import hfw_policy, wrapped

_CHEVRON = 14
_GAP = 8


class PersonButton(QAbstractButton):
    """The name in full, over several lines if it is long, and a menu of everyone.

    Signals: person_chosen(Person), person_wanted() for somebody who is not in the diary yet.
    """

    person_chosen = Signal(object)
    person_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.menu = QMenu(self)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setSizePolicy(hfw_policy())
        self.setAccessibleDescription(self.tr("Opens the list of people to switch to"))
        self.clicked.connect(self.open_menu)
        follow_theme(self._restyle)

    def show_people(self, people: Sequence[Person], chosen: Person | None) -> None:
        """Show one of the people, and list them all in the menu."""
        self.setText(chosen.name if chosen else self.tr("Nobody yet"))
        self.setAccessibleName(self.tr("Person: {name}").format(name=self.text()))
        self.menu.clear()
        for person in people:
            action = self.menu.addAction(person.name.replace("&", "&&"))
            action.setCheckable(True)
            action.setChecked(chosen is not None and person.uid == chosen.uid)
            action.triggered.connect(partial(self._choose, person))
        if people:
            self.menu.addSeparator()
        self.menu.addAction(self.tr("Add a person…")).triggered.connect(self.person_wanted)
        self.updateGeometry()
        self.update()

    def open_menu(self) -> None:
        """Open the list of people below the name."""
        under = self.rect().bottomLeft()
        self.menu.popup(self.mapToGlobal(under))

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        room = self._room(width)
        return wrapped(self.text(), font(Role.TITLE), room, self.layoutDirection())[1] + 2 * RESERVE

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(font(Role.TITLE))
        wide = metrics.horizontalAdvance(self.text()) + 2 + px(_GAP) + px(_CHEVRON)
        return QSize(wide + 2 * RESERVE, metrics.height() + 2 * RESERVE)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(80), self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Down):
            self.open_menu()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter = tokens_now(), QPainter(self)
        if self.underMouse():
            paint_box(painter, self.rect(), fill=tokens.sel, edge=None)
        if self.hasFocus():
            paint_ring(painter, self.rect(), tokens.ink)
        room = self._room(self.width())
        at = mirrored(self, QRect(RESERVE, RESERVE, room, self.height()))
        layout, _ = wrapped(self.text(), font(Role.TITLE), room, self.layoutDirection())
        painter.setPen(QColor(tokens.ink))
        layout.draw(painter, QPointF(at.topLeft()))
        last = layout.lineAt(layout.lineCount() - 1)
        side, wide = px(_CHEVRON), round(last.naturalTextWidth())
        middle = RESERVE + last.y() + last.height() / 2
        icon = QRect(RESERVE + wide + px(_GAP), round(middle - side / 2) + 1, side, side)
        paint_icon(painter, Icon.DOWN, QRectF(mirrored(self, icon)), tokens.ink)
        painter.end()

    def _choose(self, person: Person, _checked: bool = False) -> None:
        self.person_chosen.emit(person)

    def _room(self, width: int) -> int:
        return max(1, width - 2 * RESERVE - px(_GAP) - px(_CHEVRON))

    def _restyle(self) -> None:
        self.setFont(font(Role.TITLE))
        self.updateGeometry()
        self.update()
