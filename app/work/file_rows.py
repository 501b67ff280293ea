"""Rows of a file as rows of the diary: moment, key, and the columns in the store's order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple
from uuid import UUID

from app.domain.clock import FUTURE_SECONDS
from app.domain.errors import Problem
from app.domain.glucose import HIGHEST_MG_DL
from app.domain.marks import Mark
from app.domain.person import Person
from app.exchange.file_read import DoseRow, EventRow, FileRead, ReadingRow, Row
from app.exchange.source_key import source_keys
from app.work.file_times import NO_MOMENT, UNDATED, FileTimes, Moment, runs_backwards

_SHOWN = 200


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


def placed_rows(read: FileRead, person: Person, *, zone: str, now: int) -> Sorted:
    """Give each row its key and its moment; hold what must wait for a person.

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
    times = FileTimes(zone)
    zones: dict[str, FileTimes] = {}
    for at in order:
        row = read.rows[at]
        if row.held is not None:
            found.held.append(_problem(row, row.held))
            continue
        more = row.more if isinstance(row, ReadingRow) else None
        clock = times
        if more is not None and more.zone:
            clock = zones.setdefault(more.zone, FileTimes(more.zone))
        moment: Moment = NO_MOMENT
        state = UNDATED
        if row.wall is not None:
            placed = clock.moment(row.wall, more.offset_min if more else None)
            if placed is None:
                found.held.append(_problem(row, "the date lies outside 1970 to 2199"))
                continue
            moment, state = placed
            if moment[0] > now + FUTURE_SECONDS:
                found.held.append(_problem(row, "the time lies in the future"))
                continue
        if more is not None and more.record_id:
            state = more.time_state
            found.placed.append(Placed(row, None, UUID(more.record_id), moment, state))
        else:
            found.placed.append(Placed(row, keys[at], None, moment, state))
    return found


def reading_values(each: Placed, row: ReadingRow, source: Sequence[Any], meter: int | None) -> Any:
    """The columns of a reading, in the order of `app.store.imports.READING`."""
    glucose, more = row.glucose, row.more
    number = glucose.mg_dl
    if number is not None and not 0 < number < HIGHEST_MG_DL:
        raise ValueError(f"no result of glucose: mg_dl={number}")
    said = row.mark is not Mark.NONE
    if more is None:
        rest: tuple[Any, ...] = ("file", each.state, row.precision, row.mark.value)
        rest += ("file" if said else None, row.after_min)
        rest += (None, None, "unknown", "counted", None, meter, 0)
    else:
        rest = (more.time_from, each.state, row.precision, row.mark.value)
        rest += (more.mark_from or ("file" if said else None), row.after_min)
        rest += (more.site, more.site_detail, more.hands, more.standing, more.standing_reason)
        rest += (meter, int(more.odd_confirmed))
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


def _problem(row: Row, why: str) -> Problem:
    parts = (row.raw_wall, row.raw_value, row.raw_unit, row.code, row.note)
    return Problem(row.line, " ".join(part for part in parts if part)[:_SHOWN], why)
