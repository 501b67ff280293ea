"""Accuracy limits of home meters against worked pairs; W: worked with whole numbers.

The limits as printed in J Diabetes Sci Technol 2015;9:885-894, tables 1 and 3 (V); those of the FDA
guidance of 2020 second-hand (V2).
"""

from __future__ import annotations

import pytest

from app.statistics.meter_accuracy import accuracy_of, hold_pair

PAIRS = [
    (60, 74), (60, 76), (85, 99), (99, 115), (100, 115), (100, 116), (150, 172), (150, 173),
    (200, 171), (250, 288), (300, 255), (300, 254), (40, 47), (40, 46), (70, 80), (90, 78),
    (120, 137), (180, 208), (220, 252), (350, 300),
]  # fmt: skip
FAILING = [(60, 76), (99, 115), (100, 116), (150, 173), (250, 288), (300, 254), (180, 208)]  # W


def test_thirteen_of_twenty_pairs_lie_within_the_standards_limits() -> None:
    found = accuracy_of(PAIRS)

    assert (found.within.count, found.n) == (13, 20)  # W
    assert [pair for pair in PAIRS if not hold_pair(*pair).within] == FAILING


def test_the_authoritys_limits_hold_over_the_whole_range() -> None:
    assert accuracy_of(PAIRS).fda == ((15, 10), (20, 18))  # W


def test_mean_relative_differences_are_the_worked_ones() -> None:
    found = accuracy_of(PAIRS)

    assert found.mard == pytest.approx(16.116899, abs=1e-5)  # W
    assert found.mrd == pytest.approx(8.871661, abs=1e-5)  # W


def test_no_verdict_is_given_from_a_handful_of_pairs() -> None:
    assert accuracy_of(PAIRS).verdict is None
    assert accuracy_of(PAIRS * 5).verdict is False
    assert accuracy_of([(100, 115)] * 95 + [(100, 116)] * 5).verdict is True
    assert accuracy_of([(100, 115)] * 94 + [(100, 116)] * 6).verdict is False
