"""Off-scale results leave a bound of the mean, or words; never a number that claims too much."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.off_scale import (
    BoundedMean,
    MeanKind,
    may_leave_out,
    mean_or_bound,
    round_bound,
)

glucose = st.floats(20, 600)


def test_a_mean_without_off_scale_results_is_exact() -> None:
    assert mean_or_bound([100, 120]) == BoundedMean("exact", 110.0, None, 2)


def test_a_mean_of_off_scale_results_alone_is_a_bound_too() -> None:
    assert mean_or_bound([], high_limits=[600, 500]) == BoundedMean("at_least", 550.0, None, 2)


@pytest.mark.parametrize(
    ("low", "high", "unknown", "why"),
    [
        ([20], [600], 0, "below_and_above"),
        ([20], [600], 1, "below_and_above"),
        ([20], [], 1, "limit_unknown"),
        ([], [], 2, "limit_unknown"),
    ],
)
def test_where_nothing_is_certain_a_reason_stands_instead(
    low: list[float], high: list[float], unknown: int, why: str
) -> None:
    found = mean_or_bound([100, 120], low_limits=low, high_limits=high, unknown=unknown)

    assert (found.kind, found.value, found.why) == ("none", None, why)
    assert found.n == 2 + len(low) + len(high) + unknown


def test_no_results_have_no_mean() -> None:
    assert mean_or_bound([]) == BoundedMean("none", None, "no_readings", 0)


@given(st.lists(glucose, max_size=20), st.lists(st.floats(0, 1_000), min_size=1, max_size=5))
def test_a_bound_holds_whatever_lay_beyond_the_scale(
    values: list[float], beyond: list[float]
) -> None:
    truth_high = [600 + extra for extra in beyond]
    truth_low = [20 * extra / 1_000 for extra in beyond]
    many = len(values) + len(beyond)

    at_least = mean_or_bound(values, high_limits=[600] * len(beyond))
    at_most = mean_or_bound(values, low_limits=[20] * len(beyond))

    assert at_least.value is not None
    assert at_most.value is not None
    assert at_least.value <= sum(values + truth_high) / many + 1e-9
    assert at_most.value >= sum(values + truth_low) / many - 1e-9


@pytest.mark.parametrize(
    ("off_scale", "n", "allowed"),
    [(0, 0, True), (0, 5, True), (1, 99, False), (1, 100, True), (2, 199, False), (7, 700, True)],
)
def test_a_spread_leaves_out_one_in_a_hundred_and_no_more(
    off_scale: int, n: int, allowed: bool
) -> None:
    assert may_leave_out(off_scale, n) is allowed


def test_more_off_scale_results_than_results_are_refused() -> None:
    with pytest.raises(ValueError, match="2 of 1"):
        may_leave_out(2, 1)


@pytest.mark.parametrize(
    ("value", "kind", "places", "shown"),
    [
        (207.5, "at_least", 0, "207"),
        (207.99, "at_least", 0, "207"),
        (110.0001, "at_most", 0, "111"),
        (11.06, "at_least", 1, "11.0"),
        (11.01, "at_most", 1, "11.1"),
        (130.0, "at_least", 0, "130"),
        (129.99999999999997, "at_least", 0, "130"),  # binary noise is no reason to say 129
        (7.200000000000001, "at_most", 1, "7.2"),
    ],
)
def test_a_bound_is_rounded_so_that_it_claims_no_more(
    value: float, kind: MeanKind, places: int, shown: str
) -> None:
    assert str(round_bound(value, kind, places=places)) == shown


@given(st.floats(1, 3_000), st.integers(0, 1))
def test_rounding_a_bound_moves_it_to_the_safe_side_by_less_than_a_step(
    value: float, places: int
) -> None:
    step, exact = Decimal(1).scaleb(-places), Decimal(value)

    down, up = (round_bound(value, kind, places=places) for kind in ("at_least", "at_most"))

    assert down <= exact + Decimal("1e-9")
    assert up >= exact - Decimal("1e-9")
    assert exact - down < step
    assert up - exact < step


@pytest.mark.parametrize("kind", ["exact", "none"])
def test_only_a_bound_is_rounded_towards_one_side(kind: MeanKind) -> None:
    with pytest.raises(ValueError, match=f"kind='{kind}'"):
        round_bound(100.0, kind, places=0)
