from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from app.domain.clock import Period, last_days
from app.domain.glucose import LimitPair
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.domain.targets import Limit, TargetSet
from app.review import modal_day_marks
from app.review.density import MARKS_UP_TO
from app.review.figure import Missing, OffScale
from app.review.modal_day import ModalDay, modal_day
from app.review.record import Record, record_of
from app.store.diary import Diary
from tests.households import NOW, corwin, new_diary, tilde, written

MONTH = last_days(30, date(2026, 3, 12))
WAKING = ("6.1", "7.4", "5.2", "8.8", "6.6")


@pytest.fixture
def diary(tmp_path: Path) -> Diary:
    return new_diary(tmp_path)


def _waking(diary: Diary, person: Person, values: tuple[str, ...] = WAKING) -> None:
    for at, value in enumerate(values):
        written(diary, person, f"2026-03-0{at + 1}T07:0{at}", value, Mark.WAKING)


def _found(diary: Diary, person: Person, **asked: object) -> ModalDay:
    return modal_day(record_of(diary, person), MONTH, now=NOW, **asked)  # type: ignore[arg-type]


def test_a_slot_has_its_median_and_quartiles_from_five_readings_on(diary: Diary) -> None:
    person = tilde(diary)
    _waking(diary, person)

    waking = _found(diary, person).slots[0]

    assert (waking.q1, waking.median, waking.q3) == (6.1, 6.6, 7.4)  # the 2nd, 3rd, 4th of five
    assert waking.n == 5


def test_four_readings_are_too_few_and_it_says_how_many_more_would_do(diary: Diary) -> None:
    person = tilde(diary)
    _waking(diary, person, WAKING[:4])

    waking = _found(diary, person).slots[0]

    assert isinstance(waking.median, Missing)
    assert not waking.has_box
    assert waking.short_of == 1


def test_a_box_stands_at_the_median_time_and_is_never_narrower_than_44_minutes(
    diary: Diary,
) -> None:
    person = tilde(diary)
    _waking(diary, person)

    waking = _found(diary, person).slots[0]

    assert waking.centre == 7 * 60 + 2
    assert waking.end - waking.start == 44


def test_readings_round_midnight_have_their_middle_at_midnight_not_at_noon(diary: Diary) -> None:
    person = tilde(diary)
    for day, at in ((1, "23:50"), (2, "23:58"), (3, "00:02"), (4, "00:06"), (5, "00:10")):
        written(diary, person, f"2026-03-0{day}T{at}", "7.0", Mark.BEDTIME)

    bedtime = _found(diary, person).slots[6]

    assert bedtime.centre == 2
    assert bedtime.start < 0 < bedtime.end < 60


def test_the_axis_begins_at_the_start_of_the_persons_day(diary: Diary) -> None:
    person = tilde(diary, day_start=4)
    written(diary, person, "2026-03-02T03:30", "7.0", Mark.NIGHT)
    written(diary, person, "2026-03-02T04:30", "7.1", Mark.NONE)

    found = _found(diary, person)

    assert found.marks.x.tolist() == [30, 23 * 60 + 30]
    assert found.marks.value.tolist() == [7.1, 7.0]


def test_another_start_of_the_axis_moves_no_reading_to_another_day(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-02T03:30", "7.0", Mark.NIGHT)

    moved = _found(diary, person, start_hour=6)

    assert moved.marks.x.tolist() == [21 * 60 + 30]
    assert moved.marks.day.tolist() == [date(2026, 3, 2).toordinal()]


def test_night_comes_first_only_where_the_axis_begins_before_it(diary: Diary) -> None:
    person = tilde(diary)
    _waking(diary, person)
    written(diary, person, "2026-03-02T02:30", "7.0", Mark.NIGHT)

    from_midnight = _found(diary, person).slots_along
    from_five = _found(diary, person, start_hour=5).slots_along

    assert from_midnight[0].mark is Mark.NIGHT
    assert from_five[-1].mark is Mark.NIGHT


def test_hours_without_any_reading_are_untested_and_neighbours_are_one_stretch(
    diary: Diary,
) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-02T07:30", "7.0", Mark.WAKING)

    untested = _found(diary, person).untested

    assert [(each.start, each.end) for each in untested] == [(0, 420), (480, 1440)]


def test_the_days_of_the_week_are_those_of_the_diary_day(diary: Diary) -> None:
    person = tilde(diary, day_start=4)
    written(diary, person, "2026-03-09T02:00", "5.0", Mark.NIGHT)  # a Monday, still Sunday's night
    written(diary, person, "2026-03-09T07:00", "6.0", Mark.WAKING)

    weekend = _found(diary, person, weekdays="weekends")
    weekdays = _found(diary, person, weekdays="weekdays")

    assert weekend.marks.value.tolist() == [5.0]
    assert weekdays.marks.value.tolist() == [6.0]


def test_rechecks_count_unless_they_are_left_out(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-02T16:40", "3.1")
    written(diary, person, "2026-03-02T16:57", "4.6")

    with_them, without = _found(diary, person), _found(diary, person, with_rechecks=False)

    assert (with_them.n, with_them.rechecks, with_them.lows) == (2, 1, 1)
    assert (without.n, without.rechecks, without.marks.value.tolist()) == (1, 1, [3.1])


def test_readings_in_doubt_can_be_left_out_and_are_still_counted_as_doubtful(
    diary: Diary,
) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-02T16:40", "6.1")
    written(diary, person, "2026-03-02T17:40", "15.1", hands="not")

    found = _found(diary, person, with_doubtful=False)

    assert (found.n, found.doubtful) == (1, 1)


def test_what_is_set_aside_is_drawn_and_in_no_figure(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-02T16:40", "2.1", standing=Standing.NOT_MINE)

    found = _found(diary, person)

    assert found.marks.apart.tolist() == [True]
    assert (found.n, found.lows, found.left_out) == (0, 0, {"not_mine": 1})


def test_results_off_the_scale_order_a_quartile_and_are_never_a_number(diary: Diary) -> None:
    person = tilde(diary)
    _waking(diary, person, ("LO", "LO", "LO", "6.0", "7.0"))

    found = _found(diary, person)

    assert found.slots[0].median == OffScale("below", None)
    assert np.isfinite(found.marks.value).all()
    assert found.far_lows == 3


def test_each_slot_is_counted_against_the_goal_of_its_own_mark(diary: Diary) -> None:
    person = tilde(diary, targets="ispad-2022")  # waking to 8.0, else to 10.0
    _waking(diary, person, ("8.1", "8.0", "9.9", "6.0", "7.0"))
    written(diary, person, "2026-03-02T12:00", "9.9", Mark.BEFORE_LUNCH)

    found = _found(diary, person)

    assert (found.slots[0].above_goal, found.slots[0].judged) == (2, 5)
    assert (found.slots[2].above_goal, found.slots[2].highs) == (0, 0)


def test_lanes_follow_the_usual_times_of_the_slots(diary: Diary) -> None:
    person = tilde(diary, targets="ispad-2022")

    found = _found(diary, person, usual={Mark.WAKING: 425, Mark.AFTER_BREAKFAST: 570})

    steps = [(step.start, step.end, step.high) for step in found.lanes.steps]
    assert steps == [(0, 300, 10.0), (300, 510, 8.0), (510, 1440, 10.0)]


def test_goals_that_held_earlier_in_the_period_are_named_with_their_last_day(
    diary: Diary,
) -> None:
    person = tilde(diary)
    older = TargetSet(1, "older", "", (Limit("all", LimitPair(70, 3.9), LimitPair(200, 11.0)),))
    newer = replace(older, from_day=date(2026, 3, 5).toordinal(), limits=())
    record = Record(person, record_of(diary, person).columns, (older, newer))

    lanes = modal_day(record, MONTH, now=NOW).lanes

    assert not lanes.has_goals
    assert [(each.until, each.steps[0].high) for each in lanes.earlier] == [(date(2026, 3, 4), 11)]


def test_a_low_goal_line_never_moves_the_safety_line(diary: Diary) -> None:
    person = corwin(diary, targets="ada-adults")

    lanes = _found(diary, person).lanes

    assert lanes.low_line == 70
    assert lanes.limits == (80, 130, 180)


def test_limits_are_bold_and_no_round_number_stands_on_them(diary: Diary) -> None:
    person = corwin(diary, targets="ada-adults")
    written(diary, person, "2026-03-02T07:00", "412", Mark.WAKING)

    scale = _found(diary, person).scale

    assert scale.low < 70 < 412 < scale.high
    assert [tick.text for tick in scale.ticks if tick.is_limit] == ["80", "130", "180"]
    assert all(abs(tick.value - 180) > 8 for tick in scale.ticks if not tick.is_limit)


def test_windows_by_the_clock_need_12_readings_on_7_days_and_never_lie_in_an_untested_hour(
    diary: Diary,
) -> None:
    person = tilde(diary)
    for day in range(1, 13):
        written(diary, person, f"2026-03-{day:02}T07:20", "6.5", Mark.WAKING)

    found = _found(diary, person, by_clock=True)

    assert found.windows
    assert all(420 <= each.start < each.end <= 480 for each in found.windows)
    assert {each.median for each in found.windows} == {6.5}


def test_slot_beside_slot_dates_run_from_left_to_right_and_unmarked_readings_are_outside(
    diary: Diary,
) -> None:
    person = tilde(diary)
    _waking(diary, person)
    written(diary, person, "2026-03-02T12:00", "9.9")

    found = _found(diary, person, view="slots")

    assert found.marks.value.tolist() == [6.1, 7.4, 5.2, 8.8, 6.6]
    assert 0 < found.marks.x[0] < found.marks.x[-1] < 1
    assert (found.n, found.unmarked) == (6, 1)


def test_more_marks_than_can_be_told_apart_become_density_with_every_reading_in_it(
    diary: Diary, monkeypatch: pytest.MonkeyPatch
) -> None:
    person = tilde(diary)
    _waking(diary, person, ("6.1", "2.9", "6.2", "6.1", "14.0"))
    assert MARKS_UP_TO == 5000
    monkeypatch.setattr(modal_day_marks, "MARKS_UP_TO", 4)

    density = _found(diary, person).density

    assert density is not None
    assert density.n == 5
    cell = density.cell_at(7 * 60, 6.1)
    assert cell is not None
    assert cell[0] == 3


def test_an_empty_diary_gives_an_empty_modal_day_with_a_scale(diary: Diary) -> None:
    found = _found(diary, tilde(diary))

    assert (found.n, found.days, len(found.marks)) == (0, 0, 0)
    assert found.most_lows is None
    assert found.highest is None
    assert found.scale.low < 4 < found.scale.high


def test_the_period_ends_are_both_included(diary: Diary) -> None:
    person = tilde(diary)
    for day in (MONTH.first - timedelta(days=1), MONTH.first, MONTH.last):
        written(diary, person, f"{day.isoformat()}T07:00", "6.0", Mark.WAKING)

    found = modal_day(record_of(diary, person), Period(MONTH.first, MONTH.last), now=NOW)

    assert found.n == 2
