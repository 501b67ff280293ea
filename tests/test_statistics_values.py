"""Arguments of the statistics are checked, and the message shows what was wrong."""

from __future__ import annotations

import numpy as np
import pytest

from app.statistics.values import as_confidence, as_count, as_labels, as_values


def test_numbers_of_any_plain_kind_become_float64() -> None:
    for values in ([1, 2], (1.0, 2.0), np.array([1, 2], dtype=np.int16)):
        found = as_values(values)

        assert found.dtype == np.float64
        assert found.tolist() == [1.0, 2.0]


def test_no_values_are_an_empty_array() -> None:
    assert as_values([]).shape == (0,)
    assert as_labels([], "days", 0).dtype == np.int64


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
def test_the_first_value_that_is_no_number_is_shown(bad: float) -> None:
    with pytest.raises(ValueError, match=rf"mg_dl must be finite: mg_dl\[1\]={bad}"):
        as_values([100, bad, bad], "mg_dl")


def test_infinity_passes_where_it_orders_off_scale_results_and_nan_never() -> None:
    assert as_values([-np.inf, 100, np.inf], infinite=True).size == 3
    with pytest.raises(ValueError, match=r"values\[1\]=nan"):
        as_values([np.inf, np.nan], infinite=True)


@pytest.mark.parametrize("values", [[[1.0, 2.0]], 5.0])
def test_only_one_dimension_is_taken(values: object) -> None:
    with pytest.raises(ValueError, match="values must be one-dimensional: shape="):
        as_values(values)  # type: ignore[arg-type]


@pytest.mark.parametrize("values", [["112"], [None], [True, False], [1j]])
def test_what_is_not_a_number_is_refused(values: list[object]) -> None:
    with pytest.raises(ValueError, match=r"values must be numbers: values\[0\]="):
        as_values(values)  # type: ignore[arg-type]


def test_labels_are_whole_and_one_for_each_value() -> None:
    assert as_labels([3, 4], "days", 2).tolist() == [3, 4]
    with pytest.raises(ValueError, match="days must have one entry a value: 1 for 2 values"):
        as_labels([3], "days", 2)
    with pytest.raises(ValueError, match=r"days must be whole numbers: days\[0\]=.*3\.0"):
        as_labels([3.0, 4.0], "days", 2)
    with pytest.raises(ValueError, match="days must be one-dimensional"):
        as_labels([[3, 4]], "days", 2)


@pytest.mark.parametrize("count", [-1, 1.5])
def test_a_count_is_whole_and_not_negative(count: float) -> None:
    with pytest.raises(ValueError, match=rf"below must be .* below={count}"):
        as_count(count, "below")  # type: ignore[arg-type]


@pytest.mark.parametrize("confidence", [0, 1, 95, -0.5, float("nan")])
def test_confidence_lies_strictly_between_0_and_1(confidence: float) -> None:
    with pytest.raises(ValueError, match=f"confidence={confidence}"):
        as_confidence(confidence)
