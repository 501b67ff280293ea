"""A language of our own for tests: English with accents, two fifths longer."""

from __future__ import annotations

import re

from PySide6.QtCore import QTranslator

_ACCENTS = str.maketrans("aeiouAEIOUcnsyz", "àéîöûÀÉÎÖÛçñšýž")
_KEPT = re.compile(r"(\{[^}]*\}|%n|%\d|&.|<[^>]*>)")
LONGER = 0.4  # common practice, no source


def longer(text: str) -> str:
    """The text with accents and two fifths longer; what stands for a value or a key is kept."""
    parts = _KEPT.split(text)
    accented = "".join(
        part if at % 2 else part.translate(_ACCENTS) for at, part in enumerate(parts)
    )
    words = re.sub(_KEPT, "", text)
    missing = round(len(words) * LONGER)
    return accented + (" wörd" * (missing // 5 + 1))[:missing].rstrip()


class Pseudo(QTranslator):
    """Translates every text that is marked for translation."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: set[str] = set()

    def isEmpty(self) -> bool:  # noqa: N802  (Qt's name; it passes over a translator that is empty)
        return False

    def translate(
        self, _context: str, source: str, _disambiguation: str | None = None, n: int = -1
    ) -> str:
        self.asked.add(source)
        if n >= 0:
            return longer(source).replace("%n", str(n))
        return longer(source)
