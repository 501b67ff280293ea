"""What an earlier undo had to leave, since it was in use then: it goes when that use goes."""

from __future__ import annotations

from app.store import schema
from app.store.history import Standing
from app.store.journal import Change
from app.store.links import BESIDE, HANGING, Rows, by_table, counted, live_users, put
from app.store.rows import Row, rows_with, select
from app.store.undo_import import SOURCES, edited_rows
from app.store.undo_plan import Plan


def bin_orphans(change: Change, plan: Plan, standing: Standing) -> int:
    """Put into the bin what only a change that was taken back had brought and nothing uses.

    Those are rows of an import that were kept for an edit that is taken back now, and names, tags
    and meters that no live row names. Returns how many rows of the file, or of the person's own,
    these are.
    """
    rows = _kept_rows(change, plan, standing)
    hanging = _hanging_from(change, rows)
    for found in (hanging, rows):
        for name, each in found.items():
            change.delete_all(by_table(name), each.values())
    while names := _names(change, standing):
        for name, each in names.items():
            change.delete_all(by_table(name), each.values())
    return counted(rows)


def _is_undone(row: Row, standing: Standing) -> bool:
    return standing.root(row["born"]) in standing.undone


def _kept_rows(change: Change, plan: Plan, standing: Standing) -> Rows:
    """Rows that the plan went back on, or that something hung from, of an import taken back."""
    connection, rows = change.connection, Rows()
    for table in SOURCES:
        uids = {back.row["uid"] for back in plan.get(table.name, {}).values()}
        for hanging in HANGING:
            uids |= {
                back.row["row_uid"]
                for back in plan.get(hanging.name, {}).values()
                if back.row["tbl"] == table.name
            }
        found = rows_with(
            connection, table, "uid", uids, where="deleted_at IS NULL AND import_id IS NOT NULL"
        )
        put(rows, table.name, (row for row in found if _is_undone(row, standing)))
    still = edited_rows(connection, rows, standing, after=0)
    for name, found_still in still.items():
        for row_id in found_still:
            del rows[name][row_id]
    return rows


def _hanging_from(change: Change, rows: Rows) -> Rows:
    hanging: Rows = {}
    for _, _, name, row in live_users(change.connection, rows, belonging=True):
        put(hanging, name, [row])
    return hanging


def _names(change: Change, standing: Standing) -> Rows:
    connection, found = change.connection, Rows()
    for name in sorted(BESIDE):
        rows = select(connection, f"SELECT * FROM {name} WHERE deleted_at IS NULL")
        put(found, name, (row for row in rows if _is_undone(row, standing)))
    if not counted(found):
        return {}
    for name, row_id in _touched_since(change, found, standing):
        found[name].pop(row_id, None)
    account: Rows = {}
    for name, row_id, user_table, user in [
        *live_users(connection, found, belonging=True),
        *live_users(connection, found, belonging=False),
    ]:
        if user_table == schema.import_row.name and _is_undone(user, standing):
            put(account, user_table, [user])
        else:
            found[name].pop(row_id, None)
    for row in account.get(schema.import_row.name, {}).values():
        if row["import_id"] in found["import_batch"]:
            put(found, schema.import_row.name, [row])
    return found if counted(found) else {}


def _touched_since(change: Change, rows: Rows, standing: Standing) -> list[tuple[str, int]]:
    touched: list[tuple[str, int]] = []
    for name, found in rows.items():
        for row_id, row in found.items():
            lines = select(
                change.connection,
                "SELECT entry_id FROM journal_change WHERE tbl = ? AND row_uid = ?",
                (name, row["uid"]),
            )
            if any(standing.stands(line["entry_id"]) for line in lines):
                touched.append((name, row_id))
    return touched
