from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from app.domain.errors import StoreUnavailable
from app.domain.person import Person
from app.store.backup_check import check_copy
from app.store.backup_facts import list_backups, newest_verified
from app.store.diary import Diary
from app.store.diary_file import create_diary, open_diary
from app.store.file import SCHEMA_VERSION, inspect
from app.store.readings import count_of
from app.store.state_hash import state_hash
from app.work.backup import (
    BEFORE_EMPTYING,
    BEFORE_IMPORT,
    age_words,
    backup_first,
    backup_now,
    daily_backup,
    why_words,
)
from app.work.bring_in import bring_in
from tests.households import INSTALLATION, NOW, new_diary, tilde, written
from tests.large_files import kitchen_file

OLD_DIARIES = sorted((Path(__file__).parent / "data" / "versions").glob("*.thimblebook"))


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        tilde(made)
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    from app.store.people import persons

    (found,) = persons(diary)
    return found


def whys(diary: Diary) -> list[str]:
    return [each.why for each in list_backups(diary.path)]


def no_place_for_backups(diary: Diary) -> None:
    (diary.path.parent / "backups").write_text("a file where the folder should be")


def test_a_day_has_one_daily_backup(diary: Diary) -> None:
    first = daily_backup(diary, NOW)
    again = daily_backup(diary, NOW + timedelta(hours=2))
    next_day = daily_backup(diary, NOW + timedelta(hours=3))

    assert first is not None
    assert again is None
    assert next_day is not None
    assert whys(diary) == ["daily", "daily"]


def test_what_was_asked_for_is_no_daily_backup(diary: Diary) -> None:
    backup_now(diary, now=NOW)

    assert daily_backup(diary, NOW) is not None


def test_old_daily_backups_go_and_asked_ones_stay(diary: Diary) -> None:
    asked = backup_now(diary, now=NOW - timedelta(days=900))
    old = daily_backup(diary, NOW - timedelta(days=800))
    assert old is not None

    fresh = daily_backup(diary, NOW)

    assert fresh is not None
    assert list_backups(diary.path) == (asked, fresh)
    assert not old.path.exists()


def test_a_second_place_is_never_tidied(diary: Diary, tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    for days in (900, 800, 0):
        backup_now(diary, why="daily", now=NOW - timedelta(days=days), folder=stick)

    assert len(list_backups(diary.path, stick)) == 3
    assert list_backups(diary.path) == ()


@pytest.mark.parametrize(("rows", "made"), [(100, 0), (101, 1)])
def test_a_large_import_has_a_backup_before_it(
    diary: Diary, person: Person, rows: int, made: int
) -> None:
    before = state_hash(diary)

    bring_in(diary, person, kitchen_file(rows), now=NOW, recipe=None)

    assert whys(diary) == [BEFORE_IMPORT] * made
    for each in list_backups(diary.path):
        with open_diary(each.path, INSTALLATION) as copy:
            assert state_hash(copy) == before


@pytest.mark.parametrize(("minutes", "made"), [(60, 0), (61, 1), (-1, 1)])
def test_a_backup_of_the_last_hour_is_enough_for_an_import(
    diary: Diary, person: Person, minutes: int, made: int
) -> None:
    backup_now(diary, now=NOW - timedelta(minutes=minutes))

    bring_in(diary, person, kitchen_file(101), now=NOW, recipe=None)

    assert whys(diary).count(BEFORE_IMPORT) == made


def test_a_file_that_brings_nothing_new_needs_no_backup(diary: Diary, person: Person) -> None:
    bring_in(diary, person, kitchen_file(101), now=NOW, recipe=None)

    bring_in(diary, person, kitchen_file(101), now=NOW + timedelta(days=1), recipe=None)

    assert whys(diary) == [BEFORE_IMPORT]


def test_a_large_import_does_not_begin_without_its_backup(diary: Diary, person: Person) -> None:
    no_place_for_backups(diary)

    with pytest.raises(StoreUnavailable, match="No backup was made"):
        bring_in(diary, person, kitchen_file(101), now=NOW, recipe=None)

    assert count_of(diary, person) == 0


def test_before_the_bin_is_emptied_a_backup_is_made_always(diary: Diary) -> None:
    backup_now(diary, now=NOW)

    backup_first(diary, why=BEFORE_EMPTYING, now=NOW)

    assert sorted(whys(diary)) == ["asked", BEFORE_EMPTYING]


@pytest.mark.parametrize("old", OLD_DIARIES, ids=lambda path: path.stem)
def test_an_older_diary_is_backed_up_before_it_is_brought_up_to_date(
    old: Path, tmp_path: Path
) -> None:
    path = Path(shutil.copyfile(old, tmp_path / "diary.thimblebook"))
    version = inspect(path).version
    if version == SCHEMA_VERSION:
        pytest.skip("it is of the newest version")

    with open_diary(path, INSTALLATION, now=NOW) as diary:
        now_says = state_hash(diary)

    (made,) = list_backups(path)
    assert (made.why, made.version, made.at) == ("before_migration", version, NOW)
    assert inspect(made.path).version == version
    assert check_copy(made.path, rows=made.rows).wrong == ()
    assert newest_verified(path, certain=True) == made
    copy = Path(shutil.copyfile(made.path, tmp_path / "copy.thimblebook"))
    with open_diary(copy, INSTALLATION) as brought_up:
        assert state_hash(brought_up) == now_says


@pytest.mark.parametrize("old", OLD_DIARIES, ids=lambda path: path.stem)
def test_an_older_diary_stays_as_it_is_where_no_backup_can_be_made(
    old: Path, tmp_path: Path
) -> None:
    path = Path(shutil.copyfile(old, tmp_path / "diary.thimblebook"))
    if inspect(path).version == SCHEMA_VERSION:
        pytest.skip("it is of the newest version")
    (tmp_path / "backups").write_text("a file where the folder should be")

    with pytest.raises(StoreUnavailable, match="of an older form"):
        open_diary(path, INSTALLATION, now=NOW)

    assert path.read_bytes() == old.read_bytes()


def test_a_new_diary_begins_without_a_backup(tmp_path: Path) -> None:
    create_diary(tmp_path / "new.thimblebook", INSTALLATION, now=NOW).close()

    assert [each.name for each in tmp_path.iterdir()] == ["new.thimblebook"]


@pytest.mark.parametrize(
    ("ago", "words"),
    [
        (timedelta(seconds=100), "backup checked just now"),
        (timedelta(minutes=2), "backup checked 2 minutes ago"),
        (timedelta(minutes=119), "backup checked 119 minutes ago"),
        (timedelta(hours=2), "backup checked 2 hours ago"),
        (timedelta(hours=47), "backup checked 47 hours ago"),
        (timedelta(days=8, hours=5), "backup checked 8 days ago"),
        (
            timedelta(minutes=-5),
            "backup checked at a time that is still to come: look at this computer's clock",
        ),
    ],
)
def test_the_age_of_the_newest_backup_in_words(diary: Diary, ago: timedelta, words: str) -> None:
    made = backup_now(diary, now=NOW)

    assert age_words(made, NOW + ago) == words
    assert age_words(None, NOW) == "no checked backup yet"


def test_a_reason_of_a_later_version_has_words_all_the_same() -> None:
    assert why_words("daily") == "daily"
    assert why_words("before_merging") == "before merging"


def test_a_backup_holds_what_is_outside_the_bin_and_what_is_in_it(
    diary: Diary, person: Person
) -> None:
    from app.work.take_back import undo_last

    written(diary, person, "2026-03-12 02:10", "2.9")
    written(diary, person, "2026-03-12 02:20", "3.9")
    undo_last(diary, person, now=NOW)

    made = backup_now(diary, now=NOW)

    assert (made.readings, made.rows["reading"]) == (1, 2)
