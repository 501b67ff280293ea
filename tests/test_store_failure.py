from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import event

from app.domain.errors import DiaryError, Refused, StoreUnavailable
from app.domain.person import Person
from app.store.diary import Diary
from app.store.readings import count_of
from tests.households import NOW, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        tilde(made)
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    from app.store.people import persons

    return persons(diary)[0]


class Connections:
    """The connections that a diary makes from now on, the first few with a setting of their own."""

    def __init__(self, diary: Diary, setting: str, *, first: int) -> None:
        diary._engine.dispose()
        self.made: list[sqlite3.Connection] = []

        def made(connection: sqlite3.Connection, _: object) -> None:
            self.made.append(connection)
            if len(self.made) <= first:
                connection.execute(setting)

        event.listen(diary._engine, "connect", made)


def is_closed(connection: object) -> bool:
    assert isinstance(connection, sqlite3.Connection)
    try:
        connection.execute("SELECT 1")
    except sqlite3.ProgrammingError:
        return True
    return False


def test_after_a_full_disk_the_connection_is_made_anew(diary: Diary, person: Person) -> None:
    full = Connections(diary, "PRAGMA max_page_count = 1", first=1)  # SQLite raises it to the size

    with pytest.raises(StoreUnavailable, match="the disk is full"):
        written(diary, person, "2026-03-12 02:10", "2.9", note="x" * 40_000)
    assert count_of(diary, person) == 0

    written(diary, person, "2026-03-12 02:10", "2.9", note="x" * 40_000)
    assert count_of(diary, person) == 1
    assert is_closed(full.made[0])


def test_a_diary_locked_by_another_program_takes_the_next_change(
    diary: Diary, person: Person
) -> None:
    Connections(diary, "PRAGMA busy_timeout = 20", first=9)
    with closing(sqlite3.connect(diary.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")

        with pytest.raises(StoreUnavailable, match="Another program is writing"):
            written(diary, person, "2026-03-12 02:10", "2.9")
        assert count_of(diary, person) == 0

        other.execute("ROLLBACK")
        written(diary, person, "2026-03-12 02:10", "2.9")
    assert count_of(diary, person) == 1


def test_a_commit_that_a_reader_holds_up_is_wholly_taken_back(diary: Diary, person: Person) -> None:
    held_up = Connections(diary, "PRAGMA busy_timeout = 20", first=9)
    with closing(sqlite3.connect(diary.path, isolation_level=None)) as other:
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM reading").fetchone()

        with pytest.raises(StoreUnavailable, match="Nothing was changed"):
            written(diary, person, "2026-03-12 02:10", "2.9")
        assert count_of(diary, person) == 0
        assert is_closed(held_up.made[0])

        other.execute("COMMIT")
        written(diary, person, "2026-03-12 02:10", "2.9")
    assert count_of(diary, person) == 1


def test_what_a_table_refuses_leaves_nothing_behind(diary: Diary, person: Person) -> None:
    def refused() -> None:
        with diary.change("test", {}, now=NOW, person=person) as change:
            change.connection.exec_driver_sql("UPDATE person SET name = 'Somebody else'")
            change.connection.exec_driver_sql("UPDATE person SET unit = NULL")

    with pytest.raises(DiaryError, match="Nothing of it was saved"):
        refused()

    with diary.reading() as connection:
        assert connection.exec_driver_sql("SELECT name FROM person").scalar() == "Tilde"
    written(diary, person, "2026-03-12 02:10", "2.9")
    assert count_of(diary, person) == 1


def test_a_refusal_in_the_middle_of_a_change_leaves_nothing_behind(
    diary: Diary, person: Person
) -> None:
    def given_up() -> None:
        with diary.change("test", {}, now=NOW, person=person) as change:
            change.connection.exec_driver_sql("UPDATE person SET name = 'Somebody else'")
            raise Refused("no")

    with pytest.raises(Refused):
        given_up()

    with diary.reading() as connection:
        assert connection.exec_driver_sql("SELECT name FROM person").scalar() == "Tilde"
        assert connection.exec_driver_sql("SELECT change_counter FROM diary").scalar() == 1


def test_trouble_below_sqlalchemy_is_met_with_a_sentence(diary: Diary) -> None:
    used: list[object] = []

    def failing() -> None:
        with diary.reading() as connection:
            used.append(connection.connection.driver_connection)
            raise sqlite3.DatabaseError("database disk image is malformed")

    with pytest.raises(StoreUnavailable, match="left untouched"):
        failing()

    assert is_closed(used[0])


def test_an_error_of_ours_passes_and_leaves_the_diary_usable(diary: Diary, person: Person) -> None:
    with pytest.raises(ZeroDivisionError), diary.change("test", {}, now=NOW, person=person):
        raise ZeroDivisionError

    written(diary, person, "2026-03-12 02:10", "2.9")
    assert count_of(diary, person) == 1
