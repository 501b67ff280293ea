from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.store import schema
from app.store.columns import ABOVE, BELOW, EXACT, Columns, columns_of, refreshed
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
