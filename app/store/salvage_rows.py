"""Where the rows of a salvage come from: the damaged file, a backup, the lines of the journal."""

from __future__ import annotations

import sqlite3
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field

from app.domain.steps import Step, Steps
from app.store.journal import from_json
from app.store.row_by_row import Read, Row, indexed_uids, lenient, read_rows
from app.store.row_hash import Value, hash_of_row
from app.store.salvage_file import NewFile

_JOURNAL = ("diary", "copy", "journal_entry", "journal_change")


@dataclass(slots=True)
class Saved:
    """By table: rows kept from the damaged file, those of it that are spoiled, and their uids.

    `named` are uids by local id where the index still has them. `refused` are sound rows that
    contradict others.
    """

    kept: dict[str, list[Row]] = field(default_factory=dict)
    spoiled: dict[str, list[Read]] = field(default_factory=dict)
    named: dict[str, dict[int, bytes]] = field(default_factory=dict)
    from_backup: Counter[str] = field(default_factory=Counter)
    rebuilt: Counter[str] = field(default_factory=Counter)

    def found_again(self, new: NewFile, table: str, each: Read) -> bool:
        """Whether a spoiled row came into the new file another way."""
        uid = self.named[table].get(each.id)
        return uid in new.ids[table] if uid is not None else each.id in new.taken[table]


def take_sound(new: NewFile, damaged: sqlite3.Connection, step: Step | None = None) -> Saved:
    """Put every row into the new file that is as it was written, one by one.

    `step` is told how many rows were read; what it raises ends it.
    """
    lenient(damaged)
    steps = _steps(new, damaged, step)
    saved = Saved()
    for table in _in_order(new):
        hashed = table in new.hashed
        uids = indexed_uids(damaged, table)[0] if "uid" in new.columns[table] else {}
        saved.named[table] = {row_id: uid for uid, row_id in uids.items()}
        saved.kept[table], saved.spoiled[table] = [], []
        for each in _rows(damaged, new, table, steps, hashed=hashed):
            if each.sound and each.values is not None and new.put(table, each.values):
                saved.kept[table].append(each.values)
            else:
                saved.spoiled[table].append(each)
    return saved


def merge(new: NewFile, backup: sqlite3.Connection, saved: Saved, step: Step | None = None) -> None:
    """Add the rows of a backup that the new file lacks, brought on by what the journal has since.

    A row that is there stays as it is. A local id that another row has by now becomes a new one.
    `step` is told how many rows of the backup were read; what it raises ends it.
    """
    lenient(backup)
    steps = _steps(new, backup, step)
    found = {
        table: [
            each.values
            for each in _rows(backup, new, table, steps, hashed=table in new.hashed)
            if each.sound and each.values is not None
        ]
        for table in _in_order(new)
    }
    lines = Counter(_line(new, row) for row in _all(new, "journal_change"))
    ids = {table: _ids(new, table, rows) for table, rows in found.items()}
    for table, rows in found.items():
        for row in rows:
            fields = new.named(table, row)
            if fields.get("uid") in new.ids[table] or (table == "diary" and new.taken["diary"]):
                continue
            for column, target in new.refers[table].items():
                held = fields[column]
                if isinstance(held, int):
                    fields[column] = ids[target].get(held, held)
            fields["id"] = ids[table].get(_number(fields["id"]), fields["id"])
            moved = new.filled(table, fields)
            if table == "journal_change":
                if lines[_line(new, moved)] > 0:
                    lines[_line(new, moved)] -= 1
                    continue
                fields["id"] = new.free_id(table, _number(fields["id"]))
                moved = new.filled(table, fields)
            saved.from_backup[table] += new.put(table, _brought_on(new, table, moved))


def rebuild(new: NewFile, saved: Saved) -> None:
    """Put spoiled rows together again from the lines of the journal, where it has all of them.

    One that could be read has to fit the hash that it was written with.
    """
    for table in saved.spoiled:
        for each in saved.spoiled[table] if table in new.own else ():
            uid = saved.named[table].get(each.id)
            if uid is None or saved.found_again(new, table, each):
                continue
            row = _from_lines(new, table, each.id, uid)
            fits = row is not None and (
                each.values is None or hash_of_row(*new.as_stored(table, row)) == each.kept
            )
            if row is not None and fits:
                saved.rebuilt[table] += new.put(table, row)


def _in_order(new: NewFile) -> list[str]:
    """The journal first: what it says is needed for the others."""
    return [*_JOURNAL, *(table for table in new.columns if table not in _JOURNAL)]


def _steps(new: NewFile, connection: sqlite3.Connection, step: Step | None) -> Steps:
    """Steps for every row that the tables of a file have, as far as they can be counted."""
    rows = 0
    for table in new.columns if step is not None else ():
        with suppress(sqlite3.DatabaseError):
            rows += connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
    return Steps(step, rows)


def _rows(
    connection: sqlite3.Connection, new: NewFile, table: str, steps: Steps, *, hashed: bool
) -> list[Read]:
    try:
        rows = read_rows(connection, table, new.columns[table], hashed=hashed)
        return list(steps.through(rows))
    except sqlite3.DatabaseError:
        return []


def _all(new: NewFile, table: str) -> list[Row]:
    return new.connection.execute(f"SELECT {', '.join(new.columns[table])} FROM {table}").fetchall()


def _ids(new: NewFile, table: str, rows: list[Row]) -> dict[int, int]:
    """For the local ids of a backup, those that the rows have or will have in the new file."""
    ids: dict[int, int] = {}
    given = set(new.taken[table])
    for row in rows:
        fields = new.named(table, row)
        row_id, uid = _number(fields["id"]), fields.get("uid")
        if isinstance(uid, bytes) and uid in new.ids[table]:
            ids[row_id] = new.ids[table][uid]
        elif isinstance(uid, bytes):
            ids[row_id] = row_id if row_id not in given else max(given) + 1
            given.add(ids[row_id])
    return ids


def _line(new: NewFile, row: Row) -> Row:
    fields = new.named("journal_change", row)
    return tuple(fields[name] for name in ("entry_id", "tbl", "row_uid", "op"))


def _brought_on(new: NewFile, table: str, row: Row) -> Row:
    """A row of a backup with what was changed in it since, as far as the journal tells."""
    if table not in new.own:
        return row
    fields = new.named(table, row)
    for entry, op, values, at in _lines_of(new, table, fields["uid"]):
        if entry > _number(fields["rev"]) and op != "add":
            _apply(fields, entry, op, values, at)
    return new.filled(table, fields)


def _from_lines(new: NewFile, table: str, row_id: int, uid: bytes) -> Row | None:
    fields: dict[str, Value] = {}
    for entry, op, values, at in _lines_of(new, table, uid):
        if op == "add":
            if values is None:  # blanked when the bin was emptied
                return None
            fields = {"id": row_id, "uid": uid, "born": entry, "deleted_at": None}
        elif not fields or (op == "edit" and values is None):
            return None
        _apply(fields, entry, op, values, at)
    return new.filled(table, fields) if fields else None


def _apply(
    fields: dict[str, Value], entry: int, op: str, values: str | None, at: int | None
) -> None:
    fields["rev"] = entry
    if op == "delete":
        fields["deleted_at"] = at
    elif op == "restore":
        fields["deleted_at"] = None
    elif values is not None:
        fields.update(from_json(values))


def _lines_of(
    new: NewFile, table: str, uid: Value
) -> list[tuple[int, str, str | None, int | None]]:
    return new.connection.execute(
        "SELECT l.entry_id, l.op, l.new, e.at FROM journal_change AS l"
        " LEFT JOIN journal_entry AS e ON e.id = l.entry_id"
        " WHERE l.tbl = ? AND l.row_uid = ? ORDER BY l.id",
        (table, uid),
    ).fetchall()


def _number(value: Value) -> int:
    if not isinstance(value, int):
        raise TypeError(f"a local id is a whole number: {type(value).__name__}")
    return value
