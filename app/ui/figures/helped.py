"""How every figure comes to its help text: a small "?" for the mouse, F1 for the keyboard."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QSizePolicy, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.review.help import all_help
from app.ui.controls import SectionTitle
from app.ui.controls.drawing import paint_box, paint_ring, px
from app.ui.figures.words import tr

_SIDE = 18
_TAB, _LATER = Qt.FocusPolicy.StrongFocus, Qt.FocusPolicy.ClickFocus
_SIDEWAYS = (Qt.Key.Key_Right, Qt.Key.Key_Left)
_STEPS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}


class HelpButton(QAbstractButton):
    """A "?" that explains a figure; F1 does the same. Signals: help_asked(str) with its key.

    The Tab key passes by unless `by_tab`: where a figure can have the focus itself, F1 is enough.
    """

    help_asked = Signal(str)

    def __init__(self, key: str, parent: QWidget | None = None, *, by_tab: bool = True) -> None:
        super().__init__(parent)
        self.help_key = key
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if by_tab else Qt.FocusPolicy.NoFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        title = tr(all_help()[key].title)
        self.setAccessibleName(tr("Explain: {figure}").format(figure=title))
        self.setToolTip(self.accessibleName())
        self.clicked.connect(lambda: self.help_asked.emit(self.help_key))
        follow_theme(self._restyle)

    def sizeHint(self) -> QSize:
        return QSize(px(_SIDE), px(_SIDE))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        if self.underMouse() or self.isDown():
            paint_box(painter, self.rect(), fill=tokens.hover, edge=tokens.line)
        if self.hasFocus():
            paint_ring(painter, self.rect(), tokens.ink)
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3 if not self.underMouse() else tokens.ink))
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, "?")
        painter.end()

    def _restyle(self) -> None:
        self.updateGeometry()
        self.update()


class OneStop(QObject):
    """Many "?" as one Tab stop: the arrows walk them, Enter presses the one with the focus."""

    def __init__(self, buttons: Sequence[HelpButton], parent: QObject) -> None:
        super().__init__(parent)
        self._buttons = tuple(buttons)
        for at, button in enumerate(self._buttons):
            button.setFocusPolicy(_LATER if at else _TAB)
            button.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QKeyEvent) or event.type() is not QEvent.Type.KeyPress:
            return super().eventFilter(watched, event)
        at = next(i for i, button in enumerate(self._buttons) if button is watched)
        key, button = Qt.Key(event.key()), self._buttons[at]
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            button.click()
            return True
        step = _STEPS.get(key, 0)
        if key in _SIDEWAYS and button.layoutDirection() is Qt.LayoutDirection.RightToLeft:
            step = -step
        if not step:
            return super().eventFilter(watched, event)
        to = self._buttons[min(len(self._buttons) - 1, max(0, at + step))]
        button.setFocusPolicy(_LATER)
        to.setFocusPolicy(_TAB)
        to.setFocus(Qt.FocusReason.TabFocusReason)
        return True


class HelpedTitle(QWidget):
    """The title of a section with its "?"; F1 in what follows does the same.

    Signals: help_asked(str).
    """

    help_asked = Signal(str)

    def __init__(self, text: str, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title = SectionTitle(text, self)
        self.button = HelpButton(key, self, by_tab=False)
        self.button.help_asked.connect(self.help_asked)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(4))
        row.addWidget(self.title, 1)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignVCenter)


class HelpedLine(QWidget):
    """A line with its "?" after it, a Tab stop unless the line is one. Signals: help_asked(str)."""

    help_asked = Signal(str)

    def __init__(self, line: QWidget, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        can_have_focus = line.focusPolicy() is not Qt.FocusPolicy.NoFocus
        self.button = HelpButton(key, by_tab=not can_have_focus)
        self.button.help_asked.connect(self.help_asked)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(4))
        row.addWidget(line, 1000)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        row.addStretch(1)  # a line of text ends where it is long enough to read


def help_key_of(widget: QWidget | None) -> str:
    """The key of the help text that belongs to a widget, or to what it stands in; else empty."""
    while widget is not None:
        key = getattr(widget, "help_key", "")
        if isinstance(key, str) and key:
            return key
        widget = widget.parentWidget()
    return ""


def is_help(event: QEvent) -> bool:
    """Whether it is F1: on pages of figures it explains one, elsewhere it opens the cautions."""
    return (
        isinstance(event, QKeyEvent)
        and event.key() == Qt.Key.Key_F1
        and not event.modifiers() & Qt.KeyboardModifier.ShiftModifier
    )


def explain(page: QWidget, key: str) -> None:
    """Open the help texts at that of a figure."""
    from app.ui.figures.help_window import FigureHelpWindow

    window = FigureHelpWindow(page, key)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    window.open()
