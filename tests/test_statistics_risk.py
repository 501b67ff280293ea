"""LBGI and HBGI: off-scale results, odd inputs, and what holds for every record."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.risk import risk_indices, symmetric_glucose

glucose = st.lists(st.floats(10, 1_000), max_size=30)


def test_no_readings_have_no_indices() -> None:
    found = risk_indices([])

    assert (found.lbgi, found.hbgi, found.n) == (None, None, 0)


def test_an_off_scale_result_has_a_risk_of_100_on_its_side() -> None:
    found = risk_indices([], below=1, above=3)

    assert (found.lbgi, found.hbgi, found.n) == (25, 75, 4)


@pytest.mark.parametrize("bad", [0, -5])
def test_glucose_of_nothing_or_less_is_refused(bad: float) -> None:
    with pytest.raises(ValueError, match=f"mg_dl={bad}"):
        risk_indices([100, bad])


def test_the_scale_goes_on_below_1_without_a_hole() -> None:
    tiny, one = symmetric_glucose([0.2, 1.0])

    assert tiny == one


@given(glucose, st.integers(0, 3), st.integers(0, 3))
def test_the_indices_are_means_over_all_readings(
    values: list[float], below: int, above: int
) -> None:
    found = risk_indices(values, below=below, above=above)

    low, high = 100.0 * below, 100.0 * above
    for value in values:
        f = 1.509 * (math.log(value) ** 1.084 - 5.381)
        if f < 0:
            low += 10 * f * f
        else:
            high += 10 * f * f
    n = len(values) + below + above
    assert found.n == n
    assert found.lbgi == pytest.approx(low / n if n else None, abs=1e-8)
    assert found.hbgi == pytest.approx(high / n if n else None, abs=1e-8)


@given(glucose.filter(bool), st.randoms(use_true_random=False))
def test_order_never_matters(values: list[float], random: object) -> None:
    before = risk_indices(values)
    random.shuffle(values)  # type: ignore[attr-defined]

    after = risk_indices(values)

    assert (after.lbgi, after.hbgi) == pytest.approx((before.lbgi, before.hbgi), rel=1e-9)


@given(st.floats(10, 999), st.floats(0.001, 1))
def test_higher_glucose_lies_higher_on_the_scale(mg_dl: float, more: float) -> None:
    lower, higher = symmetric_glucose([mg_dl, mg_dl + more])

    assert lower < higher
