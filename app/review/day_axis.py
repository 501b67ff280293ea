"""The 24 hours of a chart: from a whole hour on, and which part of it belongs to which slot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.domain.marks import SLOTS, Mark

DAY_MINUTES = 1440

# Where a person has not said when they usually test: common practice, no source.
USUAL_MINUTES: dict[Mark, int] = {
    Mark.WAKING: 7 * 60,
    Mark.AFTER_BREAKFAST: 9 * 60 + 30,
    Mark.BEFORE_LUNCH: 12 * 60,
    Mark.AFTER_LUNCH: 14 * 60 + 30,
    Mark.BEFORE_EVENING_MEAL: 18 * 60,
    Mark.AFTER_EVENING_MEAL: 20 * 60 + 30,
    Mark.BEDTIME: 22 * 60,
    Mark.NIGHT: 3 * 60,
}
_ROUND_TO = 30


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the axis, in minutes from its start."""

    start: float
    end: float


@dataclass(frozen=True, slots=True)
class SlotStretch:
    """The part of the axis that belongs to a slot: from half-way to its neighbours' usual times."""

    mark: Mark
    start: float
    end: float


def from_start(minutes: NDArray[np.int16], start_hour: int) -> NDArray[np.float64]:
    """Minutes of the local day as minutes from the start of the axis, 0 to below 1440."""
    moved = minutes.astype(np.int32) - start_hour * 60
    return np.where(moved < 0, moved + DAY_MINUTES, moved).astype(np.float64)


def slot_stretches(usual: Mapping[Mark, int], start_hour: int) -> tuple[SlotStretch, ...]:
    """Share the axis out among the slots; a slot that the axis cuts comes twice.

    Parameters
    ----------
    usual : mapping of Mark to int
        Minute of the local day at which a slot is usually tested; where one is missing, a common
        time is taken.
    start_hour : int
        The hour at which the axis begins.
    """
    times = {mark: usual.get(mark, USUAL_MINUTES[mark]) for mark in SLOTS}
    places = sorted((((times[m] - start_hour * 60) % DAY_MINUTES), SLOTS.index(m)) for m in SLOTS)
    found: list[SlotStretch] = []
    for at, (place, code) in enumerate(places):
        before = places[at - 1][0] - (DAY_MINUTES if at == 0 else 0)
        last = at == len(places) - 1
        after = places[0][0] + DAY_MINUTES if last else places[at + 1][0]
        start, end = _halfway(before, place), _halfway(place, after)
        found += _cut(SLOTS[code], start, end)
    return tuple(sorted(found, key=lambda each: each.start))


def hours_as_stretches(hours: tuple[int, ...], start_hour: int) -> tuple[Stretch, ...]:
    """Whole hours of the clock as parts of the axis, neighbours in one."""
    found: list[Stretch] = []
    for place in sorted((hour - start_hour) % 24 for hour in hours):
        if found and found[-1].end == place * 60:
            found[-1] = Stretch(found[-1].start, place * 60 + 60)
        else:
            found.append(Stretch(place * 60, place * 60 + 60))
    return tuple(found)


def times_round_clock(
    counts: NDArray[np.int64], shares: Sequence[float]
) -> tuple[float, ...] | None:
    """The minutes below or at which given shares of the readings lie; None without any.

    The clock is cut in the widest gap between them, so that 23:50 and 00:10 are neighbours: some
    minutes may then lie below 0.

    Parameters
    ----------
    counts : ndarray, shape (1440,)
        How many readings there are in each minute.
    shares : sequence of float
        From above 0 to 1.
    """
    used = np.flatnonzero(counts)
    if not used.size:
        return None
    gaps = np.diff(used, append=used[0] + DAY_MINUTES)
    cut = int(gaps.argmax()) + 1
    minutes = np.concatenate((used[cut:] - DAY_MINUTES, used[:cut]))
    running = np.cumsum(np.concatenate((counts[used[cut:]], counts[used[:cut]])))
    wanted = np.ceil(np.asarray(shares) * running[-1] - 1e-9)
    return tuple(float(each) for each in minutes[np.searchsorted(running, wanted)])


def _halfway(one: float, other: float) -> float:
    return round((one + other) / 2 / _ROUND_TO) * _ROUND_TO


def _cut(mark: Mark, start: float, end: float) -> list[SlotStretch]:
    """The parts of a stretch that lie on the axis, which goes round."""
    parts = []
    for turn in (-DAY_MINUTES, 0, DAY_MINUTES):
        low, high = max(start + turn, 0.0), min(end + turn, float(DAY_MINUTES))
        if low < high:
            parts.append(SlotStretch(mark, low, high))
    return parts
