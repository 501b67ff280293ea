"""Stretches that the order of a memory gives away: restarted clocks, times to come, steps back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta

from app.domain.clock import FUTURE_SECONDS
from app.domain.factory_dates import at_factory_date, begins_a_year
from app.domain.stamped import Kind, Stamped, Stretch
from app.domain.zone_changes import ZoneChange, offset_at

# Rules of this diary: a stamp a minute or two before the last one is two tests in a row; a memory
# whose newest stamp is half a year older than its copy, and which begins in the first week of a
# year, was written by a clock that began anew.
_STEP_S = 120
_STALE = timedelta(days=180)
_NEAR_CHANGE_S = 3 * 3600


def restarted(records: Sequence[Stamped], *, first_use: date | None) -> list[Stretch]:
    """Runs whose stamps are those of a clock that began anew, and records kept without a time."""
    walls = [each.believed for each in records]
    out = at_factory_date(walls, first_use=first_use)
    if records and not any(out) and _is_stale(records):
        out = [True] * len(records)
    flags = [
        each.free and (each.instant is None or is_out) and not _to_come(each)
        for each, is_out in zip(records, out, strict=True)
    ]
    return _runs("factory", flags)


def to_come(records: Sequence[Stamped]) -> list[Stretch]:
    """Runs whose stamps were more than ten minutes in the future when the memory was copied."""
    return _runs("future", [each.free and _to_come(each) for each in records])


def steps_back(
    records: Sequence[Stamped], instants: Sequence[int | None], changes: Sequence[ZoneChange]
) -> list[Stretch]:
    """Runs that begin where the time steps back while the order goes on, until it caught up.

    Parameters
    ----------
    instants : sequence of int or None
        The instants (UTC seconds) of the records with every better explanation applied.
    changes : sequence of ZoneChange
        When summer time begins and ends: near its end a step back of an hour is right.
    """
    flags = [False] * len(records)
    reached: int | None = None
    for place, instant in enumerate(instants):
        if instant is None:
            continue
        if reached is not None and instant < reached - _allowed(reached, changes):
            flags[place] = records[place].free
        else:
            reached = instant if reached is None else max(reached, instant)
    return _runs("jump", flags)


def _allowed(reached: int, changes: Sequence[ZoneChange]) -> int:
    near = [each for each in changes if abs(each.instant - reached) <= _NEAR_CHANGE_S]
    return _STEP_S + max((-each.minutes * 60 for each in near), default=0)


def _is_stale(records: Sequence[Stamped]) -> bool:
    known = [each.shown for each in records if each.shown is not None]
    if not known or not begins_a_year(known[0]) or not all(each.free for each in records):
        return False
    copied = min(datetime.fromtimestamp(each.entered_at, UTC) for each in records)
    return max(known).replace(tzinfo=UTC) < copied - _STALE


def _to_come(record: Stamped) -> bool:
    if record.instant is not None:
        return record.instant > record.entered_at + FUTURE_SECONDS
    if record.shown is None:
        return False
    shown_s = int(record.shown.replace(tzinfo=UTC).timestamp())
    return shown_s - offset_at(record.zone, shown_s) * 60 > record.entered_at + FUTURE_SECONDS


def _runs(kind: Kind, flags: Sequence[bool]) -> list[Stretch]:
    return [Stretch(kind, first, last) for first, last in runs_of(flags)]


def runs_of(flags: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """The first and last place of each unbroken run of what is true."""
    first: int | None = None
    for place, flag in enumerate([*flags, False]):
        if flag and first is None:
            first = place
        elif not flag and first is not None:
            yield first, place - 1
            first = None
