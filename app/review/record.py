"""What is asked about: one person's readings, goals and set-aside days, kept in step."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from app.domain.clock import Period
from app.domain.person import Person
from app.domain.targets import TargetSet
from app.domain.written import Span
from app.store.columns import Columns, columns_of, last_instant, refreshed
from app.store.diary import Diary
from app.store.people import targets_of
from app.store.spans import spans_between

_DAY_SECONDS = 86_400


@dataclass(frozen=True, slots=True)
class Record:
    """A person's readings as columns, the goals and the days set aside, the oldest first.

    Where it is not `whole`, older readings are still to be loaded.
    """

    person: Person
    columns: Columns
    targets: tuple[TargetSet, ...]
    whole: bool = True
    set_aside: tuple[Span, ...] = ()

    def between(self, period: Period) -> Columns:
        """The readings of a period of whole diary days, both ends included."""
        return self.columns.between(period.first.toordinal(), period.last.toordinal())

    @property
    def since(self) -> int:
        """The UTC seconds of the first reading; 0 without any."""
        return int(self.columns.instant[0]) if len(self.columns) else 0

    @property
    def last_day(self) -> date | None:
        """The last diary day with a reading; None without any."""
        days = self.columns.day
        return date.fromordinal(int(days.max())) if days.size else None

    def all_days(self, today: date) -> Period:
        """From the first day with a reading to today, or to a later last one."""
        days = self.columns.day
        ends = [today.toordinal(), *((days.min(), days.max()) if days.size else ())]
        return Period(date.fromordinal(int(min(ends))), date.fromordinal(int(max(ends))))


def record_of(diary: Diary, person: Person) -> Record:
    """Load everything that is asked about a person."""
    return Record(
        person,
        columns_of(diary, person),
        targets_of(diary, person),
        set_aside=_set_aside(diary, person),
    )


def newest_of(diary: Diary, person: Person, *, days: int, now: datetime) -> Record:
    """Load the days up to the last reading alone, for a window that just opens."""
    since = last_instant(diary, person, until=int(now.timestamp())) - days * _DAY_SECONDS
    columns = columns_of(diary, person, since=since)
    return Record(
        person,
        columns,
        targets_of(diary, person),
        whole=False,
        set_aside=_set_aside(diary, person),
    )


def kept_in_step(diary: Diary, record: Record) -> Record:
    """The record as the diary holds it now; itself where nothing was changed."""
    columns = refreshed(diary, record.person, record.columns)
    if columns is record.columns:
        return record
    return replace(
        record,
        columns=columns,
        targets=targets_of(diary, record.person),
        set_aside=_set_aside(diary, record.person),
    )


def _set_aside(diary: Diary, person: Person) -> tuple[Span, ...]:
    """All days that a person set aside, whatever for."""
    ever = (date.min.toordinal(), date.max.toordinal())
    return tuple(span for span in spans_between(diary, person, *ever) if span.set_aside)
