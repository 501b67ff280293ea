"""Which rows of a file are not as they were written, told by table and days and never by value."""

from __future__ import annotations

import sqlite3
from bisect import bisect
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from app.store.row_by_row import Read, Row, lenient, read_rows
from app.store.row_hash import hashed_columns

Days = tuple[date, date]  # the first and the last of a run of days

_A_DAY = 86_400
_EPOCH = 719_163  # date(1970, 1, 1).toordinal()
_POSSIBLE = range(date(1970, 1, 1).toordinal(), date(2200, 1, 1).toordinal())
_DAY_COLUMNS = ("day", "from_day")  # what it is about, before when it was written

_ENTRY_COLUMNS = ("born", "entry_id")  # the entry that it came with; an entry is its own

_WORDS = {
    "import_batch": "imports",
    "import_row": "rows of imports",
    "help": "records of help",
    "dose": "doses",
    "tag_on": "tags on entries",
    "control_test": "control tests",
    "lab_result": "lab results",
    "person_setting": "settings",
    "journal_entry": "changes in the journal",
    "journal_change": "lines of the journal",
}


@dataclass(frozen=True, slots=True)
class Spoiled:
    """Rows of one table: `wrong` differ from their hash, `lost` can't be read; `days` of both."""

    table: str
    wrong: int
    lost: int
    days: tuple[Days, ...]

    @property
    def sentence(self) -> str:
        """What is wrong, in words without a value."""
        parts = []
        if self.wrong:
            parts.append(f"{counted(self.wrong, self.table)} not as written")
        if self.lost:
            parts.append(f"{counted(self.lost, self.table)} not readable any more")
        when = days_in_words(self.days)
        return " and ".join(parts) + (f" ({when})" if when else "")


def spoiled_rows(connection: sqlite3.Connection) -> list[Spoiled]:
    """Look at every row that has a hash.

    Parameters
    ----------
    connection : sqlite3.Connection
        To a file of any version, for this alone: it is made lenient about bytes that are no text.

    Raises
    ------
    sqlite3.DatabaseError
        Not even the list of tables can be read.
    """
    lenient(connection)
    found = []
    written = Written(connection)
    for table, columns in hashed_columns(connection).items():
        book = DayBook(columns, written)
        for each in read_rows(connection, table, columns):
            book.note(each)
        if book.wrong or book.lost:
            found.append(Spoiled(table, book.wrong, len(book.lost), book.days()))
    return found


class Written:
    """On which day (a date ordinal, in UTC) each entry of the journal was written."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._days: dict[int, int] = {}
        try:
            for entry, at in connection.execute("SELECT id, at FROM journal_entry"):
                if isinstance(at, int):
                    self._days[entry] = at // _A_DAY + _EPOCH
        except sqlite3.DatabaseError:
            pass  # those that could be read help as far as they go

    def of(self, entry: object) -> int | None:
        """The day of an entry, None where it is not known."""
        return self._days.get(entry) if isinstance(entry, int) else None


class DayBook:
    """Gathers which rows of a table are spoiled and the days that they lie on."""

    def __init__(self, columns: list[str], written: Written) -> None:
        self.wrong = 0
        self.lost: list[int] = []  # local ids
        self._written = written
        self._about = next((columns.index(n) for n in _DAY_COLUMNS if n in columns), None)
        self._entry = next((columns.index(n) for n in _ENTRY_COLUMNS if n in columns), 0)
        self._sound: list[tuple[int, int]] = []  # local id, day
        self._spoiled: list[tuple[int, int]] = []  # first day, last day

    def note(self, each: Read) -> None:
        """Take one row into account."""
        if each.values is None:
            self.lost.append(each.id)
            return
        day = self._day(each.values)
        if each.sound:
            if day is not None:
                self._sound.append((each.id, day))
            return
        self.wrong += 1
        if day is not None:
            self._spoiled.append((day, day))

    def days(self) -> tuple[Days, ...]:
        """Runs of days of what is spoiled; rows that can't be read lie between their neighbours."""
        self._sound.sort()
        return runs_of(self._spoiled + [self._around(row_id) for row_id in self.lost])

    def _day(self, values: Row) -> int | None:
        about = None if self._about is None else values[self._about]
        if isinstance(about, int) and about in _POSSIBLE:
            return about
        return self._written.of(values[self._entry])

    def _around(self, row_id: int) -> tuple[int, int]:
        at = bisect(self._sound, (row_id, 0))
        beside = [day for _, day in self._sound[max(at - 1, 0) : at + 1]]
        return (min(beside), max(beside)) if beside else (0, 0)


def runs_of(days: Iterable[tuple[int, int]]) -> tuple[Days, ...]:
    """Runs of days (date ordinals, both ends included), those that touch put together.

    >>> [str(last) for _, last in runs_of([(5, 6), (1, 2), (3, 3), (0, 0)])]
    ['0001-01-03', '0001-01-06']
    """
    runs: list[list[int]] = []
    for first, last in sorted(each for each in days if each[0] > 0):
        if runs and first <= runs[-1][1] + 1:
            runs[-1][1] = max(runs[-1][1], last)
        else:
            runs.append([first, last])
    return tuple((date.fromordinal(first), date.fromordinal(last)) for first, last in runs)


def days_in_words(days: Iterable[Days], *, most: int = 6) -> str:
    """Runs of days as text: "2026-03-01 to 2026-03-04, 2026-03-12"."""
    found = [f"{first}" if first == last else f"{first} to {last}" for first, last in days]
    more = [f"and {len(found) - most} more"] if len(found) > most else []
    return ", ".join(found[:most] + more)


def counted(count: int, table: str) -> str:
    """A number of rows in words: "1 reading", "12 notes"."""
    words = _WORDS.get(table, table.replace("_", " ") + "s")
    return f"{count} {words if count != 1 else _one(words)}"


def _one(words: str) -> str:
    head, space, tail = words.partition(" ")
    if head.endswith("s"):
        return head.removesuffix("s") + space + tail
    return words.removesuffix("s")
