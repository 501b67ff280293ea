from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from app.domain.clock import Period
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person
from app.review.figure import Missing
from app.review.figures import figures
from app.review.figures_shown import figures_shown, takes_long
from app.review.periods import of_figures, periods_side_by_side
from app.review.record import record_of
from app.store.diary import Diary
from tests.households import NOW, new_diary, tilde, written

TODAY = date(2026, 3, 12)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def filled(diary: Diary, *, days: int = 20) -> Person:
    """Waking and bedtime on each of so many days up to today; the last ones are lower."""
    person = tilde(diary, targets="ispad-2022")
    for back in range(days):
        day = TODAY - timedelta(days=back)
        written(diary, person, f"{day} 07:00", f"{6 + back / 10:.1f}", Mark.WAKING)
        written(diary, person, f"{day} 21:00", "11.0" if back % 2 else "3.4", Mark.BEDTIME)
    return person


def test_each_period_has_the_figures_it_would_have_alone(diary: Diary) -> None:
    person = filled(diary)
    record = record_of(diary, person)

    side_by_side = periods_side_by_side(record, TODAY, now=NOW)

    assert [each.period.days for each in side_by_side] == [7, 14, 30, 60, 90]
    assert [each.n for each in side_by_side] == [14, 28, 40, 40, 40]
    for each in side_by_side:
        alone = figures(record, each.period, now=NOW)
        assert not isinstance(each.mean, Missing)
        assert not isinstance(alone.mean, Missing)
        assert each.mean.value == alone.mean.value
        assert (each.evened, each.sd) == (alone.evened, alone.spread.sd)
        low = sum(share.found.count for share in alone.shares[:2])
        high = sum(share.found.count for share in alone.shares[3:])
        assert (each.below.found.count, each.above.found.count) == (low, high)
        waking = next(one for one in alone.by_mark if one.mark is Mark.WAKING)
        assert (each.waking_n, each.waking_median) == (waking.n, waking.median)


def test_below_its_minimum_a_period_says_what_is_missing(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:00", "6.0", Mark.WAKING)

    week = periods_side_by_side(record_of(diary, person), TODAY, now=NOW)[0]

    assert week.mean == Missing("needs 3 readings; there is 1 reading")
    assert week.below.missing == Missing("needs 14 readings on 5 days; there is 1 reading on 1 day")
    assert (week.below.found.count, week.below.found.n) == (0, 1)


def test_a_period_of_ones_own_stands_after_the_others(diary: Diary) -> None:
    record = record_of(diary, filled(diary))
    own = Period(date(2026, 3, 1), TODAY)

    shown = figures_shown(record, own, now=NOW)

    assert [each.period.days for each in shown.periods] == [7, 14, 30, 60, 90, 12]
    assert shown.periods[-1].period == own
    assert shown.periods[-1].n == shown.figures.n == 24


def test_before_and_after_each_meal_have_their_own_n(diary: Diary) -> None:
    person = tilde(diary)
    for hour, mark in enumerate(SLOTS[:6]):
        for day in range(1, 4 + hour):
            written(diary, person, f"2026-03-{day:02} {7 + hour:02}:00", f"{5 + hour}.0", mark)
    written(diary, person, "2026-03-05 16:00", "9.0", Mark.AFTER_SNACK)
    written(diary, person, "2026-03-05 17:00", "4.0", Mark.FASTING)
    record = record_of(diary, person)

    shown = figures_shown(record, Period(date(2026, 3, 1), TODAY), now=NOW)

    sides = [(meal.name, meal.before.n, meal.after.n) for meal in shown.meals]
    assert sides == [
        ("breakfast", 3, 4),
        ("lunch", 5, 6),
        ("evening meal", 7, 8),
        ("all meals", 15, 19),
    ]
    assert shown.meals[1].after.median == 8.0


def test_meals_without_readings_have_words_for_their_figures(diary: Diary) -> None:
    record = record_of(diary, tilde(diary))

    shown = figures_shown(record, Period(TODAY, TODAY), now=NOW)

    assert all(isinstance(meal.before.mean, Missing) for meal in shown.meals)
    assert shown.last_day is None


def test_without_doubt_the_figures_leave_the_doubtful_out(diary: Diary) -> None:
    person = filled(diary)
    written(diary, person, "2026-03-12 15:00", "20.0", Mark.NONE, hands="not")
    record = record_of(diary, person)
    period = Period(date(2026, 3, 1), TODAY)

    with_doubt = figures_shown(record, period, now=NOW)
    without = figures_shown(record, period, now=NOW, doubtful=False)

    assert (with_doubt.figures.n, without.figures.n) == (25, 24)
    assert without.whole == with_doubt.figures
    assert without.figures.n == with_doubt.figures.without_doubt.n
    assert [each.n for each in without.periods][-1] == 24
    assert with_doubt.marks.rows[-1].mark is Mark.NONE
    assert without.marks.rows[-1].mark is Mark.NIGHT


def test_only_a_long_period_of_a_large_diary_takes_long(diary: Diary) -> None:
    record = record_of(diary, filled(diary))

    assert not takes_long(record, Period(date(1990, 1, 1), TODAY))


@pytest.mark.parametrize("days", [0, 1, 20])
def test_a_period_worked_out_before_is_set_beside_the_others_alike(diary: Diary, days: int) -> None:
    record = record_of(diary, filled(diary, days=days))

    for alone in periods_side_by_side(record, TODAY, now=NOW):
        assert of_figures(figures(record, alone.period, now=NOW)) == alone
