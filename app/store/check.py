"""A look at the whole file: is it as it was written, and do its rows agree with each other."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from app.domain.glucose import Unit, converted
from app.domain.steps import Step
from app.store.diary import Diary
from app.store.file import is_damage, unreadable, uri
from app.store.row_by_row import lenient
from app.store.spoiled import counted, spoiled_rows
from app.store.stopping import stoppable

_EPOCH = 719163  # date(1970, 1, 1).toordinal()


@dataclass(frozen=True, slots=True)
class Checked:
    """What was looked at and what is wrong in plain words (nothing where all is well).

    `damage` is what no change of this program can have done: pages, references, rows that are not
    as written. `disagreeing` is what does not fit together though each row is as it was written.
    """

    persons: int
    readings: int
    changes: int
    damage: tuple[str, ...] = ()
    disagreeing: tuple[str, ...] = ()

    @property
    def wrong(self) -> tuple[str, ...]:
        """All of it."""
        return self.damage + self.disagreeing


def check_diary(diary: Diary) -> Checked:
    """Look at an open diary as a whole; nothing is written.

    Raises
    ------
    StoreUnavailable
        Another program keeps it locked.
    """
    diary.still_there()
    return check_file(diary.path)


def check_file(path: Path, *, step: Step | None = None) -> Checked:
    """Check pages, references, rows against their hashes, counts, and what follows from what.

    `step` is told how many of the looks are done, and now and then in between; what it raises ends
    the check.

    Raises
    ------
    StoreUnavailable
        Another program keeps the file locked, or the disk does not answer.
    """
    try:
        with closing(sqlite3.connect(uri(path, writable=False), uri=True, timeout=5)) as connection:
            connection.execute("PRAGMA writable_schema = ON")  # a file that was cut is read too
            connection.execute("PRAGMA query_only = ON")
            lenient(connection)
            connection.execute("BEGIN")  # one state throughout
            steps = _Looks(step)
            with stoppable(connection, steps.again):
                return Checked(
                    persons=_live(connection, "person"),
                    readings=_live(connection, "reading"),
                    changes=_count(connection, "SELECT count(*) FROM journal_entry"),
                    damage=_sayings(connection, steps, _OF_DAMAGE),
                    disagreeing=_sayings(connection, steps, _OF_SENSE),
                )
    except (sqlite3.DatabaseError, UnicodeError) as problem:
        if is_damage(problem):
            return Checked(0, 0, 0, damage=("nothing in the file can be read",))
        raise unreadable(path, problem) from problem


Look = Callable[[sqlite3.Connection], Iterator[str]]


class _Looks:
    """Tells how many looks at the file are done."""

    def __init__(self, step: Step | None) -> None:
        self._step, self._done = step, 0

    def again(self) -> None:
        """Tell once more."""
        if self._step is not None:
            self._step(self._done, len(_OF_DAMAGE) + len(_OF_SENSE))

    def one(self) -> None:
        """One more is done."""
        self._done += 1
        self.again()


def _sayings(
    connection: sqlite3.Connection, steps: _Looks, looks: tuple[Look, ...]
) -> tuple[str, ...]:
    said: dict[str, None] = {}
    for look in looks:
        try:
            said.update(dict.fromkeys(look(connection)))
        except (sqlite3.DatabaseError, UnicodeError) as problem:  # the last: in a message, a name
            if not is_damage(problem):
                raise
            said["a part of the file can't be read"] = None
        steps.one()
    return tuple(said)


def _live(connection: sqlite3.Connection, table: str) -> int:
    return _count(connection, f"SELECT count(*) FROM {table} WHERE deleted_at IS NULL")


def _count(connection: sqlite3.Connection, query: str) -> int:
    try:
        return int(connection.execute(query).fetchone()[0])
    except sqlite3.DatabaseError as problem:
        if not is_damage(problem):
            raise
        return 0


def _of_pages(connection: sqlite3.Connection) -> Iterator[str]:
    found = [str(row[0]) for row in connection.execute("PRAGMA integrity_check(10)")]
    if found != ["ok"]:
        yield f"the file is damaged: {'; '.join(found[0].split(chr(10)))}"
    pages, size = (
        connection.execute(f"PRAGMA {name}").fetchone()[0] for name in ("page_count", "page_size")
    )
    path = connection.execute("PRAGMA database_list").fetchone()[2]
    if Path(path).stat().st_size != pages * size:
        yield "the file has another length than it should have"


def _of_references(connection: sqlite3.Connection) -> Iterator[str]:
    dangling = connection.execute("PRAGMA foreign_key_check").fetchall()
    if dangling:
        yield f"{len(dangling)} rows belong to something that is not there"


def _of_rows(connection: sqlite3.Connection) -> Iterator[str]:
    for each in spoiled_rows(connection):
        yield each.sentence


def _of_adds(connection: sqlite3.Connection) -> Iterator[str]:
    """Rows are never taken out of the file: what was once added has to be there."""
    named = {row[0] for row in connection.execute("SELECT DISTINCT tbl FROM journal_change")}
    known = {row[0] for row in connection.execute("SELECT name FROM sqlite_master")}
    if named - known:
        yield "the journal names a table that is not there"
    for table in sorted(named & known, key=str):
        missing = connection.execute(
            "SELECT count(*) FROM journal_change AS line WHERE line.tbl = ? AND line.op = 'add'"
            f' AND NOT EXISTS (SELECT 1 FROM "{table}" AS row WHERE row.uid = line.row_uid)',
            (table,),
        ).fetchone()[0]
        if missing:
            yield f"{counted(missing, table)} missing that the journal tells of"


def _of_journal(connection: sqlite3.Connection) -> Iterator[str]:
    query = (
        "SELECT c.last_no, count(e.id), ifnull(max(e.no), 0) FROM copy AS c"
        " LEFT JOIN journal_entry AS e ON e.copy_id = c.id GROUP BY c.id"
    )
    for last, count, highest in connection.execute(query):
        if not last == count == highest:
            yield (
                f"the journal of one copy has {count} entries and ends at {highest}, not at {last}"
            )


def _of_readings(connection: sqlite3.Connection) -> Iterator[str]:
    rows = connection.execute(
        "SELECT value, unit, mg_dl, instant, day, minute, offset_min FROM reading"
        " WHERE deleted_at IS NULL"
    )
    values = times = 0
    for value, unit, mg_dl, instant, day, minute, offset in rows:
        values += value is not None and not _same_value(value, unit, mg_dl)
        if instant is not None:
            local_minutes = instant // 60 + offset
            times += (_EPOCH + local_minutes // 1440, local_minutes % 1440) != (day, minute)
    if values:
        yield f"{values} readings disagree with their value in mg/dL"
    if times:
        yield f"{times} readings disagree with their local day or time"


def _same_value(value: str, unit: str, mg_dl: float) -> bool:
    try:
        return converted(float(value), Unit(unit), Unit.MG_DL) == mg_dl
    except ValueError:  # no number, no unit
        return False


_OF_DAMAGE: tuple[Look, ...] = (_of_pages, _of_references, _of_rows, _of_adds)
_OF_SENSE: tuple[Look, ...] = (_of_journal, _of_readings)
