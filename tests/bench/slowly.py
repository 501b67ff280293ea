"""Every figure of the statistics benchmark once more, in plain Python and one reading at a time."""

from __future__ import annotations

import math
import statistics
from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple, TypeVar

from tests.test_statistics_mage import slow_legs
from tests.test_statistics_quantiles import slow_quantile

Key = TypeVar("Key")
Value = TypeVar("Value")

WINDOW, STEP, MINUTES_A_DAY = 120, 30, 1440


class Row(NamedTuple):
    """One reading: mmol/L, diary day, minute of the day, slot code."""

    value: float
    day: int
    minute: int
    slot: int


def spread(rows: Sequence[Row], *, fewest: int) -> dict[str, float]:
    """Mean, SD, CV, and the mean CV of the days with at least `fewest` readings."""
    values = [row.value for row in rows]
    mean, sd = statistics.fmean(values), statistics.stdev(values)
    days = [group for group in _grouped((row.day, row.value) for row in rows) if len(group) > 1]
    cvs = [_sd(day) / statistics.fmean(day) * 100 for day in days if len(day) >= fewest]
    return {"mean": mean, "sd": sd, "cv": 100 * sd / mean, "within": statistics.fmean(cvs)}


def order(rows: Sequence[Row], probabilities: Iterable[float]) -> dict[str, float]:
    """Quantiles of type 7."""
    ordered = sorted(row.value for row in rows)
    return {f"q{p}": slow_quantile(ordered, p, 7) for p in probabilities}


def bands(rows: Sequence[Row], limits: tuple[float, float, float, float]) -> dict[str, float]:
    """Readings in each of the five bands, and the share in range."""
    very_low, low, high, very_high = limits
    found = {"under": 0.0, "low": 0.0, "in": 0.0, "high": 0.0, "over": 0.0}
    for row in rows:
        if row.value < low:
            found["under" if row.value < very_low else "low"] += 1
        elif row.value > high:
            found["over" if row.value > very_high else "high"] += 1
        else:
            found["in"] += 1
    return {**found, "share": found["in"] / len(rows)}


def by_slot(rows: Sequence[Row], evened: int) -> dict[str, float]:
    """Mean, SD and median of each slot, and the mean of the means of the first `evened` slots."""
    groups: dict[int, list[float]] = defaultdict(list)
    for row in rows:
        groups[row.slot].append(row.value)
    found: dict[str, float] = {}
    for slot, group in groups.items():
        found[f"slot {slot}"] = statistics.fmean(group)
        found[f"slot {slot} sd"] = _sd(group)
        found[f"slot {slot} median"] = statistics.median(group)
    return {**found, "evened": statistics.fmean(found[f"slot {slot}"] for slot in range(evened))}


def risk(mg_dl: Sequence[float]) -> dict[str, float]:
    """LBGI and HBGI (Kovatchev et al. (1997), Diabetes Care 20, 1655-1658)."""
    scaled = [1.509 * (math.log(value) ** 1.084 - 5.381) for value in mg_dl]
    low = math.fsum(10 * f * f for f in scaled if f < 0)
    high = math.fsum(10 * f * f for f in scaled if f > 0)
    return {"lbgi": low / len(mg_dl), "hbgi": high / len(mg_dl)}


def clock(rows: Sequence[Row]) -> dict[str, float]:
    """Count, days and quartiles of each window of two hours."""
    inside: dict[int, list[Row]] = {start: [] for start in range(0, MINUTES_A_DAY, STEP)}
    for row in rows:
        for back in range(WINDOW // STEP):
            inside[(row.minute // STEP - back) * STEP % MINUTES_A_DAY].append(row)
    found: dict[str, float] = {}
    for start, window in inside.items():
        days = len({row.day for row in window})
        found |= {f"{start} n": len(window), f"{start} days": days}
        if len(window) >= 12 and days >= 7:
            quarters = order(window, (0.25, 0.5, 0.75))
            found |= {f"{start} {name}": value for name, value in quarters.items()}
    return found


def mage_of(rows: Sequence[Row]) -> float:
    """The mean over days with seven results of the mean swing in the first swing's direction."""
    minutes = _grouped(((row.day, row.minute), row) for row in sorted(rows, key=_when))
    averaged = ((same[0].day, statistics.fmean(row.value for row in same)) for same in minutes)
    legs = [slow_legs(day) for day in _grouped(averaged) if len(day) >= 7]
    swings = [[abs(leg) for leg in day[::2]] or [0.0] for day in legs]
    return statistics.fmean(statistics.fmean(day) for day in swings)


def modd_of(rows: Sequence[Row]) -> float:
    """Mean difference of the pairs, the nearest in time of day taken first, over and over."""
    groups: dict[tuple[int, int], list[Row]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: (*_when(row), row.value)):
        groups[row.slot, row.day].append(row)
    differences: list[float] = []
    for (slot, day), first in groups.items():
        second = groups.get((slot, day + 1), [])
        apart = [abs(a.minute - b.minute) for a in first for b in second]
        places = [(i, j) for i in range(len(first)) for j in range(len(second))]
        nearest = sorted(zip((min(x, MINUTES_A_DAY - x) for x in apart), places, strict=True))
        taken: set[tuple[str, int]] = set()
        for _, (i, j) in nearest:
            if not {("first", i), ("second", j)} & taken:
                taken |= {("first", i), ("second", j)}
                differences.append(abs(first[i].value - second[j].value))
    return statistics.fmean(differences)


def _when(row: Row) -> tuple[int, int]:
    return row.day, row.minute


def _sd(values: Sequence[float]) -> float:
    mean = statistics.fmean(values)
    return math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1))


def _grouped(pairs: Iterable[tuple[Key, Value]]) -> list[list[Value]]:
    groups: dict[Key, list[Value]] = defaultdict(list)
    for key, value in pairs:
        groups[key].append(value)
    return list(groups.values())
