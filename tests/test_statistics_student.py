"""Student's t without a library of special functions."""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.student import t_quantile

degrees = st.floats(0.5, 1e4)
shares = st.floats(0.001, 0.999)


@given(shares, degrees)
def test_the_two_tails_mirror_each_other(share: float, freedom: float) -> None:
    lower, upper = t_quantile(share, freedom), t_quantile(1 - share, freedom)

    assert lower == pytest.approx(-upper, rel=1e-6, abs=1e-9)


@given(shares, shares, degrees)
def test_a_larger_share_reaches_as_far_or_farther(one: float, other: float, freedom: float) -> None:
    low, high = sorted((one, other))

    assert t_quantile(low, freedom) <= t_quantile(high, freedom)


@given(st.floats(0.6, 0.999), degrees)
def test_fewer_degrees_reach_farther(share: float, freedom: float) -> None:
    assert t_quantile(share, freedom) >= t_quantile(share, freedom * 2)


def test_half_lies_below_nothing() -> None:
    assert t_quantile(0.5, 3) == 0


def test_endless_degrees_are_the_normal_distribution() -> None:
    assert t_quantile(0.975, math.inf) == NormalDist().inv_cdf(0.975)


@pytest.mark.parametrize(
    ("share", "freedom", "says"),
    [(0, 3, "probability"), (1, 3, "probability"), (0.5, 0, "degrees"), (0.5, math.nan, "degrees")],
)
def test_what_makes_no_sense_is_refused(share: float, freedom: float, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        t_quantile(share, freedom)
