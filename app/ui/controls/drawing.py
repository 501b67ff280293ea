"""What all painted controls share: boxes on whole pixels, the focus ring, sizes from the text."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.look.type import text_scale

RADIUS = 4.0
RING = 2  # width of the focus ring, and of the gap within it
RESERVE = 2 * RING  # what a control with an outer ring keeps free on every side


def px(length: float) -> int:
    """A length of the designs (text at 13 px) at the text size in force, in whole px."""
    return max(1, round(length * text_scale()))


def text_size(metrics: QFontMetrics, text: str) -> QSize:
    """The size of one line of text, whose "&" marks a mnemonic."""
    return metrics.size(Qt.TextFlag.TextShowMnemonic | Qt.TextFlag.TextSingleLine, text)


def mnemonic_flag(widget: QWidget) -> Qt.TextFlag:
    """Whether the platform underlines mnemonics just now."""
    from PySide6.QtWidgets import QStyle  # slow to import, and the shell needs none of it

    shown = widget.style().styleHint(QStyle.StyleHint.SH_UnderlineShortcut, None, widget)
    return Qt.TextFlag.TextShowMnemonic if shown else Qt.TextFlag.TextHideMnemonic


def paint_box(
    painter: QPainter, area: QRect, *, fill: str | None, edge: str | None, radius: float = RADIUS
) -> None:
    """Paint a rounded box with an edge of one whole px; None leaves that part out."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(edge), 1) if edge else Qt.PenStyle.NoPen)
    painter.setBrush(QColor(fill) if fill else Qt.BrushStyle.NoBrush)
    # A pen of 1 px straddles its path: half a px in, it covers exactly one row of pixels.
    inset = 0.5 if edge else 0.0
    painter.drawRoundedRect(QRectF(area).adjusted(inset, inset, -inset, -inset), radius, radius)


def paint_ring(painter: QPainter, area: QRect, colour: str, *, radius: float = RADIUS) -> None:
    """Paint a focus ring of 2 px along the inside of `area`."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(colour), RING))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    half = RING / 2
    painter.drawRoundedRect(QRectF(area).adjusted(half, half, -half, -half), radius, radius)


def mirrored(widget: QWidget, part: QRect) -> QRect:
    """A part of a widget laid out left to right, where it lies in the widget's own direction."""
    from PySide6.QtWidgets import QStyle

    return QStyle.visualRect(widget.layoutDirection(), widget.rect(), part)


def leading(widget: QWidget) -> Qt.AlignmentFlag:
    """The side where a line begins in the widget's direction.

    Absolute, since Qt else decides by the text: a number or a foreign name would change sides.
    """
    right = widget.layoutDirection() is Qt.LayoutDirection.RightToLeft
    side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignAbsolute


def trailing(widget: QWidget) -> Qt.AlignmentFlag:
    """The side where a line ends in the widget's direction."""
    return leading(widget) ^ (Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignRight)
