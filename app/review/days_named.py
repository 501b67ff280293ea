"""Days that have something in common: a tag, an event, a name for a stretch of days."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period, diary_day
from app.domain.errors import Refused
from app.domain.person import Person
from app.store.diary import Diary
from app.store.happenings import events_between
from app.store.spans import spans_between
from app.store.tags import tags_of

By = Literal["tag", "event", "name"]
WAYS: tuple[By, ...] = ("tag", "event", "name")
_NAMED_AT_MOST = 12


@dataclass(frozen=True, slots=True)
class DaysNamed:
    """The days of a period that a word picks out, as sorted date ordinals, and how it did."""

    by: By
    name: str
    days: NDArray[np.int64]

    @property
    def words(self) -> str:
        """What they have in common: 'days with the tag “swim”'."""
        return {
            "tag": f"days with the tag “{self.name}”",
            "event": f"days with “{self.name}” written",
            "name": f"days called “{self.name}”",
        }[self.by]


@dataclass(frozen=True, slots=True)
class WordForDays:
    """A word that is written in a period, what it is, and how many days it picks out."""

    by: By
    word: str
    days: int


def words_for_days(diary: Diary, person: Person, period: Period) -> tuple[WordForDays, ...]:
    """The person's own words that days can be asked by, each once: tags, then events, then names.

    Within each way those of most days come first. A text that was written once picks out one day:
    that is too few to be asked by, so it is left out.
    """
    found: dict[str, tuple[By, str, set[int]]] = {}
    for way in WAYS:
        for name, _, days in _LOOK[way](diary, person, period):
            word = " ".join(name.split())
            by, _, held = found.setdefault(word.casefold(), (way, word, set()))
            if word and by == way:  # a word that is a tag is asked by as a tag
                held.update(days)
    words = [
        WordForDays(by, word, len(days))
        for by, word, days in found.values()
        if len(days) > 1 or (by == "tag" and days)
    ]
    return tuple(sorted(words, key=lambda each: (WAYS.index(each.by), -each.days, each.word)))


def days_named(
    diary: Diary, person: Person, word: str, period: Period, *, by: By | None = None
) -> DaysNamed:
    """The days of a period that a word picks out.

    A tag of that very name comes first, then events of that kind or with the word in their text,
    then stretches of days of that kind or with the word in their text; case does not matter.

    Raises
    ------
    Refused
        Nothing of the kind is written in the period; the sentence names what is.
    """
    wanted = " ".join(word.split()).casefold()
    seen: list[str] = []
    for way in WAYS if by is None else (by,):
        found: set[int] = set()
        for name, is_whole, days in _LOOK[way](diary, person, period):
            seen.append(name)
            if wanted and (
                name.casefold() == wanted or (not is_whole and wanted in name.casefold())
            ):
                found.update(days)
        if found:
            return DaysNamed(way, word.strip(), np.array(sorted(found), dtype=np.int64))
    named = ", ".join(f"“{name}”" for name in list(dict.fromkeys(seen))[:_NAMED_AT_MOST])
    there = f" There are: {named}." if named else " No tags, events or named days are written."
    raise Refused(
        f"Nothing from {period.first} to {period.last} is called “{word.strip()}”.{there}"
    )


_Found = Iterator[tuple[str, bool, Iterable[int]]]  # a name, whether all of it must fit, its days


def _tags(diary: Diary, person: Person, period: Period) -> _Found:
    for tagged in tags_of(diary, person):
        days = _inside(tagged.first_day, tagged.last_day, period)
        if days:
            yield tagged.label, True, days


def _events(diary: Diary, person: Person, period: Period) -> _Found:
    ends = period.first.toordinal(), period.last.toordinal()
    for event in events_between(diary, person, *ends):
        day = (diary_day(event.start, person.day_start),)
        if event.text:
            yield event.text, False, day
        yield event.kind, True, day


def _names(diary: Diary, person: Person, period: Period) -> _Found:
    ends = period.first.toordinal(), period.last.toordinal()
    for span in spans_between(diary, person, *ends):
        days = _inside(span.first_day, span.last_day, period)
        if span.text:
            yield span.text, False, days
        yield span.kind.replace("_", " "), True, days


_LOOK = {"tag": _tags, "event": _events, "name": _names}


def _inside(first: int, last: int | None, period: Period) -> range:
    end = period.last.toordinal() if last is None else min(last, period.last.toordinal())
    return range(max(first, period.first.toordinal()), end + 1)
