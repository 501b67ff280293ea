"""MODD: readings pair by slot on successive days, one to one, nearest first."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.modd import Modd, modd

Row = tuple[float, int, int, int]  # value, slot, day, minute


def of(rows: list[Row]) -> Modd:
    return modd(*([row[column] for row in rows] for column in range(4)))


def slow_modd(rows: list[Row]) -> tuple[float | None, int]:
    """Take the nearest pair of all, again and again."""
    rows = sorted(rows, key=lambda row: (row[1], row[2], row[3], row[0]))
    candidates = []
    for i, a in enumerate(rows):
        for j, b in enumerate(rows):
            if a[1] == b[1] and b[2] == a[2] + 1:
                apart = abs(a[3] - b[3])
                candidates.append((min(apart, 1440 - apart), i, j))
    earlier: set[int] = set()
    later: set[int] = set()
    differences = []
    for _, i, j in sorted(candidates):
        if i not in earlier and j not in later:
            earlier.add(i)
            later.add(j)
            differences.append(abs(rows[j][0] - rows[i][0]))
    return (sum(differences) / len(differences) if differences else None), len(differences)


def test_no_readings_and_single_days_have_no_pair() -> None:
    assert of([]) == Modd(None, 0, 0)
    assert of([(100, 0, 1, 420), (120, 1, 1, 540)]) == Modd(None, 0, 0)


def test_a_day_between_breaks_the_pair() -> None:
    assert of([(100, 0, 1, 420), (130, 0, 3, 420)]).pairs == 0


def test_slots_never_pair_with_each_other() -> None:
    # The last day of one slot and the first of the next lie beside each other once sorted.
    assert of([(100, 0, 5, 420), (130, 1, 6, 420), (100, 1, 1, 420)]).pairs == 0


def test_several_readings_of_a_slot_pair_with_the_nearest_in_time() -> None:
    found = of([(100, 6, 1, 1320), (180, 6, 1, 1380), (185, 6, 2, 1390)])

    assert found == Modd(5.0, 1, 0)


def test_nearness_goes_round_midnight() -> None:
    found = of([(100, 7, 1, 1435), (200, 7, 1, 600), (104, 7, 2, 5)])

    assert found == Modd(4.0, 1, 0)


def test_a_reading_pairs_once_with_the_day_before_and_once_with_the_day_after() -> None:
    rows: list[Row] = [(100, 0, 1, 420), (110, 0, 2, 420), (130, 0, 3, 420), (90, 0, 2, 425)]

    found = of(rows)

    assert found == Modd(15.0, 2, 0)


@pytest.mark.parametrize("off_scale", [-math.inf, math.inf])
def test_a_pair_with_an_off_scale_result_drops_out(off_scale: float) -> None:
    rows: list[Row] = [(100, 0, 1, 420), (off_scale, 0, 2, 420), (100, 1, 1, 540), (130, 1, 2, 540)]

    assert of(rows) == Modd(30.0, 1, 1)
    # Its partner is spoken for: it is not paired with another reading instead.
    assert of([*rows, (105, 0, 2, 600)]) == Modd(30.0, 1, 1)


def test_a_minute_that_no_day_has_is_refused() -> None:
    with pytest.raises(ValueError, match="0 to 1440"):
        of([(100, 0, 1, 0), (100, 0, 2, 1440)])


rows = st.lists(
    st.tuples(
        st.integers(40, 400), st.integers(0, 2), st.integers(0, 4), st.sampled_from([0, 5, 9, 1438])
    ),
    max_size=25,
)


@given(rows)
def test_pairs_are_those_of_taking_the_nearest_over_and_over(rows: list[Row]) -> None:
    found = of(rows)

    value, pairs = slow_modd(rows)
    assert found.pairs == pairs
    assert found.value == pytest.approx(value, abs=1e-9)


@given(rows, st.randoms(use_true_random=False))
def test_order_never_matters(rows: list[Row], random: object) -> None:
    before = of(rows)
    random.shuffle(rows)  # type: ignore[attr-defined]

    after = of(rows)

    assert after.pairs == before.pairs
    assert after.value == pytest.approx(before.value, abs=1e-9)
