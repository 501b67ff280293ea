"""The journal read back: its entries, and which of them stand."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlalchemy import Connection

from app.domain.person import Person
from app.store.diary import Diary
from app.store.rows import select

UNDO, REDO, IMPORT = "undo", "redo", "import"
BIN_EMPTIED = "bin_emptied"  # blanks what rows said: nothing takes that back
TOGETHER = "brought_together"  # taken back by putting back the backup made before, by no undo
DUE_SHOWN = "due_shown"  # nobody did it: undo and redo step over it

_AT_ONCE = 500  # uids in one IN list

# What of an entry's lines was blanked when the bin was emptied.
SOME_ERASED, ALL_ERASED = 1, 2

_REDONE = f"SELECT r.undoes FROM journal_entry r WHERE r.kind = '{REDO}'"
_BACK = f"u.kind = '{UNDO}' AND u.id NOT IN ({_REDONE})"
_UNDONE = f"SELECT u.undoes FROM journal_entry u WHERE {_BACK}"
_ENTRY = f"""
    SELECT e.*, c.uid AS copy_uid, c.label, k.name AS keeper, e.id IN ({_UNDONE}) AS undone,
        e.id IN (SELECT r.undoes FROM journal_entry r WHERE r.undoes IS NOT NULL) AS redone
    FROM journal_entry e JOIN copy c ON c.id = e.copy_id LEFT JOIN keeper k ON k.id = e.keeper_id
"""
_STANDS = f"e.kind NOT IN ('{UNDO}', '{REDO}') AND e.id NOT IN ({_UNDONE})"


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the journal: what was done, when, by whom, and what its sentence is filled with.

    `here` says that this installation made it, `undone` that it was taken back, and of an undo
    `redone` that it was itself taken back. `keeper` names who wrote it, where that was said.
    """

    id: int
    kind: str
    words: dict[str, Any]
    at: int
    person_id: int | None = None
    undoes: int | None = None
    import_id: int | None = None
    erased: int = 0
    keeper: str | None = None
    copy: str = ""
    here: bool = True
    undone: bool = False
    redone: bool = False

    @property
    def can_be_undone(self) -> bool:
        """Whether taking it back is something that this installation may try."""
        mine = self.here and not self.undone and self.erased != ALL_ERASED
        return mine and self.kind not in (UNDO, REDO, BIN_EMPTIED, TOGETHER, DUE_SHOWN)


@dataclass(frozen=True, slots=True)
class Standing:
    """Which changes stand: `walkers` are the undos and redos by what they walk back."""

    walkers: dict[int, int]
    undone: frozenset[int]

    def stands(self, entry_id: int) -> bool:
        """Whether a change was made and not taken back; what walks back is no change itself."""
        return entry_id not in self.walkers and entry_id not in self.undone

    def root(self, entry_id: int) -> int:
        """The change that an undo, or the redo of one, is about in the end."""
        while entry_id in self.walkers:
            entry_id = self.walkers[entry_id]
        return entry_id

    def family(self, entry_id: int) -> list[int]:
        """A change with the undos and redos about it: a redo brings its rows in anew."""
        return [entry_id, *(each for each in self.walkers if self.root(each) == entry_id)]


def entries(
    diary: Diary,
    person: Person | None = None,
    *,
    limit: int | None = None,
    before: int | None = None,
) -> tuple[Entry, ...]:
    """The journal of a person with what concerns all, or of everybody; the newest entry first.

    With `before`, only entries with a lower number than that.
    """
    older = "1" if before is None else f"e.id < {int(before)}"
    query = f"{_ENTRY} WHERE {older} {_whose('e', person)} ORDER BY e.id DESC LIMIT ?"
    with diary.reading() as connection:
        found = select(connection, query, (-1 if limit is None else limit,))
    return tuple(_entry(row, diary.installation) for row in found)


def entries_by_id(diary: Diary, ids: Iterable[int]) -> tuple[Entry, ...]:
    """Entries by their numbers in this file, the newest first; those that there are."""
    with diary.reading() as connection:
        return entries_with(connection, ids, diary.installation)


def entries_with(
    connection: Connection, ids: Iterable[int], installation: UUID
) -> tuple[Entry, ...]:
    """Entries by their local ids, the newest first."""
    listed = ", ".join(str(int(each)) for each in set(ids))
    found = select(connection, f"{_ENTRY} WHERE e.id IN ({listed}) ORDER BY e.id DESC")
    return tuple(_entry(row, installation) for row in found)


def standing(connection: Connection) -> Standing:
    """Which changes stand in this state of the diary."""
    found = select(
        connection, "SELECT id, kind, undoes FROM journal_entry WHERE undoes IS NOT NULL"
    )
    redone = {row["undoes"] for row in found if row["kind"] == REDO}
    return Standing(
        {row["id"]: row["undoes"] for row in found},
        frozenset(
            row["undoes"] for row in found if row["kind"] == UNDO and row["id"] not in redone
        ),
    )


def amended(connection: Connection, uids: Iterable[bytes]) -> set[bytes]:
    """Which readings, by their uids, a change that stands has edited since they were written."""
    wanted, found = list(uids), set[bytes]()
    for start in range(0, len(wanted), _AT_ONCE):
        some = tuple(wanted[start : start + _AT_ONCE])
        places = ", ".join("?" * len(some))
        query = (
            "SELECT DISTINCT c.row_uid FROM journal_change c JOIN journal_entry e"
            " ON e.id = c.entry_id JOIN reading r ON r.uid = c.row_uid AND c.entry_id > r.born"
            f" WHERE c.tbl = 'reading' AND c.row_uid IN ({places}) AND c.op = 'edit' AND {_STANDS}"
        )
        found.update(row["row_uid"] for row in select(connection, query, some))
    return found


def walked_back(connection: Connection, entry_id: int, *, but: int) -> bool:
    """Whether another entry than `but` has taken this one back and stands."""
    query = (
        "SELECT id FROM journal_entry w WHERE w.undoes = ? AND w.id != ?"
        f" AND w.id NOT IN ({_REDONE})"
    )
    return bool(select(connection, query, (entry_id, but)))


def next_undo(diary: Diary, person: Person | None) -> Entry | None:
    """The newest change of this copy that can be taken back; of a person with what concerns all."""
    return _newest(
        diary,
        person,
        f"{_STANDS} AND e.kind NOT IN ('{BIN_EMPTIED}', '{TOGETHER}', '{DUE_SHOWN}')"
        f" AND e.erased != {ALL_ERASED}",
    )


def next_redo(diary: Diary, person: Person | None) -> Entry | None:
    """The undo that a redo takes back: the newest one that stands; a newer change cuts them off."""
    newest_change = (
        "SELECT ifnull(max(n.no), 0) FROM journal_entry n WHERE n.copy_id = e.copy_id"
        f" AND n.kind NOT IN ('{UNDO}', '{REDO}', '{DUE_SHOWN}') {_whose('n', person)}"
    )
    stands = _BACK.replace("u.", "e.")
    return _newest(
        diary, person, f"{stands} AND e.no > ({newest_change}) AND e.erased != {ALL_ERASED}"
    )


def _newest(diary: Diary, person: Person | None, which: str) -> Entry | None:
    query = f"{_ENTRY} WHERE c.uid = ? AND {which} {_whose('e', person)} ORDER BY e.no DESC LIMIT 1"
    with diary.reading() as connection:
        found = select(connection, query, (diary.installation.bytes,))
    return _entry(found[0], diary.installation) if found else None


def _whose(alias: str, person: Person | None) -> str:
    """A condition: entries of a person and what concerns all; of everybody without a person."""
    if person is None:
        return ""
    return f"AND ({alias}.person_id = {int(person.id)} OR {alias}.person_id IS NULL)"


def _entry(row: dict[str, Any], installation: UUID) -> Entry:
    return Entry(
        id=row["id"],
        kind=row["kind"],
        words=json.loads(row["words"]),
        at=row["at"],
        person_id=row["person_id"],
        undoes=row["undoes"],
        import_id=row["import_id"],
        erased=row["erased"],
        keeper=row["keeper"],
        copy=row["label"],
        here=row["copy_uid"] == installation.bytes,
        undone=bool(row["undone"]),
        redone=bool(row["redone"]) and row["kind"] == UNDO,
    )
