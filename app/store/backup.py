"""A backup: SQLite's own copy under a passing name, synced, checked, and only then named."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from app.domain.errors import StoreUnavailable
from app.domain.steps import Step
from app.store.backup_check import check_copy, counts_of
from app.store.backup_facts import (
    BackupFacts,
    default_folder,
    newest_verified,
    sidecar,
    write_facts,
)
from app.store.diary import Diary
from app.store.durable import (
    passing_name,
    private_file,
    private_folder,
    remove_with_company,
    sweep,
    sync_file,
    sync_folder,
)
from app.store.file import uri

Progress = Callable[[int, int], None]  # pages done, pages in all

SHRANK_BELOW = 0.8  # a rule of this diary: the program itself never makes rows fewer
_DOING = "backing-up"
_OF_THE_TARGET = ("SQLITE_FULL", "SQLITE_IOERR", "SQLITE_READONLY", "SQLITE_CANTOPEN")
_PAGES_AT_ONCE = 4096  # 16 MB between two reports of progress


@dataclass(frozen=True, slots=True)
class Copied:
    """What a diary held at the moment it was copied."""

    version: int
    counter: int
    zone: str
    readings: int
    rows: dict[str, int]


def make_backup(
    diary: Diary,
    *,
    why: str,
    now: datetime,
    folder: Path | None = None,
    smaller_is_right: bool = False,
    progress: Progress | None = None,
    checking: Step | None = None,
) -> BackupFacts:
    """Make one checked backup; it is there whole under its name, or nothing of it is.

    Parameters
    ----------
    why : str
        A code, part of the name.
    folder : Path, optional
        Another place than `backups` beside the diary; made 0700 where it is not there.
    smaller_is_right : bool, default False
        Do not keep it apart where it has far fewer rows than the newest one before it.
    progress : callable, optional
        Told the pages done and the pages in all.
    checking : callable, optional
        Told how many rows of the copy are looked at; what either raises leaves no backup.

    Raises
    ------
    StoreUnavailable
        The folder can't be written, its disk is full, or the diary did not pass the check.
    """
    place = folder.absolute() if folder else default_folder(diary.path)
    unfinished = passing_name(place / diary.path.name, _DOING)
    try:
        private_folder(place)
        sweep(place / diary.path.name, _DOING, now=now.timestamp())
        _must_have_room(place, diary.path.stat().st_size)
        copied = copy_into(diary, unfinished, progress=progress)
        looked = check_copy(unfinished, rows=copied.rows, step=checking)
        if looked.wrong:
            raise _not_good(diary.path, looked.wrong)
        facts = BackupFacts(
            path=unfinished,
            at=now.astimezone(UTC),
            why=why,
            version=copied.version,
            counter=copied.counter,
            readings=copied.readings,
            rows=copied.rows,
            size=unfinished.stat().st_size,
            sha256=looked.sha256,
            verified_at=now.astimezone(UTC),
            zone=copied.zone,
        )
        if not smaller_is_right:
            facts = replace(facts, rows_before=_shrank_from(facts, diary.path, place))
        _name(unfinished, facts := write_facts(facts, diary.path.stem))
    except OSError as problem:
        raise _not_written(place, problem.strerror or str(problem)) from problem
    finally:
        remove_with_company(unfinished)
    return facts


def copy_into(diary: Diary, target: Path, *, progress: Progress | None = None) -> Copied:
    """Copy one whole state of a diary into a new file, 0600 and synced.

    Raises
    ------
    StoreUnavailable
        The copy could not be made; what there is of it is the caller's to remove.
    """
    with diary.reading() as connection:
        connection.exec_driver_sql("SELECT count(*) FROM sqlite_master")  # from here on one state
        driver = connection.connection.driver_connection
        if not isinstance(driver, sqlite3.Connection):
            raise RuntimeError("the connection to the diary is closed")
        try:
            return copy_connection(driver, target, progress=progress)
        except sqlite3.Error as problem:
            raise _not_copied(target.parent, problem) from problem


def copy_connection(
    source: sqlite3.Connection, target: Path, *, progress: Progress | None = None
) -> Copied:
    """`copy_into`, from a connection inside a transaction; SQLite's own errors are passed on."""
    private_file(target)
    copied = Copied(
        version=_number(source, "PRAGMA user_version"),
        counter=_number(source, "SELECT ifnull(max(change_counter), 0) FROM diary"),
        zone=_zone_in(source),
        readings=_number(source, "SELECT count(*) FROM reading WHERE deleted_at IS NULL"),
        rows=counts_of(source),
    )
    with closing(
        sqlite3.connect(uri(target, writable=True), uri=True, isolation_level=None)
    ) as copy:
        # Nobody needs half of a copy back: no journal, and one sync at the end.
        copy.execute("PRAGMA journal_mode = OFF")
        copy.execute("PRAGMA synchronous = OFF")
        source.backup(copy, pages=_PAGES_AT_ONCE, progress=_reporting(progress))
    sync_file(target)
    return copied


def rows_in(facts: BackupFacts) -> int:
    """How many rows of the person's own a backup holds; the journal is not counted."""
    return sum(count for table, count in facts.rows.items() if not table.startswith("journal"))


def _name(unfinished: Path, facts: BackupFacts) -> None:
    """Give a backup its name, after its facts have theirs: whoever finds it knows of its check."""
    try:
        unfinished.rename(facts.path)
    except OSError:
        sidecar(facts.path).unlink(missing_ok=True)
        raise
    sync_folder(facts.path.parent)


def _reporting(progress: Progress | None) -> Callable[[int, int, int], None] | None:
    if progress is None:
        return None
    return lambda _status, left, pages: progress(pages - left, pages)


def _number(source: sqlite3.Connection, query: str) -> int:
    return int(source.execute(query).fetchone()[0])


def _zone_in(source: sqlite3.Connection) -> str:
    found = source.execute(
        "SELECT zone FROM person WHERE deleted_at IS NULL ORDER BY id LIMIT 1"
    ).fetchone()
    return str(found[0]) if found else "UTC"


def _shrank_from(facts: BackupFacts, diary_path: Path, place: Path) -> int | None:
    """The rows of the backup before, where this one has lost more than a fifth of them."""
    before = newest_verified(diary_path, place)
    if before is None:
        return None
    fewer = rows_in(facts) < SHRANK_BELOW * rows_in(before)
    if fewer or facts.rows.get("reading", 0) < SHRANK_BELOW * before.rows.get("reading", 0):
        return rows_in(before)
    return None


def _must_have_room(place: Path, size: int) -> None:
    free = shutil.disk_usage(place).free
    if free < size + size // 10:
        raise StoreUnavailable(
            f"No backup was made: it needs {size / 1e6:.1f} MB in {place}, and {free / 1e6:.1f} MB "
            "are free there. The diary and earlier backups are safe; free some space, then do it "
            "again."
        )


def _not_written(place: Path, why: str) -> StoreUnavailable:
    return StoreUnavailable(
        f"No backup was made: {place} can't be written ({why}). The diary and earlier backups are "
        "safe; make room there, or name another folder: thimblebook backup DIR"
    )


def _not_good(path: Path, wrong: tuple[str, ...]) -> StoreUnavailable:
    return StoreUnavailable(
        f"No backup was made: a copy of {path} did not pass the check: {'; '.join(wrong)}. "
        "The file was left untouched and so were earlier backups; see them with: "
        "thimblebook backups"
    )


def _not_copied(place: Path, problem: sqlite3.Error) -> StoreUnavailable:
    name = getattr(problem, "sqlite_errorname", "")
    reading = name.startswith(("SQLITE_IOERR_READ", "SQLITE_IOERR_SHORT"))
    if name.startswith(_OF_THE_TARGET) and not reading:
        return _not_written(place, str(problem))
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return StoreUnavailable(
            "No backup was made: another program is writing to the diary and did not finish in "
            "time. Nothing was changed; try again in a moment."
        )
    return StoreUnavailable(
        f"No backup was made: the diary can't be read whole ({problem}). It was left untouched and "
        "so were earlier backups; see them with: thimblebook backups"
    )
