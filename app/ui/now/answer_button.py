"""An answer as a button: what it says, and what that means at its far end or below."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QPushButton, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import RESERVE, mirrored, paint_box, paint_ring, px
from app.ui.controls.wrapping import hfw_policy, wrapped

_PADDING = 12
_AROUND = 7
_GAP = 8


class AnswerButton(QPushButton):
    """One answer of several; wraps where the column is narrow. Signals: clicked."""

    def __init__(self, text: str, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._said, self._hint = text, hint
        self.setAutoDefault(False)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setSizePolicy(hfw_policy())
        self.setAccessibleName(f"{text}, {hint}" if hint else text)
        follow_theme(self._restyle)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._laid_out(width)[1] + 2 * px(_AROUND) + 2 * RESERVE

    def sizeHint(self) -> QSize:
        wide = _width(self._said, Role.BODY) + (_width(self._hint, Role.SMALL) + px(_GAP))
        return QSize(
            wide + 2 * px(_PADDING) + 2 * RESERVE,
            QFontMetrics(font(Role.BODY)).height() + 2 * px(_AROUND) + 2 * RESERVE,
        )

    def minimumSizeHint(self) -> QSize:
        return QSize(px(5 * _PADDING), self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        # Enter presses the button that has the focus.
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            event.ignore()  # else a button walks by itself, past the first and the last
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter = tokens_now(), QPainter(self)
        box = self.rect().adjusted(RESERVE, RESERVE, -RESERVE, -RESERVE)
        touched = tokens.hover if self.underMouse() else tokens.field
        paint_box(painter, box, fill=tokens.sel if self.isDown() else touched, edge=tokens.edge)
        if self.hasFocus():
            paint_ring(painter, self.rect(), tokens.ink, radius=6)
        painter.setPen(QColor(tokens.ink))
        for text, role, area, ink in self._laid_out(self.width())[0]:
            painter.setPen(QColor(getattr(tokens, ink)))
            at = mirrored(self, area.translated(0, px(_AROUND) + RESERVE))
            layout, _ = wrapped(text, font(role), at.width(), self.layoutDirection())
            layout.draw(painter, QPointF(at.topLeft()))
        painter.end()

    def _laid_out(self, width: int) -> tuple[list[tuple[str, Role, QRect, str]], int]:
        """Text and hint with their places, and the height of both."""
        left = px(_PADDING) + RESERVE
        room = max(1, width - 2 * left)
        said, hint = _width(self._said, Role.BODY), _width(self._hint, Role.SMALL)
        if said + px(_GAP) + hint <= room:
            high = QFontMetrics(font(Role.BODY)).height()
            drop = QFontMetrics(font(Role.BODY)).ascent() - QFontMetrics(font(Role.SMALL)).ascent()
            return [
                (self._said, Role.BODY, QRect(left, 0, said, high), "ink"),
                (self._hint, Role.SMALL, QRect(left + room - hint, drop, hint, high), "ink3"),
            ], high
        high = wrapped(self._said, font(Role.BODY), room, self.layoutDirection())[1]
        below = wrapped(self._hint, font(Role.SMALL), room, self.layoutDirection())[1]
        below = below if self._hint else 0
        return [
            (self._said, Role.BODY, QRect(left, 0, room, high), "ink"),
            (self._hint, Role.SMALL, QRect(left, high, room, below), "ink3"),
        ], high + below

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.updateGeometry()
        self.update()


def _width(text: str, role: Role) -> int:
    return QFontMetrics(font(role)).horizontalAdvance(text) + 2 if text else 0
