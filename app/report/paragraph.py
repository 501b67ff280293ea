"""A paragraph with a few heavier, slanted or quieter words in it, broken into lines of a width.

It is set without any object that belongs to a thread, so that a sheet can be painted in any.
"""

from __future__ import annotations

import re
from html.parser import HTMLParser

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QTextCharFormat, QTextLayout, QTextOption

_BLANKS = re.compile(r"[ \t\r\n]+")
_COLOUR = re.compile(r"color: (#[0-9a-f]{6})", re.IGNORECASE)


class Paragraph:
    """Words set in lines: `height` in units of the painter, and `paint` where they begin.

    Parameters
    ----------
    markup : str
        Text escaped as in HTML; `<b>`, `<i>` and `<span style="color: #rrggbb">` are the markup.
    font : QFont
        In pixels of the painter.
    width : float
        Of a line; a word that is wider is broken.
    direction : Qt.LayoutDirection
        Which way the language of the page runs.
    far : bool
        Whether it leans on the side where a line ends.
    """

    def __init__(
        self,
        markup: str,
        font: QFont,
        width: float,
        direction: Qt.LayoutDirection,
        *,
        far: bool = False,
    ) -> None:
        words = _Words()
        words.feed(markup.replace(" %", "\u00a0%"))  # a number and its sign stay together
        words.close()
        self._layout = QTextLayout(words.text, font)
        self._layout.setFormats(words.ranges)
        self._layout.setTextOption(_option(direction, far))
        self.height = self._broken(width)

    def paint(self, painter: QPainter, at: QPointF, ink: QColor) -> None:
        """Paint it with its first line's corner there; words without a colour have that ink."""
        painter.setPen(ink)
        self._layout.draw(painter, at)

    def _broken(self, width: float) -> float:
        """Break into lines, one below the other; how high they are."""
        high = 0.0
        self._layout.beginLayout()
        while (line := self._layout.createLine()).isValid():
            line.setLeadingIncluded(True)
            line.setLineWidth(width)
            line.setPosition(QPointF(0.0, high))
            high += line.height()
        self._layout.endLayout()
        return high


def _option(direction: Qt.LayoutDirection, far: bool) -> QTextOption:
    option = QTextOption()
    at_right = far is (direction is not Qt.LayoutDirection.RightToLeft)
    side = Qt.AlignmentFlag.AlignRight if at_right else Qt.AlignmentFlag.AlignLeft
    option.setAlignment(side | Qt.AlignmentFlag.AlignAbsolute)
    option.setTextDirection(direction)
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    return option


class _Words(HTMLParser):
    """The plain text of a markup, and how stretches of it are set."""

    def __init__(self) -> None:
        super().__init__()
        self.text = ""
        self.ranges: list[QTextLayout.FormatRange] = []
        self._formats: list[QTextCharFormat] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        how = QTextCharFormat(self._formats[-1]) if self._formats else QTextCharFormat()
        if tag == "b":
            how.setFontWeight(QFont.Weight.Bold)
        elif tag == "i":
            how.setFontItalic(True)
        elif found := _COLOUR.search(dict(attrs).get("style") or ""):
            how.setForeground(QColor(found[1]))
        self._formats.append(how)

    def handle_endtag(self, _tag: str) -> None:
        self._formats.pop()

    def handle_data(self, data: str) -> None:
        data = _BLANKS.sub(" ", data)
        if not self.text or self.text.endswith(" "):
            data = data.removeprefix(" ")
        if self._formats and data:
            stretch = QTextLayout.FormatRange()
            stretch.start = _units(self.text)
            stretch.length = _units(data)
            stretch.format = self._formats[-1]
            self.ranges.append(stretch)
        self.text += data


def _units(text: str) -> int:
    """How long a text is in Qt, which counts a letter beyond the first 65,536 twice."""
    return len(text.encode("utf-16-le")) // 2
