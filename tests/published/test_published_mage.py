"""MAGE and its turning points: days worked by hand, step by step, and ASTM reversals.

Definition: Service, Molnar, Rosevear, Ackerman, Gatewood, Taylor, Diabetes 1970;19:644-655
(abstract read; the wording of the rule second-hand via Yu et al., Comput Math Methods Med
2018:6286893, and Monnier et al., PMC2769808). Where it is silent the rules are this diary's own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
import rainflow

from app.statistics.enough import MAGE, shortfall
from app.statistics.mage import mage
from app.statistics.mage_day import day_mage, turning_points
from app.statistics.modd import modd


@dataclass(frozen=True)
class Day:
    """A day and what hand work gives for it."""

    readings: list[float]
    mean_and_sd: tuple[float, float]
    turning: list[float]
    kept: list[float]
    legs: list[float]
    mean_legs: tuple[float, float | None, float]  # first swing's direction, the other, all


# All worked by hand with the rules in app/statistics/mage_day.py.
WORKED = {
    "A, plain": Day(
        [100, 180, 110, 190, 90, 170, 120],
        (960 / 7, 41.518785),
        [100, 180, 110, 190, 90, 170, 120],
        [100, 180, 110, 190, 90, 170, 120],
        [80, -70, 80, -100, 80, -50],
        (80, 220 / 3, 460 / 6),
    ),
    "B, small reversals": Day(
        [95, 160, 150, 240, 130, 140, 80],
        (142.142857, 51.950068),
        [95, 160, 150, 240, 130, 140, 80],
        [95, 240, 80],
        [145, -160],
        (145, 160, 152.5),
    ),
    "C, plateaus and a falling start": Day(
        [210, 140, 140, 185, 185, 90, 150, 100],
        (150, 42.003401),
        [210, 140, 185, 90, 150, 100],
        [210, 140, 185, 90, 150, 100],
        [-70, 45, -95, 60, -50],
        (71.666667, 52.5, 64),
    ),
    "D, a swing equal to the SD": Day(
        [80, 140, 100, 140, 80, 180],
        (120, 40),
        [80, 140, 100, 140, 80, 180],
        [80, 140, 80, 180],
        [60, -60, 100],
        (80, 60, 220 / 3),
    ),
    "E, a weak opening": Day(
        [150, 120, 200, 110, 170],
        (150, 36.742346),
        [150, 120, 200, 110, 170],
        [120, 200, 110, 170],
        [80, -90, 60],
        (70, 90, 230 / 3),
    ),
    "two readings": Day([100, 160], (130, 42.426407), [100, 160], [100, 160], [60], (60, None, 60)),
    "all equal": Day([120] * 5, (120, 0), [120], [], [], (0, None, 0)),
}
each_day = pytest.mark.parametrize("day", WORKED.values(), ids=WORKED.keys())


@each_day
def test_a_day_gives_what_hand_work_gives(day: Day) -> None:
    found = day_mage(day.readings)

    assert found is not None
    assert (np.mean(day.readings), found.sd) == pytest.approx(day.mean_and_sd, abs=1e-6)
    assert list(found.kept) == day.kept
    assert list(found.legs) == day.legs
    means = (found.value, found.other_direction, found.all_legs)
    assert means == pytest.approx(day.mean_legs, abs=1e-6)


@pytest.mark.parametrize("name", [name for name, day in WORKED.items() if len(day.readings) > 3])
def test_the_record_of_one_day_has_that_days_value(name: str) -> None:
    # Worked out by another path (all days at once); the tie of D must not count there either.
    day = WORKED[name]

    found = mage(day.readings, np.arange(len(day.readings)), [1] * len(day.readings), sparse=True)

    assert found.value == pytest.approx(day.mean_legs[0], abs=1e-6)


@each_day
def test_turning_points_are_first_last_and_each_reversal(day: Day) -> None:
    assert turning_points(day.readings).tolist() == day.turning


@pytest.mark.parametrize("name", [name for name, day in WORKED.items() if len(day.turning) > 2])
def test_turning_points_have_the_values_of_astm_reversals(name: str) -> None:
    # ASTM E1049-85 as the general-purpose library rainflow has it. It indexes a plateau by its last
    # sample and this diary by its first, so values are compared, not places; it needs three values.
    day = WORKED[name].readings

    assert turning_points(day).tolist() == [value for _, value in rainflow.reversals(day)]


def test_turning_points_of_random_days_have_the_values_of_astm_reversals() -> None:
    rng = np.random.default_rng(1049)
    for _ in range(500):
        day = rng.integers(4, 9, int(rng.integers(3, 12))).astype(float)
        if turning_points(day).size > 2:
            reversals = [value for _, value in rainflow.reversals(day.tolist())]

            assert turning_points(day).tolist() == reversals


def test_counting_plain_legs_or_equal_ones_would_give_other_numbers() -> None:
    # Worked by hand: what B would be without the filter, and D with "at least" for "more than".
    b, d = WORKED["B, small reversals"], WORKED["D, a swing equal to the SD"]
    rises = [leg for leg in np.diff(b.readings) if leg > b.mean_and_sd[1]]

    assert np.mean(rises) == 77.5
    assert np.mean([60, 40, 100]) == pytest.approx(66.666667, abs=1e-6)
    assert b.mean_legs[0] != 77.5
    assert d.mean_legs[0] != pytest.approx(66.666667, abs=1e-3)


def test_mmol_gives_the_same_swing() -> None:
    # Worked: 80 / 18.0156.
    found = day_mage(np.array(WORKED["A, plain"].readings) / 18.0156)

    assert found is not None
    assert found.value == pytest.approx(4.440596, abs=1e-6)


def test_a_record_is_the_mean_of_its_days() -> None:
    # Worked by hand: (80 + 145) / 2; two days are one too few to be shown.
    first, second = WORKED["A, plain"].readings, WORKED["B, small reversals"].readings

    found = mage(first + second, list(range(14)), [1] * 7 + [2] * 7)

    assert found.value == pytest.approx(112.5, abs=1e-6)
    assert found.days == 2
    assert shortfall(MAGE, days=found.days) is not None


def test_modd_is_the_mean_difference_of_one_slot_on_successive_days() -> None:
    # Molnar, Taylor, Ho, Diabetologia 1972;8:342-348 (from memory; definition second-hand via
    # PMC3815489); worked by hand.
    first, second, third = [100, 180, 120, 90], [130, 150, 140, 95], [110, 160, 100]
    slots, minutes = [0, 1, 2, 3], [420, 540, 720, 840]

    two = modd(first + second, slots * 2, [1] * 4 + [2] * 4, minutes * 2)
    three = modd(
        first + second + third,
        slots * 2 + slots[:3],
        [1] * 4 + [2] * 4 + [3] * 3,
        minutes * 2 + minutes[:3],
    )

    assert (two.value, two.pairs) == (21.25, 4)
    assert three.value == pytest.approx(22.142857, abs=1e-6)
    assert three.pairs == 7
