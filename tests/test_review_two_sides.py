"""Two sides beside each other: the same in any order and unit, negated when exchanged."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.glucose import Unit
from app.domain.marks import SLOTS, Mark
from app.review.apart import Apart, apart, reach_of
from app.review.apart_words import apart_words, reversed_words, signed, verdict_words
from app.review.counted import Counted
from app.review.figure import Missing
from app.review.two_sides import SideNamed, TwoSides, two_sides
from tests.sides import readings

Rows = Sequence[tuple[float, Mark, int]]

tenths = st.integers(22, 280).map(lambda each: each / 10)
rows = st.lists(
    st.tuples(tenths, st.sampled_from([*SLOTS[:3], Mark.NIGHT, Mark.NONE]), st.integers(0, 9)),
    min_size=1,
    max_size=30,
)
NOTHING = np.array([], dtype=np.int64)


def compared(
    first: Counted, second: Counted, *, mark: Mark | None = None, minimum: bool = True
) -> TwoSides:
    sides = (SideNamed(name, each, NOTHING) for name, each in (("one", first), ("other", second)))
    one, other = sides
    return two_sides(one, other, mark=mark, minimum=minimum)


def value_of(found: Apart | Missing) -> float:
    assert isinstance(found, Apart)
    assert found.value is not None
    return found.value


def every_day(value: float, mark: Mark, days: range) -> list[tuple[float, Mark, int]]:
    return [(value + day % 3 / 10, mark, day) for day in days]


@settings(max_examples=40)
@given(rows, rows, st.randoms(use_true_random=False))
def test_the_order_of_readings_never_matters(one: Rows, other: Rows, chance: Random) -> None:
    mixed = list(one)
    chance.shuffle(mixed)

    found = compared(readings(one), readings(other))
    again = compared(readings(mixed), readings(other))

    assert again.slots == found.slots
    assert isinstance(again.evened, Missing) == isinstance(found.evened, Missing)
    if isinstance(found.evened, Apart):
        assert value_of(again.evened) == pytest.approx(value_of(found.evened), abs=1e-9)
    assert again.first.lows.found == found.first.lows.found


@settings(max_examples=40)
@given(rows, rows)
def test_sides_that_change_places_give_the_negated_difference(one: Rows, other: Rows) -> None:
    opposite = {
        "lower": "higher",
        "higher": "lower",
        "cannot_tell": "cannot_tell",
        "too_few": "too_few",
    }

    there, back = (
        compared(readings(one), readings(other)),
        compared(readings(other), readings(one)),
    )

    assert there.slots == back.slots
    assert there.mix_reverses == back.mix_reverses
    if isinstance(there.evened, Apart):
        assert isinstance(back.evened, Apart)
        assert value_of(back.evened) == -value_of(there.evened)
        assert back.evened.verdict == opposite[there.evened.verdict]


@settings(max_examples=40)
@given(rows, rows, st.booleans())
def test_another_unit_changes_no_count_and_no_verdict(
    one: Rows, other: Rows, minimum: bool
) -> None:
    here, there = (
        compared(
            *(readings(side, Unit.MMOL_L, shown=unit) for side in (one, other)), minimum=minimum
        )
        for unit in (Unit.MMOL_L, Unit.MG_DL)
    )

    assert here.slots == there.slots
    assert here.mix_reverses == there.mix_reverses
    for mine, theirs in ((here.first, there.first), (here.second, there.second)):
        assert (mine.n, mine.days, mine.lows, mine.highs) == (
            theirs.n,
            theirs.days,
            theirs.lows,
            theirs.highs,
        )
    assert isinstance(here.evened, Missing) == isinstance(there.evened, Missing)
    if isinstance(here.evened, Apart) and isinstance(there.evened, Apart):
        assert here.evened.verdict == there.evened.verdict
        assert here.evened.sign == there.evened.sign


def test_where_the_mix_of_slots_reverses_the_sign_it_is_said() -> None:
    # In each slot one lower; but bedtime, the higher slot, is tested more often afterwards.
    before = readings(
        every_day(7.0, Mark.WAKING, range(20)) + every_day(10.0, Mark.BEDTIME, range(4))
    )
    after = readings(
        every_day(6.0, Mark.WAKING, range(30, 34)) + every_day(9.0, Mark.BEDTIME, range(30, 50))
    )

    found = compared(before, after)

    assert value_of(found.evened) == pytest.approx(-1.0, abs=0.05)
    assert value_of(found.plain) > 0.8
    assert found.mix_reverses
    assert [row.mark for row in found.rows] == [Mark.WAKING, Mark.BEDTIME]
    assert all(value_of(row.apart) < 0 for row in found.rows)
    said = reversed_words(found, Unit.MMOL_L)
    assert said is not None
    assert "each slot by itself" in said


def test_a_slot_with_too_few_on_one_side_is_shown_and_left_out_of_the_evened() -> None:
    before = readings(
        every_day(7.0, Mark.WAKING, range(8)) + every_day(12.0, Mark.BEDTIME, range(8))
    )
    after = readings(
        every_day(6.0, Mark.WAKING, range(20, 28)) + every_day(12.0, Mark.BEDTIME, range(20, 22))
    )

    found = compared(before, after)

    assert found.slots == (Mark.WAKING,)
    bedtime = found.rows[1]
    assert (bedtime.mark, bedtime.evened, bedtime.second.n) == (Mark.BEDTIME, False, 2)
    assert bedtime.apart == Missing("needs 3 readings; there are 2 readings")
    assert value_of(found.evened) == pytest.approx(-1.0, abs=0.05)


def test_night_is_shown_beside_the_evened_and_alone_on_demand() -> None:
    before = readings(every_day(7.0, Mark.WAKING, range(8)) + every_day(5.0, Mark.NIGHT, range(8)))
    after = readings(
        every_day(7.0, Mark.WAKING, range(20, 28)) + every_day(8.0, Mark.NIGHT, range(20, 28))
    )

    together, alone = compared(before, after), compared(before, after, mark=Mark.NIGHT)

    assert together.slots == (Mark.WAKING,)
    assert [row.evened for row in together.rows] == [True, False]
    assert alone.slots == (Mark.NIGHT,)
    assert value_of(alone.evened) == pytest.approx(3.0, abs=0.05)


def test_an_interval_needs_five_days_on_each_side() -> None:
    before = readings(every_day(7.0, Mark.WAKING, range(4)))
    after = readings(every_day(6.0, Mark.WAKING, range(20, 40)))

    found, without = compared(before, after), compared(before, after, minimum=False)

    assert isinstance(found.evened, Apart)
    assert (found.evened.low, found.evened.verdict) == (None, "too_few")
    assert found.evened.why == Missing("needs 5 days; there are 4 days")
    assert isinstance(without.evened, Apart)
    assert without.evened.verdict == "lower"


def test_sides_that_were_never_tested_alike_give_words_and_no_number() -> None:
    before = readings(every_day(7.0, Mark.WAKING, range(8)))
    after = readings(every_day(12.0, Mark.AFTER_EVENING_MEAL, range(20, 28)))

    found = compared(before, after)

    assert found.slots == ()
    assert found.evened == Missing("no slot from waking to bedtime has 3 readings on each side")
    assert verdict_words(found.evened, "other").startswith("Can't tell yet")
    assert apart_words(found.evened, Unit.MMOL_L).startswith("not shown: ")


def test_no_readings_at_all_give_words() -> None:
    empty = readings([])

    found = compared(empty, empty)

    assert found.rows == ()
    assert isinstance(found.evened, Missing)
    assert found.plain == Missing("one side has no readings")
    assert isinstance(found.first.mean, Missing)
    assert found.first.lows.missing is not None


def test_readings_that_are_all_alike_say_nothing_of_how_sure_it_is() -> None:
    before = readings([(7.0, Mark.WAKING, day) for day in range(8)])
    after = readings([(6.0, Mark.WAKING, day) for day in range(20, 28)])

    found = apart(before, after, minimum=True)

    assert isinstance(found, Apart)
    assert (found.value, found.low, found.verdict) == (-1.0, None, "too_few")


@pytest.mark.parametrize(
    ("value", "unit", "says"),
    [
        (-1.757, Unit.MMOL_L, "−1.8"),
        (0.44, Unit.MMOL_L, "+0.4"),
        (-0.04, Unit.MMOL_L, "0.0"),
        (-31.6, Unit.MG_DL, "−32"),
        (0.4, Unit.MG_DL, "0"),
    ],
)
def test_a_difference_has_a_typeset_sign_unless_it_is_shown_as_nothing(
    value: float, unit: Unit, says: str
) -> None:
    assert signed(value, unit) == says


def test_rechecks_are_counted_and_left_out_of_the_first_lows() -> None:
    # Four readings a minute apart: a low, two that follow it in its spell, one that ends it.
    low = readings(
        [(3.0, Mark.NONE, 0), (3.2, Mark.NONE, 0), (3.4, Mark.NONE, 0), (5.0, Mark.NONE, 0)]
    )

    found = compared(low, low).first

    assert (found.n, found.lows.found.count, found.rechecks) == (4, 3, 3)
    assert (found.first_lows.found.count, found.first_lows.found.n) == (1, 1)


def test_an_axis_of_differences_reaches_to_the_farthest_limit() -> None:
    thin = Apart(7.0, 4.0, -3.0)
    sure = Apart(7.0, 8.0, 1.0, low=-1.5, high=3.5)

    assert reach_of([thin, Missing("one side has no readings")]) == 3.0
    assert reach_of([thin, sure]) == 3.5
    assert reach_of([Missing("one side has no readings")]) == 0.0
