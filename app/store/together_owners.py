"""What came from one copy and belongs to what the other one deleted: the owner comes back.

A reading written in one home for a person who was taken out in the other is not to vanish with
that person. What was emptied for good stays so, and what belongs to it goes into the bin.
"""

from __future__ import annotations

from sqlalchemy import Table

from app.store.bin import take_out
from app.store.history import BIN_EMPTIED
from app.store.journal import Change
from app.store.links import HANGING, belongs, by_table, references
from app.store.rows import Row, rows_with, select
from app.store.together_row import DELETED, Conflict
from app.store.together_sides import Head

_FOUND = """
    SELECT g.id AS gone, u.id AS user, e.at, e.uid, e.kind, b.at AS b_at, b.uid AS b_uid,
        b.kind AS b_kind
    FROM {user} u JOIN {owner} g ON {join}
    JOIN journal_entry e ON e.id = g.rev JOIN journal_entry b ON b.id = u.born
    WHERE u.deleted_at IS NULL AND g.deleted_at IS NOT NULL ORDER BY b.at, b.uid
"""
_DELETED = """
    SELECT e.at, e.uid, e.kind FROM journal_change l JOIN journal_entry e ON e.id = l.entry_id
    WHERE l.tbl = ? AND l.row_uid = ? AND l.op = 'delete' ORDER BY e.at DESC, e.uid DESC LIMIT 1
"""

# What one copy keeps to itself brings nothing back: the other one could not know why.
_OPEN = {"note": " AND u.private_copy IS NULL", "tag_on": ""}

Settled = tuple[str, bytes, Conflict]


def bring_back_owners(change: Change) -> list[Settled]:
    """Take out of the bin what live rows belong to; returns what is to settle about it."""
    found: list[Settled] = []
    lost: set[tuple[str, int]] = set()  # rows put away since their owner was emptied
    while _one_step(change, found, lost):
        pass
    return found


def _one_step(change: Change, found: list[Settled], lost: set[tuple[str, int]]) -> bool:
    """Go through all rows once; says whether anything was moved, on which others may rest."""
    moved = False
    for user, owner, join in _ways(change):
        query = _FOUND.format(user=user.name, owner=owner.name, join=join)
        for row in select(change.connection, query):
            gone = rows_with(change.connection, owner, "id", [row["gone"]])[0]
            if gone["deleted_at"] is None:  # came back with another one
                continue
            moved = True
            if row["kind"] == BIN_EMPTIED or (owner.name, gone["id"]) in lost:
                change.delete_all(user, rows_with(change.connection, user, "id", [row["user"]]))
                lost.add((user.name, row["user"]))
                continue
            if owner.name == "person":
                take_out(change, [(owner.name, gone["id"])])
            else:
                change.restore_all(owner, [gone])
            found.append((owner.name, gone["uid"], _conflict(change, owner, gone, row)))
    return moved


def _ways(change: Change) -> list[tuple[Table, Table, str]]:
    ways = [
        (table, target, f"g.id = u.{column}")
        for table, column, target in references()
        if belongs(table, column)
    ]
    for table in HANGING:
        named = select(change.connection, f"SELECT DISTINCT tbl FROM {table.name}")
        for each in sorted(row["tbl"] for row in named):
            ways.append(
                (
                    table,
                    by_table(each),
                    f"g.uid = u.row_uid AND u.tbl = '{each}'{_OPEN[table.name]}",
                )
            )
    return ways


def _conflict(change: Change, owner: Table, gone: Row, row: Row) -> Conflict:
    sides = (
        (_gone_by(change, owner, gone, row), {DELETED: 1}),
        (Head(row["b_at"], row["b_uid"], row["b_kind"]), {DELETED: 0}),
    )
    first, second = sorted(sides, key=lambda side: side[0])
    return Conflict(DELETED, (first, second))


def _gone_by(change: Change, owner: Table, gone: Row, row: Row) -> Head:
    """The newest entry that put a row into the bin: the same in both copies."""
    found = select(change.connection, _DELETED, (owner.name, gone["uid"]))
    if found:
        return Head(found[0]["at"], found[0]["uid"], found[0]["kind"])
    return Head(row["at"], row["uid"], row["kind"])
