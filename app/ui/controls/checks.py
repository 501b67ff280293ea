"""Check boxes and radio buttons, painted so that they grow with the text and carry the ring."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QCheckBox, QRadioButton, QSizePolicy, QWidget

from app.look.icons import Icon, paint_icon
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import (
    RESERVE,
    leading,
    mirrored,
    mnemonic_flag,
    paint_box,
    paint_ring,
    px,
    text_size,
)

_SIDE = 16
_GAP = 7


class CheckBox(QCheckBox):
    """Something that is on or off. Signals: toggled(bool), clicked."""

    def __init__(self, text: str, parent: QWidget | None = None, *, checked: bool = False) -> None:
        super().__init__(text, parent)
        self.setChecked(checked)
        _prepare(self)
        follow_theme(self._restyle)

    def sizeHint(self) -> QSize:
        return _size(self)

    def minimumSizeHint(self) -> QSize:
        return _size(self)

    def hitButton(self, at: QPoint) -> bool:
        return self.rect().contains(at)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter = tokens_now(), QPainter(self)
        box, on = _box(self), self.isChecked()
        edge = tokens.edge if self.isEnabled() else tokens.line
        if on:
            paint_box(painter, box, fill=tokens.ink if self.isEnabled() else tokens.ink3, edge=None)
            paint_icon(painter, Icon.CHECK, QRectF(box).adjusted(2, 2, -2, -2), tokens.page)
        else:
            paint_box(painter, box, fill=tokens.field, edge=edge, radius=3)
        _paint_text(self, painter)
        painter.end()

    def _restyle(self) -> None:
        _grow(self)


class RadioButton(QRadioButton):
    """One of several that exclude each other. Signals: toggled(bool), clicked.

    `hint` are quiet words after the text: an example of what it means.
    """

    def __init__(self, text: str, parent: QWidget | None = None, *, hint: str = "") -> None:
        super().__init__(text, parent)
        self._hint = hint
        _prepare(self, hint)
        follow_theme(self._restyle)

    def sizeHint(self) -> QSize:
        size = _size(self)
        return QSize(size.width() + self._hint_width(), size.height())

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def hitButton(self, at: QPoint) -> bool:
        return self.rect().contains(at)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter = tokens_now(), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(_box(self))
        ink = tokens.ink if self.isEnabled() else tokens.ink3
        on = self.isChecked()
        painter.setPen(QPen(QColor(ink if on else tokens.edge), 2 if on else 1))
        painter.setBrush(QColor(tokens.field))
        painter.drawEllipse(box.adjusted(1, 1, -1, -1))
        if on:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(ink))
            middle = box.width() / 4
            painter.drawEllipse(QPointF(box.center()), middle, middle)
        _paint_text(self, painter)
        if self._hint:
            painter.setFont(font(Role.SMALL))
            painter.setPen(QColor(tokens.ink3))
            start = _size(self).width() - RESERVE + px(_GAP)
            rest = mirrored(self, self.rect().adjusted(start, 0, 0, 0))
            painter.drawText(rest, leading(self) | Qt.AlignmentFlag.AlignVCenter, self._hint)
        painter.end()

    def _hint_width(self) -> int:
        if not self._hint:
            return 0
        return text_size(QFontMetrics(font(Role.SMALL)), self._hint).width() + px(_GAP)

    def _restyle(self) -> None:
        _grow(self)


def _prepare(button: QAbstractButton, hint: str = "") -> None:
    button.setAttribute(Qt.WidgetAttribute.WA_Hover)
    button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
    plain = button.text().replace("&", "")
    button.setAccessibleName(f"{plain}, {hint}" if hint else plain)


def _size(button: QAbstractButton) -> QSize:
    words = text_size(button.fontMetrics(), button.text())
    width = px(_SIDE) + (px(_GAP) + words.width() + 2 if button.text() else 0)
    return QSize(width + 2 * RESERVE, max(px(_SIDE), words.height()) + 2 * RESERVE)


def _box(button: QAbstractButton) -> QRect:
    side = px(_SIDE)
    return mirrored(button, QRect(RESERVE, (button.height() - side) // 2, side, side))


def _paint_text(button: QAbstractButton, painter: QPainter) -> None:
    tokens = tokens_now()
    if button.hasFocus():
        paint_ring(painter, button.rect(), tokens.ink)
    painter.setFont(font(Role.BODY))
    painter.setPen(QColor(tokens.ink if button.isEnabled() else tokens.ink3))
    rest = button.rect().adjusted(RESERVE + px(_SIDE) + px(_GAP), 0, -RESERVE, 0)
    painter.drawText(
        mirrored(button, rest),
        int(leading(button) | Qt.AlignmentFlag.AlignVCenter) | mnemonic_flag(button),
        button.text(),
    )


def _grow(button: QAbstractButton) -> None:
    button.setFont(font(Role.BODY))
    button.updateGeometry()
    button.update()
