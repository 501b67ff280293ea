"""Paper to paint on: lengths in millimetres, letters in points, the same on every device.

One unit of the painter is 1/1200 inch whatever the device, so that a letter, a hairline and a mark
keep their proportions on screen, printer and PDF.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QGuiApplication,
    QPainter,
    QPen,
    QTextDocument,
    QTextOption,
)

from app.look.tokens import LIGHT, Tokens

PER_INCH = 1200
MM = PER_INCH / 25.4
SIZES_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
BODY_PT, SMALL_PT, TITLE_PT, FIGURE_PT = 8.6, 7.6, 15.0, 12.0
_SMALLEST = 0.78  # of its size, where a word has to fit
_MARK = 0.62  # of the size on screen: a page holds more of them


class Paper:
    """A painter with the type and the few shapes of the page; `zoom` sets all letters smaller."""

    def __init__(self, painter: QPainter, size: str = "A4", *, zoom: float = 1.0) -> None:
        self.painter, self._zoom = painter, zoom
        self.tokens: Tokens = LIGHT  # paper is light
        wide, high = SIZES_MM[size]
        self.width, self.height = wide * MM, high * MM
        self.mark_scale = BODY_PT / 72 * PER_INCH / 13 * _MARK
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def font(self, points: float, *, bold: bool = False) -> QFont:
        """The font of the application in a size of paper, with figures of one width."""
        made = QFont(QGuiApplication.font())
        made.setPixelSize(max(1, round(points * self._zoom / 72 * PER_INCH)))
        made.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
        made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
        made.setFeature(QFont.Tag("tnum"), 1)
        return made

    def rule(self, left: float, top: float, width: float, *, ink: str = "ink") -> None:
        """A hairline across."""
        self.painter.fillRect(QRectF(left, top, width, 0.18 * MM), self.colour(ink))

    def colour(self, ink: str) -> QColor:
        """The colour of a token."""
        return QColor(getattr(self.tokens, ink))

    def line_height(self, points: float) -> float:
        """How high a line of a size is."""
        return QFontMetricsF(self.font(points)).height()

    def text_width(self, text: str, points: float, *, bold: bool = False) -> float:
        """How wide a text is on one line."""
        return QFontMetricsF(self.font(points, bold=bold)).horizontalAdvance(text)

    def write(
        self,
        at: QRectF,
        text: str,
        points: float = BODY_PT,
        *,
        bold: bool = False,
        ink: str = "ink",
        side: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
    ) -> None:
        """One line of plain text, cut with an ellipsis where there is no room."""
        font = self.font(points, bold=bold)
        shown = QFontMetricsF(font).elidedText(
            text, Qt.TextElideMode.ElideRight, at.width() + 0.5 * MM
        )
        self.painter.setFont(font)
        self.painter.setPen(self.colour(ink))
        self.painter.drawText(at, side | Qt.AlignmentFlag.AlignVCenter, shown)

    def write_fitting(
        self, at: QRectF, text: str, points: float, *, bold: bool = False, ink: str = "ink"
    ) -> None:
        """One line of plain text, set a little smaller where it would not fit."""
        wide = self.text_width(text, points, bold=bold)
        if wide > at.width():
            points *= max(_SMALLEST, at.width() / wide)
        self.write(at, text, points, bold=bold, ink=ink)

    def paragraphs(
        self, texts: Sequence[str], left: float, top: float, width: float, *, draw: bool = True
    ) -> float:
        """Paragraphs with `<b>` in them, wrapped; how high they are. `draw` off paints nothing."""
        if not texts:
            return 0.0
        document = self._document("".join(f"<p>{each}</p>" for each in texts), width)
        if draw:
            self.painter.save()
            self.painter.translate(left, top)
            document.drawContents(self.painter)
            self.painter.restore()
        return document.size().height()

    def _document(self, html: str, width: float) -> QTextDocument:
        document = QTextDocument()
        document.setDocumentMargin(0)
        document.setDefaultFont(self.font(BODY_PT))
        document.setDefaultStyleSheet(f"p {{ margin: 0; color: {self.tokens.ink}; }}")
        option = QTextOption()
        option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        document.setDefaultTextOption(option)
        document.setHtml(html)
        document.setTextWidth(width)
        return document

    def title(self, text: str, note: str, left: float, top: float, width: float) -> float:
        """The title of a part below its rule, a quiet note beside it; where the part goes on."""
        self.rule(left, top, width)
        high = self.line_height(BODY_PT) * 1.25
        room = QRectF(left, top + 0.6 * MM, width, high)
        self.write(room, text, bold=True)
        taken = self.text_width(text, BODY_PT, bold=True) + 1.4 * MM
        self.write(room.adjusted(taken, 0, 0, 0), note, SMALL_PT, ink="ink3")
        return room.bottom() + 0.5 * MM

    def pen(self, ink: str, millimetres: float) -> QPen:
        """A pen of a width on paper."""
        return QPen(self.colour(ink), millimetres * MM)

    def line(self, one: QPointF, other: QPointF, ink: str, millimetres: float) -> None:
        """A line from one point to another."""
        self.painter.setPen(self.pen(ink, millimetres))
        self.painter.drawLine(one, other)
