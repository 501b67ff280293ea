"""The journal of another copy brought over: its copies and entries by uid, its lines in our ids."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Mapping, Set
from hashlib import blake2b
from typing import Any

from app.store import schema
from app.store.journal import from_json, to_json
from app.store.links import by_table
from app.store.state_hash import target_of
from app.store.together_sides import Head, Side

Local = Callable[[str, int], int | None]  # our local id of a row, by table and its id there

_ENTRIES = """
    SELECT e.id, e.uid, c.uid, e.no, e.at, e.kind, e.words, u.uid, e.seen, e.erased
    FROM journal_entry e JOIN copy c ON c.id = e.copy_id
    LEFT JOIN journal_entry u ON u.id = e.undoes
    ORDER BY e.id
"""
_NUMBERS = """
    SELECT c.uid, e.no, e.uid FROM journal_entry e JOIN copy c ON c.id = e.copy_id
"""
_INSERT_ENTRY = """
    INSERT INTO journal_entry (uid, copy_id, no, at, kind, words, undoes, seen, erased)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)
"""
_INSERT_LINE = (
    "INSERT INTO journal_change (entry_id, tbl, row_uid, op, old, new) VALUES (?, ?, ?, ?, ?, ?)"
)


def bring_entries(ours: sqlite3.Connection, theirs: Side, unknown: Mapping[bytes, Head]) -> None:
    """Add the entries that are missing here, each with its copy and number, in their order there.

    Where the same numbers of one copy mean other entries here (a backup was put back there, and the
    diary went on), those from there on are numbered anew, under a copy of their own.
    """
    copies = _copies(ours, theirs)
    forks = _forks(ours, theirs)
    anew: dict[bytes, tuple[bytes, int]] = {}  # by copy: the one in its place, its next number
    for _, uid, copy, no, at, kind, words, undoes, seen, erased in theirs.driver.execute(_ENTRIES):
        if uid not in unknown:
            continue
        if copy in forks and no >= forks[copy][0]:
            first, fork_uid = forks[copy]
            if copy not in anew:
                own = blake2b(copy + fork_uid, digest_size=16).digest()
                if own not in copies:
                    copies[own] = _add_copy(ours, own, "this computer")
                anew[copy] = (own, _last_no(ours, copies[own]) + 1)
            known = {**json.loads(seen), copy.hex(): first - 1}
            seen = json.dumps(known, separators=(",", ":"))
            copy_uid, no = anew[copy]
            anew[copy] = (copy_uid, no + 1)
            copy = copy_uid
        undone = None
        if undoes is not None:
            found = ours.execute("SELECT id FROM journal_entry WHERE uid = ?", (undoes,)).fetchone()
            undone = found[0] if found else None
        values = (uid, copies[copy], no, at, kind, words, undone, seen, erased)
        ours.execute(_INSERT_ENTRY, values)
    ours.execute(
        "UPDATE copy SET last_no = max(last_no,"
        " (SELECT ifnull(max(no), 0) FROM journal_entry WHERE copy_id = copy.id))"
    )


def point_entries(
    ours: sqlite3.Connection, theirs: Side, entries: Mapping[bytes, int], local: Local
) -> None:
    """Say in entries that came over who wrote them, of whom, and of which import."""
    for uid, keeper, person, batch in theirs.driver.execute(
        "SELECT uid, keeper_id, person_id, import_id FROM journal_entry"
    ).fetchall():
        if uid in entries:
            named = (("keeper", keeper), ("person", person), ("import_batch", batch))
            values = [None if at is None else local(name, at) for name, at in named]
            ours.execute(
                "UPDATE journal_entry SET keeper_id = ?, person_id = ?, import_id = ? WHERE id = ?",
                (*values, entries[uid]),
            )


def bring_lines(
    ours: sqlite3.Connection,
    theirs: Side,
    entries: Mapping[bytes, int],
    *,
    uid_of: Callable[[str, bytes], bytes],
    local: Local,
    private: Set[bytes],
) -> None:
    """Add the lines of entries that came over; what a private note says stays where it is."""
    uids = theirs.uids(schema.journal_entry.name)
    retold: set[int] = set()
    found = theirs.driver.execute(
        "SELECT entry_id, tbl, row_uid, op, old, new FROM journal_change ORDER BY id"
    )
    for entry_id, name, row_uid, op, old, new in found.fetchall():
        entry = entries.get(uids[entry_id])
        if entry is None:
            continue
        if name == schema.note.name and row_uid in private:
            retold.add(entry)
            continue
        told = (_in_our_ids(name, text, local) for text in (old, new))
        ours.execute(_INSERT_LINE, (entry, name, uid_of(name, row_uid), op, *told))
    for entry in retold:
        (words,) = ours.execute("SELECT words FROM journal_entry WHERE id = ?", (entry,)).fetchone()
        said = {
            name: value
            for name, value in json.loads(words).items()
            if name == "kind" or isinstance(value, int)
        }
        ours.execute("UPDATE journal_entry SET words = ? WHERE id = ?", (json.dumps(said), entry))


def _in_our_ids(name: str, text: str | None, local: Local) -> str | None:
    """The columns of a line, with our local ids in the place of those of the other copy."""
    if text is None or name not in schema.metadata.tables:
        return text
    columns = by_table(name).c
    said: dict[str, Any] = from_json(text)
    for column, value in said.items():
        target = target_of(columns[column]) if column in columns else None
        if target is not None and value is not None:
            said[column] = local(target.name, value)
    return to_json(said)


def _copies(ours: sqlite3.Connection, theirs: Side) -> dict[bytes, int]:
    """Our local ids of every copy that either side knows."""
    known = {uid: row_id for row_id, uid in ours.execute("SELECT id, uid FROM copy").fetchall()}
    for uid, label in theirs.driver.execute("SELECT uid, label FROM copy ORDER BY id"):
        if uid not in known:
            known[uid] = _add_copy(ours, uid, label)
    return known


def _add_copy(ours: sqlite3.Connection, uid: bytes, label: str) -> int:
    made = ours.execute("INSERT INTO copy (uid, label, last_no) VALUES (?, ?, 0)", (uid, label))
    return int(made.lastrowid or 0)


def _last_no(ours: sqlite3.Connection, copy: int) -> int:
    query = "SELECT ifnull(max(no), 0) FROM journal_entry WHERE copy_id = ?"
    return int(ours.execute(query, (copy,)).fetchone()[0])


def _forks(ours: sqlite3.Connection, theirs: Side) -> dict[bytes, tuple[int, bytes]]:
    """By copy, the first number that means another entry there, and the uid of that entry."""
    mine = {(copy, no): uid for copy, no, uid in ours.execute(_NUMBERS)}
    found: dict[bytes, tuple[int, bytes]] = {}
    for copy, no, uid in theirs.driver.execute(_NUMBERS):
        apart = mine.get((copy, no), uid) != uid
        if apart and (copy not in found or no < found[copy][0]):
            found[copy] = (no, uid)
    return found
