"""Plain words for marks, as files write them, and the words that none of ours is."""

from __future__ import annotations

import re
from collections.abc import Mapping

from app.domain.marks import Mark

_MEALS = {
    "breakfast": ("waking", "after_breakfast"),
    "lunch": ("before_lunch", "after_lunch"),
    "dinner": ("before_evening_meal", "after_evening_meal"),
    "supper": ("before_evening_meal", "after_evening_meal"),
    "evening meal": ("before_evening_meal", "after_evening_meal"),
    "snack": ("before_snack", "after_snack"),
    "meal": ("before_meal", "after_meal"),
}
_NOT_WORDS = re.compile(r"[\W_]+")
_WORDS: dict[str, Mark] = {
    "": Mark.NONE,
    "wake up": Mark.WAKING,
    "on waking": Mark.WAKING,
    "bed time": Mark.BEDTIME,
    "before bed": Mark.BEDTIME,
    "random": Mark.CASUAL,
    **{_NOT_WORDS.sub(" ", mark.value): mark for mark in Mark},
    **{
        f"{side} {meal}": Mark(marks[place])
        for meal, marks in _MEALS.items()
        for place, sides in enumerate((("before", "pre"), ("after", "post")))
        for side in sides
    },
}


class MarkWords(dict[str, Mark]):
    """The mark of each word of a mark column; unknown words give none and are gathered."""

    def __init__(self, more: Mapping[str, Mark]) -> None:
        super().__init__()
        self._more = more
        self.unknown: dict[str, str] = {}  # as the field has it, and trimmed

    def __missing__(self, text: str) -> Mark:
        word = text.strip().casefold()
        mark = self._more.get(word) or _WORDS.get(_NOT_WORDS.sub(" ", word).strip())
        if mark is None:
            self.unknown[text] = text.strip()
        self[text] = found = mark or Mark.NONE
        return found
