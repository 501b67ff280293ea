from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.grade import grade, grade_weights

tenths = st.integers(6, 333).map(lambda value: value / 10)


def test_no_readings_have_none() -> None:
    found = grade([])

    assert (found.mean, found.n, found.from_low) == (None, 0, None)


def test_results_off_the_scale_weigh_fifty_on_their_side() -> None:
    found = grade([], below=1, above=3)

    assert (found.mean, found.n) == (50, 4)
    assert (found.from_low, found.from_within, found.from_high) == (0.25, 0, 0.75)


def test_without_any_weight_there_are_no_shares_of_it() -> None:
    nothing = 10**10**-0.16  # where lg(lg G) + 0.16 is 0, but for the last digit

    found = grade([nothing])

    assert found.mean == pytest.approx(0, abs=1e-20)
    assert found.from_within in (None, 1)


@pytest.mark.parametrize("bad", [0, -1])
def test_glucose_of_nothing_or_less_is_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        grade([5, bad])


def test_cut_points_that_do_not_match_the_readings_are_refused() -> None:
    with pytest.raises(ValueError, match="low must be one limit or one a value: 2 for 3"):
        grade([5, 6, 7], low=[3.9, 3.9])


@pytest.mark.parametrize("mmol_l", [0.5, 1.0, 1.05, 1.1, 1.5, 2.0])
def test_far_below_the_weight_stays_at_its_cap(mmol_l: float) -> None:
    assert grade_weights([mmol_l]).tolist() == [50]


@given(st.lists(tenths, min_size=1, max_size=40), st.integers(0, 3), st.integers(0, 3))
def test_it_is_the_mean_of_weights_written_out_and_its_shares_add_up(
    values: list[float], below: int, above: int
) -> None:
    weights = [
        min(50.0, 425 * (math.log10(math.log10(value)) + 0.16) ** 2) if value > 1 else 50.0
        for value in values
    ]
    total = math.fsum(weights) + 50 * (below + above)

    found = grade(values, below=below, above=above)

    assert found.mean == pytest.approx(total / (len(values) + below + above), rel=1e-9)
    if found.from_low is not None and found.from_within is not None:
        low = math.fsum(w for w, v in zip(weights, values, strict=True) if v < 3.9) + 50 * below
        assert found.from_low == pytest.approx(low / total, rel=1e-9, abs=1e-12)
        assert found.from_high is not None
        assert found.from_low + found.from_within + found.from_high == pytest.approx(1)


@given(st.lists(tenths, min_size=1, max_size=40), st.randoms(use_true_random=False))
def test_order_never_matters(values: list[float], random: object) -> None:
    found = grade(values).mean
    random.shuffle(values)  # type: ignore[attr-defined]

    assert grade(values).mean == pytest.approx(found, rel=1e-12)
