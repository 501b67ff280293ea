"""All stretches of a memory whose clock looks wrong, each told once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from app.domain.clock_order import restarted, steps_back, to_come
from app.domain.clock_shifts import Stay, half_days, stays_abroad, summer_times
from app.domain.stamped import Stamped, Stretch
from app.domain.usual_hours import UsualHours
from app.domain.zone_changes import zone_changes

_DAY_S = 86_400


@dataclass(frozen=True, slots=True)
class Habits:
    """What detectors go by beside the memory itself: zone, usual hours, stays, first use."""

    zone: str
    hours: UsualHours
    stays: tuple[Stay, ...] = ()
    first_use: date | None = None


def suspect_stretches(records: Iterable[Stamped], habits: Habits) -> tuple[Stretch, ...]:
    """Find what looks wrong with a meter's clock; nothing is changed.

    Parameters
    ----------
    records : iterable of Stamped
        One meter's records; they are put into the order of its memory here.
    habits : Habits
        The zone of the meter's clock, and what the person usually does.

    Returns
    -------
    tuple of Stretch
        In the order of the memory, places counted from 0; no record is in two of them.
    """
    ordered = in_memory_order(records)
    dated = [each.instant for each in ordered if each.instant is not None]
    changes = zone_changes(habits.zone, min(dated) - _DAY_S, max(dated) + _DAY_S) if dated else ()
    taken = [False] * len(ordered)
    found = _claim(restarted(ordered, first_use=habits.first_use), taken)
    found += _claim(to_come(ordered), taken)
    found += _claim(stays_abroad(ordered, habits.hours, habits.stays, taken), taken)
    found += _claim(half_days(ordered, habits.hours, taken), taken)
    found += _claim(summer_times(ordered, habits.hours, changes, taken), taken)
    found += _claim(steps_back(ordered, _explained(ordered, found), changes), taken)
    return tuple(sorted(found, key=lambda each: each.first))


def in_memory_order(records: Iterable[Stamped]) -> list[Stamped]:
    """Records in the order of their memory; those that share a number as the diary got them."""
    return sorted(records, key=lambda each: (each.order, each.id))


def _claim(stretches: Sequence[Stretch], taken: list[bool]) -> list[Stretch]:
    kept = []
    for each in stretches:
        places = slice(each.first, each.last + 1)
        if not any(taken[places]):
            taken[places] = [True] * each.n
            kept.append(each)
    return kept


def _explained(records: Sequence[Stamped], found: Sequence[Stretch]) -> list[int | None]:
    """The instants as they would be: shifted where a shift is known, else out of the question."""
    instants = [each.instant for each in records]
    for stretch in found:
        for place in range(stretch.first, stretch.last + 1):
            instant = instants[place]
            if stretch.kind == "home_time" and stretch.zone is not None:
                continue  # the instants of a meter on home time are right
            known = stretch.shift_s is not None and stretch.kind != "local_time"
            instants[place] = instant + (stretch.shift_s or 0) if known and instant else None
    return instants
