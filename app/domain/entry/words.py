"""The shape of a table of words for the entry line; each language fills one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from app.domain.glucose import Bound
from app.domain.marks import Mark

T = TypeVar("T")
Phrase = tuple[str, ...]
BEFORE_AND_AFTER: dict[str, tuple[Mark, Mark]] = {
    "breakfast": (Mark.WAKING, Mark.AFTER_BREAKFAST),
    "lunch": (Mark.BEFORE_LUNCH, Mark.AFTER_LUNCH),
    "evening": (Mark.BEFORE_EVENING_MEAL, Mark.AFTER_EVENING_MEAL),
    "snack": (Mark.BEFORE_SNACK, Mark.AFTER_SNACK),
    "meal": (Mark.BEFORE_MEAL, Mark.AFTER_MEAL),
}


@dataclass(frozen=True, slots=True)
class Words:
    """Words and phrases of one language, in lower case; a phrase is a tuple of words."""

    before: dict[Phrase, bool]
    meals: dict[Phrase, str]
    marks: dict[Phrase, Mark]
    glued: dict[str, bool]  # what stands before a meal without a blank; True where it means before
    adverbs: frozenset[str]
    articles: frozenset[str]
    ago: frozenset[str]
    hours: frozenset[str]
    minutes: frozenset[str]
    days: frozenset[str]
    counts: dict[Phrase, float]
    amounts: frozenset[str]  # a number with one of these after it is a part of the note
    at: frozenset[str]
    on: frozenset[str]
    last: frozenset[str]
    relative_days: dict[Phrase, int]
    day_parts: dict[Phrase, tuple[int, int, int]]  # day offset, first and last hour of that part
    times: dict[Phrase, int]  # hour; 24 for the midnight that may belong to either day
    now: dict[Phrase, int]
    weekdays: dict[str, int]
    short_weekdays: dict[str, int]  # also ordinary words ("sun"): a date only next to a time
    months: dict[str, int]
    sides: dict[str, str]
    fingers: dict[str, tuple[str, bool]]  # name; whether it is a finger without more words
    finger: frozenset[str]
    hand: frozenset[str]
    sites: dict[Phrase, str]
    site_lead: frozenset[str]
    hands: dict[Phrase, str]
    screen: dict[str, Bound]  # what a meter shows
    spoken: dict[str, Bound]  # the same said in full: taken only where nothing else is said
    bounds: dict[Phrase, Bound]
    reading: frozenset[str]
    note: frozenset[str]
    joining: frozenset[str]


def phrases(table: dict[str, T]) -> dict[Phrase, T]:
    """Phrases of one meaning stand in one text, parted by a bar."""
    return {
        tuple(phrase.split()): meaning
        for written, meaning in table.items()
        for phrase in written.split("|")
    }


def named(table: dict[str, T]) -> dict[str, T]:
    """Words of one meaning stand in one text, parted by blanks."""
    return {word: meaning for written, meaning in table.items() for word in written.split()}
