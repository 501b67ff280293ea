"""Rows of a file as rows of the diary: moment, key, and the columns in the store's order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, NamedTuple
from uuid import UUID

from app.domain.clock import FUTURE_SECONDS
from app.domain.errors import Problem, Refused
from app.domain.factory_dates import at_factory_date
from app.domain.glucose import HIGHEST_MG_DL
from app.domain.marks import Mark
from app.domain.person import Person
from app.exchange.file_read import ControlRow, DoseRow, EventRow, FileRead, ReadingRow, Row
from app.exchange.source_key import key_again, source_keys
from app.work.file_times import NO_MOMENT, UNDATED, FileTimes, Moment, runs_backwards

_SHOWN = 200


class _Held(Exception):
    """A row has to wait for a person; the text says why. It never leaves this module."""


class Placed(NamedTuple):
    """A row with its key, its moment and the state of its time."""

    row: Row
    key: bytes | None
    uid: UUID | None
    moment: Moment
    state: str


@dataclass(slots=True)
class Sorted:
    """The rows of a file: those that may be written, and those that are held, with the reason."""

    placed: list[Placed] = field(default_factory=list)
    held: list[Problem] = field(default_factory=list)


def placed_rows(
    read: FileRead, person: Person, *, zone: str, now: int, from_memory: bool = False
) -> Sorted:
    """Give each row its key and its moment; hold what must wait for a person.

    Of a copied memory, records at a factory date or in the future are taken without a time: the
    meter's clock was wrong, and its stamps are kept until that is settled.

    Parameters
    ----------
    zone : str
        The zone that the file's clock was in.
    now : int
        UTC seconds; a row more than ten minutes later is held.
    """
    found = Sorted()
    keys = source_keys(read.rows, person.uid.bytes, read.source)
    order = range(len(read.rows))
    if runs_backwards(row.wall for row in read.rows if row.wall is not None):
        order = range(len(read.rows) - 1, -1, -1)
    no_time = _without_time(read.rows, order) if from_memory else frozenset()
    clocks = {"": FileTimes(zone)}
    ours: set[UUID] = set()
    for at in order:
        row = read.rows[at]
        more = row.more if isinstance(row, ReadingRow) else None
        try:
            uid = None if more is None or not more.record_id else _own_id(more.record_id, ours)
            moment: Moment = NO_MOMENT
            state = UNDATED
            if row.wall is not None and at not in no_time:
                clock = clocks[""] if more is None or not more.zone else _clock(more.zone, clocks)
                offset_min = more.offset_min if more else None
                moment, state = _placed(clock, row.wall, offset_min, exactly=uid is not None)
                # A record of a diary was looked at there: a time to come was confirmed.
                if uid is None and moment[0] > now + FUTURE_SECONDS:
                    if not from_memory:
                        raise _Held("the time lies in the future")
                    moment, state = NO_MOMENT, UNDATED
                if uid is not None and more is not None and more.time_state != UNDATED:
                    state = more.time_state
        except _Held as held:
            found.held.append(problem_of(row, str(held)))
        else:
            key = keys[at] if uid is None else _key_again(row, person)
            found.placed.append(Placed(row, key, uid, moment, state))
    return found


def reading_values(
    each: Placed,
    row: ReadingRow,
    source: Sequence[Any],
    meter: int | None,
    order: int | None = None,
    *,
    from_memory: bool = False,
) -> Any:
    """The columns of a reading, in the order of `app.store.imports.READING`.

    `order` is its number in the meter's memory; `from_memory` says that the file is a copy of one.
    """
    glucose, more = row.glucose, row.more
    number = glucose.mg_dl
    if number is not None and not 0 < number < HIGHEST_MG_DL:
        raise ValueError(f"no result of glucose: mg_dl={number}")
    said = row.mark is not Mark.NONE
    if more is None:
        time_from = "meter" if from_memory else "file"
        rest: tuple[Any, ...] = (time_from, each.state, row.precision, row.mark.value)
        rest += ("file" if said else None, row.after_min)
        rest += (None, None, "unknown", "counted", None, meter, order, 0)
    else:
        time_from = "meter" if from_memory and not more.record_id else more.time_from
        rest = (time_from, each.state, row.precision, row.mark.value)
        rest += (more.mark_from or ("file" if said else None), row.after_min)
        rest += (more.site, more.site_detail, more.hands, more.standing, more.standing_reason)
        rest += (meter, order, int(more.odd_confirmed))
    return (
        glucose.bound.value,
        glucose.value,
        glucose.unit.value,
        number,
        *each.moment,
        row.raw_wall,
        row.raw_value,
        row.raw_unit,
        row.code,
        *source,
        *rest,
    )


def dose_values(each: Placed, row: DoseRow, source: Sequence[Any]) -> tuple[Any, ...]:
    """The columns of a dose, in the order of `app.store.imports.DOSE`."""
    what = (row.what, row.dose_kind, row.amount, float(row.amount), row.unit)
    return (*what, *each.moment, row.raw_wall, row.raw_value, row.raw_unit, row.code, *source)


def event_values(each: Placed, row: EventRow, source: Sequence[Any]) -> tuple[Any, ...]:
    """The columns of an event, in the order of `app.store.imports.EVENT`."""
    what = (row.event, row.level, row.text)
    return (*what, *each.moment, row.raw_wall, row.raw_value, row.raw_unit, row.code, *source)


def control_values(
    each: Placed, row: ControlRow, source: Sequence[Any], meter: int, level: str
) -> tuple[Any, ...]:
    """The columns of a control test, in the order of `app.store.imports.CONTROL`."""
    glucose = row.glucose
    what = (meter, level, glucose.bound.value, glucose.value, glucose.unit.value)
    return (*what, *each.moment, row.raw_wall, row.raw_value, row.raw_unit, row.code, *source)


def _without_time(rows: Sequence[Row], order: Sequence[int]) -> frozenset[int]:
    """The places in the file of records whose stamps say no time; `order` is that of the memory."""
    found = at_factory_date([rows[at].wall for at in order])
    return frozenset(at for at, is_out in zip(order, found, strict=True) if is_out)


def _key_again(row: Row, person: Person) -> bytes | None:
    """The key that a record of our own export had from the file it came from."""
    more = row.more if isinstance(row, ReadingRow) else None
    if more is None or more.source_row is None:
        return None
    raw = (row.raw_wall, row.raw_value, row.raw_unit, row.code)
    return key_again(more.source_row, raw, person.uid.bytes)


def _own_id(text: str, met: set[UUID]) -> UUID:
    """The id of a record of our own export, which a file holds once."""
    try:
        uid = UUID(text)
    except ValueError:
        raise _Held(f'"{text[:40]}" is no record_id; bring back what the export said') from None
    if uid in met:
        raise _Held("an earlier row of the file has the same record_id")
    met.add(uid)
    return uid


def _clock(zone: str, clocks: dict[str, FileTimes]) -> FileTimes:
    if zone not in clocks:
        try:
            clocks[zone] = FileTimes(zone)
        except Refused as refused:
            raise _Held(str(refused)) from refused
    return clocks[zone]


def _placed(
    clock: FileTimes, wall: datetime, offset_min: int | None, *, exactly: bool
) -> tuple[Moment, str]:
    placed = clock.moment(wall, offset_min, exactly=exactly)
    if placed is None:
        raise _Held("the date lies outside 1970 to 2199")
    return placed


def problem_of(row: Row, why: str) -> Problem:
    """A row as a problem, told by what the file has of it."""
    said = (row.raw_wall, row.raw_value, row.raw_unit, row.code, row.note)
    if isinstance(row, ReadingRow) and row.raw_wall is None and row.wall is not None:
        said = (row.wall.isoformat(" ", "minutes"), row.glucose.value, row.glucose.unit, *said[3:])
    return Problem(row.line, " ".join(part for part in said if part)[:_SHOWN], why)
