from __future__ import annotations

import json
import os
import re
import sqlite3
import stat
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, suppress
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from app.domain.errors import StoreUnavailable
from app.store.backup import make_backup
from app.store.backup_check import check_copy
from app.store.backup_facts import (
    BackupFacts,
    list_backups,
    newest_verified,
    sidecar,
    still_as_checked,
    write_facts,
)
from app.store.check import check_diary
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.rotation import outlived, rotate
from app.store.state_hash import state_hash
from app.work.backup import daily_backup
from app.work.bring_in import bring_in
from tests.households import INSTALLATION, NOW, new_diary, tilde, written
from tests.large_files import kitchen_file

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        person = tilde(made)
        for number in range(20):
            written(made, person, f"2026-03-{number % 10 + 1:02} 0{number % 9}:10", "5.6")
        yield made


@pytest.fixture
def open_umask() -> Iterator[None]:
    before = os.umask(0o022)
    yield
    os.umask(before)


def said_by(path: Path) -> str:
    with open_diary(path, INSTALLATION) as copy:
        assert check_diary(copy).wrong == ()
        return state_hash(copy)


def lose_readings(path: Path, keep: int) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DELETE FROM reading WHERE id > ?", (keep,))
        connection.commit()


def spoil_an_index(path: Path) -> None:
    """Change a key in an index of the readings: the b-tree is sound, what it says is not so."""
    with closing(sqlite3.connect(path)) as connection:
        query = "SELECT rootpage FROM sqlite_master WHERE name = 'ix_reading_person'"
        page = connection.execute(query).fetchone()[0]
        size = connection.execute("PRAGMA page_size").fetchone()[0]
    content = bytearray(path.read_bytes())
    content[page * size - 3] ^= 0x40
    path.write_bytes(bytes(content))


def test_a_backup_says_what_the_diary_says(diary: Diary) -> None:
    made = make_backup(diary, why="asked", now=NOW)

    assert said_by(made.path) == state_hash(diary)
    assert (made.readings, made.version, made.verified_at) == (20, made.version, NOW)
    assert made.rows["reading"] == 20
    assert newest_verified(diary.path, certain=True) == made


@pytest.mark.usefixtures("open_umask")
def test_nobody_else_on_this_computer_can_read_a_backup(diary: Diary) -> None:
    made = make_backup(diary, why="asked", now=NOW, folder=diary.path.parent / "other" / "disk")

    modes = {path: stat.S_IMODE(path.stat().st_mode) for path in (made.path, sidecar(made.path))}
    assert set(modes.values()) == {0o600}
    assert stat.S_IMODE(made.path.parent.stat().st_mode) == 0o700
    assert stat.S_IMODE(made.path.parent.parent.stat().st_mode) == 0o700


def test_a_folder_that_was_there_keeps_its_mode(diary: Diary) -> None:
    folder = diary.path.parent / "stick"
    folder.mkdir(mode=0o755)
    folder.chmod(0o755)

    make_backup(diary, why="asked", now=NOW, folder=folder)

    assert stat.S_IMODE(folder.stat().st_mode) == 0o755


def test_nothing_lies_beside_a_backup_but_its_facts(diary: Diary) -> None:
    made = make_backup(diary, why="before_import", now=NOW)

    assert made.path.name == f"diary-2026-03-12-213000-v{made.version}-before-import.thimblebook"
    there = sorted(path.name for path in made.path.parent.iterdir())
    assert there == [made.path.name, made.path.name + ".json"]


def test_two_backups_of_one_second_have_two_names(diary: Diary) -> None:
    one, other = (make_backup(diary, why="asked", now=NOW) for _ in range(2))

    assert other.path.name == one.path.stem + "-2.thimblebook"
    assert list_backups(diary.path) == (other, one) or list_backups(diary.path) == (one, other)


@pytest.mark.parametrize("state", ["gone", "noise"])
def test_the_newest_backup_is_named_without_its_diary(diary: Diary, state: str) -> None:
    make_backup(diary, why="daily", now=NOW - timedelta(days=1))
    newest = make_backup(diary, why="daily", now=NOW)
    diary.close()

    diary.path.unlink()
    if state == "noise":
        diary.path.write_bytes(os.urandom(8192))

    assert newest_verified(diary.path, certain=True) == newest


def test_backups_of_another_diary_in_the_folder_are_not_listed(diary: Diary) -> None:
    folder = diary.path.parent / "backups"
    with new_diary(diary.path.parent, "diary-2.thimblebook") as other:
        make_backup(other, why="asked", now=NOW)
    mine = make_backup(diary, why="asked", now=NOW)
    (folder / "diary-holiday.thimblebook").write_text("")

    assert list_backups(diary.path) == (mine,)


@pytest.mark.parametrize("noted", ["", "[]", "{}", '{"at": 5}', "\x00\x01"])
def test_a_backup_whose_facts_are_lost_is_listed_and_not_relied_on(
    diary: Diary, noted: str
) -> None:
    made = make_backup(diary, why="asked", now=NOW)
    sidecar(made.path).write_text(noted)

    (listed,) = list_backups(diary.path)

    assert (listed.path, listed.why, listed.verified_at) == (made.path, "asked", None)
    assert newest_verified(diary.path) is None


def test_a_backup_that_was_changed_since_is_passed_over(diary: Diary) -> None:
    older = make_backup(diary, why="daily", now=NOW - timedelta(days=1))
    newer = make_backup(diary, why="daily", now=NOW)
    content = bytearray(newer.path.read_bytes())
    content[-100] ^= 1
    newer.path.write_bytes(bytes(content))

    assert not still_as_checked(newer)
    assert newest_verified(diary.path, certain=True) == older


def test_a_cut_backup_is_passed_over_at_a_glance(diary: Diary) -> None:
    older = make_backup(diary, why="daily", now=NOW - timedelta(days=1))
    newer = make_backup(diary, why="daily", now=NOW)
    newer.path.write_bytes(newer.path.read_bytes()[:-512])

    assert newest_verified(diary.path) == older


def test_a_diary_that_fails_its_check_gives_no_backup(diary: Diary) -> None:
    good = make_backup(diary, why="daily", now=NOW - timedelta(days=1))
    diary.close()
    spoil_an_index(diary.path)
    before = diary.path.read_bytes()

    with (
        open_diary(diary.path, INSTALLATION) as spoilt,
        pytest.raises(StoreUnavailable, match="did not pass the check"),
    ):
        make_backup(spoilt, why="daily", now=NOW)

    assert list_backups(diary.path) == (good,)
    assert len(list(good.path.parent.iterdir())) == 2
    assert diary.path.read_bytes() == before


def test_a_copy_with_other_rows_than_the_diary_is_not_good(diary: Diary) -> None:
    made = make_backup(diary, why="asked", now=NOW)
    lose_readings(made.path, keep=19)

    looked = check_copy(made.path, rows=made.rows)

    assert looked.wrong == ("it has 19 rows of reading and not 20",)
    assert looked.sha256 != made.sha256


@pytest.mark.parametrize("keep", [15, 16])
def test_a_backup_that_shrank_by_over_a_fifth_is_kept_apart(diary: Diary, keep: int) -> None:
    before = make_backup(diary, why="daily", now=NOW)
    lose_readings(diary.path, keep=keep)

    after = make_backup(diary, why="daily", now=NOW + timedelta(days=1))

    assert after.apart == (keep == 15)
    assert after.path.stem.endswith("-shrank") == (keep == 15)
    assert newest_verified(diary.path) == (before if keep == 15 else after)


def test_a_smaller_diary_can_be_right(diary: Diary) -> None:
    make_backup(diary, why="daily", now=NOW)
    lose_readings(diary.path, keep=2)

    after = make_backup(diary, why="asked", now=NOW + timedelta(days=1), smaller_is_right=True)
    next_one = make_backup(diary, why="daily", now=NOW + timedelta(days=2))

    assert not after.apart
    assert newest_verified(diary.path) == next_one


def test_progress_goes_up_to_the_last_page(diary: Diary) -> None:
    told: list[tuple[int, int]] = []

    make_backup(diary, why="asked", now=NOW, progress=lambda done, of: told.append((done, of)))

    assert told[-1][0] == told[-1][1] > 0
    assert told == sorted(told)


def test_what_a_killed_run_left_is_swept_after_a_day(diary: Diary) -> None:
    folder = diary.path.parent / "backups"
    folder.mkdir()
    old, young = (folder / f".diary.thimblebook.backing-up.{name}" for name in ("old", "young"))
    for each, hours in ((old, 25), (young, 1)):
        each.write_bytes(b"half")
        at = (NOW - timedelta(hours=hours)).timestamp()
        os.utime(each, (at, at))

    make_backup(diary, why="asked", now=NOW)

    assert not old.exists()
    assert young.exists()


def test_a_diary_being_written_to_gives_a_state_between_two_commits(tmp_path: Path) -> None:
    made = rounds = 0
    while made < 30:
        folder = tmp_path / str(rounds)
        folder.mkdir()
        with new_diary(folder) as diary:
            person = tilde(diary)
            make_backup(diary, why="asked", now=NOW)  # so that the import waits for none
            states = {state_hash(diary)}
            file = kitchen_file(10_000)
            importing = threading.Thread(
                target=lambda d=diary, p=person, f=file: bring_in(d, p, f, now=NOW, recipe=None)
            )
            importing.start()
            during = []
            while importing.is_alive():
                during.append(make_backup(diary, why="daily", now=NOW, smaller_is_right=True))
            importing.join()
            states.add(state_hash(diary))
        assert len(states) == 2
        for backup in during:
            assert said_by(backup.path) in states
            assert backup.readings in (0, 10_000)
        made, rounds = made + len(during), rounds + 1
    assert made >= 30


def a_backup(folder: Path, at: datetime, why: str = "daily", **more: object) -> BackupFacts:
    facts = BackupFacts(
        path=folder / "any", at=at, why=why, version=1, counter=1, readings=1,
        rows={"reading": 1}, size=1, sha256="", verified_at=at, zone="Europe/Lisbon",
    )  # fmt: skip
    return replace(facts, **more)  # type: ignore[arg-type]


def days_kept(found: list[BackupFacts], now: datetime) -> list[date]:
    gone = {each.at for each in outlived(found, now=now)}
    return [each.local_day for each in found if each.at not in gone]


def test_a_week_of_days_a_month_of_weeks_and_a_year_of_months_are_kept(tmp_path: Path) -> None:
    now = datetime(2026, 3, 12, 12, tzinfo=UTC)  # a Thursday
    found = [a_backup(tmp_path, now - timedelta(days=ago)) for ago in range(700, -1, -1)]

    kept = days_kept(found, now)

    assert kept[-7:] == [date(2026, 3, day) for day in range(6, 13)]
    mondays = [date(2026, 2, 9), date(2026, 2, 16), date(2026, 2, 23), date(2026, 3, 2)]
    firsts = [date(2025, month, 1) for month in range(3, 13)] + [
        date(2026, month, 1) for month in (1, 2, 3)
    ]
    assert kept[:-7] == sorted(mondays + firsts)


@pytest.mark.parametrize("first_day", range(0, 366, 15))
def test_day_by_day_a_state_from_before_day_50_stays_until_day_400(
    tmp_path: Path, first_day: int
) -> None:
    begun = datetime(2026, 1, 1, 20, tzinfo=UTC) + timedelta(days=first_day)
    kept: list[BackupFacts] = []
    for day in range(401):
        now = begun + timedelta(days=day)
        kept.append(a_backup(tmp_path, now, counter=day))
        gone = {each.at for each in outlived(kept, now=now)}
        kept = [each for each in kept if each.at not in gone]

    assert min(each.counter for each in kept) < 50
    assert len(kept) <= 7 + 5 + 13


def test_what_was_asked_for_or_never_checked_is_not_let_go_of(tmp_path: Path) -> None:
    old = NOW - timedelta(days=3000)
    asked = a_backup(tmp_path, old, "asked")
    unchecked = a_backup(tmp_path, old, verified_at=None)
    second = a_backup(tmp_path, old + timedelta(days=1))
    fresh = a_backup(tmp_path, NOW)

    assert outlived([asked, unchecked, second, fresh], now=NOW) == [second]


def test_backups_that_shrank_take_no_others_place(tmp_path: Path) -> None:
    first = datetime(2026, 2, 1, 9, tzinfo=UTC)
    shrank = a_backup(tmp_path, first, rows_before=9)
    whole = a_backup(tmp_path, first + timedelta(days=1))

    assert outlived([shrank, whole], now=NOW) == []


def test_the_newest_good_backup_stays_however_old_it_is(tmp_path: Path) -> None:
    diary_path = tmp_path / "diary.thimblebook"
    folder = tmp_path / "backups"
    folder.mkdir()
    made = []
    for ago in (3000, 2999, 2998):
        facts = a_backup(folder, NOW - timedelta(days=ago), size=4, sha256=_DIGEST_OF_GOOD)
        named = write_facts(facts, "diary")
        named.path.write_bytes(b"good" if ago != 2998 else b"baad")
        made.append(named.path)

    gone = rotate(diary_path, now=NOW)

    assert gone == (made[0], made[2])
    assert [each.path for each in list_backups(diary_path)] == [made[1]]
    assert sorted(path.name for path in folder.iterdir()) == [made[1].name, made[1].name + ".json"]


_DIGEST_OF_GOOD = "770e607624d689265ca6c44884d0807d9b054d23c473c106c72be9de08b7376c"


def test_the_facts_can_be_read_by_anyone_with_the_file(diary: Diary) -> None:
    made = make_backup(diary, why="asked", now=NOW)

    noted = json.loads(sidecar(made.path).read_text())

    assert noted["sha256"] == made.sha256
    assert (noted["readings"], noted["rows"]["reading"], noted["why"]) == (20, 20, "asked")
    assert noted["verified_at"] == "2026-03-12T21:30:00+00:00"


_FULL = """
import shutil, subprocess, sys
from collections import namedtuple
from pathlib import Path
folder, disk = Path(sys.argv[1]), Path(sys.argv[2])
subprocess.run(["mount", "-t", "tmpfs", "-o", "size=300k,mode=700", "tmpfs", str(disk)], check=True)
from app.domain.errors import StoreUnavailable
from app.store.backup import make_backup
from tests.households import NOW, new_diary, tilde, written
diary = new_diary(folder)
written(diary, tilde(diary), "2026-03-12 02:10", "2.9")
real = shutil.disk_usage
for free in (real, lambda _: namedtuple("usage", "free")(10**9)):
    shutil.disk_usage = free
    try:
        make_backup(diary, why="asked", now=NOW, folder=disk)
    except StoreUnavailable as trouble:
        print(trouble)
    assert list(disk.iterdir()) == [], list(disk.iterdir())
subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
try:
    make_backup(diary, why="asked", now=NOW, folder=disk / "inside")
except StoreUnavailable as trouble:
    print(trouble)
assert list(disk.iterdir()) == []
"""


def test_a_full_or_read_only_place_is_said_and_nothing_is_left_there(tmp_path: Path) -> None:
    if subprocess.run(["unshare", "-rm", "true"], capture_output=True, check=False).returncode:
        pytest.skip("this kernel lets no program mount a small disk of its own")
    folder, disk = tmp_path / "home", tmp_path / "disk"
    folder.mkdir()
    disk.mkdir()

    done = subprocess.run(
        ["unshare", "-rm", sys.executable, "-c", _FULL, str(folder), str(disk)],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )

    assert done.returncode == 0, done.stderr
    no_room, full, read_only = done.stdout.splitlines()
    assert re.match(r"No backup was made: it needs 0\.\d MB in ", no_room)
    assert full.startswith("No backup was made: ")
    assert "can't be written" in full
    assert "full" in full or "No space left" in full
    assert "Read-only file system" in read_only


@pytest.mark.parametrize("damage", ["values", "rows", "pages"])
def test_a_backup_from_before_a_damage_is_there_a_year_later(tmp_path: Path, damage: str) -> None:
    begun = datetime(2026, 1, 1, 20, tzinfo=UTC)
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        for number in range(10):
            written(diary, person, f"2026-01-01 0{number}:10", "5.6")
        good = state_hash(diary)
        path = diary.path
    for day in range(0, 401, 10):
        if day == 50:
            if damage == "pages":
                spoil_an_index(path)
            with closing(sqlite3.connect(path)) as connection:
                if damage == "values":
                    connection.execute("UPDATE reading SET value = '6.5', mg_dl = 6.5 * 18.0156")
                if damage == "rows":
                    connection.execute("DELETE FROM reading WHERE id > 3")
                connection.commit()
        with open_diary(path, INSTALLATION) as diary, suppress(StoreUnavailable):
            daily_backup(diary, begun + timedelta(days=day))

    old = [
        each
        for each in list_backups(path)
        if each.verified_at is not None and (each.at - begun).days < 50 and not each.apart
    ]
    assert old
    assert all(still_as_checked(each) for each in old)
    assert {said_by(each.path) for each in old} == {good}
    assert len(list_backups(path)) <= 2 * (7 + 5 + 13) + 1
