from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from app.domain.errors import DiaryError, Refused
from app.domain.marks import Mark
from app.domain.person import Person
from app.store import schema
from app.store.check import check_diary
from app.store.diary import Diary
from app.store.readings import readings_of
from app.work.take_back import undo_last
from tests.households import NOW, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Any:
    with new_diary(tmp_path) as made:
        yield made


def live_rows(diary: Diary) -> dict[str, list[tuple[Any, ...]]]:
    with diary.reading() as connection:
        return {
            table.name: [
                tuple(value for name, value in row.items() if name not in ("id", "rev"))
                for row in connection.execute(
                    select(table).where(table.c.deleted_at.is_(None)).order_by(table.c.uid)
                ).mappings()
            ]
            for table in schema.USER_TABLES
        }


def test_what_a_change_touched_can_be_read_in_the_journal(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 02:10", "2.9", Mark.NIGHT, note="shaky", tags=("swim",))

    with diary.reading() as connection:
        kinds = [row.kind for row in connection.execute(select(schema.journal_entry))]
        lines = [
            (row.tbl, row.op)
            for row in connection.execute(select(schema.journal_change)).all()
            if row.tbl != "person"
        ]

    assert kinds == ["person_add", "enter"]
    assert lines == [("reading", "add"), ("note", "add"), ("tag", "add"), ("tag_on", "add")]


def test_undo_of_the_last_reading_takes_its_note_and_tag_along(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6", Mark.WAKING)
    before = live_rows(diary)
    written(diary, person, "2026-03-12 02:10", "2.9", Mark.NIGHT, note="shaky", tags=("swim",))

    done = undo_last(diary, person, now=NOW)

    assert live_rows(diary) == before
    assert done.sentence == "Taken back: the reading 2.9, 2026-03-12 02:10 is in the bin."


def test_undo_again_goes_one_change_further_back(diary: Diary) -> None:
    person = tilde(diary)
    for value in ("5.1", "5.2", "5.3"):
        written(diary, person, "2026-03-12 07:05", value)

    undo_last(diary, person, now=NOW)
    undo_last(diary, person, now=NOW)

    assert [each.glucose.value for each in readings_of(diary, person)] == ["5.1"]


def test_with_nothing_left_undo_says_so(diary: Diary) -> None:
    person = tilde(diary)
    undo_last(diary, person, now=NOW)

    with pytest.raises(Refused, match="nothing to take back"):
        undo_last(diary, None, now=NOW)


def test_an_edit_keeps_the_old_value_and_undo_brings_it_back(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6")
    row_id = readings_of(diary, person)[0].id

    with diary.change("edit", {}, now=NOW, person=person) as change:
        change.edit(schema.reading, row_id, mark="waking", mark_from="person")
    edited = readings_of(diary, person)[0]
    undo_last(diary, person, now=NOW)
    back = readings_of(diary, person)[0]

    assert (edited.mark, edited.amended) == ("waking", True)
    assert back.mark == "none"


def test_a_change_that_fails_half_way_leaves_no_trace(diary: Diary) -> None:
    person = tilde(diary)
    before = live_rows(diary)

    def tag_twice() -> None:
        with diary.change("enter", {}, now=NOW, person=person) as change:
            change.add(schema.tag, person_id=person.id, label="swim")
            change.add(schema.tag, person_id=person.id, label="swim")

    with pytest.raises(DiaryError, match="refused"):
        tag_twice()

    assert live_rows(diary) == before
    assert check_diary(diary).wrong == ()


Step = tuple[str, int]
_steps = st.lists(
    st.tuples(st.sampled_from(["add", "mark", "value", "delete", "restore"]), st.integers(0, 9)),
    max_size=12,
)


@settings(
    max_examples=50, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(steps=_steps)
def test_any_run_of_changes_undone_gives_the_start_again(diary: Diary, steps: list[Step]) -> None:
    person = _someone(diary)
    before = live_rows(diary)

    done = sum(_do(diary, person, *step) for step in steps)
    for _ in range(done):
        undo_last(diary, person, now=NOW)

    assert live_rows(diary) == before
    assert check_diary(diary).wrong == ()


def _someone(diary: Diary) -> Person:
    from app.store.people import persons

    found = persons(diary)
    return found[0] if found else tilde(diary)


def _do(diary: Diary, person: Person, what: str, which: int) -> int:
    if what == "add":
        written(diary, person, f"2026-03-1{which} 07:05", f"{which + 1}.5", note="a note")
        return 1
    table = schema.reading
    with diary.reading() as connection:
        ids = list(connection.execute(select(table.c.id).order_by(table.c.id)).scalars())
    if not ids:
        return 0
    row_id = ids[which % len(ids)]
    with diary.change(what, {}, now=NOW, person=person) as change:
        if what == "mark":
            change.edit(table, row_id, mark=list(Mark)[which].value)
        elif what == "value":
            change.edit(table, row_id, value="9.9", mg_dl=9.9 * 18.0156)
        elif what == "delete":
            change.delete(table, row_id)
        else:
            change.restore(table, row_id)
    return 1


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("mg_dl", "HI"),
        ("mg_dl", b"5"),
        ("mg_dl", float("inf")),
        ("mg_dl", float("nan")),
        ("mg_dl", 0),
        ("instant", "soon"),
        ("instant", 2.5),
        ("unit", "g/L"),
        ("bound", "perhaps"),
        ("after_min", "two hours"),
        ("standing", "set_aside"),
    ],
)
def test_the_file_itself_refuses_values_of_the_wrong_kind(
    diary: Diary, column: str, value: object
) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6")

    with (
        closing(sqlite3.connect(diary.path)) as connection,
        pytest.raises(sqlite3.IntegrityError),
    ):
        connection.execute(f"UPDATE reading SET {column} = ?", (value,))
