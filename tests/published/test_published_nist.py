"""Mean and SD against the NIST Statistical Reference Datasets, univariate.

Certified values and data as carried by the GNU Scientific Library's test data (read there, not on
NIST's own pages); every set was recomputed with 50-digit decimals and agreed with the digits.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from app.statistics.moments import mean, standard_deviation
from app.statistics.values import FloatArray

FOLDER = Path(__file__).parents[1] / "data" / "nist"

# Relative tolerance of the SD. The last two are limited by the binary storage of the data: no code
# in double precision reaches more digits.
SD_TOLERANCE = {
    "PiDigits": 1e-14,  # not the true digits of pi: digit 957 differs, so the file is what counts
    "Lottery": 1e-14,
    "Lew": 1e-14,
    "Mavro": 1e-12,
    "Michelson": 1e-13,
    "NumAcc1": 1e-14,
    "NumAcc2": 1e-14,
    "NumAcc3": 1e-9,
    "NumAcc4": 1e-8,
}
MEAN_TOLERANCE = 1e-14


def certified() -> dict[str, tuple[int, float, float]]:
    with (FOLDER / "certified.csv").open(encoding="ascii", newline="") as file:
        return {
            row["set"]: (int(row["n"]), float(row["mean"]), float(row["sd"]))
            for row in csv.DictReader(file)
        }


def values_of(name: str) -> FloatArray:
    return np.loadtxt(FOLDER / f"{name}.csv", skiprows=1, dtype=np.float64)


def one_pass_variance(values: FloatArray) -> float:
    """The textbook sum of squares, the way not to do it."""
    total = squares = 0.0
    for value in values.tolist():
        total += value
        squares += value * value
    return (squares - total * total / values.size) / (values.size - 1)


def test_every_certified_set_is_here() -> None:
    assert set(certified()) == set(SD_TOLERANCE)


@pytest.mark.parametrize("name", SD_TOLERANCE)
def test_mean_and_sd_reach_the_certified_digits(name: str) -> None:
    n, certified_mean, certified_sd = certified()[name]

    values = values_of(name)

    assert values.size == n
    assert mean(values) == pytest.approx(certified_mean, rel=MEAN_TOLERANCE, abs=0)
    assert standard_deviation(values) == pytest.approx(certified_sd, rel=SD_TOLERANCE[name], abs=0)


def test_the_one_pass_formula_would_fail_these_tests() -> None:
    near, far = one_pass_variance(values_of("NumAcc3")), one_pass_variance(values_of("NumAcc4"))

    assert math.sqrt(near) == pytest.approx(0.10724, abs=1e-5)  # certified: 0.1
    assert far < 0


def test_the_constructed_sets_are_what_they_are_said_to_be() -> None:
    # NIST builds them: c, then 500 times (c - 0.1, c + 0.1).
    for name, centre in (("NumAcc2", 1.2), ("NumAcc3", 1000000.2), ("NumAcc4", 10000000.2)):
        built = [centre, *[round(centre + d, 1) for _ in range(500) for d in (-0.1, 0.1)]]

        assert values_of(name).tolist() == built
