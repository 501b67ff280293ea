"""What a reading is, as the person says it: the eight slots and the marks outside them."""

from __future__ import annotations

from enum import StrEnum


class Mark(StrEnum):
    """A mark; its value is the code in files and JSON. The order is kept: columns count by it."""

    WAKING = "waking"
    AFTER_BREAKFAST = "after_breakfast"
    BEFORE_LUNCH = "before_lunch"
    AFTER_LUNCH = "after_lunch"
    BEFORE_EVENING_MEAL = "before_evening_meal"
    AFTER_EVENING_MEAL = "after_evening_meal"
    BEDTIME = "bedtime"
    NIGHT = "night"
    BEFORE_SNACK = "before_snack"
    AFTER_SNACK = "after_snack"
    BEFORE_MEAL = "before_meal"
    AFTER_MEAL = "after_meal"
    CASUAL = "casual"
    FASTING = "fasting"
    NONE = "none"

    @property
    def words(self) -> str:
        """The mark in plain words."""
        return "no mark" if self is Mark.NONE else self.value.replace("_", " ")

    @property
    def is_before_meal(self) -> bool:
        """Whether it is taken before eating: the tail of its sign points right."""
        return self.value.startswith("before_") or self in (Mark.WAKING, Mark.FASTING)

    @property
    def is_after_meal(self) -> bool:
        """Whether it is taken after eating: the tail of its sign points left."""
        return self.value.startswith("after_")


MARKS: tuple[Mark, ...] = tuple(Mark)
SLOTS: tuple[Mark, ...] = MARKS[:8]
EVENED_SLOTS: tuple[Mark, ...] = MARKS[:7]  # waking to bedtime; night is left out and named


def known_mark(code: str) -> Mark | None:
    """The mark of a code, or None for a code of a newer list: shown as written, never a crash."""
    try:
        return Mark(code)
    except ValueError:
        return None
