"""Paper to paint on: lengths in millimetres, letters in points, the same on every device.

One unit of the painter is 1/1200 inch whatever the device, so that a letter, a hairline and a mark
keep their proportions on screen, printer and PDF.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QGuiApplication,
    QPainter,
    QPen,
)

from app.look.tokens import LIGHT, Tokens
from app.report.paragraph import Paragraph

PER_INCH = 1200
MM = PER_INCH / 25.4
SIZES_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
BODY_PT, SMALL_PT, TITLE_PT, FIGURE_PT = 8.6, 7.6, 15.0, 12.0
_OPPOSITE = {
    Qt.AlignmentFlag.AlignLeft: Qt.AlignmentFlag.AlignRight,
    Qt.AlignmentFlag.AlignRight: Qt.AlignmentFlag.AlignLeft,
}
SMALLEST = 0.78  # of its size, where a word has to fit
_MARK = 0.62  # of the size on screen: a page holds more of them


class Paper:
    """A painter with the type and the few shapes of the page; `zoom` sets all letters smaller.

    With `draws` off nothing is painted: what is laid out on it is only measured.

    In a language that is written from the right, words and columns stand mirrored; inside `chart`
    nothing is: time runs to the right in every language.
    """

    def __init__(
        self, painter: QPainter, size: str = "A4", *, zoom: float = 1.0, draws: bool = True
    ) -> None:
        self.painter, self._zoom, self.draws = painter, zoom, draws
        self.tokens: Tokens = LIGHT  # paper is light
        wide, high = SIZES_MM[size]
        self.width, self.height = wide * MM, high * MM
        self.mark_scale = BODY_PT / 72 * PER_INCH / 13 * _MARK
        self._mirrors = QGuiApplication.layoutDirection() is Qt.LayoutDirection.RightToLeft
        self._fonts: dict[tuple[float, bool], tuple[QFont, QFontMetricsF]] = {}
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setLayoutDirection(QGuiApplication.layoutDirection())

    @contextmanager
    def chart(self) -> Iterator[None]:
        """For a while nothing is mirrored."""
        before, self._mirrors = self._mirrors, False
        try:
            yield
        finally:
            self._mirrors = before

    @contextmanager
    def measuring(self) -> Iterator[None]:
        """For a while nothing is painted."""
        before, self.draws = self.draws, False
        try:
            yield
        finally:
            self.draws = before

    def placed(self, area: QRectF) -> QRectF:
        """Where an area of words or a whole chart stands: mirrored in a language from the right."""
        if not self._mirrors:
            return area
        return QRectF(self.width - area.right(), area.top(), area.width(), area.height())

    def font(self, points: float, *, bold: bool = False) -> QFont:
        """The font of the application in a size of paper, with figures of one width."""
        return self._set_in(points, bold)[0]

    def _set_in(self, points: float, bold: bool) -> tuple[QFont, QFontMetricsF]:
        """A font with its measures, made once."""
        if (points, bold) not in self._fonts:
            made = self._made(points, bold)
            self._fonts[points, bold] = (made, QFontMetricsF(made))
        return self._fonts[points, bold]

    def _made(self, points: float, bold: bool) -> QFont:
        made = QFont(QGuiApplication.font())
        made.setPixelSize(max(1, round(points * self._zoom / 72 * PER_INCH)))
        made.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
        made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
        made.setFeature(QFont.Tag("tnum"), 1)
        made.setFeature(QFont.Tag("liga"), 0)  # who searches a file for "figure" has to find it
        return made

    def rule(self, left: float, top: float, width: float, *, ink: str = "ink") -> None:
        """A hairline across."""
        if not self.draws:
            return
        self.painter.fillRect(self.placed(QRectF(left, top, width, 0.18 * MM)), self.colour(ink))

    def colour(self, ink: str) -> QColor:
        """The colour of a token."""
        return QColor(getattr(self.tokens, ink))

    def line_height(self, points: float) -> float:
        """How high a line of a size is."""
        return self._set_in(points, False)[1].height()

    def text_width(self, text: str, points: float, *, bold: bool = False) -> float:
        """How wide a text is on one line."""
        return self._set_in(points, bold)[1].horizontalAdvance(text)

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
        if not self.draws:
            return
        font, measures = self._set_in(points, bold)
        shown = measures.elidedText(text, Qt.TextElideMode.ElideRight, at.width() + 0.5 * MM)
        if self._mirrors and side in _OPPOSITE:
            side = _OPPOSITE[side]
        # Else a name in Hebrew would move to the far side of its place.
        side |= Qt.AlignmentFlag.AlignAbsolute
        self.painter.setFont(font)
        self.painter.setPen(self.colour(ink))
        how = side | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine
        self.painter.drawText(self.placed(at), how, shown)

    def write_fitting(
        self,
        at: QRectF,
        text: str,
        points: float,
        *,
        bold: bool = False,
        ink: str = "ink",
        side: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
    ) -> None:
        """One line of plain text, set a little smaller where it would not fit."""
        if not self.draws:
            return
        wide = self.text_width(text, points, bold=bold)
        if wide > at.width():
            points *= max(SMALLEST, at.width() / wide)
        self.write(at, text, points, bold=bold, ink=ink, side=side)

    def wrapped(
        self, text: str, points: float, width: float, *, bold: bool = False, cut: bool = True
    ) -> tuple[str, ...]:
        """A plain text in lines that fit; with `cut` a word wider than a line is broken."""
        measures = self._set_in(points, bold)[1]
        if measures.horizontalAdvance(text) <= width:
            return (text,)
        lines: list[str] = []
        line = ""
        for word in text.split(" "):
            longer = f"{line} {word}" if line else word
            if measures.horizontalAdvance(longer) <= width:
                line = longer
                continue
            if line:
                lines.append(line)
            line = word
            while cut and len(line) > 1 and measures.horizontalAdvance(line) > width:
                at = len(line) - 1
                while at > 1 and measures.horizontalAdvance(line[:at]) > width:
                    at -= 1
                lines.append(line[:at])
                line = line[at:]
        return (*lines, line)

    def paragraphs(
        self,
        texts: Sequence[str],
        left: float,
        top: float,
        width: float,
        *,
        far: bool = False,
        draw: bool = True,
    ) -> float:
        """Paragraphs with `<b>` in them, wrapped; how high they are.

        With `far` they lean on the side where a line ends; `draw` off paints nothing.
        """
        ink, high, way = self.colour("ink"), 0.0, QGuiApplication.layoutDirection()
        place = self.placed(QRectF(left, top, width, 0)).topLeft()
        for each in texts:
            said = Paragraph(each, self.font(BODY_PT), width, way, far=far)
            if self.draws and draw:
                said.paint(self.painter, place + QPointF(0, high), ink)
            high += said.height
        return high

    def title(self, text: str, note: str, left: float, top: float, width: float) -> float:
        """The title of a part below its rule, a quiet note beside it; where the part goes on."""
        self.rule(left, top, width)
        high = self.line_height(BODY_PT) * 1.25
        room = QRectF(left, top + 0.6 * MM, width, high)
        self.write(room, text, bold=True)
        taken = self.text_width(text, BODY_PT, bold=True) + 1.4 * MM
        self.write_fitting(room.adjusted(taken, 0, 0, 0), note, SMALL_PT, ink="ink3")
        return room.bottom() + 0.5 * MM

    def pen(self, ink: str, millimetres: float) -> QPen:
        """A pen of a width on paper."""
        return QPen(self.colour(ink), millimetres * MM)

    def line(self, one: QPointF, other: QPointF, ink: str, millimetres: float) -> None:
        """A line from one point to another."""
        if not self.draws:
            return
        self.painter.setPen(self.pen(ink, millimetres))
        self.painter.drawLine(one, other)
