from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from app.domain.errors import FileFromNewerVersion, Refused, StoreUnavailable
from app.store import schema
from app.store.check import check_file
from app.store.diary_file import open_diary
from app.store.file import SCHEMA_VERSION
from app.store.people import persons
from app.store.readings import count_of, readings_of
from app.store.salvage import Salvaged, TableSaved, salvage
from app.store.state_hash import state_hash
from tests.commands import Terminal
from tests.damaging import Rows, filled, leaf_pages, root_page, values_of, without_page
from tests.households import INSTALLATION, NOW, new_diary, tilde, written
from tests.test_store_migrations import OLDEST
from tests.version_diary import make


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return filled(tmp_path_factory.mktemp("whole") / "diary.thimblebook", imported=1500)


@pytest.fixture
def path(whole: Path, tmp_path: Path) -> Path:
    copy = Path(shutil.copyfile(whole, tmp_path / "diary.thimblebook"))
    copy.chmod(0o600)
    return copy


def saved(path: Path, backup: Path | None = None, name: str = "out.thimblebook") -> Salvaged:
    out = path.with_name(name)
    before = path.read_bytes()
    found = salvage(path, out, backup=backup, installation=INSTALLATION, now=NOW)
    assert path.read_bytes() == before
    return found


def of(found: Salvaged, table: str) -> TableSaved:
    return next(each for each in found.tables if each.table == table)


def state_of(path: Path) -> str:
    with open_diary(path, INSTALLATION) as diary:
        assert diary.writable
        return state_hash(diary)


def wrong_rows(path: Path, truth: Rows) -> list[tuple[str, Any]]:
    """Rows of a salvaged file that say something else than the row with their uid once did."""
    own = {table: {row[1]: row for row in rows} for table, rows in truth.items()}
    return [
        (table, row[0])
        for table, rows in values_of(path).items()
        for row in rows
        if not table.startswith("journal") and own[table].get(row[1]) != row
    ]


def test_of_a_sound_diary_everything_is_saved(path: Path) -> None:
    found = saved(path)

    assert [each.table for each in found.tables if each.missing or each.rebuilt] == []
    assert state_of(found.out) == state_of(path)
    assert wrong_rows(found.out, values_of(path)) == []
    assert check_file(found.out).wrong == ()
    assert found.out.stat().st_mode & 0o777 == 0o600
    assert sorted(each.name for each in path.parent.iterdir()) == [
        "diary.thimblebook",
        "out.thimblebook",
    ]


@pytest.mark.parametrize("part", [0.1, 0.5, 0.9])
@pytest.mark.parametrize("noise", [None, 3])
def test_one_lost_page_of_readings_costs_less_than_one_in_twenty(
    path: Path, part: float, noise: int | None
) -> None:
    truth = values_of(path)
    pages = leaf_pages(path, "reading")
    without_page(path, pages[int(len(pages) * part)], noise=noise)

    found = saved(path)
    readings = of(found, "reading")

    assert len(pages) > 20
    assert readings.kept + readings.rebuilt >= 0.95 * len(truth["reading"])
    assert readings.kept + readings.rebuilt + readings.missing == len(truth["reading"])
    assert wrong_rows(found.out, truth) == []
    assert check_file(found.out).wrong == ()


def test_what_is_missing_is_told_by_days(path: Path) -> None:
    truth = {row[0]: row for row in values_of(path)["reading"]}
    pages = leaf_pages(path, "reading")
    without_page(path, pages[len(pages) // 2])

    found = saved(path)

    there = {row[0] for row in values_of(found.out)["reading"]}
    with closing(sqlite3.connect(path.with_name("out.thimblebook"))) as connection:
        columns = [row[1] for row in connection.execute("PRAGMA table_info(reading)")]
    lost = {date.fromordinal(truth[each][columns.index("day")]) for each in truth.keys() - there}
    (first, last), *more = of(found, "reading").days
    assert more == []
    assert min(lost) >= first
    assert max(lost) <= last
    assert (last - first).days <= (max(lost) - min(lost)).days + 2


def test_with_the_backup_of_the_day_before_only_that_day_is_missing(
    path: Path, tmp_path: Path
) -> None:
    backup = Path(shutil.copyfile(path, tmp_path / "backup.thimblebook"))
    with open_diary(path, INSTALLATION) as diary:
        person = persons(diary)[0]
        written(diary, person, "2026-03-12 15:00", "8.8", note="after the backup")
        first = readings_of(diary, person)[0]
        with diary.change("edit", {}, now=NOW + timedelta(hours=1), person=person) as change:
            change.edit(schema.reading, first.id, mark="bedtime")
    before = state_of(path)
    pages = leaf_pages(path, "reading")
    for number, page in enumerate(pages):
        if number % 3 == 0:
            without_page(path, page, noise=number)

    found = saved(path, backup)

    assert of(found, "reading").missing == 0
    assert of(found, "reading").from_backup > 100
    assert state_of(found.out) == before
    assert check_file(found.out).wrong == ()


def test_a_row_that_is_there_is_never_overwritten_by_the_backup(path: Path, tmp_path: Path) -> None:
    backup = Path(shutil.copyfile(path, tmp_path / "backup.thimblebook"))
    with open_diary(path, INSTALLATION) as diary:
        person = persons(diary)[0]
        row = readings_of(diary, person)[0]
        with diary.change("delete", {}, now=NOW, person=person) as change:
            change.delete(schema.reading, row.id)
    before = state_of(path)

    found = saved(path, backup)

    assert sum(each.from_backup for each in found.tables) == 0
    assert state_of(found.out) == before


def test_a_person_whose_page_is_lost_comes_back_from_the_journal(path: Path) -> None:
    before = state_of(path)
    without_page(path, root_page(path, "person"))

    found = saved(path)

    assert of(found, "person").rebuilt == 2
    assert state_of(found.out) == before


def test_a_value_that_a_bit_changed_is_left_out_or_put_right_and_never_kept(tmp_path: Path) -> None:
    path = tmp_path / "small.thimblebook"
    make(path)
    truth = values_of(path)
    with closing(sqlite3.connect(path)) as connection:
        # Bits that turn write no hash anew.
        connection.execute("UPDATE reading SET value = '3.9' WHERE id = 1")  # typed
        connection.execute("UPDATE reading SET value = '6.6' WHERE value = '5.6'")  # of a file
        connection.commit()

    found = saved(path)

    assert (of(found, "reading").rebuilt, of(found, "reading").missing) == (1, 1)
    assert wrong_rows(found.out, truth) == []
    assert of(found, "reading").days == ((date(2026, 3, 1), date(2026, 3, 1)),)


def test_lost_entries_of_the_journal_have_stand_ins_and_no_reading_is_lost(path: Path) -> None:
    before = state_of(path)
    pages = leaf_pages(path, "journal_entry")
    without_page(path, pages[0])

    found = saved(path)

    assert found.entries > 5
    assert state_of(found.out) == before
    assert check_file(found.out).wrong == ()


def test_without_the_whole_journal_the_readings_are_saved(path: Path) -> None:
    truth = values_of(path)
    for table in ("journal_entry", "journal_change", "copy", "diary"):
        for page in {root_page(path, table), *leaf_pages(path, table)}:
            without_page(path, page)

    found = saved(path)

    assert of(found, "reading").kept == len(truth["reading"])
    assert check_file(found.out).wrong == ()
    with open_diary(found.out, INSTALLATION) as diary:
        written(diary, persons(diary)[0], "2026-03-12 16:00", "6.1")


def test_a_first_page_that_is_gone_leaves_the_backup(path: Path, tmp_path: Path) -> None:
    backup = Path(shutil.copyfile(path, tmp_path / "backup.thimblebook"))
    before = state_of(path)
    without_page(path, 1)

    with pytest.raises(Refused, match="--from-backup"):
        saved(path)
    found = saved(path, backup)

    assert of(found, "reading").missing == 0
    assert state_of(found.out) == before


@pytest.mark.parametrize("part", [0.3, 0.7, 0.95])
def test_of_a_file_that_was_cut_no_wrong_row_is_saved(path: Path, part: float) -> None:
    truth = values_of(path)
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * part)])

    found = saved(path)

    assert wrong_rows(found.out, truth) == []
    assert sum(each.kept + each.rebuilt for each in found.tables) > 50
    assert check_file(found.out).wrong == ()


def test_what_a_crash_left_half_done_is_rolled_back_in_the_new_file_alone(
    path: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "crashed"
    folder.mkdir()
    before = state_of(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA cache_size = 5")
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("UPDATE reading SET entered_at = 5")
        for each in ("diary.thimblebook", "diary.thimblebook-journal"):
            shutil.copyfile(path.with_name(each), folder / each)
        connection.execute("ROLLBACK")
    journal = (folder / "diary.thimblebook-journal").read_bytes()

    found = saved(folder / "diary.thimblebook")

    assert state_of(found.out) == before
    assert (folder / "diary.thimblebook-journal").read_bytes() == journal


def test_a_diary_without_hashes_is_saved_unchecked_and_brought_up(tmp_path: Path) -> None:
    path = Path(shutil.copyfile(OLDEST, tmp_path / "old.thimblebook"))
    truth = values_of(OLDEST.with_name("diary-0002.thimblebook"))
    without_page(path, root_page(path, "care_text"))

    found = saved(path)

    assert not found.verified
    assert of(found, "reading").kept == len(truth["reading"])
    assert of(found, "care_text").rebuilt + of(found, "care_text").missing == 1
    with closing(sqlite3.connect(found.out)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone()[0] == SCHEMA_VERSION
    assert check_file(found.out).wrong == ()


def test_a_backup_of_another_diary_is_refused(path: Path, tmp_path: Path) -> None:
    with new_diary(tmp_path, "other.thimblebook") as other:
        tilde(other)

    with pytest.raises(Refused, match="another diary"):
        saved(path, other.path)

    assert not path.with_name("out.thimblebook").exists()


def test_nothing_is_written_over_or_made_of_nothing(path: Path) -> None:
    other = path.with_name("out.thimblebook")
    other.write_text("somebody's")

    with pytest.raises(Refused, match="already"):
        saved(path)
    with pytest.raises(Refused, match="no file"):
        salvage(path, path.with_name("new"), backup=path.with_name("none"),
                installation=INSTALLATION, now=NOW)  # fmt: skip

    assert other.read_text() == "somebody's"
    assert not path.with_name("new").exists()


def test_a_newer_diary_is_left_to_the_newer_program(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")

    with pytest.raises(FileFromNewerVersion):
        saved(path)


def test_a_place_that_cannot_be_made_is_told_without_the_systems_own_wording(path: Path) -> None:
    with pytest.raises(StoreUnavailable) as told:
        salvage(path, path / "new", backup=None, installation=INSTALLATION, now=NOW)

    assert "was left untouched" in str(told.value)
    assert "Errno" not in str(told.value)


def test_the_command_tells_what_was_saved_and_what_is_missing(path: Path) -> None:
    terminal = Terminal(path.parent)
    backup = Path(shutil.copyfile(path, path.with_name("backup.thimblebook")))
    pages = leaf_pages(path, "reading")
    without_page(path, pages[len(pages) // 2])
    out, full = path.with_name("a.thimblebook"), path.with_name("b.thimblebook")

    alone = terminal.ok("salvage", str(out))
    merged = terminal.ok("salvage", str(full), "--from-backup", str(backup), "--json").json

    assert f"Saved into {out}; {path} was left untouched." in alone.out
    assert "missing (2025-" in alone.out
    assert "Look for what is missing in the meter" in alone.out
    assert merged["tables"]["reading"]["missing"] == 0
    assert merged["tables"]["reading"]["from_backup"] > 10
    with open_diary(full, INSTALLATION) as diary:
        assert count_of(diary, persons(diary)[0]) > 1500
