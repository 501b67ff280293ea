"""What was written in the hours before readings: before those that show something, and the others.

A count of what went before claims no cause; beside each count stands how often the same was written
before the other tests of the slot.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.written import Event, Span
from app.store.beside import beside_of
from app.store.columns import Columns
from app.store.diary import Diary
from app.store.happenings import doses_between, events_between
from app.store.spans import spans_between
from app.store.tags import tags_of

# How far back is looked, in hours: rules of this diary. A morning or a night follows an evening.
HOURS, HOURS_OVERNIGHT = 6, 12
_OVERNIGHT = (Mark.WAKING, Mark.NIGHT)
_HOUR = 3600
_LONGEST = 24 * _HOUR  # an event that is written as longer is not followed further
_LETTERS = 40
# A stretch that says where a person lives, not what happened on a day.
_ORDINARY = frozenset({"term"})
A_LOW = "a low"


@dataclass(frozen=True, slots=True)
class Before:
    """What was written before `count` of `of` tests that show it, `others` of `of_others` rest."""

    words: str
    count: int
    of: int
    others: int
    of_others: int


@dataclass(frozen=True, slots=True)
class LookLeft:
    """What was written in so many hours before, the most frequent first; often nothing was."""

    hours: int
    found: tuple[Before, ...]


@dataclass(frozen=True, slots=True)
class WrittenBeside:
    """What is written beside a person's readings, to be looked up by time or by day.

    `begins`, `ends` (UTC seconds) and `words` go together, in the order of `begins`; `lows` are the
    instants of lows.
    """

    begins: list[int] = field(default_factory=list)
    ends: list[int] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    days: tuple[tuple[Span, str], ...] = ()
    lows: list[int] = field(default_factory=list)

    def before(self, instant: int, day: int, hours: int, *, with_lows: bool) -> set[str]:
        """What was written before an instant on a diary day, each thing once."""
        since = instant - hours * _HOUR
        found = {
            self.words[at]
            for at in range(*self._reach(self.begins, since - _LONGEST, instant))
            if self.ends[at] >= since
        }
        found |= {words for span, words in self.days if span.covers(day)}
        first, last = self._reach(self.lows, since, instant)
        if with_lows and last > first:
            found.add(A_LOW)
        return found

    @staticmethod
    def _reach(instants: Sequence[int], first: int, last: int) -> tuple[int, int]:
        return bisect_left(instants, first), bisect_left(instants, last)


def beside_readings(
    diary: Diary, person: Person, columns: Columns, low: NDArray[np.bool_]
) -> WrittenBeside:
    """Everything written beside some readings in the order of time, and which of them are `low`."""
    if not len(columns):
        return WrittenBeside()
    ends = int(columns.day.min()) - 1, int(columns.day.max()) + 1
    tags: dict[tuple[str, int], list[str]] = {}
    for tagged in tags_of(diary, person):
        tags.setdefault((tagged.table, tagged.row_id), []).append(tagged.label)
    items = [
        (event.start.instant, max(event.start.instant, event.end or 0), words)
        for event in events_between(diary, person, *ends)
        for words in tags.get(("event", event.id)) or [_of_event(event)]
    ]
    items += [
        (dose.at.instant, dose.at.instant, f"dose: {dose.what}")
        for dose in doses_between(diary, person, *ends)
    ]
    notes = beside_of(diary, person, since=int(columns.instant[0])).note
    for row, at in zip(columns.id.tolist(), columns.instant.tolist(), strict=True):
        said = [*tags.get(("reading", row), ()), *_lines(notes.get(row))]
        items += [(at, at, words) for words in said]
    items.sort()
    days = tuple(
        (span, words)
        for span in spans_between(diary, person, *ends)
        if span.kind not in _ORDINARY
        for words in tags.get(("span", span.id)) or [span.text or span.kind.replace("_", " ")]
    )
    return WrittenBeside(
        begins=[begin for begin, _, _ in items],
        ends=[end for _, end, _ in items],
        words=[words for _, _, words in items],
        days=days,
        lows=columns.instant[low].tolist(),
    )


def look_left(
    beside: WrittenBeside,
    mark: Mark,
    hits: Iterable[tuple[int, int]],
    others: Iterable[tuple[int, int]],
    *,
    with_lows: bool,
) -> LookLeft:
    """Count what was written before tests that show something and before the rest of the slot.

    Parameters
    ----------
    mark : Mark
        The slot: before waking and in the night it is looked back over the evening.
    hits, others : iterable of (instant, day)
        One test for each day.
    with_lows : bool
        Whether a low before counts as well: before highs.
    """
    hours = HOURS_OVERNIGHT if mark in _OVERNIGHT else HOURS
    sides = []
    for tests in (hits, others):
        counts: Counter[str] = Counter()
        n = 0
        for instant, day in tests:
            n += 1
            counts.update(beside.before(instant, day, hours, with_lows=with_lows))
        sides.append((counts, n))
    (before, of), (rest, of_others) = sides
    found = (Before(words, count, of, rest[words], of_others) for words, count in before.items())
    return LookLeft(hours, tuple(sorted(found, key=lambda each: (-each.count, each.words))))


def _of_event(event: Event) -> str:
    said = event.text or event.kind.replace("_", " ")
    if not event.text and event.level:
        said = f"{said} ({event.level})"
    return next(_lines(said), event.kind)


def _lines(text: str | None) -> Iterator[str]:
    """The lines of a note, each cut to a length that fits beside a count."""
    for line in (text or "").splitlines():
        short = " ".join(line.split())
        if short:
            yield short if len(short) <= _LETTERS else short[: _LETTERS - 1].rstrip() + "…"
