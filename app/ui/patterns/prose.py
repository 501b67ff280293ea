"""Running text of the page: it wraps, breaks what is too long, and stops at 90 characters."""

from __future__ import annotations

from PySide6.QtGui import QFontMetrics

from app.ui.controls import WrapLabel

_LONGEST_LINE = 90  # longer lines lose the eye on its way back (common practice, no source)
_USUAL = "tests of a slot on other days, and what was written before them"


class Prose(WrapLabel):
    """A label that is never cut, and never wider than its lines should be long."""

    def heightForWidth(self, width: int) -> int:
        return super().heightForWidth(min(width, self.maximumWidth()))

    def _restyle(self) -> None:
        super()._restyle()
        # An average letter of running text; that of the font's whole alphabet is narrower.
        letter = QFontMetrics(self.font()).horizontalAdvance(_USUAL) / len(_USUAL)
        self.setMaximumWidth(round(letter * _LONGEST_LINE))
