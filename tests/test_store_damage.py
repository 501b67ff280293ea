from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from app.domain.errors import StoreUnavailable
from app.store.backup import make_backup
from app.store.check import check_file
from app.store.checks import check_when_due, full_check, is_due
from app.store.damage import DAMAGED
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.readings import count_of
from tests.commands import Terminal
from tests.damaging import altered, filled, leaf_pages, root_page, without_page
from tests.faults.flips import BITS, PAGES, flip
from tests.households import INSTALLATION, NOW, written


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return filled(tmp_path_factory.mktemp("whole") / "diary.thimblebook", imported=400)


@pytest.fixture
def path(whole: Path, tmp_path: Path) -> Path:
    copy = Path(shutil.copyfile(whole, tmp_path / "diary.thimblebook"))
    copy.chmod(0o600)
    return copy


def opened(path: Path, state: Path | None = None) -> Diary:
    return open_diary(path, INSTALLATION, now=NOW, state=state)


def turn_a_value(path: Path) -> None:
    """A note becomes another one as a bit that turns does it: no look at pages sees that."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE note SET text = 'a mark to find' WHERE id = 3")
        connection.commit()
    altered(path, b"a mark to find", b"a mark to fine")


def test_no_bit_or_byte_that_changes_makes_a_wrong_value_look_good(tmp_path: Path) -> None:
    found = flip(tmp_path / "flips", BITS, rounds=60, seed=11)

    assert found.broken == ()
    assert found.seen["by check"] > 6


def test_without_our_own_check_some_wrong_values_would_look_good(tmp_path: Path) -> None:
    assert flip(tmp_path / "flips", BITS, rounds=60, seed=11, control="SQLite's alone").broken != ()


def test_every_cut_and_every_lost_page_is_noticed_at_the_opening(tmp_path: Path) -> None:
    found = flip(tmp_path / "flips", PAGES, rounds=30, seed=12)

    assert found.broken == ()
    assert found.seen["by check"] == found.seen["by reading"] == found.seen["harmless"] == 0


def test_a_damaged_diary_is_shown_as_far_as_it_goes_and_never_written(path: Path) -> None:
    page = leaf_pages(path, "reading")[3]
    without_page(path, page)
    before = path.read_bytes()

    with opened(path) as diary:
        assert (diary.damaged, diary.writable) == (True, False)
        assert diary.notes[0].code == DAMAGED
        assert [each.name for each in persons(diary)] == ["Tilde", "Corwin"]
        with pytest.raises(StoreUnavailable, match="is damaged"):
            written(diary, persons(diary)[0], "2026-03-12 09:00", "6.1")

    assert path.read_bytes() == before


def test_what_is_said_of_damage_names_the_newest_verified_backup(path: Path) -> None:
    with opened(path) as diary:
        make_backup(diary, why="by_hand", now=NOW - timedelta(days=40))
        newest = make_backup(diary, why="by_hand", now=NOW - timedelta(days=2))
    without_page(path, leaf_pages(path, "reading")[3])

    with opened(path) as diary:
        said = diary.notes[0].sentence

    assert f"the newest verified backup is of {newest.local_day}" in said
    assert f"thimblebook restore {newest.path}" in said
    assert "salvage OUT" in said
    assert "left untouched" in said


def test_without_a_backup_the_sentence_says_so(path: Path) -> None:
    without_page(path, leaf_pages(path, "reading")[3])

    with opened(path) as diary:
        assert "there is no verified backup beside it" in diary.notes[0].sentence


def test_a_diary_that_can_t_be_read_at_all_is_not_shown(path: Path) -> None:
    without_page(path, root_page(path, "person"))
    without_page(path, root_page(path, "diary"))

    with pytest.raises(StoreUnavailable, match="so that no wrong number is"):
        opened(path)


def test_the_check_names_what_is_spoiled_by_days_and_never_by_value(path: Path) -> None:
    without_page(path, leaf_pages(path, "reading")[3], noise=4)
    turn = check_file(path).damage

    readings = next(each for each in turn if "reading" in each)

    assert "not readable any more (2025-03-" in readings
    assert " to 2025-" in readings
    assert not any("." in each for each in turn if "reading" in each)


def test_a_row_that_is_not_as_written_is_named_with_its_day(path: Path) -> None:
    turn_a_value(path)

    assert check_file(path).damage == ("1 note not as written (2026-03-12)",)


def test_a_reading_that_lacks_though_the_journal_tells_of_it_is_noticed(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DELETE FROM change_mark WHERE id = 1")
        connection.commit()

    assert check_file(path).damage == ("1 change mark missing that the journal tells of",)


@pytest.mark.parametrize(
    "name", ["CAST(x'7265e5' AS TEXT)", "'none such'", "'a\"b'", "x'ff00'", "''"]
)
def test_a_spoiled_name_of_a_table_is_noticed_and_never_asked_of(path: Path, name: str) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"UPDATE journal_change SET tbl = {name} WHERE id = 2")
        connection.commit()

    damage = check_file(path).damage

    assert "the journal names a table that is not there" in damage


def test_the_full_check_is_due_once_a_week(path: Path, tmp_path: Path) -> None:
    state = tmp_path / "state"
    with opened(path, state) as diary:
        assert is_due(diary, state, now=NOW)
        first = check_when_due(diary, state, now=NOW)
        due = {
            days: is_due(diary, state, now=NOW + timedelta(days=days)) for days in (-1, 0, 6, 7, 30)
        }

    assert first is not None
    assert first.wrong == ()
    assert due == {-1: True, 0: False, 6: False, 7: True, 30: True}


def test_damage_that_only_the_full_check_sees_closes_the_diary_for_writing(
    path: Path, tmp_path: Path
) -> None:
    state = tmp_path / "state"
    turn_a_value(path)
    before = path.read_bytes()

    with opened(path, state) as diary:
        at_start = diary.damaged
        found = check_when_due(diary, state, now=NOW)
        assert found is not None
        assert found.damage
        assert (at_start, diary.damaged) == (False, True)  # the quick look can't see it
        with pytest.raises(StoreUnavailable, match="is damaged"):
            written(diary, persons(diary)[0], "2026-03-12 09:00", "6.1")
    with opened(path, state) as diary:
        assert is_due(diary, state, now=NOW)  # until it was found sound again

    assert path.read_bytes() == before


def test_a_sound_file_in_the_place_of_a_damaged_one_is_trusted_again(
    path: Path, whole: Path, tmp_path: Path
) -> None:
    state = tmp_path / "state"
    turn_a_value(path)
    with opened(path, state) as diary:
        full_check(diary, state, now=NOW)
    shutil.copyfile(whole, path)

    with opened(path, state) as diary:
        found = check_when_due(diary, state, now=NOW + timedelta(minutes=1))

        assert found is not None
        assert found.wrong == ()
        assert not is_due(diary, state, now=NOW + timedelta(minutes=2))
        assert count_of(diary, persons(diary)[0]) > 400


def test_commands_say_that_the_diary_is_damaged_and_write_nothing(path: Path) -> None:
    terminal = Terminal(path.parent)
    turn_a_value(path)
    before = path.read_bytes()

    checked = terminal.type("check")
    listed = terminal.type("--person", "Tilde", "list")
    added = terminal.type("--person", "Tilde", "add", "6.1")

    assert checked.code == 1
    assert "1 note not as written (2026-03-12)" in checked.err
    assert "salvage OUT" in checked.err
    assert "is damaged" in listed.err
    assert (added.code, added.out) == (1, "")
    assert path.read_bytes() == before
