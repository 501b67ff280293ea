"""Quantiles: off-scale results at the ends, odd inputs, and what holds for every record."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.quantiles import interquartile_range, median, quantiles, quartiles
from app.statistics.ranks import COUNT_FROM, MOST_LEVELS, on_levels, ranked

tenths = st.integers(11, 6000).map(lambda tenth: tenth / 10)
records = st.lists(tenths, max_size=30)
counts = st.integers(0, 5)


def slow_quantile(ordered: list[float], p: float, kind: int) -> float:
    """Hyndman and Fan's words, one at a time, on a list with the off-scale results in it."""
    n = len(ordered)
    h = (n - 1) * p + 1 if kind == 7 else min(max((n + 1) * p, 1), n)
    k = math.floor(h + 1e-9)
    rest = h - k
    here = ordered[k - 1]
    if rest < 1e-9:
        return here
    there = ordered[k]
    if math.isinf(here) or math.isinf(there):
        return here + there
    return here + rest * (there - here)


def test_no_readings_have_no_quantile() -> None:
    assert quantiles([], [0.5]) is None
    assert quartiles([]) is None
    assert median([]) is None
    assert interquartile_range([]) is None


def test_one_reading_is_every_quantile_of_itself() -> None:
    for kind in (7, 6):
        found = quantiles([5.6], [0, 0.3, 1], kind=kind)

        assert found is not None
        assert found.tolist() == [5.6, 5.6, 5.6]


def test_a_quantile_that_needs_an_off_scale_result_is_infinite() -> None:
    low, high = median([100], below=2), median([100], above=2)

    assert low == -math.inf
    assert high == math.inf
    assert median([100, 110], below=2) == -math.inf  # half-way from LO to 100 is still under 100
    assert interquartile_range([100, 110], below=3) is None


def test_a_median_between_low_and_high_off_scale_has_no_number() -> None:
    assert median([], below=1, above=1) is None
    found = quartiles([], below=1, above=1)
    assert found is not None
    assert found.median is None


def test_a_quantile_that_falls_on_a_reading_does_not_ask_its_neighbour() -> None:
    # 100 * 0.29 falls short of 29 in binary, and the neighbour below is off the scale.
    found = quantiles(np.arange(1.0, 73.0), [0.29], below=29)

    assert found is not None
    assert found.tolist() == [1.0]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"probabilities": [1.5]}, r"probabilities=\[1.5\]"),
        ({"probabilities": [-0.1]}, r"probabilities=\[-0.1\]"),
        ({"kind": 5}, "kind=5"),
        ({"below": -1}, "below=-1"),
    ],
)
def test_impossible_questions_are_refused(arguments: dict[str, object], message: str) -> None:
    asked: dict[str, object] = {"probabilities": [0.5], **arguments}

    with pytest.raises(ValueError, match=message):
        quantiles([1.0, 2.0], **asked)  # type: ignore[arg-type]


@given(records, counts, counts, st.sampled_from([7, 6]), st.integers(0, 20))
def test_quantiles_are_those_of_the_definition(
    values: list[float], below: int, above: int, kind: int, twentieth: int
) -> None:
    ordered = [-math.inf] * below + sorted(values) + [math.inf] * above
    p = twentieth / 20

    found = quantiles(values, [p], kind=kind, below=below, above=above)

    if not ordered:
        assert found is None
    else:
        assert found is not None
        expected = slow_quantile(ordered, p, kind)
        assert found[0] == pytest.approx(expected, abs=1e-9, nan_ok=True)


@given(records.filter(bool), st.randoms(use_true_random=False))
def test_order_never_matters_and_the_median_is_within(values: list[float], random: object) -> None:
    shuffled = values.copy()
    random.shuffle(shuffled)  # type: ignore[attr-defined]

    found = median(shuffled)

    assert found == median(values)
    assert found is not None
    assert min(values) <= found <= max(values)


@given(st.integers(0, 2**32 - 1), st.sampled_from([1, 10, 18.0156]))
def test_counting_and_sorting_give_the_same_ranks(seed: int, step: float) -> None:
    rng = np.random.default_rng(seed)
    values = rng.integers(0, 400, COUNT_FROM) / step
    ranks = rng.integers(0, values.size, 8)

    assert on_levels(values) is not None
    assert ranked(values, ranks).tolist() == np.sort(values)[ranks].tolist()


def test_values_of_both_units_have_few_levels_and_measured_ones_too_many() -> None:
    whole_mg_dl, tenths_mmol_l = np.arange(20, 601) / 1.0, np.arange(11, 334) / 10
    both = np.concatenate((whole_mg_dl, tenths_mmol_l * 18.0156))

    coded = on_levels(both)

    assert coded is not None
    assert coded.levels.tolist() == sorted(set(both.tolist()))
    assert on_levels(np.linspace(20, 600, 2 * MOST_LEVELS)) is None


def test_the_nearest_neighbour_of_a_value_is_another_level() -> None:
    coded = on_levels(np.array([5.6, np.nextafter(5.6, 6), 5.6, 0.0]))

    assert coded is not None
    assert coded.codes.tolist() == [1, 2, 1, 0]


@given(st.lists(st.one_of(st.floats(allow_nan=False), st.sampled_from([-math.inf, math.inf]))))
def test_levels_give_back_exactly_the_values(values: list[float]) -> None:
    coded = on_levels(np.array(values, dtype=np.float64))

    assert coded is not None
    assert coded.levels[coded.codes].tolist() == values
    assert (coded.levels[1:] >= coded.levels[:-1]).all()
