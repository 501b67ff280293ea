"""The roles that letters play, as factors of the text size that the person or the system chose.

No family is named and no size is fixed: everything is worked from the application's font, so that
text from 100 to 200 % keeps its proportions.
"""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple

from PySide6.QtGui import QFont, QGuiApplication

SMALLEST_PX = 11.0  # a rule of this diary: nothing smaller can be asked of tired eyes
_DRAWN_AT_PX = 13.0  # the size at which lengths in px are given: marks, icons, controls
_POINTS_PER_INCH = 72.0


class Style(NamedTuple):
    """A factor of the text size, and whether it is one of the two weights or the other."""

    factor: float
    bold: bool = False


class Role(Enum):
    """What a piece of text is; its value is how it is set."""

    ENTERED = "entered", Style(2.46, True)  # the number being entered, in the slip
    FIGURE = "figure", Style(2.15, True)  # a figure on Figures
    LAST = "last", Style(1.85, True)  # the last reading
    SLOT = "slot", Style(1.7, True)  # today's number in a slot
    TITLE = "title", Style(1.54, True)  # page title, person
    ENTRY = "entry", Style(1.15)  # what is typed into the entry line
    EMPTY = "empty", Style(1.15, True)  # the title of an empty state
    SECTION = "section", Style(1.0, True)
    STRONG = "strong", Style(1.0, True)  # a word or a value in running text
    BODY = "body", Style(1.0)
    SMALL = "small", Style(0.88)
    SMALL_STRONG = "small strong", Style(0.88, True)

    @property
    def style(self) -> Style:
        """How it is set."""
        style: Style = self.value[1]
        return style


def font(role: Role) -> QFont:
    """The font of a role at the text size now in force, with figures of one width.

    Digits stand in columns only with the OpenType feature "tnum", where the font has it. A font
    once given to a widget stays as it is: ask again when the theme says `changed`.
    """
    made = QFont(QGuiApplication.font())
    made.setPointSizeF(_points(max(text_px() * role.style.factor, SMALLEST_PX)))
    made.setWeight(QFont.Weight.DemiBold if role.style.bold else QFont.Weight.Normal)
    made.setFeature(QFont.Tag("tnum"), 1)
    return made


def text_px() -> float:
    """The size of running text in px, which the designs call S."""
    base = QGuiApplication.font()
    if base.pixelSize() > 0:
        return float(base.pixelSize())
    return base.pointSizeF() * _dots_per_inch() / _POINTS_PER_INCH


def text_scale() -> float:
    """How much larger text is than in the designs: multiply px lengths of marks and icons by it."""
    return text_px() / _DRAWN_AT_PX


def scale_text(factor: float, *, base: QFont) -> None:
    """Set the text size of the program to `factor` times the font `base`, from 1.0 to 2.0.

    Raises
    ------
    ValueError
        If `factor` lies outside 1 to 2.
    """
    if not 1.0 <= factor <= 2.0:
        raise ValueError(f"text is scaled from 1 to 2 times: factor={factor}")
    larger = QFont(base)
    if base.pixelSize() > 0:
        larger.setPixelSize(round(base.pixelSize() * factor))
    else:
        larger.setPointSizeF(base.pointSizeF() * factor)
    QGuiApplication.setFont(larger)


def _points(px: float) -> float:
    return px * _POINTS_PER_INCH / _dots_per_inch()


def _dots_per_inch() -> float:
    return float(QGuiApplication.primaryScreen().logicalDotsPerInch())
