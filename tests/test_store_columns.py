from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.store import schema
from app.store.columns import (
    ABOVE,
    ARRAYS,
    BELOW,
    EXACT,
    Columns,
    columns_of,
    last_instant,
    refreshed,
)
from app.store.diary import Diary
from app.store.people import persons
from app.store.readings import readings_of
from app.work.take_back import undo_last
from tests.households import NOW, corwin, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def same(one: Columns, other: Columns) -> bool:
    return all(
        np.array_equal(getattr(one, each.name), getattr(other, each.name))
        for each in fields(Columns)
    )


def test_columns_hold_what_the_list_holds(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 21:00", ">33.3", Mark.BEDTIME)
    written(diary, person, "2026-03-12 02:10", "2.9", Mark.NIGHT, hands="not")
    written(diary, person, "2026-03-12 02:12", "LO")
    written(diary, person, "2026-03-11 07:05", "5.6", standing=Standing.NOT_MINE)

    columns = columns_of(diary, person)

    assert columns.entered.tolist() == [5.6, 2.9, 0.0, 33.3]
    assert columns.bound.tolist() == [EXACT, EXACT, BELOW, ABOVE]
    assert [MARKS[code] for code in columns.mark] == [
        Mark.NONE,
        Mark.NIGHT,
        Mark.NONE,
        Mark.BEDTIME,
    ]
    assert columns.minute.tolist() == [7 * 60 + 5, 130, 132, 21 * 60]
    assert columns.doubt.tolist() == [0, 1, 0, 0]
    assert columns.id.tolist() == [each.id for each in readings_of(diary, person)]


def test_columns_are_of_one_person_alone(diary: Diary) -> None:
    child, adult = tilde(diary), corwin(diary)
    written(diary, child, "2026-03-12 07:05", "5.6")
    written(diary, adult, "2026-03-12 07:05", "155")

    assert columns_of(diary, child).entered.tolist() == [5.6]
    assert columns_of(diary, adult).entered.tolist() == [155.0]


def test_a_span_has_its_start_and_not_its_end(diary: Diary) -> None:
    person = tilde(diary)
    for minute in (5, 6, 7):
        written(diary, person, f"2026-03-12 07:0{minute}", f"{minute}.0")
    at = columns_of(diary, person).instant

    found = columns_of(diary, person, since=int(at[1]), until=int(at[2]))

    assert found.entered.tolist() == [6.0]


def test_a_mark_of_a_newer_list_is_shown_as_written_and_counts_as_unmarked(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    with diary.change("edit", {}, now=NOW, person=person) as change:
        change.edit(schema.reading, 1, mark="before_second_breakfast")

    assert MARKS[columns_of(diary, person).mark[0]] is Mark.NONE
    assert readings_of(diary, person)[0].mark == "before_second_breakfast"


_step = st.tuples(st.sampled_from(["add", "edit", "delete", "undo"]), st.integers(0, 8))


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(steps=st.lists(st.lists(_step, max_size=4), max_size=4))
def test_columns_kept_in_step_are_those_loaded_anew(
    diary: Diary, steps: list[list[tuple[str, int]]]
) -> None:
    person = _the_only_one(diary)
    kept = columns_of(diary, person)

    for some in steps:
        for what, which in some:
            _do(diary, person, what, which)
        kept = refreshed(diary, person, kept)

        assert same(kept, columns_of(diary, person))


def _the_only_one(diary: Diary) -> Person:
    found = persons(diary)
    if found:
        return found[0]
    person = tilde(diary)
    written(diary, person, "2026-03-01 07:05", "5.6")
    return person


def _do(diary: Diary, person: Person, what: str, which: int) -> None:
    found = readings_of(diary, person)
    if what == "add" or not found:
        written(diary, person, f"2026-03-1{which} 07:05", f"{which + 1}.5")
    elif what == "undo":
        undo_last(diary, person, now=NOW)
    else:
        row_id = found[which % len(found)].id
        with diary.change(what, {}, now=NOW, person=person) as change:
            if what == "delete":
                change.delete(schema.reading, row_id)
            else:
                change.edit(schema.reading, row_id, mark=MARKS[which].value)


@given(
    st.lists(
        st.tuples(st.integers(0, 9 * 1440), st.sampled_from([-11 * 60, 0, 14 * 60])), max_size=30
    ),
    st.integers(-2, 10),
    st.integers(0, 5),
    st.sampled_from([0, 6]),
)
def test_days_are_chosen_by_the_place_and_not_by_utc(
    times: list[tuple[int, int]], first: int, more: int, day_start: int
) -> None:
    columns = lived(sorted(times), day_start)
    begin = DAY_ONE + first

    found = columns.between(begin, begin + more)

    inside = (columns.day >= begin) & (columns.day <= begin + more)
    assert found.id.tolist() == columns.id[inside].tolist()


DAY_ONE = date(2026, 3, 1).toordinal()


def lived(times: list[tuple[int, int]], day_start: int) -> Columns:
    """Readings at minutes of UTC from the first of March on, each at an offset of so many."""
    n = len(times)
    utc = np.array([at for at, _ in times], dtype=np.int64)
    wall = utc + np.array([offset for _, offset in times], dtype=np.int64)
    arrays = {each: np.zeros(n, dtype=np.int64) for each in ARRAYS}
    begun = (DAY_ONE - date(1970, 1, 1).toordinal()) * 86400
    arrays["id"] = np.arange(n)
    arrays["instant"] = begun + utc * 60
    arrays["day"] = DAY_ONE + (wall - day_start * 60) // 1440
    return Columns(**arrays, undated=0, seen=0)  # type: ignore[arg-type]


def test_the_last_reading_is_no_later_than_asked(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-11 07:05", "5.6")
    written(diary, person, "2026-03-14 07:05", "6.6")

    first, last = columns_of(diary, person).instant.tolist()

    assert last_instant(diary, person, until=int(NOW.timestamp())) == first
    assert last_instant(diary, person, until=last) == last
    assert last_instant(diary, corwin(diary), until=last) == 0
