from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from app.domain.clock import moment_at, offsets_of
from app.domain.entry import EntryContext, read_entry
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import NewReading, Standing
from app.review.day import DayView, day_view, hours_of
from app.review.day_pending import pending_of
from app.review.day_slots import SlotOfDay
from app.review.day_spells import SpellEnd
from app.review.figure import Missing
from app.review.marks_drawn import LEVELS
from app.review.record import record_of
from app.store import schema
from app.store.beside import beside_of
from app.store.diary import Diary
from app.store.readings import moment_fields, write_reading
from tests.households import NOW, new_diary, result, tilde, written

DAY = date(2026, 3, 12)  # the day of NOW, 21:30 in Lisbon


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def viewed(diary: Diary, person: Person, day: date = DAY, *, now: datetime = NOW) -> DayView:
    record = record_of(diary, person)
    return day_view(diary, record, beside_of(diary, person), day, now=now)


def slot(view: DayView, mark: Mark) -> SlotOfDay:
    return next(each for each in view.slots.slots if each.mark is mark)


def in_turn(diary: Diary, person: Person, at: str, value: str, turn: int) -> None:
    """Write a reading in the first (0) or second (1) turn of an hour that came twice."""
    wall = datetime.fromisoformat(at)
    moment = moment_at(wall, person.zone, offsets_of(wall, person.zone)[turn])
    with diary.change("enter", {"reading": value}, now=NOW, person=person) as change:
        write_reading(
            change, person, NewReading(result(value, person.unit), moment), origin="typed"
        )


def event(diary: Diary, person: Person, start: str, minutes: int | None, text: str) -> None:
    wall = datetime.fromisoformat(start)
    moment = moment_at(wall, person.zone, offsets_of(wall, person.zone)[0])
    with diary.change("enter", {"event": text}, now=NOW, person=person) as change:
        change.add(
            schema.event,
            person_id=person.id,
            kind="exercise",
            text=text,
            **moment_fields(moment),
            end_instant=None if minutes is None else moment.instant + 60 * minutes,
            origin="typed",
            entered_at=moment.instant,
        )


def test_an_empty_diary_has_an_empty_day(diary: Diary) -> None:
    view = viewed(diary, tilde(diary))

    assert (view.n, view.rows, len(view.marks)) == (0, (), 0)
    assert view.is_empty_diary
    assert all(each.is_untested for each in view.slots.slots)
    assert not view.lanes.has_goals


def test_readings_stand_at_their_minute_and_in_the_table_newest_first(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:15", "4.3", Mark.WAKING)
    written(diary, person, "2026-03-12 18:07", "2.4", Mark.BEFORE_EVENING_MEAL, note="shaky")

    view = viewed(diary, person)

    assert view.marks.x.tolist() == [435.0, 1087.0]
    assert [LEVELS[level].letter for level in view.marks.level] == ["", "LL"]
    assert [row.glucose.value for row in view.rows] == ["2.4", "4.3"]
    assert view.rows[0].note == "shaky"
    assert view.n == 2


def test_a_day_that_begins_at_four_holds_the_small_hours_after_it(diary: Diary) -> None:
    person = tilde(diary, day_start=4)
    written(diary, person, "2026-03-13 02:30", "6.1", Mark.NIGHT)
    written(diary, person, "2026-03-12 03:59", "5.0", Mark.NIGHT)

    view = viewed(diary, person, now=NOW + timedelta(days=1))

    assert view.marks.x.tolist() == [1350.0]
    assert view.rows[0].wall == datetime.fromisoformat("2026-03-13 02:30")


def test_now_stands_on_the_axis_of_today_alone(diary: Diary) -> None:
    person = tilde(diary, day_start=4)

    assert viewed(diary, person).now == (21.5 - 4) * 60
    assert viewed(diary, person, DAY - timedelta(days=1)).now is None


def test_what_does_not_count_is_drawn_apart_and_counted_by_reason(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:00", "5.0", standing=Standing.NOT_MINE)
    written(diary, person, "2026-03-12 08:00", "9.0", standing=Standing.SET_ASIDE)
    written(diary, person, "2026-03-12 09:00", "6.0")

    view = viewed(diary, person)

    assert view.n == 1
    assert view.left_out == {"set_aside": 1, "not_mine": 1}
    assert view.marks.apart.tolist() == [True, True, False]
    assert view.rows[1].why == "for a test"


def test_a_low_is_closed_by_the_first_reading_that_is_not_low(diary: Diary) -> None:
    person = tilde(diary)
    for at, value in (("10:00", "3.0"), ("10:16", "3.4"), ("10:33", "4.3"), ("10:50", "5.0")):
        written(diary, person, f"2026-03-12 {at}", value)

    (spell,) = viewed(diary, person).spells

    assert spell.ended is SpellEnd.CLOSED
    assert (spell.minutes, len(spell.ids)) == (33, 3)
    assert (spell.start, spell.end) == (600.0, 633.0)


def test_a_low_of_a_moment_ago_is_open_and_grows_with_the_clock(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 21:14", "2.4")

    (spell,) = viewed(diary, person).spells
    (older,) = viewed(diary, person, now=NOW + timedelta(hours=1)).spells

    assert (spell.ended, spell.minutes) == (SpellEnd.OPEN, 16)
    assert older.ended is SpellEnd.NO_RECHECK


def test_without_a_recheck_the_time_to_the_next_value_is_told(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-11 23:30", "3.1")
    written(diary, person, "2026-03-12 07:00", "9.0")

    (spell,) = viewed(diary, person, DAY - timedelta(days=1)).spells

    assert (spell.ended, spell.next_min) == (SpellEnd.NO_RECHECK, 450)


def test_a_low_over_midnight_is_a_spell_of_both_days(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-11 23:50", "3.1")
    written(diary, person, "2026-03-12 00:20", "4.6")

    (before,) = viewed(diary, person, DAY - timedelta(days=1)).spells
    (after,) = viewed(diary, person).spells

    assert (before.start, before.end) == (1430.0, 1440.0)
    assert (after.start, after.end) == (0.0, 20.0)
    assert before.minutes == after.minutes == 30


def test_a_set_aside_low_begins_no_spell(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 10:00", "3.0", standing=Standing.SET_ASIDE)

    assert viewed(diary, person).spells == ()


@pytest.mark.parametrize(
    ("day", "hours"),
    [(date(2026, 3, 29), 23), (date(2025, 10, 26), 25), (date(2026, 3, 12), 24)],
)
def test_days_on_which_the_clocks_change_are_told(diary: Diary, day: date, hours: int) -> None:
    assert hours_of(day, tilde(diary)) == hours


def test_both_turns_of_a_repeated_hour_are_drawn_by_wall_time_in_order(diary: Diary) -> None:
    person = tilde(diary)
    in_turn(diary, person, "2025-10-26 01:10", "5.0", 1)
    in_turn(diary, person, "2025-10-26 01:40", "4.0", 0)

    view = viewed(diary, person, date(2025, 10, 26))

    assert view.marks.x.tolist() == [100.0, 70.0]  # 01:40 came first, then the clocks went back
    assert [(row.glucose.number, row.turn) for row in view.rows] == [(5.0, 2), (4.0, 1)]


def test_an_event_lies_on_the_axis_with_its_end(diary: Diary) -> None:
    person = tilde(diary, day_start=4)
    event(diary, person, "2026-03-12 16:30", 60, "swimming")
    event(diary, person, "2026-03-13 01:00", None, "woke up")
    event(diary, person, "2026-03-12 03:00", None, "of the day before")

    found = viewed(diary, person).happenings

    assert [(each.text, each.start, each.end) for each in found] == [
        ("swimming", 750.0, 810.0),
        ("woke up", 1260.0, None),
    ]


def test_a_day_lies_in_its_spans_but_term_is_no_news(diary: Diary) -> None:
    person = tilde(diary)
    with diary.change("enter", {"span": "sick"}, now=NOW, person=person) as change:
        for kind, text, first, last in (
            ("sick", "influenza", DAY - timedelta(days=1), DAY),
            ("term", "school term", DAY, None),
            ("journey", "Lisbon", DAY + timedelta(days=1), None),
        ):
            change.add(
                schema.span,
                person_id=person.id,
                kind=kind,
                text=text,
                from_day=first.toordinal(),
                to_day=None if last is None else last.toordinal(),
            )

    assert viewed(diary, person).spans == ("influenza",)


def test_goals_step_with_the_slots_of_the_day(diary: Diary) -> None:
    view = viewed(diary, tilde(diary, targets="ispad-2022"))

    assert view.lanes.low_line == 3.9
    waking = next(step for step in view.lanes.steps if step.marks == (Mark.WAKING,))
    assert (waking.low, waking.high) == (4.0, 8.0)
    assert slot(view, Mark.BEDTIME).high == 10.0


def test_a_median_needs_five_readings_of_the_fourteen_days_before(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-02-25 07:00", "20.0", Mark.WAKING)  # the fifteenth day before
    for day, value in zip(range(1, 5), ("5.0", "6.0", "7.0", "8.0"), strict=True):
        written(diary, person, f"2026-03-0{day} 07:00", value, Mark.WAKING)
    written(diary, person, "2026-03-12 07:00", "15.0", Mark.WAKING)

    four = slot(viewed(diary, person), Mark.WAKING)
    written(diary, person, "2026-02-26 07:00", "9.0", Mark.WAKING)
    five = slot(viewed(diary, person), Mark.WAKING)

    assert (four.n, four.box) == (4, None)
    assert isinstance(four.median, Missing)
    assert "5 readings" in four.median.why
    assert (five.n, five.median, five.box) == (5, 7.0, (6.0, 8.0))
    assert five.before.x.tolist() == [-14.0, -11.0, -10.0, -9.0, -8.0]
    assert five.here.value.tolist() == [15.0]


def test_a_slot_without_a_reading_in_fourteen_days_is_untested(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 09:00", "7.0", Mark.AFTER_BREAKFAST)

    found = slot(viewed(diary, person), Mark.AFTER_BREAKFAST)

    assert found.is_untested
    assert len(found.here) == 1


def test_the_slots_share_one_scale_that_shows_every_value(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-11 07:00", "24.0", Mark.WAKING)
    written(diary, person, "2026-03-12 22:00", "1.1", Mark.BEDTIME)

    scale = viewed(diary, person).slots.scale

    assert scale.low < 1.1 < 24.0 < scale.high


def test_results_off_the_scale_count_at_the_end_of_a_slot(diary: Diary) -> None:
    person = tilde(diary)
    for day, value in zip(range(1, 6), ("HI", "HI", "HI", "7.0", "8.0"), strict=True):
        written(diary, person, f"2026-03-0{day} 22:00", value, Mark.BEDTIME)

    found = slot(viewed(diary, person), Mark.BEDTIME)

    assert found.n == 5
    assert found.box is None
    assert not isinstance(found.median, float)
    assert np.isfinite(found.before.value).all()


def test_readings_without_a_slot_are_counted(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 09:00", "7.0")
    written(diary, person, "2026-03-12 10:00", "7.0", Mark.CASUAL)
    written(diary, person, "2026-03-12 12:00", "7.0", Mark.BEFORE_LUNCH)

    assert viewed(diary, person).in_no_slot == 2


def test_an_empty_day_names_the_day_of_the_last_reading(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-02-01 07:00", "5.0")
    written(diary, person, "2027-02-01 07:00", "5.0")  # a slip of the year

    view = viewed(diary, person)

    assert view.rows == ()
    assert view.nearest == date(2026, 2, 1)


def test_what_is_typed_becomes_a_mark_of_its_day(diary: Diary) -> None:
    person = tilde(diary, day_start=4)
    context = EntryContext(now=NOW, zone=person.zone, unit=Unit.MMOL_L, day_start=4)

    found = pending_of(read_entry("3.1 before lunch 12:10", context), person)
    night = pending_of(read_entry("56 mg/dL", context, at="2026-03-12 02:30"), person)

    assert found is not None
    assert (found.day, found.text) == (DAY, "3.1")
    assert found.marks.x.tolist() == [490.0]
    assert LEVELS[found.marks.level[0]].letter == "L"
    assert night is not None
    assert night.day == DAY - timedelta(days=1)
    assert night.text == "3.1"


def test_a_line_without_a_value_is_no_mark(diary: Diary) -> None:
    person = tilde(diary)
    context = EntryContext(now=NOW, zone=person.zone, unit=Unit.MMOL_L)

    assert pending_of(read_entry("before lunch", context), person) is None
    assert pending_of(None, person) is None


def test_the_time_is_read_in_the_zone_of_the_person(diary: Diary) -> None:
    person = tilde(diary)

    view = viewed(diary, person, now=datetime(2026, 7, 1, 23, 30, tzinfo=UTC))

    assert view.now_wall == datetime.fromisoformat("2026-07-02 00:30")
    assert not view.is_today
