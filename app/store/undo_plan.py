"""What an entry of the journal did, read backwards: where each of its rows goes back to."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection

from app.store.history import BIN_EMPTIED
from app.store.journal import from_json
from app.store.links import Rows, by_table
from app.store.rows import Row, rows_with, select


@dataclass(slots=True)
class Back:
    """One row as it is now, and what it goes back to.

    `before` holds the fields that the entry changed as they were, `after` as it left them; `live`
    says that the row comes out of the bin (True), goes into it (False) or stays where it is.
    """

    row: Row
    before: dict[str, Any] = field(default_factory=dict)
    after: dict[str, Any] = field(default_factory=dict)
    live: bool | None = None
    added: bool = False


Plan = dict[str, dict[int, Back]]  # by table and local id

_LINES = "SELECT tbl, row_uid, op, old, new FROM journal_change WHERE entry_id = ? ORDER BY id DESC"
_EMPTIED = f"SELECT id FROM journal_entry WHERE kind = '{BIN_EMPTIED}'"


def backwards(connection: Connection, entry_id: int) -> Plan:
    """The rows of an entry; those whose content was emptied from the bin are past bringing back."""
    found: dict[str, dict[bytes, Back]] = {}
    for line in select(connection, _LINES, (entry_id,)):
        back = found.setdefault(line["tbl"], {}).setdefault(line["row_uid"], Back({}))
        _step_back(back, line)
    emptied = {row["id"] for row in select(connection, _EMPTIED)}
    plan: Plan = {}
    for name, backs in found.items():
        for row in rows_with(connection, by_table(name), "uid", backs):
            if row["rev"] not in emptied:
                back = backs[row["uid"]]
                back.row = row
                plan.setdefault(name, {})[row["id"]] = back
    return plan


def rows_going(plan: Plan, *, live: bool) -> Rows:
    """Those rows that come out of the bin, or go into it, with the fields they will have."""
    return {
        name: {
            row_id: {**back.row, **back.before}
            for row_id, back in backs.items()
            if back.live is live
        }
        for name, backs in plan.items()
    }


def _step_back(back: Back, line: Row) -> None:
    op = line["op"]
    if op == "edit":
        if line["old"] is not None:
            back.before.update(from_json(line["old"]))  # of several steps the earliest is meant
            back.after = {**from_json(line["new"]), **back.after}
    else:
        back.live = op == "delete"
    if op == "add":
        back.added = True
        back.before.clear()  # what is new goes into the bin as it is
