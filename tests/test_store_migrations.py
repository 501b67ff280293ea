from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, event

from app.domain.errors import StoreUnavailable
from app.domain.shipped import shipped
from app.store import schema
from app.store.check import check_file
from app.store.diary_file import bring_up, open_diary
from app.store.engine import engine_on
from app.store.file import SCHEMA_VERSION, DiaryFile
from app.store.upgrade import upgrade
from tests.households import INSTALLATION, NOW, new_diary

VERSIONS = Path(__file__).parent / "data" / "versions"
KEPT = sorted(VERSIONS.glob("diary-*.thimblebook"))
OLDEST = KEPT[0]
EARLIER = range(1, SCHEMA_VERSION)
WRITES = ("ALTER", "UPDATE", "CREATE", "INSERT", "PRAGMA user_version =")

Content = dict[str, tuple[tuple[str, ...], list[tuple[Any, ...]]]]


def content_of(path: Path, like: Content | None = None) -> Content:
    """Every row of every table; with `like`, of its tables and columns alone."""
    with closing(sqlite3.connect(path)) as connection:
        tables = like or {
            name: ((), [])
            for (name,) in connection.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table' AND name != 'alembic_version'"
            )
        }
        found: Content = {}
        for table, (columns, _) in tables.items():
            names = columns or tuple(
                row[1] for row in connection.execute(f"PRAGMA table_info({table})")
            )
            listed = ", ".join(names)
            rows = connection.execute(f"SELECT {listed} FROM {table} ORDER BY id").fetchall()
            found[table] = (names, rows)
        return found


def schema_of(path: Path) -> dict[str, str]:
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL")
        return {name: " ".join(sql.split()) for name, sql in rows}


def version_of(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("PRAGMA user_version").fetchone()[0])


def copied(path: Path, folder: Path) -> Path:
    folder.mkdir(exist_ok=True, parents=True)
    copy = Path(shutil.copyfile(path, folder / "diary.thimblebook"))
    copy.chmod(0o600)
    return copy


def upgraded(path: Path) -> None:
    bring_up(DiaryFile(path, writable=True, version=version_of(path)))


def upgraded_to(version: int, folder: Path) -> Path:
    """The oldest diary as the step to a version leaves it."""
    path = copied(OLDEST, folder / f"whole-{version}")
    engine = engine_on(DiaryFile(path, writable=True, version=1), foreign_keys=False)
    upgrade(engine, to=version)
    engine.dispose()
    return path


def test_a_diary_of_every_version_is_kept() -> None:
    assert [version_of(path) for path in KEPT] == list(range(1, SCHEMA_VERSION + 1))


@pytest.mark.parametrize("kept", KEPT, ids=lambda path: path.stem)
def test_a_kept_diary_has_rows_in_every_table(kept: Path) -> None:
    content = content_of(kept)

    assert [table for table, (_, rows) in content.items() if not rows] == []
    if kept is KEPT[-1]:
        assert set(content) == set(schema.metadata.tables)


@pytest.mark.parametrize("kept", KEPT, ids=lambda path: path.stem)
def test_a_diary_of_an_earlier_version_is_brought_up_with_every_value(
    kept: Path, tmp_path: Path
) -> None:
    path = copied(kept, tmp_path / "old")
    before = content_of(path)

    with open_diary(path, INSTALLATION, now=NOW) as diary:
        assert diary.writable
    fresh = new_diary(tmp_path, "fresh.thimblebook")
    fresh.close()

    assert content_of(path, before) == before
    assert version_of(path) == SCHEMA_VERSION
    assert schema_of(path) == schema_of(fresh.path)
    assert check_file(path).wrong == ()


def test_an_interrupted_upgrade_leaves_the_old_diary_or_the_new_one(tmp_path: Path) -> None:
    path = copied(OLDEST, tmp_path / "victim")
    journal = path.with_name(path.name + "-journal")
    old = content_of(path)
    steps = {version: content_of(upgraded_to(version, tmp_path)) for version in EARLIER}
    snaps: list[Path] = []

    def keep(_: Connection, __: Any, statement: str, *___: Any) -> None:
        if statement.startswith(WRITES):
            folder = tmp_path / f"{len(snaps)}"
            snaps.append(copied(path, folder))
            if journal.exists():
                shutil.copyfile(journal, folder / journal.name)

    engine = engine_on(DiaryFile(path, writable=True, version=1), foreign_keys=False)
    event.listen(engine, "connect", _with_a_small_cache)
    event.listen(engine, "before_cursor_execute", keep)
    upgrade(engine)
    engine.dispose()
    # What a crash at that moment would have left: the file and its journal as they were then.
    hot, met = 0, set()
    for snap in dict.fromkeys(snaps[::9] + snaps[-3:]):
        hot += snap.with_name(snap.name + "-journal").exists()
        met.add(version_of(snap))
        # The step that was being made has left no column; those before it are whole.
        assert content_of(snap) == steps[version_of(snap)], snap
        upgraded(snap)
        assert content_of(snap, old) == old
        assert check_file(snap).wrong == ()

    assert len(snaps) > 60
    assert hot > 3
    assert met == set(steps)


def _with_a_small_cache(connection: sqlite3.Connection, _: Any) -> None:
    connection.execute("PRAGMA cache_size = 5")  # pages leave for the file before the commit


@pytest.fixture
def failing_at(tmp_path: Path) -> Callable[[int], Path]:
    """Upgrade a copy of the oldest diary with a failure at the n-th statement that writes."""

    def fail(number: int) -> Path:
        path = copied(OLDEST, tmp_path / f"at-{number}")
        engine = engine_on(DiaryFile(path, writable=True, version=1), foreign_keys=False)
        met = 0

        def stop(_: Connection, __: Any, statement: str, *___: Any) -> None:
            nonlocal met
            met += statement.startswith(WRITES)
            if met == number:
                raise OSError("no answer from the disk")

        event.listen(engine, "before_cursor_execute", stop)
        with pytest.raises(OSError, match="no answer"):
            upgrade(engine)
        engine.dispose()
        return path

    return fail


@pytest.mark.parametrize("number", [1, 2, 3, 30, 61, 69])
def test_an_upgrade_that_fails_leaves_no_trace_and_works_the_next_time(
    failing_at: Callable[[int], Path], number: int
) -> None:
    old = content_of(OLDEST)

    path = failing_at(number)

    assert (version_of(path), content_of(path)) == (1, old)
    assert schema_of(path) == schema_of(OLDEST)
    upgraded(path)
    assert check_file(path).wrong == ()
    assert content_of(path, old) == old


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        ("DELETE FROM note WHERE id = 1", "the number of rows would change in note"),
        ("DROP TABLE dose", "the number of rows would change in dose"),
        ("DELETE FROM person WHERE id = 1", "rows would lose what they belong to"),
    ],
)
def test_a_step_that_would_lose_rows_is_not_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, statement: str, says: str
) -> None:
    folder = tmp_path / "migrations"
    shutil.copytree(shipped("migrations"), folder)
    (folder / "versions" / "9999_bad.py").write_text(
        f'"""Bad."""\nfrom alembic import op\nrevision = "9999"\n'
        f'down_revision = "{SCHEMA_VERSION:04}"\nbranch_labels = depends_on = None\n'
        f"def upgrade():\n    op.get_bind().exec_driver_sql({statement!r})\n"
    )
    monkeypatch.setattr("app.store.upgrade.shipped", lambda *_: folder)
    path = copied(KEPT[-1], tmp_path / "diary")
    before = path.read_bytes()

    with pytest.raises(StoreUnavailable, match=says):
        upgraded(path)

    assert path.read_bytes() == before


def test_an_upgrade_with_foreign_keys_on_is_refused(tmp_path: Path) -> None:
    path = copied(OLDEST, tmp_path)
    engine = engine_on(DiaryFile(path, writable=True, version=1))

    with pytest.raises(ValueError, match="foreign keys are on"):
        upgrade(engine)

    engine.dispose()
    assert version_of(path) == 1


def test_an_earlier_diary_has_a_verified_backup_before_it_is_brought_up(tmp_path: Path) -> None:
    path = copied(OLDEST, tmp_path)
    old = content_of(path)

    open_diary(path, INSTALLATION, now=NOW).close()

    backups = list((tmp_path / "backups").glob("*.thimblebook"))
    assert [version_of(each) for each in backups] == [1]
    assert content_of(backups[0]) == old
