"""A row of joined choices of which exactly one is chosen: periods, views."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QHBoxLayout,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import RADIUS, mnemonic_flag, paint_box, paint_ring, px, text_size

_PADDING = 10


@dataclass(frozen=True, slots=True)
class Segment:
    """One choice: what it stands for, its text, and the fuller text while it is the chosen one."""

    value: object
    text: str
    chosen_text: str = ""

    @property
    def full_text(self) -> str:
        """The text while chosen, which a screen reader always says."""
        return self.chosen_text or self.text


class Segments(QWidget):
    """Joined choices; one Tab stop, arrow keys move the choice. Signals: chosen(value).

    `chosen` comes when the person chooses, also the same one again (a period of one's own may be
    asked for anew), never from `choose`.
    """

    chosen = Signal(object)

    def __init__(
        self, segments: Sequence[Segment], parent: QWidget | None = None, *, name: str
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._segments = tuple(segments)
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        row = QHBoxLayout(self)
        row.setContentsMargins(1, 1, 1, 1)
        row.setSpacing(0)
        for at, segment in enumerate(self._segments):
            button = _SegmentButton(segment, self, name)
            button.stepped.connect(self._on_stepped)
            self._group.addButton(button, at)
            row.addWidget(button)
        self._group.idClicked.connect(self._on_clicked)
        self._select(0)
        follow_theme(self._restyle)

    def value(self) -> object:
        """What the chosen segment stands for."""
        return self._segments[self._group.checkedId()].value

    def choose(self, value: object) -> None:
        """Choose the segment that stands for `value`, without a signal.

        Raises
        ------
        ValueError
            If no segment stands for it.
        """
        for at, segment in enumerate(self._segments):
            if segment.value == value:
                self._select(at)
                return
        raise ValueError(f"no segment stands for it: value={value!r}")

    def sizeHint(self) -> QSize:
        # As wide as the widest state, so that nothing beside it moves when the choice does.
        buttons = [self._button(at) for at in range(len(self._segments))]
        width = sum(button.plain_width() for button in buttons)
        extra = max(button.full_width() - button.plain_width() for button in buttons)
        return QSize(width + extra + 2, buttons[0].sizeHint().height() + 2)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_box(painter, self.rect(), fill=tokens_now().page, edge=tokens_now().edge)
        painter.end()

    def _select(self, at: int) -> None:
        for other in range(len(self._segments)):
            button = self._button(other)
            button.setChecked(other == at)
            button.setFocusPolicy(
                Qt.FocusPolicy.StrongFocus if other == at else Qt.FocusPolicy.ClickFocus
            )
            button.updateGeometry()

    def _on_clicked(self, at: int) -> None:
        self._select(at)
        self.chosen.emit(self._segments[at].value)

    def _on_stepped(self, step: int) -> None:
        at = self._group.checkedId() + step
        if 0 <= at < len(self._segments):
            self._select(at)
            self._button(at).setFocus(Qt.FocusReason.TabFocusReason)
            self.chosen.emit(self._segments[at].value)

    def _button(self, at: int) -> _SegmentButton:
        button: QAbstractButton = self._group.button(at)
        assert isinstance(button, _SegmentButton)  # only those are added
        return button

    def _restyle(self) -> None:
        self.updateGeometry()
        self.update()


class _SegmentButton(QToolButton):
    """One of the joined choices. Signals: stepped(-1 or 1) by an arrow key, in reading order."""

    stepped = Signal(int)

    def __init__(self, segment: Segment, parent: QWidget, group_name: str) -> None:
        super().__init__(parent)
        self._segment = segment
        self.setCheckable(True)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setText(segment.text)
        self.setAccessibleName(segment.full_text.replace("&", ""))
        self.setAccessibleDescription(group_name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def plain_width(self) -> int:
        """The width while not chosen."""
        metrics = QFontMetrics(font(Role.BODY))
        return text_size(metrics, self._segment.text).width() + 2 * px(_PADDING)

    def full_width(self) -> int:
        """The width while chosen, in the heavier weight."""
        metrics = QFontMetrics(font(Role.STRONG))
        return text_size(metrics, self._segment.full_text).width() + 2 * px(_PADDING)

    def sizeHint(self) -> QSize:
        width = self.full_width() if self.isChecked() else self.plain_width()
        return QSize(width, QFontMetrics(font(Role.BODY)).height() + px(12))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        right = -1 if self.layoutDirection() is Qt.LayoutDirection.RightToLeft else 1
        steps = {
            Qt.Key.Key_Right: right,
            Qt.Key.Key_Left: -right,
            Qt.Key.Key_Down: 1,
            Qt.Key.Key_Up: -1,
        }
        step = steps.get(Qt.Key(event.key()))
        if step is not None:
            self.stepped.emit(step)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter, on = tokens_now(), QPainter(self), self.isChecked()
        if on:
            paint_box(painter, self.rect(), fill=tokens.ink, edge=None, radius=RADIUS - 1)
        elif self.underMouse() and self.isEnabled():
            paint_box(painter, self.rect(), fill=tokens.hover, edge=None, radius=RADIUS - 1)
        if not on and self._has_rule():
            self._paint_rule(painter, tokens.line)
        if self.hasFocus():
            ring = self.rect().adjusted(2, 2, -2, -2)
            paint_ring(painter, ring, tokens.page if on else tokens.ink, radius=RADIUS - 1)
        painter.setFont(font(Role.STRONG if on else Role.BODY))
        painter.setPen(QColor(tokens.page if on else tokens.ink2))
        painter.drawText(
            self.rect(),
            int(Qt.AlignmentFlag.AlignCenter) | mnemonic_flag(self),
            self._segment.full_text if on else self._segment.text,
        )
        painter.end()

    def _has_rule(self) -> bool:
        group = self.group()
        follower = group.button(group.id(self) + 1)
        return follower is not None and not follower.isChecked()

    def _paint_rule(self, painter: QPainter, colour: str) -> None:
        at_left = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        left = 0 if at_left else self.width() - 1
        painter.fillRect(QRect(left, 0, 1, self.height()), QColor(colour))

    def _restyle(self) -> None:
        self.setFont(font(Role.STRONG if self.isChecked() else Role.BODY))
        self.updateGeometry()
        self.update()
