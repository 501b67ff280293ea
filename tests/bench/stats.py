"""Goal 4: the figures of fifty years, beside numpy's mean, SD, percentiles and one share."""

from __future__ import annotations

import math
import sys

import numpy as np
from numpy.typing import NDArray

from app.domain.glucose import MG_DL_PER_MMOL_L
from app.domain.marks import MARKS, Mark
from app.statistics.clock_windows import ClockWindow, clock_windows
from app.statistics.mage import mage
from app.statistics.modd import modd
from app.statistics.moments import (
    coefficient_of_variation,
    mean,
    standard_deviation,
    within_day_cv,
)
from app.statistics.proportion import band_counts, share_in_range
from app.statistics.quantiles import quantiles
from app.statistics.risk import risk_indices
from app.statistics.slots import EVENED_SLOTS, evened_average, summaries_by_mark
from tests.bench import slowly
from tests.bench.measure import alternated, report
from tests.bench.readings import FIFTY_YEARS, Column, invented

_SHARES = (0.05, 0.25, 0.5, 0.75, 0.95)
_LIMITS = (3.0, 3.9, 10.0, 13.9)
_FEWEST = 4
_NO_MARK = MARKS.index(Mark.NONE)

Floats = NDArray[np.float64]


class Record:
    """Fifty years as columns; in every tenth reading or so a slot is tested twice in a day."""

    def __init__(self) -> None:
        made = invented()
        strays = np.random.default_rng(11).random(FIFTY_YEARS) < 0.1
        self.mmol: Floats = made["tenths"] / 10
        self.mg_dl: Floats = self.mmol * MG_DL_PER_MMOL_L
        self.day, self.minute = made["day"], made["minute"]
        self.slot: Column = (made["slot"] + strays) % 8
        self.clock: Column = self.day * 1440 + self.minute
        # One limit a reading, as the review asks: each in the unit that the reading was entered in.
        self.limits = [np.full(FIFTY_YEARS, limit) for limit in _LIMITS]


def main() -> int:
    """Check every figure against plain Python, then measure; goals 4 and 25 times the floor."""
    record = Record()
    _check(record)
    found = alternated(
        {
            "floor": lambda: _floor(record.mmol),
            "figures": lambda: _figures(record),
            "mage": lambda: mage(record.mmol, record.clock, record.day),
            "modd": lambda: modd(record.mmol, record.slot, record.day, record.minute),
        }
    )
    return not all(
        [
            report("all figures of 50 years", found["figures"], found["floor"], 4),
            report("MAGE and MODD", found["mage"] + found["modd"], found["floor"], 25),
        ]
    )


def _floor(values: Floats) -> object:
    share = np.count_nonzero((values >= 3.9) & (values <= 10.0)) / values.size
    return values.mean(), values.std(ddof=1), np.percentile(values, [5, 25, 50, 75, 95]), share


def _figures(record: Record) -> dict[str, float | None]:
    values, day, slot = record.mmol, record.day, record.slot
    very_low, low, high, very_high = record.limits
    ranked = quantiles(values, _SHARES)
    bands = band_counts(values, very_low=very_low, low=low, high=high, very_high=very_high)
    risk = risk_indices(record.mg_dl)
    found = {
        "mean": mean(values),
        "sd": standard_deviation(values),
        "cv": coefficient_of_variation(values),
        "within": within_day_cv(values, day, fewest=_FEWEST).value,
        "share": share_in_range(values, low, high).share,
        "evened": evened_average(values, slot, no_mark=_NO_MARK).value,
        "lbgi": risk.lbgi,
        "hbgi": risk.hbgi,
    }
    assert ranked is not None
    found |= {f"q{p}": value for p, value in zip(_SHARES, ranked.tolist(), strict=True)}
    found |= {"under": bands.very_low, "low": bands.low, "in": bands.in_range}
    found |= {"high": bands.high, "over": bands.very_high}
    for each in summaries_by_mark(values, slot):
        name = f"slot {each.mark}"
        found |= {name: each.mean, f"{name} sd": each.sd, f"{name} median": each.median}
    for window in clock_windows(values, record.minute, day):
        found |= _window(window)
    return found


def _window(window: ClockWindow) -> dict[str, float | None]:
    start = window.start
    found: dict[str, float | None] = {f"{start} n": window.n, f"{start} days": window.days}
    if window.median is not None:
        found |= {f"{start} q0.25": window.q1, f"{start} q0.5": window.median}
        found |= {f"{start} q0.75": window.q3}
    return found


def _check(record: Record) -> None:
    """Every figure is that of plain Python to nine digits, over all fifty years."""
    columns = (record.mmol, record.day, record.minute, record.slot)
    rows = [slowly.Row(*each) for each in zip(*(x.tolist() for x in columns), strict=True)]
    expected = {
        **slowly.spread(rows, fewest=_FEWEST),
        **slowly.order(rows, _SHARES),
        **slowly.bands(rows, _LIMITS),
        **slowly.by_slot(rows, len(EVENED_SLOTS)),
        **slowly.risk(record.mg_dl.tolist()),
        **slowly.clock(rows),
    }
    _same(_figures(record), expected)
    swings = mage(record.mmol, record.clock, record.day).value
    daily = modd(record.mmol, record.slot, record.day, record.minute).value
    slow = {"mage": slowly.mage_of(rows), "modd": slowly.modd_of(rows)}
    _same({"mage": swings, "modd": daily}, slow)


def _same(found: dict[str, float | None], expected: dict[str, float]) -> None:
    assert found.keys() == expected.keys(), found.keys() ^ expected.keys()
    for name, value in expected.items():
        mine = found[name]
        assert mine is not None, name
        assert math.isclose(mine, value, rel_tol=1e-9), (name, mine, value)


if __name__ == "__main__":
    sys.exit(main())
