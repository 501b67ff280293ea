"""Everything that was written down beside readings in a period, as one list by day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from app.domain.clock import Moment, Period, diary_day
from app.domain.ketones import Ketones
from app.domain.labs import LabResult
from app.domain.person import Person
from app.store.diary import Diary
from app.store.happenings import (
    doses_between,
    events_between,
    helps_between,
    ketones_between,
    labs_of,
)
from app.store.spans import changes_between, spans_between
from app.store.tags import tags_of

# Events and named days stand in the head of a day already.
_TOLD = ("help", "ketone", "lab", "change")


@dataclass(frozen=True, slots=True)
class WrittenDown:
    """One thing: what sort it is, its diary day, its moment where it has one, and its words.

    `last_day` is that of days with a name; None for one day, and while they go on (`goes_on`).
    `tags` are the words of the person's own on it.
    """

    what: str  # help, ketone, lab, change, days, event, dose
    uid: UUID
    day: int
    at: Moment | None
    words: str
    last_day: int | None = None
    goes_on: bool = False
    tags: tuple[str, ...] = ()

    @property
    def when(self) -> str:
        """Its time, or its days: "2026-02-09 to 2026-02-13"."""
        if self.at is not None:
            return self.at.wall.replace("T", " ")[:16]
        first = date.fromordinal(self.day).isoformat()
        if self.goes_on:
            return f"{first} on"
        if self.last_day is None or self.last_day == self.day:
            return first
        return f"{first} to {date.fromordinal(self.last_day)}"

    def as_json(self) -> dict[str, Any]:
        """The same as plain values."""
        return {
            "what": self.what,
            "uid": str(self.uid),
            "day": date.fromordinal(self.day).isoformat(),
            "to": None if self.last_day is None else date.fromordinal(self.last_day).isoformat(),
            "goes_on": self.goes_on,
            "at": None if self.at is None else self.at.wall,
            "words": self.words,
            "tags": list(self.tags),
        }


def written_in(diary: Diary, person: Person, period: Period) -> tuple[WrittenDown, ...]:
    """What was written down on the diary days of a period, in the order of time.

    What is of a whole day stands before what has a time on it.
    """
    first, last = period.first.toordinal(), period.last.toordinal()
    tags = _tags(diary, person)

    def timed(
        what: str, uid: UUID, at: Moment, words: str, on: tuple[str, ...] = ()
    ) -> WrittenDown:
        return WrittenDown(what, uid, diary_day(at, person.day_start), at, words, tags=on)

    found = [
        *(
            WrittenDown(
                what="days",
                uid=each.uid,
                day=each.first_day,
                at=None,
                words=_joined(
                    each.kind.replace("_", " "),
                    each.text,
                    "may be left out of averages" if each.set_aside else None,
                ),
                last_day=each.last_day,
                goes_on=each.last_day is None,
                tags=tags.get(("span", each.id), ()),
            )
            for each in spans_between(diary, person, first, last)
        ),
        *(
            WrittenDown(
                "change",
                each.uid,
                each.day,
                None,
                f"{each.what} ({each.settling_days} days to settle)",
                last_day=each.last_day,
            )
            for each in changes_between(diary, person, first, last)
        ),
        *(
            timed("help", each.uid, each.at, _joined("help from another person", each.what))
            for each in helps_between(diary, person, first, last)
        ),
        *(
            timed(
                "ketone",
                each.uid,
                each.at,
                Ketones(each.method, each.bound, each.value, each.level).shown,
            )
            for each in ketones_between(diary, person, first, last)
        ),
        *(
            timed("lab", each.uid, each.at, LabResult(each.kind, each.value, each.unit).shown)
            for each in labs_of(diary, person)
            if first <= diary_day(each.at, person.day_start) <= last
        ),
        *(
            timed(
                "event",
                each.uid,
                each.start,
                _joined(
                    each.kind,
                    each.text,
                    None if each.carb_g is None else f"{each.carb_g:g} g carbohydrate",
                ),
                tags.get(("event", each.id), ()),
            )
            for each in events_between(diary, person, first, last)
        ),
        *(
            timed("dose", each.uid, each.at, f"{each.what} {each.amount} {each.unit}")
            for each in doses_between(diary, person, first, last)
        ),
    ]
    return tuple(
        sorted(found, key=lambda one: (one.day, -1 if one.at is None else one.at.instant, one.what))
    )


def told_on(diary: Diary, person: Person, day: int) -> tuple[WrittenDown, ...]:
    """What a day (a date ordinal) tells beside its readings, events and named days, by time."""
    on = date.fromordinal(day)
    return tuple(
        each
        for each in written_in(diary, person, Period(on, on))
        if each.what in _TOLD and each.day == day
    )


def _tags(diary: Diary, person: Person) -> dict[tuple[str, int], tuple[str, ...]]:
    found: dict[tuple[str, int], tuple[str, ...]] = {}
    for each in tags_of(diary, person):
        key = (each.table, each.row_id)
        found[key] = (*found.get(key, ()), each.label)
    return found


def _joined(*parts: str | None) -> str:
    return ", ".join(part for part in parts if part)
