"""Any two sides compared: weekdays and weekends, meters, keepers, places, days with a name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person, same_name
from app.domain.question import Kind, Question
from app.review.counted import Counted
from app.review.days_named import By, days_named
from app.review.nights import in_night, with_last_night
from app.review.record import Record
from app.review.two_sides import SideNamed, TwoSides, two_sides
from app.store.diary import Diary
from app.store.named_ids import Named, names_of, places_of

_TABLES: dict[Kind, Named] = {
    Kind.METERS: "meter",
    Kind.KEEPERS: "keeper",
    Kind.PLACES: "place",
}
_SATURDAY = 5


@dataclass(frozen=True, slots=True)
class Compared:
    """Two sides of one period; `outside` readings belong to neither.

    `names` are all that could have been compared, those with most readings first.
    """

    question: Question
    person: Person
    unit: Unit
    period: Period
    found: TwoSides
    outside: int
    names: tuple[str, ...]


def compare(
    diary: Diary,
    record: Record,
    kind: Kind,
    names: Sequence[str],
    period: Period,
    *,
    now: datetime,
    mark: Mark | None = None,
    by: By | None = None,
    same_weekdays: bool = False,
    minimum: bool = True,
) -> Compared:
    """Set two sides of a period beside each other, slot by slot and evened.

    A night, from 00:00 to 05:00, belongs to the day before.

    Parameters
    ----------
    kind : Kind
        What makes the sides.
    names : sequence of str
        For meters, keepers and places the two that are meant, by default those with most readings;
        for days the word that picks them out; for weekdays none.
    period : Period
        Whole diary days, both ends included.
    mark : Mark, optional
        Look at this slot alone.
    by : {"tag", "event", "name"}, optional
        How the word picks days out; by default the first way that finds any.
    same_weekdays : bool, default False
        Of the other days, take only those on weekdays that occur among the days picked out.
    minimum : bool, default True
        Show a figure only from enough readings; else from the mathematical minimum on.

    Raises
    ------
    Refused
        A name is not known, or there are not two sides.
    """
    person = record.person
    counted, days = with_last_night(record, period, now=int(now.timestamp()))
    # From here on the day of a reading is the one it belongs to, also where days are counted.
    counted = replace(counted, columns=replace(counted.columns, day=days.astype(np.int32)))
    known: tuple[str, ...] = ()
    if kind in _TABLES:
        first, second, known = _by_name(diary, person, counted, kind, names)
    else:
        first, second = _by_day(
            diary, person, counted, period, kind, names, by=by, same_weekdays=same_weekdays
        )
    return Compared(
        question=Question(
            kind=kind,
            what=(first.name, second.name) if kind in _TABLES else tuple(names),
            slot=mark,
            outcome=None,
            first_day=period.first.toordinal(),
            last_day=period.last.toordinal(),
            same_weekdays=same_weekdays,
        ),
        person=person,
        unit=person.unit,
        period=period,
        found=two_sides(first, second, mark=mark, minimum=minimum),
        outside=counted.n - first.counted.n - second.counted.n,
        names=known,
    )


def names_there(
    diary: Diary, record: Record, kind: Kind, period: Period, *, now: datetime
) -> tuple[str, ...]:
    """The meters, keepers or places with readings in a period, those with most first."""
    counted, _ = with_last_night(record, period, now=int(now.timestamp()))
    by_id = names_of(diary, record.person, _TABLES[kind])
    return tuple(
        by_id[each] for each in _most(_ids(diary, record.person, counted, _TABLES[kind]), by_id)
    )


def other_days(
    period: Period, chosen: NDArray[np.int64], *, same_weekdays: bool
) -> NDArray[np.int64]:
    """The days of a period that were not chosen, as date ordinals."""
    every = np.arange(period.first.toordinal(), period.last.toordinal() + 1, dtype=np.int64)
    others = every[~np.isin(every, chosen)]
    if same_weekdays:
        others = others[np.isin(_weekday(others), _weekday(chosen))]
    return others


def _weekday(days: NDArray[np.int64]) -> NDArray[np.int64]:
    """Monday is 0: day 1 of the calendar was one."""
    return (days - 1) % 7


def _by_day(
    diary: Diary,
    person: Person,
    counted: Counted,
    period: Period,
    kind: Kind,
    names: Sequence[str],
    *,
    by: By | None,
    same_weekdays: bool,
) -> tuple[SideNamed, SideNamed]:
    if kind is Kind.WEEKDAYS:
        if names:
            raise Refused("Weekdays are compared with weekends; no name is needed.")
        every = other_days(period, np.array([], dtype=np.int64), same_weekdays=False)
        chosen = every[_weekday(every) < _SATURDAY]
        first, second = "weekdays", "weekends"
    else:
        if len(names) != 1:
            raise Refused("Name one tag, event or name of days, for instance: compare days swim")
        found = days_named(diary, person, names[0], period, by=by)
        chosen = found.days
        first, second = found.words, "other days"
    others = other_days(period, chosen, same_weekdays=same_weekdays)
    return _side(first, counted, chosen), _side(second, counted, others)


def _side(name: str, counted: Counted, days: NDArray[np.int64]) -> SideNamed:
    part = counted.where(np.isin(counted.columns.day, days))
    return SideNamed(name, part, _nights(part), int(days.size))


def _by_name(
    diary: Diary, person: Person, counted: Counted, kind: Kind, names: Sequence[str]
) -> tuple[SideNamed, SideNamed, tuple[str, ...]]:
    table = _TABLES[kind]
    by_id = names_of(diary, person, table)
    ids = _ids(diary, person, counted, table)
    there = _most(ids, by_id)
    known = tuple(by_id[each] for each in there)
    if len(names) not in (0, 2):
        raise Refused(f"Name two {kind.value}, or none for those with most readings.")
    chosen = [_id_named(by_id, name, kind) for name in names] or there[:2]
    if len(chosen) < 2 or chosen[0] == chosen[1]:
        have = f" There is {known[0]}." if known else ""
        raise Refused(f"Two different {kind.value} with readings are needed to compare.{have}")
    sides = []
    for each in chosen:
        part = counted.where(ids == each)
        sides.append(SideNamed(by_id[each], part, _nights(part)))
    return sides[0], sides[1], known


def _most(ids: NDArray[np.int64], by_id: dict[int, str]) -> list[int]:
    """The local ids that occur, the most frequent first."""
    many = {each: int(np.count_nonzero(ids == each)) for each in by_id}
    return sorted((each for each in by_id if many[each]), key=lambda each: (-many[each], each))


def _ids(diary: Diary, person: Person, counted: Counted, table: Named) -> NDArray[np.int64]:
    if table == "place":
        return places_of(diary, person, counted.columns.id)
    columns = counted.columns
    return (columns.meter if table == "meter" else columns.keeper).astype(np.int64)


def _id_named(by_id: dict[int, str], name: str, kind: Kind) -> int:
    for each, known in by_id.items():
        if same_name(known, name):
            return each
    there = f"There are: {', '.join(by_id.values())}." if by_id else "There are none yet."
    raise Refused(f"“{name}” is none of the {kind.value} written down. {there}")


def _nights(counted: Counted) -> NDArray[np.int64]:
    return np.unique(counted.columns.day[in_night(counted.columns)]).astype(np.int64)
