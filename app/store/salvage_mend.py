"""What holds a salvaged file together: stand-ins for lost entries, no reference into nothing."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from uuid import uuid4

from app.store.history import ALL_ERASED
from app.store.row_by_row import Read
from app.store.row_hash import Value
from app.store.salvage_file import NewFile

LOST = "lost"  # the kind of an entry that stands in for one that can't be read any more


@dataclass(frozen=True, slots=True)
class Mended:
    """How many entries have a stand-in, and how many references were dropped.

    `left_out`, by table, are rows without what they belong to.
    """

    entries: int
    references: int
    left_out: dict[str, list[Read]]


def mend(new: NewFile, *, now: int) -> Mended:
    """Make every reference of the new file lead somewhere, and the journal count as it should."""
    _one_diary(new, now)
    entries = _stand_ins(new, now)
    _drop_lines(new)
    references, left_out = _settle(new)
    new.connection.execute(
        "UPDATE copy SET last_no ="
        " (SELECT ifnull(max(no), 0) FROM journal_entry WHERE copy_id = copy.id)"
    )
    return Mended(entries, references, left_out)


def _one_diary(new: NewFile, now: int) -> None:
    if not new.taken["diary"]:
        new.put("diary", new.filled("diary", {"id": 1, "uid": uuid4().bytes, "made_at": now}))


def _stand_ins(new: NewFile, now: int) -> int:
    """Entries for the numbers that are missing: rows go on naming them, and nothing is renumbered.

    Neither the local ids of a whole journal have gaps nor the numbers of a copy, so that the n-th
    id that is missing belongs to the n-th number that is.
    """
    _copies_named(new)
    named, there = _entries_named(new), new.taken["journal_entry"]
    numbers = _missing_numbers(new)
    ids = sorted((named | set(range(1, max(there, default=0)))) - there)
    made = 0
    while numbers or any(each in named for each in ids):
        entry = ids.pop(0) if ids else max(there, default=0) + 1
        if not numbers and entry not in named:
            continue
        copy, number = numbers.pop(0) if numbers else _next_number(new)
        fields: dict[str, Value] = {
            **{"id": entry, "uid": uuid4().bytes, "copy_id": copy, "no": number},
            **{"at": _time_before(new, entry, now), "kind": LOST, "words": "{}", "seen": "{}"},
            "erased": ALL_ERASED,
        }
        if not new.put("journal_entry", new.filled("journal_entry", fields)):
            raise sqlite3.IntegrityError(f"no stand-in could be made: entry={entry}")
        made += 1
    return made


def _entries_named(new: NewFile) -> set[int]:
    run = new.connection.execute
    return {
        each
        for table, refers in new.refers.items()
        for column, target in refers.items()
        if target == "journal_entry"
        for (each,) in run(f"SELECT DISTINCT {column} FROM {table} WHERE {column} IS NOT NULL")
    }


def _copies_named(new: NewFile) -> None:
    """See that every copy that wrote an entry is there, and one at least."""
    named = {each for (each,) in new.connection.execute("SELECT copy_id FROM journal_entry")}
    lacking = named - new.taken["copy"]
    for copy in sorted(lacking or (set() if new.taken["copy"] else {1})):
        new.put(
            "copy", new.filled("copy", {"id": copy, "uid": uuid4().bytes, "label": "a computer"})
        )


def _missing_numbers(new: NewFile) -> list[tuple[int, int]]:
    run = new.connection.execute
    found: list[tuple[int, int]] = []
    for copy in sorted(new.taken["copy"]):
        held = {no for (no,) in run("SELECT no FROM journal_entry WHERE copy_id = ?", (copy,))}
        found += [(copy, no) for no in range(1, max(held, default=0)) if no not in held]
    return found


def _next_number(new: NewFile) -> tuple[int, int]:
    copy = max(new.taken["copy"])
    query = "SELECT ifnull(max(no), 0) FROM journal_entry WHERE copy_id = ?"
    return copy, int(new.connection.execute(query, (copy,)).fetchone()[0]) + 1


def _time_before(new: NewFile, entry: int, now: int) -> int:
    query = "SELECT max(at) FROM journal_entry WHERE id < ?"
    found = new.connection.execute(query, (entry,)).fetchone()[0]
    return now if found is None else int(found)


def _drop_lines(new: NewFile) -> None:
    """Lines about rows that are not there would promise that those can be brought back."""
    for table in new.own:
        new.connection.execute(
            "DELETE FROM journal_change WHERE tbl = ?"
            f" AND NOT EXISTS (SELECT 1 FROM {table} AS r WHERE r.uid = journal_change.row_uid)",
            (table,),
        )


def _settle(new: NewFile) -> tuple[int, dict[str, list[Read]]]:
    """Drop references into nothing where a row can be without, else leave the row out."""
    dropped = 0
    left_out: dict[str, list[Read]] = {}
    run = new.connection.execute
    while True:
        dangling = set(run("PRAGMA foreign_key_check").fetchall())
        if not dangling:
            break
        for table, row_id, _, key in dangling:
            column = next(
                each[3] for each in run(f"PRAGMA foreign_key_list({table})") if each[0] == key
            )
            row = new.row(table, row_id)
            if row is None:
                continue
            if _can_be_empty(new, table, column):
                fields = {**new.named(table, row), column: None}
                new.replace(table, new.filled(table, fields))
                dropped += 1
            else:
                new.remove(table, row_id)
                left_out.setdefault(table, []).append(Read(row_id, row, None, sound=False))
    _drop_lines(new)
    return dropped, left_out


def _can_be_empty(new: NewFile, table: str, column: str) -> bool:
    columns = new.connection.execute(f"PRAGMA table_info({table})")
    return any(each[1] == column and not each[3] for each in columns)
