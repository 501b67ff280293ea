from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import NAMESPACE_URL, UUID, uuid5

import pytest
from sqlalchemy import Column, Float, Integer, LargeBinary, select

from app.domain.marks import Mark
from app.domain.reading import Standing
from app.store import schema
from app.store.diary import Diary
from app.store.state_hash import said_by, state_hash
from app.work.take_back import undo_last
from tests.households import NOW, corwin, new_diary, tilde, written

MOMENTS = ("reading", "event", "dose", "ketone", "control_test", "lab_result", "help")
DERIVED_IN_READING = [("reading", name) for name in ("mg_dl", "day", "minute")]


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def full(diary: Diary) -> Iterator[tuple[Diary, sqlite3.Connection]]:
    """A diary with two rows in every table and something in every field, and a way past rules."""
    with closing(sqlite3.connect(diary.path, isolation_level=None)) as raw:
        raw.execute("PRAGMA ignore_check_constraints = ON")
        raw.execute("PRAGMA synchronous = OFF")
        for table in (*schema.USER_TABLES, schema.copy):
            for number in (1, 2):
                row = {column.name: _something(column, number) for column in table.c}
                row["deleted_at" if "deleted_at" in row else "id"] = (
                    None if "deleted_at" in row else number
                )
                places = ", ".join("?" * len(row))
                names = ", ".join(f'"{name}"' for name in row)
                raw.execute(
                    f'INSERT INTO "{table.name}" ({names}) VALUES ({places})', list(row.values())
                )
        yield diary, raw


def _something(column: Column[Any], number: int) -> Any:
    kind = column.type
    if isinstance(kind, LargeBinary):
        return uuid5(NAMESPACE_URL, f"{column.table.name}.{column.name}.{number}").bytes
    if isinstance(kind, Integer | Float):  # references find row 1 or 2 in every table
        return number
    return f"{column.name} {number}"


def _other(value: Any) -> Any:
    if isinstance(value, bytes):
        return value[::-1]
    return f"{value}." if isinstance(value, str) else 3 - value


def _set(raw: sqlite3.Connection, table: str, column: str, value: Any) -> None:
    raw.execute(f'UPDATE "{table}" SET "{column}" = ? WHERE id = 1', (value,))


def test_every_field_of_every_table_counts(full: tuple[Diary, sqlite3.Connection]) -> None:
    diary, raw = full
    before = state_hash(diary)
    unnoticed = []

    for table in schema.USER_TABLES:
        for column in said_by(table):
            value = _something(column, 1)
            for changed in (_other(value), *([None] if column.nullable else [])):
                _set(raw, table.name, column.name, changed)
                if state_hash(diary) == before:
                    unnoticed.append((table.name, column.name, changed))
            _set(raw, table.name, column.name, value)

    assert unnoticed == []
    assert state_hash(diary) == before


def test_a_row_that_is_missing_or_has_another_uid_counts(
    full: tuple[Diary, sqlite3.Connection],
) -> None:
    diary, raw = full
    before = state_hash(diary)
    unnoticed = []

    for table in schema.USER_TABLES:
        uid = _something(table.c.uid, 1)
        for column, changed, value in (("deleted_at", 5, None), ("uid", uid[::-1], uid)):
            _set(raw, table.name, column, changed)
            if state_hash(diary) == before:
                unnoticed.append((table.name, column))
            _set(raw, table.name, column, value)

    assert unnoticed == []


def test_the_journal_and_what_follows_from_other_fields_do_not_count(
    full: tuple[Diary, sqlite3.Connection],
) -> None:
    diary, raw = full
    before = state_hash(diary)
    derived = [(table, "instant") for table in MOMENTS] + DERIVED_IN_READING
    journal = [(table.name, name) for table in schema.USER_TABLES for name in ("born", "rev")]

    for table, column in derived + journal:
        _set(raw, table, column, 77)

    assert state_hash(diary) == before


def test_a_day_or_minute_of_its_own_is_not_derived(
    full: tuple[Diary, sqlite3.Connection],
) -> None:
    diary, raw = full
    found = [state_hash(diary)]

    for table, column in (("visit", "day"), ("change_mark", "day"), ("usual_time", "minute")):
        _set(raw, table, column, 77)
        found.append(state_hash(diary))

    assert len(set(found)) == 4


def test_text_that_looks_like_a_number_is_not_that_number(
    full: tuple[Diary, sqlite3.Connection],
) -> None:
    diary, raw = full
    found = set()

    for value in (b"1", 1.5, "1.5", b"1.5"):
        _set(raw, "import_row", "row_uid", value)  # a blob column takes every type
        found.add(state_hash(diary))

    assert len(found) == 4


def _uid(name: str) -> UUID:
    return uuid5(NAMESPACE_URL, name)


def _family(diary: Diary, names: tuple[str, ...]) -> None:
    """Two persons, each with a meter, two keepers and a reading; the same uids in any order."""
    for name in names:
        with diary.change("person_add", {"name": name}, now=NOW) as change:
            person = change.add(schema.person, uid=_uid(name), name=name, unit="mmol/L", zone="UTC")
            keepers = {
                each: change.add(schema.keeper, uid=_uid(f"{name} {each}"), name=f"{name} {each}")
                for each in (("one", "two") if name == names[0] else ("two", "one"))
            }
            meter = change.add(
                schema.meter, uid=_uid(f"{name}'s"), name="blue", unit="mmol/L", zone="UTC"
            )
            change.add(
                schema.reading,
                uid=_uid(f"{name} 7.2"),
                person_id=person,
                value="7.2",
                unit="mmol/L",
                mg_dl=7.2 * 18.0156,
                origin="typed",
                time_from="typed",
                entered_at=5,
                keeper_id=keepers["two"],
                meter_id=meter,
            )


def test_two_diaries_that_say_the_same_in_another_order_have_one_hash(tmp_path: Path) -> None:
    with new_diary(tmp_path, "a.thimblebook") as a, new_diary(tmp_path, "b.thimblebook") as b:
        _family(a, ("Tilde", "Corwin"))
        _family(b, ("Corwin", "Tilde"))
        with a.reading() as of_a, b.reading() as of_b:
            query = select(schema.reading.c.keeper_id).order_by(schema.reading.c.uid)
            ids = [of.execute(query).scalars().all() for of in (of_a, of_b)]

        assert ids[0] != ids[1]
        assert state_hash(a) == state_hash(b)


def test_who_a_reading_belongs_to_counts(diary: Diary) -> None:
    _family(diary, ("Tilde", "Corwin"))
    before = state_hash(diary)

    with diary.change("edit", {}, now=NOW) as change:
        change.edit(schema.reading, 1, person_id=2)

    assert state_hash(diary) != before


def test_taking_back_brings_the_hash_back(diary: Diary) -> None:
    person = tilde(diary, targets="ispad-2022")
    written(diary, person, "2026-03-12 07:05", "7.6", Mark.WAKING)
    before = state_hash(diary)
    written(
        diary,
        person,
        "2026-03-12 02:10",
        "2.9",
        Mark.NIGHT,
        note="shaky",
        tags=("swim",),
        standing=Standing.SET_ASIDE,
    )
    between = state_hash(diary)

    undo_last(diary, person, now=NOW)

    assert state_hash(diary) == before != between


def test_what_lies_in_the_bin_does_not_count_until_it_is_restored(diary: Diary) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-12 07:05", "126")
    before = state_hash(diary)
    written(diary, person, "2026-03-12 12:05", "141")
    whole = state_hash(diary)

    with diary.change("delete", {}, now=NOW) as change:
        change.delete(schema.reading, 2)
    binned = state_hash(diary)
    with diary.change("restore", {}, now=NOW + timedelta(days=1)) as change:
        change.restore(schema.reading, 2)

    assert binned == before
    assert state_hash(diary) == whole


def test_tidying_the_file_does_not_change_the_hash(diary: Diary) -> None:
    written(diary, tilde(diary, targets="ispad-2022"), "2026-03-12 07:05", "7.6", note="é\n'\"")
    before = state_hash(diary)

    with closing(sqlite3.connect(diary.path, isolation_level=None)) as raw:
        raw.execute("VACUUM")

    assert state_hash(diary) == before
    assert len(before) == 64
