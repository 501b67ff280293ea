from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person
from app.review.by_mark import SINGLE_UP_TO, MarkRow, MarkRows, mark_rows
from app.review.counted import counted_of
from app.review.figure import Missing
from app.review.record import record_of
from app.store.diary import Diary
from tests.households import NOW, corwin, new_diary, tilde, written

MARCH = Period(date(2026, 3, 1), date(2026, 3, 12))


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def rows_of(diary: Diary, person: Person) -> MarkRows:
    record = record_of(diary, person)
    counted, _ = counted_of(record.between(MARCH), person.unit, now=int(NOW.timestamp()))
    return mark_rows(counted, record.targets, MARCH)


def row_of(found: MarkRows, mark: Mark) -> MarkRow:
    return next(row for row in found.rows if row.mark is mark)


def test_every_slot_has_a_row_and_other_marks_only_where_they_occur(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 10:00", "6.0")

    found = rows_of(diary, person)

    assert [row.mark for row in found.rows] == [*SLOTS, Mark.NONE]
    assert [row.n for row in found.rows] == [0] * 8 + [1]
    assert [row.mark for row in found.thin_slots] == list(SLOTS)


def test_a_box_needs_five_readings(diary: Diary) -> None:
    person = tilde(diary)
    for day, value in enumerate(["5.4", "7.8", "11.2", "6.1", "9.9"], start=1):
        written(diary, person, f"2026-03-{day:02} 07:00", value, Mark.WAKING)
        if day < 5:
            written(diary, person, f"2026-03-{day:02} 22:00", value, Mark.BEDTIME)

    found = rows_of(diary, person)

    # By hand, type 7 of five values: the second, third and fourth in order.
    assert row_of(found, Mark.WAKING).median == 7.8
    assert row_of(found, Mark.WAKING).box == (6.1, 9.9)
    assert isinstance(row_of(found, Mark.BEDTIME).median, Missing)
    assert row_of(found, Mark.BEDTIME).box is None


def test_counts_are_against_the_goal_of_the_mark_and_else_the_levels(diary: Diary) -> None:
    person = corwin(diary, targets="ada-adults")
    for day, value in enumerate(["79", "80", "130", "131", "69"], start=1):
        written(diary, person, f"2026-03-{day:02} 07:00", value, Mark.WAKING)
        written(diary, person, f"2026-03-{day:02} 22:00", value, Mark.BEDTIME)

    found = rows_of(diary, person)

    waking, bedtime = row_of(found, Mark.WAKING), row_of(found, Mark.BEDTIME)
    assert (waking.by_goal, waking.judged, waking.below, waking.above) == (True, 5, 2, 1)
    assert found.unjudged == 0
    assert (bedtime.by_goal, bedtime.below, bedtime.above) == (False, 1, 0)


def test_off_the_scale_a_reading_is_counted_and_its_place_is_finite(diary: Diary) -> None:
    person = corwin(diary)
    for day, value in enumerate(["HI", "<20", "LO", "120"], start=1):
        written(diary, person, f"2026-03-{day:02} 07:00", value, Mark.WAKING)

    row = row_of(rows_of(diary, person), Mark.WAKING)

    assert row.marks is not None
    assert np.isfinite(row.marks.value).all()
    assert (row.n, row.below, row.above) == (4, 2, 1)


def test_many_readings_become_piles_that_hold_them_all(diary: Diary) -> None:
    person = tilde(diary)
    for at in range(SINGLE_UP_TO + 1):
        day, minute = 1 + at % 12, at // 12
        written(diary, person, f"2026-03-{day:02} 07:{minute:02}", f"{3 + at % 20}.5", Mark.WAKING)

    row = row_of(rows_of(diary, person), Mark.WAKING)

    assert row.marks is None
    assert row.piles is not None
    assert int(row.piles.count.sum()) == row.n == SINGLE_UP_TO + 1
    assert (np.diff(row.piles.value) >= 0).all()


def test_all_strips_share_one_scale_that_shows_every_value(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 07:00", "1.9", Mark.WAKING)
    written(diary, person, "2026-03-10 22:00", "24.4", Mark.BEDTIME)

    scale = rows_of(diary, person).scale

    assert scale.unit is Unit.MMOL_L
    assert scale.low <= 1.9
    assert scale.high >= 24.4
