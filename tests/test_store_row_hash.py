from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from app.domain.marks import Mark
from app.store import schema
from app.store.check import check_file
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.row_hash import BYTES, Value, hash_of_row, hashed_columns
from app.store.state_hash import state_hash
from tests.commands import Terminal
from tests.damaging import rows_of
from tests.households import INSTALLATION, NOW, new_diary, tilde, written
from tests.version_diary import LINES, RECIPE, make

OTHERS: tuple[Value, ...] = (None, "other", b"other", 3.5)


@pytest.fixture
def full(tmp_path: Path) -> Path:
    path = tmp_path / "full.thimblebook"
    make(path)
    return path


def wrong_hashes(path: Path) -> list[tuple[str, int]]:
    return [
        (table, row[0])
        for table, rows in rows_of(path).items()
        for row in rows
        if hash_of_row(*row[:-1]) != row[-1]
    ]


def test_values_that_only_look_alike_have_hashes_of_their_own() -> None:
    values: tuple[Value, ...] = (
        1,
        1.0,
        "1",
        b"1",
        None,
        "None",
        "",
        b"",
        0,
        0.0,
        -0.0,
        "1.0",
        "b'1'",
        2**53,
        2.0**53,
    )

    found = {hash_of_row(7, value) for value in values}

    assert len(found) == len(values)
    assert {len(each) for each in found} == {BYTES}


def test_text_can_t_move_from_one_column_to_the_next_unnoticed() -> None:
    rows = (("ab", "c"), ("a", "bc"), ("abc", ""), ("a', 'b", "c"), ("a", "b', 'c"), ("abc",))

    assert len({hash_of_row(*row) for row in rows}) == len(rows)


def test_the_hash_stays_what_it_was_when_it_was_first_written() -> None:
    row = (12, b"\x00\xff'\"\\", None, 5.6, "7,2 – Ελλάδα\n'\"\\ 🩸", 100.88736, -1, 1e300)

    assert hash_of_row(*row).hex() == "1b7f234e64ca2060"


def test_every_row_of_every_table_has_its_hash(full: Path) -> None:
    assert wrong_hashes(full) == []
    with closing(sqlite3.connect(full)) as connection:
        hashed = set(hashed_columns(connection))
    assert hashed == {table.name for table in schema.metadata.sorted_tables} - {"diary", "copy"}


def test_no_column_can_change_unnoticed(full: Path) -> None:
    unnoticed = [
        (table, place)
        for table, rows in rows_of(full).items()
        for *values, kept in rows
        for place, value in enumerate(values)
        for other in OTHERS
        if other != value and hash_of_row(*values[:place], other, *values[place + 1 :]) == kept
    ]

    assert unnoticed == []


def test_every_way_of_writing_keeps_the_hashes_right(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    recipe, file = tmp_path / "kitchen.toml", tmp_path / "kitchen.csv"
    recipe.write_text(RECIPE, encoding="utf-8")
    file.write_text(LINES, encoding="utf-8")
    later = NOW + timedelta(minutes=5)

    for words in (
        ("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "UTC", "--targets", "ispad-2022"),
        ("add", "7.2 before lunch #swim shaky"),
        ("import", str(file), "--recipe", str(recipe)),
        ("undo",),
        ("import", str(file), "--recipe", "kitchen"),
        ("undo",),
        ("redo",),
        ("undo",),
        ("undo",),
        ("bin", "empty", "--sure"),
    ):
        done = terminal.type(*words, now=later)
        assert done.code in (0, 1), done.err
        assert wrong_hashes(terminal.diary) == [], words
    assert check_file(terminal.diary).wrong == ()


def test_edits_the_bin_and_bulk_writes_keep_the_hashes_right(full: Path) -> None:
    with open_diary(full, INSTALLATION) as diary:
        person = persons(diary)[0]
        with diary.change("edit", {}, now=NOW, person=person) as change:
            change.edit(schema.reading, 1, value="3.0", mg_dl=54)  # a whole number in a real column
            change.delete(schema.reading, 3)
            change.restore(schema.reading, 3)
            change.connection.exec_driver_sql(
                f"UPDATE note SET text = 'x', rev = {change.entry_id}"
            )
            change.wrote("note")

    assert wrong_hashes(full) == []


def test_the_state_of_a_diary_does_not_rest_on_hashes(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        written(diary, tilde(diary), "2026-03-12 07:05", "7.6", Mark.WAKING, note="n")
        before = state_hash(diary)
        with closing(sqlite3.connect(diary.path, isolation_level=None)) as raw:
            raw.execute("UPDATE reading SET row_hash = NULL")

        assert state_hash(diary) == before


def test_a_value_written_by_another_program_is_noticed(full: Path) -> None:
    with closing(sqlite3.connect(full, isolation_level=None)) as raw:
        raw.execute("UPDATE reading SET value = '9.2', mg_dl = 9.2 * 18.0156 WHERE value = '2.9'")

    assert check_file(full).damage == ("1 reading not as written (2026-03-12)",)
