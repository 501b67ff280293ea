"""The one place that decides whether a reading is in doubt, and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import IntFlag

import numpy as np
from numpy.typing import NDArray

from app.domain.control import Judged, judge
from app.domain.control_doubt import METER, Stretch, failed_tests, heat_stretches
from app.domain.glucose import Bound, Glucose, LimitPair, Unit
from app.domain.kit import Kit
from app.domain.marks import Mark
from app.domain.reading import Doubt
from app.domain.vials_used import Stretches, stretches_of

HANDS_NOT_WASHED = "not"
TIME_TO_COME = "future"  # written down before its own time: that time can't be right
AS_IF_FINGER = ("finger", "palm")  # sites that keep up with the fingertip

# Bits of a glucose sensor's status (Bluetooth SIG, Glucose Measurement, sensor status
# annunciation): 1 malfunction, 2 sample too small, 3 strip inserted wrongly, 4 wrong strip, 7 too
# hot, 8 too cold, 9 read interrupted, 10 general fault; 11 the clock may be wrong. Bit 0, a low
# battery, says nothing about the result, and 5 and 6 are results off the scale.
DEVICE_BITS = 0b0111_1001_1110
CLOCK_BITS = 0b1000_0000_0000

# Away from fingertip and palm a low may be missed and a change comes late, so below this, or within
# two hours after food, a dose or exercise, the result is not to be relied on (labelling advice,
# read second-hand; the numbers are a rule of this diary).
LOW_ELSEWHERE = LimitPair(80.0, 4.4)
AFTER_SECONDS = 2 * 3600
AFTER_MINUTES = AFTER_SECONDS // 60
AFTER_FOOD = tuple(mark for mark in Mark if mark.value.startswith("after_"))


class Told(IntFlag):
    """What a reading says of itself that can put it in doubt; kept beside its columns."""

    NOTHING = 0
    UNWASHED = 1
    DEVICE = 2
    CLOCK = 4
    ELSEWHERE = 8
    UNIT_SURE = 16


@dataclass(frozen=True, slots=True)
class ReadingFacts:
    """Arrays of one entry for each reading, sorted by `instant` (UTC seconds).

    `day` local calendar date ordinals · `meter` and `vial` local ids, 0 for none · `mmol` whether
    entered in mmol/L · `told` bits of `Told` · `is_low` below `LOW_ELSEWHERE`, or off the scale
    below · `is_after` by its mark within two hours after food.
    """

    instant: NDArray[np.int64]
    day: NDArray[np.int32]
    meter: NDArray[np.int32]
    vial: NDArray[np.int32]
    mmol: NDArray[np.bool_]
    told: NDArray[np.int32]
    is_low: NDArray[np.bool_]
    is_after: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class KitDoubt:
    """What the kit says about which readings are in doubt, worked out once for all of them."""

    uses: Stretches
    last_good: dict[int, int]
    control: tuple[Stretch, ...]
    heat: tuple[Stretch, ...]
    units: tuple[tuple[int, int, Unit], ...]  # meter, from when on, the unit it shows


def kit_doubt(kit: Kit, judged: Sequence[Judged] | None = None) -> KitDoubt:
    """Work out what the kit says; `judged` are its control tests, where they are in hand."""
    tests = judge(kit) if judged is None else judged
    fails = (stretch for each in failed_tests(kit, tests) for stretch in each.in_force)
    goods = ((each.id, each.last_good_day) for each in kit.vials)
    return KitDoubt(
        uses=stretches_of(kit.uses),
        last_good={vial: last for vial, last in goods if last is not None},
        control=tuple(dict.fromkeys(fails)),
        heat=heat_stretches(kit, tests),
        units=tuple(_units(kit)),
    )


def doubt_bits(
    facts: ReadingFacts, found: KitDoubt, *, taken: NDArray[np.int64] | None = None
) -> NDArray[np.int32]:
    """The reasons to doubt each reading.

    Parameters
    ----------
    facts : ReadingFacts
        The readings, sorted by instant.
    found : KitDoubt
        What the kit says.
    taken : ndarray of int64, shape (k,), optional
        When something was eaten, a dose taken or exercise ended (UTC seconds, sorted): only asked
        for readings away from the fingertip.

    Returns
    -------
    ndarray of int32, shape (n,)
        Bits of `Doubt`.

    Notes
    -----
    Fruit sugar on an unwashed finger moved results far beyond a meter's permitted error in a trial
    (Hortensius et al., Diabetes Care 2011, read in abstract).
    """
    told = facts.told
    bits = (told & Told.UNWASHED).astype(np.int32)  # the first bit of both
    if (told & ~(Told.UNWASHED | Told.UNIT_SURE)).any():
        bits[(told & Told.DEVICE) != 0] |= Doubt.DEVICE
        bits[(told & Told.CLOCK) != 0] |= Doubt.CLOCK
        bits[_wrong_place(facts, taken)] |= Doubt.SITE
    if found.last_good:
        bits[_lapsed(facts, found.last_good)] |= Doubt.VIAL
    for stretches, reason in ((found.control, Doubt.CONTROL), (found.heat, Doubt.HEAT)):
        for stretch in stretches:
            bits[_inside(facts, stretch)] |= reason
    for meter, since, unit in found.units:  # in order: what holds later is written later
        places = np.flatnonzero(facts.meter == meter)
        places = places[np.searchsorted(facts.instant[places], since) :]
        other = facts.mmol[places] != (unit is Unit.MMOL_L)
        other &= (told[places] & Told.UNIT_SURE) == 0
        bits[places] = np.where(other, bits[places] | Doubt.UNIT, bits[places] & ~Doubt.UNIT)
    return bits


def doubt_of(
    *,
    hands: str,
    site: str | None = None,
    glucose: Glucose | None = None,
    mark: Mark = Mark.NONE,
    after_min: int | None = None,
) -> Doubt:
    """The reasons to doubt a reading that is about to be written, from what is said of it."""
    found = Doubt.HANDS if hands == HANDS_NOT_WASHED else Doubt.NONE
    if site is not None and site not in AS_IF_FINGER and glucose is not None:
        soon = mark in AFTER_FOOD and (after_min is None or after_min <= AFTER_MINUTES)
        if soon or is_low_elsewhere(glucose):
            found |= Doubt.SITE
    return found


def is_low_elsewhere(glucose: Glucose) -> bool:
    """Whether a result is so low that only the fingertip would be relied on."""
    if glucose.bound is Bound.BELOW:
        return True
    number = glucose.number
    if number is None or glucose.bound is not Bound.EXACT:
        return False
    return number < LOW_ELSEWHERE.in_unit(glucose.unit)


def _wrong_place(facts: ReadingFacts, taken: NDArray[np.int64] | None) -> NDArray[np.bool_]:
    elsewhere = (facts.told & Told.ELSEWHERE) != 0
    soon = facts.is_after.copy()
    if taken is not None and taken.size:
        last = np.searchsorted(taken, facts.instant, side="right") - 1
        since = facts.instant - taken[np.maximum(last, 0)]
        soon |= (last >= 0) & (since <= AFTER_SECONDS)
    return np.asarray(elsewhere & (soon | facts.is_low))


def _lapsed(facts: ReadingFacts, last_good: dict[int, int]) -> NDArray[np.bool_]:
    ends = np.full(max(int(facts.vial.max(initial=0)), *last_good) + 1, np.iinfo(np.int32).max)
    ends[list(last_good)] = list(last_good.values())
    return np.asarray(facts.day > ends[facts.vial])


def _inside(facts: ReadingFacts, stretch: Stretch) -> NDArray[np.int64]:
    first = int(np.searchsorted(facts.instant, stretch.after, side="right"))
    end = int(np.searchsorted(facts.instant, stretch.before, side="left"))
    ids = facts.meter if stretch.side == METER else facts.vial
    return np.flatnonzero(ids[first:end] == stretch.of) + first


def _units(kit: Kit) -> Iterable[tuple[int, int, Unit]]:
    for meter in kit.meters:
        yield meter.id, -1, meter.unit
    units = {unit.value: unit for unit in Unit}
    for event in sorted(kit.events, key=lambda each: (each.at, each.id)):
        if event.kind == "unit" and event.meter is not None and event.note in units:
            yield event.meter, event.at, units[event.note]
