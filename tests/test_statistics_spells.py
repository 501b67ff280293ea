from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.spells import CHAIN_SECONDS, low_spells, spell_ends


def test_a_low_rechecked_twice_and_closed_is_one_spell() -> None:
    found = spell_ends([0, 960, 1980], [True, True, False])

    assert found.first.tolist() == [0]
    assert found.last_low.tolist() == [1]
    assert found.closed.tolist() == [True]


def test_a_value_two_hours_later_closes_nothing() -> None:
    found = spell_ends([0, 7200], [True, False])

    assert found.closed.tolist() == [False]


@pytest.mark.parametrize(("seconds", "closed"), [(CHAIN_SECONDS, True), (CHAIN_SECONDS + 1, False)])
def test_an_hour_is_the_last_moment_that_closes(seconds: int, closed: bool) -> None:
    assert spell_ends([0, seconds], [True, False]).closed.tolist() == [closed]


def test_without_lows_there_is_no_end() -> None:
    for instants, lows in (([], []), ([0, 60], [False, False])):
        found = spell_ends(instants, lows)

        assert (found.first.size, found.last_low.size, found.closed.size) == (0, 0, 0)
        assert found.having([False] * len(lows)).size == 0


def test_which_spells_went_far_below() -> None:
    found = spell_ends([0, 960, 1980, 9000, 20000], [True, True, False, True, True])

    assert found.having([False, True, False, False, True]).tolist() == [True, False, True]


@given(st.lists(st.tuples(st.integers(0, 7200), st.booleans()), max_size=40))
def test_the_ends_are_those_of_a_walk_along_the_readings(
    steps: list[tuple[int, bool]],
) -> None:
    instants = np.cumsum([step for step, _ in steps]).astype(np.int64)
    lows = [low for _, low in steps]

    found = spell_ends(instants, lows)

    walked = _walked(instants.tolist(), lows)
    ends = zip(found.first.tolist(), found.last_low.tolist(), found.closed.tolist(), strict=True)
    assert list(ends) == walked
    assert found.first.size == low_spells(instants, lows).count


def _walked(instants: list[int], lows: list[bool]) -> list[tuple[int, int, bool]]:
    """The same by its definition: go along, and keep the spell that is open."""
    spells: list[tuple[int, int, bool]] = []
    last: int | None = None
    for at, (instant, low) in enumerate(zip(instants, lows, strict=True)):
        hangs = last is not None and instant - instants[last] <= CHAIN_SECONDS
        if low and not hangs:
            spells.append((at, at, False))
        elif low:
            spells[-1] = (spells[-1][0], at, False)
        elif hangs:
            spells[-1] = (*spells[-1][:2], True)
        last = at if low else None
    return spells
