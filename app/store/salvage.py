"""What can still be read of a damaged diary, saved into a new file; the damaged one stays as it is.

Only rows that are as they were written are taken. A backup fills in what is missing, and so do the
lines of the journal.
"""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import ExitStack, closing, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import UUID

from sqlalchemy import update

from app.domain.errors import FileFromNewerVersion, Refused, StoreUnavailable
from app.domain.steps import Step, part_of
from app.store import schema
from app.store.check import check_file
from app.store.diary import Diary
from app.store.diary_file import bring_up, put_in_place
from app.store.durable import companions, private_file, sync_file, sync_folder
from app.store.engine import engine_on
from app.store.file import SCHEMA_VERSION, DiaryFile, uri
from app.store.history import ALL_ERASED
from app.store.row_by_row import Read
from app.store.salvage_file import NewFile
from app.store.salvage_mend import Mended, mend
from app.store.salvage_rows import Saved, merge, rebuild, take_sound
from app.store.spoiled import DayBook, Days, Written
from app.store.upgrade import upgrade

SALVAGE = "salvage"  # the kind of the journal entry that tells of it


@dataclass(frozen=True, slots=True)
class TableSaved:
    """Rows of one table by where they come from, and those missing with the days they lie on.

    `kept` were read as they were written, `from_backup` come from the backup, `rebuilt` from the
    lines of the journal.
    """

    table: str
    kept: int
    from_backup: int
    rebuilt: int
    missing: int
    days: tuple[Days, ...]


@dataclass(frozen=True, slots=True)
class Salvaged:
    """What came of a salvage; `verified` is false where the old file kept no hashes of its rows.

    `entries` changes of the journal are known by their numbers alone, and `references` were
    dropped since what they led to is missing.
    """

    out: Path
    tables: tuple[TableSaved, ...]
    entries: int
    references: int
    verified: bool


def salvage(
    damaged: Path,
    out: Path,
    *,
    backup: Path | None = None,
    installation: UUID,
    now: datetime,
    step: Step | None = None,
) -> Salvaged:
    """Save what can be read of a damaged diary into a new file.

    Parameters
    ----------
    backup : Path, optional
        A copy of the same diary; what it has and the damaged file lacks is added, nothing of what
        is there is overwritten.
    step : callable, optional
        Told how far it has come; what it raises leaves no new file.

    Raises
    ------
    Refused
        Something lies at `out`, nothing at all can be read, or the backup is of another diary.
    FileFromNewerVersion
        A file is newer than this program.
    StoreUnavailable
        The new file can't be written, or did not pass its check; nothing of it is left.
    """
    if out.exists():
        raise Refused(f"Something lies at {out} already; it was left untouched. Name a new file.")
    for path in (damaged, *([backup] if backup else [])):
        if not path.is_file():
            raise Refused(f"There is no file at {path}. Nothing was made.")
    try:
        out.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with TemporaryDirectory(prefix=".salvage-", dir=out.parent) as folder:
            return _salvage(damaged, out, backup, Path(folder), installation, now, step)
    except (OSError, sqlite3.Error) as problem:
        why = problem.strerror if isinstance(problem, OSError) else problem
        raise StoreUnavailable(
            f"Nothing was saved into {out} ({why}). {damaged} was left untouched; "
            "name a place with enough room, then do it again."
        ) from problem


def _salvage(
    damaged: Path,
    out: Path,
    backup: Path | None,
    folder: Path,
    installation: UUID,
    now: datetime,
    step: Step | None,
) -> Salvaged:
    # Worked on as copies: what a crash left half done beside the file is rolled back in the copy.
    copy = _copied(damaged, folder / "damaged")
    other = _copied(backup, folder / "backup") if backup else None
    version = _version(copy, damaged) or (_version(other, backup) if other and backup else 0)
    if not version:
        raise Refused(
            f"Nothing at all can be read of {damaged}; it was left untouched. "
            "Name a backup of it with --from-backup, or see those there are: thimblebook backups"
        )
    fresh = folder / "fresh"
    private_file(fresh)
    _migrate(fresh, to=version)
    if other and backup:
        _bring_to(other, version, backup)
    with ExitStack() as stack:
        connection = stack.enter_context(_opened(fresh, damaged=False))
        source = stack.enter_context(_opened(copy))
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("BEGIN IMMEDIATE")
        new = NewFile(connection)
        saved = take_sound(new, source, part_of(step, 0, 50 if other else 80))
        if other and backup:
            third = stack.enter_context(_opened(other))
            _must_be_of_one_diary(source, third, backup)
            merge(new, third, saved, part_of(step, 50, 80))
        rebuild(new, saved)
        mended = mend(new, now=int(now.timestamp()))
        found = _report(new, out, saved, mended)
        if not any(each.kept or each.from_backup or each.rebuilt for each in found.tables):
            raise Refused(
                f"No row of {damaged} can be read; it was left untouched. "
                "Name a backup of it with --from-backup, or see those there are: "
                "thimblebook backups"
            )
        connection.execute("COMMIT")
    if version < SCHEMA_VERSION:
        bring_up(DiaryFile(fresh, writable=True, version=version))
    _tell_the_journal(fresh, found, installation, now)
    wrong = check_file(fresh, step=part_of(step, 80, 100)).damage
    if wrong:
        raise StoreUnavailable(
            f"Nothing was saved into {out}: the new file did not pass its check "
            f"({'; '.join(wrong)}). {damaged} was left untouched."
        )
    sync_file(fresh)
    put_in_place(fresh, out)
    sync_folder(out.parent)
    return found


def _copied(path: Path, to: Path) -> Path:
    for source, target in zip((path, *companions(path)), (to, *companions(to)), strict=True):
        if source == path or source.exists():
            private_file(target)
            shutil.copyfile(source, target)
    return to


def _opened(path: Path, *, damaged: bool = True) -> closing[sqlite3.Connection]:
    connection = sqlite3.connect(uri(path, writable=True), uri=True, isolation_level=None)
    if damaged:
        connection.execute("PRAGMA writable_schema = ON")  # or a file that was cut is refused
    connection.execute("PRAGMA trusted_schema = OFF")
    connection.execute("PRAGMA secure_delete = ON")
    connection.execute("PRAGMA temp_store = MEMORY")
    return closing(connection)


def _version(copy: Path, path: Path) -> int:
    """The schema version of a file, 0 where nothing can be read of it."""
    version = 0
    with suppress(sqlite3.DatabaseError), _opened(copy) as connection:
        version = int(connection.execute("PRAGMA user_version").fetchone()[0])
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if version > SCHEMA_VERSION:
        raise FileFromNewerVersion(
            f"{path} was written by a newer Thimblebook (its version {version}, this program knows "
            f"{SCHEMA_VERSION}). It was left untouched; use the newer program."
        )
    return version


def _migrate(path: Path, *, to: int) -> None:
    engine = engine_on(DiaryFile(path, writable=True, version=0), foreign_keys=False)
    try:
        upgrade(engine, to=to)
    finally:
        engine.dispose()


def _bring_to(copy: Path, version: int, backup: Path) -> None:
    has = _version(copy, backup)
    if not has or has > version:
        raise Refused(
            f"{backup} can't be used beside this file: it is damaged or of a later version. "
            "Nothing was made; name an earlier backup."
        )
    if has < version:
        _migrate(copy, to=version)


def _must_be_of_one_diary(
    damaged: sqlite3.Connection, backup: sqlite3.Connection, path: Path
) -> None:
    uids = []
    for connection in (damaged, backup):
        with suppress(sqlite3.DatabaseError):
            uids += connection.execute("SELECT uid FROM diary").fetchall()
    if len(set(uids)) > 1:
        raise Refused(
            f"{path} is a backup of another diary, so nothing was taken from it and nothing was "
            "made. Name a backup of this one."
        )


def _report(new: NewFile, out: Path, saved: Saved, mended: Mended) -> Salvaged:
    written = Written(new.connection)
    tables = []
    for table in sorted(new.own):
        gone = mended.left_out.get(table, [])
        ids = {each.id for each in gone}
        missing = [each for each in saved.spoiled[table] if not saved.found_again(new, table, each)]
        book = DayBook(new.columns[table], written)
        kept = [values for values in saved.kept[table] if values[0] not in ids]
        for values in kept:
            book.note(Read(int(str(values[0])), values, None, sound=True))
        for each in [*missing, *gone]:
            book.note(each)
        lost = len({each.id for each in missing} | ids)
        counts = (saved.from_backup[table], saved.rebuilt[table], lost)
        if kept or any(counts):
            tables.append(TableSaved(table, len(kept), *counts, book.days()))
    return Salvaged(
        out, tuple(tables), mended.entries, mended.references, verified=bool(new.hashed)
    )


def _tell_the_journal(fresh: Path, found: Salvaged, installation: UUID, now: datetime) -> None:
    words = {
        name: sum(getattr(each, name) for each in found.tables)
        for name in ("kept", "from_backup", "rebuilt", "missing")
    }
    with (
        Diary(DiaryFile(fresh, writable=True, version=SCHEMA_VERSION), installation) as diary,
        diary.change(SALVAGE, words, now=now) as change,
    ):
        entry = schema.journal_entry
        change.connection.execute(
            update(entry).where(entry.c.id == change.entry_id).values(erased=ALL_ERASED)
        )
