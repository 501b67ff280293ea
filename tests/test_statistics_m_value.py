from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.m_value import NO_RANGE_FROM, m_value

values = st.lists(st.integers(20, 600), min_size=1, max_size=40)


def test_no_readings_have_none() -> None:
    assert m_value([]).value is None
    assert m_value([]).n == 0


def test_readings_at_the_reference_have_nothing() -> None:
    assert m_value([120] * 30).value == 0


@pytest.mark.parametrize("bad", [0, -5])
def test_glucose_of_nothing_or_less_is_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        m_value([100, bad])
    with pytest.raises(ValueError, match="reference"):
        m_value([100], reference_mg_dl=bad)


@given(values)
def test_it_is_the_mean_of_cubes_written_out_one_by_one(values: list[int]) -> None:
    cubes = [abs(10 * math.log10(value / 120)) ** 3 for value in values]
    expected = math.fsum(cubes) / len(values)
    if len(values) < NO_RANGE_FROM:
        expected += (max(values) - min(values)) / 20

    found = m_value(values)

    assert found.value == pytest.approx(expected, rel=1e-12, abs=1e-12)
    assert found.with_range is (len(values) < NO_RANGE_FROM)


@given(values, st.randoms(use_true_random=False))
def test_order_never_matters(values: list[int], random: object) -> None:
    found = m_value(values).value
    random.shuffle(values)  # type: ignore[attr-defined]

    assert m_value(values).value == pytest.approx(found, rel=1e-12)
