from __future__ import annotations

import os
import shutil
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine

from app.domain.errors import FileFromNewerVersion, NotADiary, StoreUnavailable
from app.domain.shipped import shipped
from app.store.diary_file import create_diary, open_diary
from app.store.engine import engine_on
from app.store.file import APPLICATION_ID, SCHEMA_VERSION, DiaryFile
from app.store.schema import metadata
from tests.households import INSTALLATION, NOW, new_diary, tilde, written


@pytest.fixture
def diary_file(tmp_path: Path) -> Path:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        written(diary, person, "2026-03-12 02:10", "2.9")
        return diary.path


def test_a_new_diary_is_for_its_owner_alone(tmp_path: Path) -> None:
    path = tmp_path / "new folder" / "diary.thimblebook"

    create_diary(path, INSTALLATION, now=NOW).close()

    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert [each.name for each in path.parent.iterdir()] == ["diary.thimblebook"]


def test_a_folder_that_was_there_keeps_its_mode(tmp_path: Path) -> None:
    tmp_path.chmod(0o755)

    new_diary(tmp_path).close()

    assert stat.S_IMODE(tmp_path.stat().st_mode) == 0o755


def test_a_new_diary_never_covers_another_file(diary_file: Path) -> None:
    before = diary_file.read_bytes()

    with pytest.raises(StoreUnavailable, match="already"):
        create_diary(diary_file, INSTALLATION, now=NOW)

    assert diary_file.read_bytes() == before


def test_the_file_says_what_it_is(diary_file: Path) -> None:
    with closing(sqlite3.connect(diary_file)) as connection:
        found = [
            connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("application_id", "user_version", "journal_mode")
        ]

    assert found == [APPLICATION_ID, SCHEMA_VERSION, "delete"]


def test_the_newest_migration_is_the_version_the_program_knows() -> None:
    script = ScriptDirectory(str(shipped("migrations")))

    assert script.get_current_head() == f"{SCHEMA_VERSION:04}"


def test_a_migrated_diary_has_the_schema_that_the_program_expects(diary_file: Path) -> None:
    def schema_of(connection: sqlite3.Connection) -> dict[str, str]:
        rows = connection.execute(
            "SELECT name, sql FROM sqlite_master"
            " WHERE sql IS NOT NULL AND name != 'alembic_version'"
        )
        return {name: " ".join(sql.split()) for name, sql in rows}

    fresh = diary_file.with_name("fresh.db")
    engine = create_engine(f"sqlite:///{fresh}")
    metadata.create_all(engine)
    engine.dispose()

    with closing(sqlite3.connect(fresh)) as one, closing(sqlite3.connect(diary_file)) as other:
        assert schema_of(one) == schema_of(other)


def test_every_connection_is_set_for_safety(diary_file: Path) -> None:
    engine = engine_on(DiaryFile(diary_file, writable=True, version=SCHEMA_VERSION))

    for _ in range(3):
        with engine.connect() as connection:
            found = {
                name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
                for name in (
                    "foreign_keys",
                    "synchronous",
                    "secure_delete",
                    "trusted_schema",
                    "temp_store",
                    "busy_timeout",
                )
            }
            connection.detach()
        assert found == {
            "foreign_keys": 1,
            "synchronous": 3,
            "secure_delete": 1,
            "trusted_schema": 0,
            "temp_store": 2,
            "busy_timeout": 5000,
        }
    engine.dispose()


def test_a_missing_diary_is_named_and_not_made(tmp_path: Path) -> None:
    path = tmp_path / "gone.thimblebook"

    with pytest.raises(StoreUnavailable, match=r"There is no diary at .*gone\.thimblebook"):
        open_diary(path, INSTALLATION)

    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "content",
    [b"", b"waking 5.6\n", b"\x89PNG\r\n\x1a\n" + bytes(500)],
    ids=["empty", "text", "png"],
)
def test_another_kind_of_file_is_left_as_it_is(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "other.thimblebook"
    path.write_bytes(content)

    with pytest.raises(NotADiary, match="left untouched"):
        open_diary(path, INSTALLATION)

    assert path.read_bytes() == content


def test_a_database_of_another_program_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE reading (id)")
    before = path.read_bytes()

    with pytest.raises(NotADiary, match="another program"):
        open_diary(path, INSTALLATION)

    assert path.read_bytes() == before


def test_a_folder_is_no_diary(tmp_path: Path) -> None:
    with pytest.raises(NotADiary, match="folder"):
        open_diary(tmp_path, INSTALLATION)


def test_a_newer_diary_is_left_as_it_is(diary_file: Path) -> None:
    with closing(sqlite3.connect(diary_file)) as connection:
        connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")
        connection.execute("ALTER TABLE reading ADD COLUMN later TEXT")
    before = diary_file.read_bytes()

    with pytest.raises(FileFromNewerVersion, match="newer Thimblebook"):
        open_diary(diary_file, INSTALLATION)

    assert diary_file.read_bytes() == before


def noted_of(path: Path) -> list[str]:
    """What is noted of a diary that opens to be looked at alone, or is refused."""
    try:
        with open_diary(path, INSTALLATION) as diary:
            return ["written"] if diary.writable else [note.code for note in diary.notes]
    except StoreUnavailable as trouble:
        return ["damaged"] if "damaged" in str(trouble) else [str(trouble)]


@pytest.mark.parametrize("lost", [1, 4096, 100_000])
def test_a_cut_diary_is_noticed_before_its_numbers_are_shown(diary_file: Path, lost: int) -> None:
    whole = diary_file.read_bytes()
    diary_file.write_bytes(whole[:-lost])

    assert noted_of(diary_file) == ["damaged"]
    assert diary_file.read_bytes() == whole[:-lost]


def test_a_page_of_noise_is_noticed(diary_file: Path) -> None:
    content = bytearray(diary_file.read_bytes())
    content[4096 * 3 : 4096 * 4] = os.urandom(4096)
    diary_file.write_bytes(bytes(content))

    with pytest.raises(StoreUnavailable, match="damaged"):
        open_diary(diary_file, INSTALLATION)


def test_a_half_made_migration_leaves_no_trace(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "migrations"
    shutil.copytree(shipped("migrations"), folder)
    script = folder / "versions" / "0001_first_tables.sql"
    script.write_text(script.read_text() + ";\nCREATE TABLE half (id INTEGER);\nNOT SQL AT ALL;\n")
    monkeypatch.setattr("app.store.upgrade.shipped", lambda *_: folder)
    path = tmp_path / "new.thimblebook"

    with pytest.raises(StoreUnavailable):
        create_diary(path, INSTALLATION, now=NOW)

    assert sorted(each.name for each in tmp_path.iterdir()) == ["migrations"]


_ON_A_SMALL_DISK = """
import subprocess, sys
mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m,mode=700", "tmpfs", sys.argv[1]])
sys.exit(mounted.returncode or subprocess.run([sys.executable, *sys.argv[2:]]).returncode)
"""

_FILL_AND_SAVE = """
import sys
from pathlib import Path
from tests.households import NOW, INSTALLATION, new_diary, tilde, written
from app.domain.errors import StoreUnavailable
from app.store.diary_file import open_diary
from app.store.readings import count_of

folder = Path(sys.argv[2])
diary = new_diary(folder)
person = tilde(diary)
written(diary, person, "2026-03-12 02:10", "2.9")
left = folder / "ballast"
with left.open("wb", buffering=0) as file:
    try:
        while file.write(bytes(512)):
            pass
    except OSError:
        pass
saved, said = 1, ""
try:
    for number in range(2000):
        written(diary, person, "2026-03-12 02:26", "3.4", note="x" * 4000)
        saved += 1
except StoreUnavailable as trouble:
    said = str(trouble)
print(said)
assert "disk is full" in said, said
assert count_of(diary, person) == saved
left.unlink()
written(diary, person, "2026-03-12 02:43", "4.3")
diary.close()
with open_diary(folder / "diary.thimblebook", INSTALLATION) as again:
    assert count_of(again, person) == saved + 1
"""


def test_a_full_disk_loses_nothing_that_was_saved(tmp_path: Path) -> None:
    root = Path(__file__).resolve().parent.parent
    disk = tmp_path / "disk"
    disk.mkdir()
    inside = [sys.executable, "-c", _ON_A_SMALL_DISK, str(disk), "-c", _FILL_AND_SAVE]
    alone = subprocess.run(["unshare", "-rm", "true"], capture_output=True, check=False)
    if alone.returncode:
        pytest.skip("this kernel lets no program mount a small disk of its own")

    done = subprocess.run(
        ["unshare", "-rm", *inside, str(root), str(disk)],
        capture_output=True,
        text=True,
        check=False,
        cwd=root,
    )

    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("Not saved: the disk is full. Everything saved before is safe.")


_READ_ONLY = """
import subprocess, sys
from pathlib import Path
folder = Path(sys.argv[2])
subprocess.run(["mount", "-t", "tmpfs", "-o", "size=4m,mode=700", "tmpfs", str(folder)], check=True)
from tests.households import INSTALLATION, new_diary, tilde, written
from app.domain.errors import StoreUnavailable
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.readings import count_of

with new_diary(folder) as diary:
    written(diary, tilde(diary), "2026-03-12 02:10", "2.9")
subprocess.run(["mount", "-o", "remount,ro", str(folder)], check=True)
with open_diary(folder / "diary.thimblebook", INSTALLATION) as diary:
    person = persons(diary)[0]
    assert count_of(diary, person) == 1
    try:
        written(diary, person, "2026-03-12 02:26", "3.4")
    except StoreUnavailable as trouble:
        print(trouble)
"""


def test_a_diary_on_a_read_only_disk_is_shown_and_not_written(tmp_path: Path) -> None:
    root = Path(__file__).resolve().parent.parent
    disk = tmp_path / "disk"
    disk.mkdir()
    if subprocess.run(["unshare", "-rm", "true"], capture_output=True, check=False).returncode:
        pytest.skip("this kernel lets no program mount a disk of its own")

    done = subprocess.run(
        ["unshare", "-rm", sys.executable, "-c", _READ_ONLY, str(root), str(disk)],
        capture_output=True,
        text=True,
        check=False,
        cwd=root,
    )

    assert done.returncode == 0, done.stderr
    assert "can only be read here, so nothing was saved" in done.stdout
