"""A copy of a diary looked at whole before it is called good."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from threading import Event

from app.domain.steps import Step, Stopped
from app.store.backup_facts import sha256_of
from app.store.file import uri
from app.store.row_hash import COLUMN, Value, hash_of_row, hashed_columns
from app.store.stopping import stoppable

# Rows of these are no one's entries: they come and go with the program.
_OURS = frozenset({"alembic_version"})


@dataclass(frozen=True, slots=True)
class Looked:
    """What a look at a copy gave: its digest, and what is wrong (empty where all is well)."""

    sha256: str
    wrong: tuple[str, ...]


def check_copy(
    path: Path,
    *,
    rows: Mapping[str, int],
    thorough: bool = True,
    step: Step | None = None,
) -> Looked:
    """Look at a copy that nobody else has open.

    Parameters
    ----------
    rows : mapping
        By table, how many rows the original had when it was copied.
    thorough : bool, default True
        Compare every index with its table and every row with its hash too; without it, the pages,
        the references, the counts and the length of the file alone.
    step : callable, optional
        Told how many rows were compared with their hashes; what it raises ends the look.
    """
    over = _Over()
    # SQLite lets other threads run while it looks at pages: two looks take the time of the longer.
    with ThreadPoolExecutor(max_workers=1) as other:
        pages = other.submit(_of_pages, path, over, thorough=thorough)
        try:
            sha256, wrong = sha256_of(path), _of_rows(path, rows, step, thorough=thorough)
        except BaseException:
            over.set()
            raise
        return Looked(sha256, (*pages.result(), *wrong))


class _Over(Event):
    """Set where nobody wants the look at the pages any more."""

    def ask(self) -> None:
        """Raise once it is set."""
        if self.is_set():
            raise Stopped("nobody waits for it")


def counts_of(connection: sqlite3.Connection) -> dict[str, int]:
    """How many rows each table has, in whatever schema."""
    tables = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%'"
        " ESCAPE '\\' ORDER BY name"
    ).fetchall()
    return {
        name: connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0]
        for (name,) in tables
        if name not in _OURS
    }


def _of_pages(path: Path, over: _Over, *, thorough: bool) -> list[str]:
    try:
        with closing(_connected(path)) as connection, stoppable(connection, over.ask):
            look = "integrity_check" if thorough else "quick_check"
            found = connection.execute(f"PRAGMA {look}(1)").fetchone()[0]
            if found != "ok":
                return [f"its pages are damaged ({found.splitlines()[-1]})"]
            pages, size = (
                connection.execute(f"PRAGMA {name}").fetchone()[0]
                for name in ("page_count", "page_size")
            )
            if path.stat().st_size != pages * size:
                return ["it has lost its end"]
    except sqlite3.DatabaseError as problem:
        return [f"its pages can't be read ({problem})"]
    return []


def _of_rows(
    path: Path, rows: Mapping[str, int], step: Step | None, *, thorough: bool
) -> list[str]:
    try:
        with closing(_connected(path)) as connection:
            found = counts_of(connection)
            wrong = [
                f"it has {found.get(table, 0)} rows of {table} and not {count}"
                for table, count in rows.items()
                if found.get(table, 0) != count
            ]
            dangling = connection.execute("PRAGMA foreign_key_check").fetchall()
            if dangling:
                wrong.append(f"{len(dangling)} rows belong to something that is not there")
            if thorough:
                wrong.extend(_of_hashes(connection, sum(found.values()), step))
    except sqlite3.DatabaseError as problem:
        return [f"its rows can't be read ({problem})"]
    return wrong


def _of_hashes(connection: sqlite3.Connection, rows: int, step: Step | None) -> list[str]:
    done = 0

    def hashed(*values: Value) -> bytes:
        nonlocal done
        done += 1
        return hash_of_row(*values)

    def tell() -> None:
        if step is not None:
            step(min(done, rows), rows)

    connection.create_function("hashed", -1, hashed, deterministic=True)
    wrong = []
    for table, columns in hashed_columns(connection).items():
        names = ", ".join(f'"{name}"' for name in columns)
        query = f'SELECT count(*) FROM "{table}" WHERE {COLUMN} IS NOT hashed({names})'
        tell()
        with stoppable(connection, tell):
            count = connection.execute(query).fetchone()[0]
        if count:
            wrong.append(f"{count} rows of {table} are not as they were written")
    return wrong


def _connected(path: Path) -> sqlite3.Connection:
    # Nobody writes to it: no locks, and the cache may hold it whole (64 MB).
    connection = sqlite3.connect(uri(path, writable=False) + "&immutable=1", uri=True)
    connection.execute("PRAGMA cache_size = -65536")
    return connection
