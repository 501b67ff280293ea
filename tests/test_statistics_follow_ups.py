from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.follow_ups.gaps import gaps_over
from app.statistics.follow_ups.ketones import ketones_asked
from app.statistics.follow_ups.rechecks import Recheck, rechecks_of
from app.statistics.spells import low_spells

MIN = 60


def asked_of(*readings: tuple[int, bool]) -> tuple[Recheck, ...]:
    """Rechecks of readings given as minute and whether low."""
    return rechecks_of([at * MIN for at, _ in readings], [low for _, low in readings])


def test_a_low_asks_for_a_recheck_after_fifteen_minutes_until_one_is_not_low() -> None:
    # The chain 3.0, 3.4, 4.3 over 33 minutes: two rechecks, and a later check.
    found = asked_of((0, True), (16, True), (33, False))

    assert [(each.at // MIN, each.still_low, each.answered, each.is_later) for each in found] == [
        (15, 0, 1, False),
        (31, 1, 2, False),
        (76, 1, None, True),
    ]


def test_a_second_low_within_ten_minutes_is_the_same_test() -> None:
    found = asked_of((0, True), (3, True))

    assert [(each.at // MIN, each.still_low) for each in found if not each.is_later] == [(15, 0)]
    assert found[0].until == 63 * MIN  # an hour after the last low of the spell


def test_a_value_two_hours_later_answers_no_recheck_and_the_later_check_only_in_its_time() -> None:
    early, late = asked_of((0, True), (62, False)), asked_of((0, True), (130, False))

    assert [each.answered for each in early] == [None, 1]
    assert [each.answered for each in late] == [None, None]


def test_nothing_low_asks_for_nothing_and_wrong_input_is_refused() -> None:
    assert asked_of((0, False), (5, False)) == ()
    assert rechecks_of([], []) == ()
    with pytest.raises(ValueError, match="as many lows"):
        rechecks_of([0], [])
    with pytest.raises(ValueError, match="step back"):
        rechecks_of([5, 0], [True, True])
    with pytest.raises(ValueError, match="wait"):
        rechecks_of([0], [True], wait_s=0)


@given(st.lists(st.tuples(st.integers(1, 5000), st.booleans()), max_size=40))
def test_every_spell_has_its_rechecks_and_one_later_check(steps: list[tuple[int, bool]]) -> None:
    at, instants, lows = 0, [], []
    for step, low in steps:
        at += step
        instants.append(at)
        lows.append(low)

    found = rechecks_of(instants, lows)

    spells = low_spells(instants, lows)
    begins = [place for place, first in enumerate(spells.begins) if first]
    assert [each.first for each in found if each.is_later] == begins
    assert [each.low for each in found if each.still_low == 0 and not each.is_later] == begins
    for each in found:
        assert lows[each.low]
        assert each.at <= each.until
        assert each.answered is None or each.answered > each.low
        if each.answered is not None and not each.is_later:
            assert spells.recheck[each.answered]


def test_two_highs_in_a_row_ask_for_ketones_once() -> None:
    hours = [0, 2, 3, 5, 7]
    found = ketones_asked([each * 3600 for each in hours], [True] * 5, [])

    assert [each.at // 3600 for each in found] == [2, 7]  # again only after four hours
    assert [(each.since, each.high) for each in found] == [(0, 1), (1, 4)]


@pytest.mark.parametrize(
    ("instants", "highs", "tested"),
    [
        ([0, 7200], [True, False], []),
        ([0, 3600, 7200], [True, False, True], []),
        ([0, 600], [True, True], []),  # the same test done twice
        ([0, 8 * 3600], [True, True], []),  # too long ago to belong together
        ([0, 7200], [True, True], [3600]),  # ketones were tested in between
    ],
)
def test_nothing_is_asked_without_two_highs_or_with_ketones_tested(
    instants: list[int], highs: list[bool], tested: list[int]
) -> None:
    assert ketones_asked(instants, highs, tested) == ()


def test_a_ketone_test_after_the_second_high_answers() -> None:
    (found,) = ketones_asked([0, 7200], [True, True], [7500])

    assert found.answered == 7500
    assert ketones_asked([0], [True], [], times=1)[0].at == 0
    with pytest.raises(ValueError, match="at least one"):
        ketones_asked([], [], [], times=0)
    with pytest.raises(ValueError, match="as many"):
        ketones_asked([0], [], [])


def test_a_gap_as_long_as_meant_is_none() -> None:
    assert gaps_over([0, 4 * 3600], 4 * 3600) == ()
    assert [each.seconds for each in gaps_over([0, 4 * 3600 + 1], 4 * 3600)] == [4 * 3600 + 1]
    assert gaps_over([], 60) == ()
    with pytest.raises(ValueError, match="step back"):
        gaps_over([9, 0], 60)
    with pytest.raises(ValueError, match="longer than nothing"):
        gaps_over([], 0)
