"""The kit of a household: meters, vials with their dates, and which vial a meter used when."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain, pairwise
from uuid import UUID

from app.domain.clock import Moment
from app.domain.glucose import Unit
from sample_db.records import NO_UID, ControlTest, Result

STRIPS_PER_VIAL = 50
_SHELF_MONTHS = 15  # from opening to the date printed on an ordinary vial of these families


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter, named by its colour, with the keeper and the place that its tests belong to."""

    name: str
    unit: Unit
    zone: str
    capacity: int
    keeper: str
    place: str
    uid: UUID = NO_UID


@dataclass(frozen=True, slots=True)
class Vial:
    """A vial of strips; `printed_expiry` is a month or a day, as printed."""

    name: str
    printed_expiry: str
    opened: date
    days_open: int
    finished: date | None
    strips: int | None = STRIPS_PER_VIAL
    control_low: str | None = None
    control_high: str | None = None
    uid: UUID = NO_UID


@dataclass(frozen=True, slots=True)
class VialUse:
    """The stretch in which a meter used a vial; open-ended while the vial is in use."""

    vial: str
    meter: str
    start: Moment
    end: Moment | None


@dataclass(frozen=True, slots=True)
class Solution:
    """A bottle of control solution."""

    level: str
    lot: str
    printed_expiry: str
    opened: date
    days_open: int = 90
    uid: UUID = NO_UID


def tests_of(meter: str, *records: Iterable[Result | ControlTest]) -> list[Moment]:
    """The moments at which a meter took a strip, in order."""
    taken = [each.moment for each in chain(*records) if each.meter == meter]
    return sorted(taken, key=lambda moment: moment.instant)


def uses_in_turn(
    meter: str,
    prefix: str,
    tests: Sequence[Moment],
    fresh_at: Sequence[Moment] = (),
    *,
    strips: int = STRIPS_PER_VIAL,
) -> tuple[VialUse, ...]:
    """One vial after another: a new one when the last is used up, and wherever `fresh_at` says.

    `tests` are the moments at which the meter took a strip, in order.
    """
    starts = [tests[0]]
    used = 0
    fresh = list(fresh_at)
    for test in tests:
        if fresh and test.instant >= fresh[0].instant:
            starts.append(fresh.pop(0))
            used = 0
        elif used == strips:
            starts.append(test)
            used = 0
        used += 1
    return tuple(
        VialUse(f"{prefix}{number}", meter, start, end)
        for number, (start, end) in enumerate(pairwise([*starts, None]), start=1)
        if start is not None
    )


def vial_of(
    use: VialUse, *, days_open: int, control: tuple[str, str] | None = None, strips: int | None
) -> Vial:
    """An ordinary vial for a use: opened and finished with it, printed date well beyond."""
    opened = use.start.local.date()
    months = opened.year * 12 + opened.month - 1 + _SHELF_MONTHS
    return Vial(
        name=use.vial,
        printed_expiry=f"{months // 12}-{months % 12 + 1:02}",
        opened=opened,
        days_open=days_open,
        finished=use.end.local.date() if use.end else None,
        strips=strips,
        control_low=control[0] if control else None,
        control_high=control[1] if control else None,
    )


def vial_at(uses: Sequence[VialUse], meter: str | None, moment: Moment) -> str | None:
    """The vial that a meter used at a moment: the start of a use belongs to it, the end does not.

    Of two uses that overlap, the later start wins: a second vial taken along on a journey.
    """
    found = [
        use
        for use in uses
        if use.meter == meter
        and use.start.instant <= moment.instant
        and (use.end is None or moment.instant < use.end.instant)
    ]
    return max(found, key=lambda use: use.start.instant).vial if found else None
