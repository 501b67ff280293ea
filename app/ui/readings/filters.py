"""The bar of filters: words to find, mark, level, standing, meter and keeper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.levels import Level
from app.domain.marks import Mark
from app.look.icons import Icon, paint_icon
from app.look.theme import follow_theme, tokens_now
from app.review.table import ReadingsTable, Wanted, Which, names_used
from app.review.words import level_words
from app.store.beside import Beside
from app.ui.controls import FlatButton, LineField
from app.ui.controls.drawing import mirrored, px
from app.ui.controls.flow import FlowRow
from app.ui.reading_words import mark_name
from app.ui.readings.menu_choice import MenuChoice
from app.ui.readings.words import tr
from app.ui.words import number_words

_LENS = 15.0  # px at a text size of 13 px
_PAUSE_MS = 50  # typing goes on: asked once it pauses


class FilterBar(FlowRow):
    """What rows are wanted, besides the period. Signals: changed()."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        self.sought = _FindField(tr("find in notes"), tr("Find in notes and tags"))
        self.mark = MenuChoice(tr("Mark"))
        self.level = MenuChoice(tr("Level"))
        self.which = MenuChoice(tr("Standing"))
        self.meter = MenuChoice(tr("Meter"))
        self.keeper = MenuChoice(tr("Keeper"))
        self.clear = FlatButton(tr("Show all"), underlined=True)
        self._choices = (self.mark, self.level, self.which, self.meter, self.keeper)
        super().__init__([self.sought, *self._choices, self.clear], parent, gap=4)
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE_MS)
        self._pause.timeout.connect(self._on_changed)
        self.sought.textChanged.connect(self._on_typed)
        for choice in self._choices:
            choice.chosen.connect(self._on_chosen)
        self.clear.clicked.connect(self.reset)
        self.mark.offer(
            [(self.tr("Any mark"), None), *((mark_name(mark).capitalize(), mark) for mark in Mark)]
        )
        self.which.offer(
            [
                (self.tr("Any standing"), None),
                (self.tr("In doubt"), Which.DOUBTFUL),
                (self.tr("Set aside"), Which.SET_ASIDE),
                (self.tr("Not mine"), Which.NOT_MINE),
                (self.tr("Set aside or not mine"), Which.APART),
            ]
        )
        self._tell()

    def offer(self, table: ReadingsTable, beside: Beside) -> None:
        """Offer what the readings have: their unit's levels, their meters and keepers."""
        self.level.offer([(self.tr("Any level"), None), *_levels(table.unit)])
        columns = table.columns
        for choice, any_, ids, names in (
            (self.meter, self.tr("Any meter"), columns.meter, beside.meters),
            (self.keeper, self.tr("Any keeper"), columns.keeper, beside.keepers),
        ):
            named = [(name, each) for each, name in names_used(ids, names).items()]
            choice.offer([(any_, None), *named])
            choice.setVisible(len(named) > 1 or choice.value() is not None)
        self._tell()

    def wanted(self, period: Period | None) -> Wanted:
        """The filter as it is set, for a period."""
        found = Wanted(period=period, words=self.sought.text())
        mark, level, which = self.mark.value(), self.level.value(), self.which.value()
        meter, keeper = self.meter.value(), self.keeper.value()
        return replace(
            found,
            mark=mark if isinstance(mark, Mark) else None,
            level=level if isinstance(level, Level) else None,
            which=which if isinstance(which, Which) else None,
            meter=meter if isinstance(meter, int) else None,
            keeper=keeper if isinstance(keeper, int) else None,
        )

    def reset(self) -> None:
        """Let everything through again."""
        had_focus = self.clear.hasFocus()
        for choice in self._choices:
            if choice.value() is not None:
                choice.choose(None)
        self.sought.clear()
        if had_focus:
            self.sought.setFocus()
        self._on_changed()

    def _on_typed(self, _text: str) -> None:
        self._pause.start()

    def _on_chosen(self, _value: object) -> None:
        self._on_changed()

    def _on_changed(self) -> None:
        self._pause.stop()
        self._tell()
        self.changed.emit()

    def _tell(self) -> None:
        self.clear.setVisible(self.wanted(None).filters)
        self.settle()


class _FindField(LineField):
    """The words to find, behind a lens that grows with the text."""

    def __init__(self, placeholder: str, name: str) -> None:
        super().__init__("", placeholder=placeholder, name=name)
        follow_theme(self._make_room)

    def sizeHint(self) -> QSize:
        return QSize(px(176), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        side = px(_LENS)
        painter, place = QPainter(self), QRect(px(9), (self.height() - side) // 2, side, side)
        paint_icon(painter, Icon.LENS, QRectF(mirrored(self, place)), tokens_now().ink)
        painter.end()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.LayoutDirectionChange:
            self._make_room()

    def _make_room(self) -> None:
        room = px(_LENS) + px(8)
        turned = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        self.setTextMargins(0 if turned else room, 0, room if turned else 0, 0)


def _levels(unit: Unit) -> Sequence[tuple[str, object]]:
    return [(number_words(level_words(level, unit)).capitalize(), level) for level in Level]
