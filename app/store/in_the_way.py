"""What stands in the way of taking back a change alone: later ones that touched or use its rows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from uuid import UUID

from sqlalchemy import Connection

from app.store.history import Entry, Standing, entries_with
from app.store.journal import from_json
from app.store.links import BESIDE, Rows, live_users
from app.store.rows import Row, select
from app.store.undo_plan import Back, Plan, rows_going

_LATER = """
    SELECT DISTINCT m.tbl, m.row_uid, m.entry_id, m.op, m.old
    FROM journal_change l CROSS JOIN journal_change m ON m.tbl = l.tbl AND m.row_uid = l.row_uid
    WHERE l.entry_id = ? AND m.entry_id > ?
"""


class InTheWay(Exception):
    """Later changes touched the same fields, or rest on what would go; the newest one first."""

    def __init__(self, entries: tuple[Entry, ...]) -> None:
        self.entries = entries
        super().__init__(f"{len(entries)} later changes stand in the way")


@dataclass(slots=True)
class _Found:
    """Obstacles as they are found: entry ids by the row that they stand in front of."""

    by_row: dict[tuple[str, int], set[int]] = field(default_factory=lambda: defaultdict(set))

    def add(self, table: str, row_id: int, entry_id: int) -> None:
        self.by_row[table, row_id].add(entry_id)


def clear_the_way(
    connection: Connection,
    plan: Plan,
    entry: Entry,
    along: Rows,
    *,
    standing: Standing,
    installation: UUID,
) -> None:
    """Leave out of a plan what was merely written beside it and is in use elsewhere.

    `along` are rows that go into the bin by the same change without being in the plan.

    Raises
    ------
    InTheWay
        Something that the entry is about was touched or built upon later.
    """
    found = _Found()
    _touched_later(connection, plan, entry, standing, found)
    _disagreeing(plan, found)
    _used(connection, plan, along, standing, found)
    is_beside = _has_main_rows(plan, along)
    serious: set[int] = set()
    for (table, row_id), entry_ids in found.by_row.items():
        if is_beside and table in BESIDE:
            plan[table].pop(row_id, None)
        else:
            serious |= entry_ids
    if serious:
        raise in_the_way(connection, serious, standing, installation)


def in_the_way(
    connection: Connection, entry_ids: Iterable[int], standing: Standing, installation: UUID
) -> InTheWay:
    """The trouble with its entries, each as the change that it is about in the end."""
    roots = {standing.root(each) for each in entry_ids}
    return InTheWay(entries_with(connection, roots, installation))


def _has_main_rows(plan: Plan, along: Rows) -> bool:
    names = {name for name, rows in (*plan.items(), *along.items()) if rows}
    return bool(names - BESIDE)


def _touched_later(
    connection: Connection, plan: Plan, entry: Entry, standing: Standing, found: _Found
) -> None:
    by_uid = {
        (name, back.row["uid"]): back for name, backs in plan.items() for back in backs.values()
    }
    for line in select(connection, _LATER, (entry.id, entry.id)):
        back = by_uid.get((line["tbl"], line["row_uid"]))
        if back is not None and standing.stands(line["entry_id"]) and _same_fields(back, line):
            found.add(line["tbl"], back.row["id"], line["entry_id"])


def _same_fields(back: Back, line: Row) -> bool:
    if back.added:
        return True
    if line["op"] != "edit":
        return back.live is not None
    return line["old"] is not None and not back.before.keys().isdisjoint(from_json(line["old"]))


def _disagreeing(plan: Plan, found: _Found) -> None:
    """Where a row no longer holds what the entry wrote, somebody else wrote there since."""
    for name, backs in plan.items():
        for row_id, back in backs.items():
            if any(back.row[field_] != back.after[field_] for field_ in back.before):
                found.add(name, row_id, back.row["rev"])


def _lets_go(back: Back | None, row_id: int) -> bool:
    """Whether a row names another one now and, by the same change back, no longer will."""
    return back is not None and any(
        name.endswith("_id") and back.row[name] == row_id != value
        for name, value in back.before.items()
    )


def _used(
    connection: Connection, plan: Plan, along: Rows, standing: Standing, found: _Found
) -> None:
    leaving = {name: dict(rows) for name, rows in rows_going(plan, live=False).items()}
    for name, rows in along.items():
        leaving.setdefault(name, {}).update(rows)
    for belonging in (True, False):
        for name, row_id, table, user in live_users(connection, leaving, belonging=belonging):
            if _lets_go(plan.get(table, {}).get(user["id"]), row_id):
                continue
            wrote_it = standing.stands(standing.root(user["born"]))
            found.add(name, row_id, user["born"] if wrote_it else user["rev"])
