"""A year by month and slot: gaps stay gaps, boxes from five readings on, nothing interpolated."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import pytest

from app.domain.clock import moment_at
from app.domain.errors import Refused
from app.domain.labs import LabResult
from app.domain.marks import MARKS, SLOTS, Mark
from app.domain.person import Person
from app.review.figure import Missing
from app.review.record import record_of
from app.review.year import YearView, year_view
from app.review.year_cells import YearCell
from app.store import schema
from app.store.diary import Diary
from app.work.note_days import note_change, note_days
from app.work.note_down import note_lab
from tests.households import NOW, new_diary, tilde, written
from tests.sides import all_written, with_meter

MARCH = date(2026, 3, 12)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    """Wakings in January and March, four bedtimes in March with a low, nothing in February."""
    made = tilde(diary, targets="ispad-2022")
    rows = [(f"2026-01-{day:02} 07:00", f"{7 + day / 10:.1f}", Mark.WAKING) for day in range(1, 8)]
    rows += [(f"2026-03-{day:02} 07:00", f"{6 + day / 10:.1f}", Mark.WAKING) for day in range(1, 7)]
    rows += [(f"2026-03-{day:02} 21:00", "9.0", Mark.BEDTIME) for day in (1, 2, 3)]
    rows += [("2026-03-04 21:00", "3.2", Mark.BEDTIME), ("2026-03-07 07:00", "2.8", Mark.WAKING)]
    rows += [("2026-03-05 15:00", "20.0", Mark.NONE), ("2026-03-06 15:00", "8.0", Mark.CASUAL)]
    all_written(diary, made, rows)
    return made


def seen(diary: Diary, person: Person, ending: date = MARCH, months: int = 12) -> YearView:
    return year_view(diary, record_of(diary, person), ending, now=NOW, months=months)


def cell(found: YearView, month: int, mark: Mark) -> YearCell:
    return found.months[month].cells[SLOTS.index(mark)]


def test_months_begin_with_the_first_reading_and_a_gap_stays_one(
    diary: Diary, person: Person
) -> None:
    found = seen(diary, person)

    assert [f"{month.first:%Y-%m}" for month in found.months] == ["2026-01", "2026-02", "2026-03"]
    assert [month.is_gap for month in found.months] == [False, True, False]
    assert [month.n for month in found.months] == [7, 0, 13]
    assert all(each.n == 0 and isinstance(each.median, Missing) for each in found.months[1].cells)
    assert found.months[1].last == date(2026, 2, 28)


def test_a_cell_has_a_box_from_five_readings_on(diary: Diary, person: Person) -> None:
    found = seen(diary, person)

    january = cell(found, 0, Mark.WAKING)
    assert january.n == january.days == 7
    assert january.median == pytest.approx(7.4)
    assert january.box == pytest.approx((7.25, 7.55))
    bedtime = cell(found, 2, Mark.BEDTIME)
    assert (bedtime.n, bedtime.box, bedtime.lows, bedtime.far_lows) == (4, None, 1, 0)
    assert bedtime.median == Missing("needs 5 readings; there are 4 readings")
    assert (january.goal_low, january.goal_high) == (4.0, 8.0)


def test_what_has_no_slot_is_counted_and_in_no_cell(diary: Diary, person: Person) -> None:
    march = seen(diary, person).months[2]

    assert (march.unmarked, march.elsewhere) == (1, 1)
    assert sum(each.n for each in march.cells) == march.n - 2
    assert (march.lows, march.highs) == (2, 1)
    whole = seen(diary, person)
    assert (whole.lows, whole.highs, whole.unmarked, whole.elsewhere) == (2, 1, 1, 1)


def test_thin_cells_are_drawn_reading_by_reading_and_lows_always(
    diary: Diary, person: Person
) -> None:
    found = seen(diary, person)

    at_bedtime = 2 + (MARKS.index(Mark.BEDTIME) + 0.5) / 8
    drawn = sorted(zip(found.marks.x.tolist(), found.marks.value.tolist(), strict=True))
    assert drawn == [
        (2 + 0.5 / 8, 2.8),
        (at_bedtime, 3.2),
        *[(at_bedtime, 9.0)] * 3,
    ]
    assert found.scale.low < 2.8
    assert found.scale.high > 9.0


def test_changes_sick_days_and_visits_lie_beside_the_months(diary: Diary, person: Person) -> None:
    note_change(diary, person, date(2026, 1, 1), "new plan", now=NOW)
    note_days(diary, person, "sick", date(2026, 1, 30), date(2026, 2, 14), now=NOW)
    note_days(diary, person, "term", date(2026, 1, 5), None, now=NOW)
    with diary.change("visit", {}, now=NOW, person=person) as change:
        change.add(schema.visit, person_id=person.id, day=date(2026, 3, 11).toordinal())

    found = seen(diary, person).beside

    assert [(mark.other.kind, mark.other.is_apart) for mark in found] == [
        ("change", False),
        ("days", True),
        ("visit", False),
    ]
    assert (found[0].start, found[0].end) == pytest.approx((0, 1 / 31))
    assert (found[1].start, found[1].end) == pytest.approx((29 / 31, 1.5))
    assert found[0].other.sentence == "change (new plan) 1 Jan"


def test_an_a1c_and_a_meter_taken_up_lie_beside_the_months_a_change_knows_its_record(
    diary: Diary, person: Person
) -> None:
    with_meter(diary, person, "grey", date(2026, 2, 3), "2026-02-03")
    at = moment_at(datetime.fromisoformat("2026-03-10 15:30"), person.zone, 0)
    note_lab(diary, person, LabResult("a1c", "7.4", "%"), at, now=NOW)
    note_change(diary, person, date(2026, 3, 10), "new plan", now=NOW)

    found = seen(diary, person).beside

    assert [(mark.other.kind, mark.other.words) for mark in found] == [
        ("new meter", "new meter grey"),
        ("change", "change (new plan)"),
        ("lab", "A1C 7.4 %"),
    ]
    assert [mark.change.what if mark.change else None for mark in found] == [None, "new plan", None]


def test_the_marks_of_a_cell_stand_by_their_day_in_the_month(diary: Diary, person: Person) -> None:
    found = seen(diary, person)

    bedtime = found.marks_in(2, SLOTS.index(Mark.BEDTIME))
    assert bedtime.value.tolist() == [9.0, 9.0, 9.0, 3.2]
    assert bedtime.x.tolist() == pytest.approx([0.5 / 31, 1.5 / 31, 2.5 / 31, 3.5 / 31])
    assert len(found.marks_in(1, 0)) == 0
    counts = [len(found.marks_in(month, slot)) for month in range(3) for slot in range(8)]
    assert sum(counts) == len(found.marks)


def test_twelve_months_at_most_end_with_the_chosen_one(diary: Diary, person: Person) -> None:
    written(diary, person, "2024-06-01 07:00", "7.0", Mark.WAKING)

    whole, short = seen(diary, person), seen(diary, person, date(2026, 2, 3), months=2)

    assert len(whole.months) == 12
    assert whole.period.first == date(2025, 4, 1)
    assert [f"{month.first:%Y-%m}" for month in short.months] == ["2026-01", "2026-02"]
    assert short.n == 7


def test_a_diary_without_readings_has_one_gap_and_an_axis(diary: Diary) -> None:
    empty = tilde(diary)

    found = seen(diary, empty)

    assert [month.is_gap for month in found.months] == [True]
    assert len(found.marks) == 0
    assert found.scale.ticks


@pytest.mark.parametrize("ending", [date(1, 1, 5), date(9999, 12, 31)])
def test_the_ends_of_the_calendar_are_months_too(
    diary: Diary, person: Person, ending: date
) -> None:
    assert all(month.is_gap for month in seen(diary, person, ending).months)


@pytest.mark.parametrize("months", [0, 13])
def test_another_number_of_months_is_refused(diary: Diary, person: Person, months: int) -> None:
    with pytest.raises(Refused, match="1 to 12 months"):
        seen(diary, person, months=months)


def test_what_does_not_count_is_in_no_cell(diary: Diary, person: Person) -> None:
    before = seen(diary, person)
    with diary.change("set_aside", {}, now=NOW, person=person) as change:
        change.edit(schema.reading, 1, standing="set_aside", standing_why="for a test")

    after = seen(diary, person)

    assert cell(after, 0, Mark.WAKING).n == cell(before, 0, Mark.WAKING).n - 1
    assert after.left_out == {"set_aside": 1}
    assert len(after.marks) == len(before.marks)
