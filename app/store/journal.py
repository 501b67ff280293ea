"""One change of the diary: its transaction, its journal entry, and every row it touches."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any
from uuid import UUID, uuid4

from sqlalchemy import Connection, RowMapping, Table, update

from app.store import schema

# Plain SQL for what every save runs: having it built anew each time takes as long as the commit.
_NEXT_NUMBER = "UPDATE copy SET last_no = last_no + 1 WHERE uid = ? RETURNING id, last_no"
_OTHERS = "SELECT uid, last_no FROM copy WHERE id != ?"
_COUNTED = "UPDATE diary SET change_counter = change_counter + 1"


class Change:
    """What one journal entry covers; made by `Diary.change`, gone when that ends.

    Rows are added, edited, put into the bin and taken out of it here and nowhere else, so that
    whatever happened can be read in the journal and taken back.
    """

    def __init__(
        self,
        connection: Connection,
        *,
        installation: UUID,
        at: int,
        kind: str,
        words: Mapping[str, Any],
        person_id: int | None = None,
        keeper_id: int | None = None,
        undoes: int | None = None,
    ) -> None:
        self.connection = connection
        self.at = at
        self._lines: list[tuple[str, bytes, str, str | None, str | None]] = []
        self.entry_id = self._begin(
            installation,
            at=at,
            kind=kind,
            words=_json(words),
            person_id=person_id,
            keeper_id=keeper_id,
            undoes=undoes,
        )

    def add(self, table: Table, *, uid: UUID | None = None, **fields: Any) -> int:
        """Add a row; returns its local id."""
        made = uid or uuid4()
        row = {"uid": made.bytes, "born": self.entry_id, "rev": self.entry_id, **fields}
        row_id = self._insert(table, row)
        self._note(table, made.bytes, "add", None, fields)
        return row_id

    def edit(
        self,
        table: Table,
        row_id: int,
        *,
        before: Mapping[str, Any] | RowMapping | None = None,
        **fields: Any,
    ) -> None:
        """Change fields of a row; those that already hold the value are no change.

        `before` is the whole row as it is now, where the caller has it in hand.
        """
        before = before or self._row(table, row_id)
        old = {name: before[name] for name in fields if before[name] != fields[name]}
        if old:
            new = {name: fields[name] for name in old}
            self._write(table, row_id, new)
            self._note(table, before["uid"], "edit", old, new)

    def delete(self, table: Table, row_id: int) -> None:
        """Put a row into the bin."""
        before = self._row(table, row_id)
        if before["deleted_at"] is None:
            self._write(table, row_id, {"deleted_at": self.at})
            self._note(table, before["uid"], "delete", None, None)

    def restore(self, table: Table, row_id: int) -> None:
        """Take a row out of the bin."""
        before = self._row(table, row_id)
        if before["deleted_at"] is not None:
            self._write(table, row_id, {"deleted_at": None})
            self._note(table, before["uid"], "restore", None, None)

    def finish(self) -> None:
        """Write the lines of the journal; the last thing of a change, in its transaction."""
        if self._lines:
            self.connection.exec_driver_sql(
                "INSERT INTO journal_change (entry_id, tbl, row_uid, op, old, new)"
                f" VALUES ({self.entry_id}, ?, ?, ?, ?, ?)",
                self._lines,
            )

    def concerns(self, person_id: int) -> None:
        """Say in the entry whose change it is, where that was not known at its start."""
        self.connection.execute(
            update(schema.journal_entry)
            .where(schema.journal_entry.c.id == self.entry_id)
            .values(person_id=person_id)
        )

    def names_import(self, import_id: int, words: Mapping[str, Any]) -> None:
        """Say in the entry which import it is and what came of it."""
        self.connection.execute(
            update(schema.journal_entry)
            .where(schema.journal_entry.c.id == self.entry_id)
            .values(import_id=import_id, words=_json(words))
        )

    def _begin(self, installation: UUID, **entry: Any) -> int:
        run = self.connection.exec_driver_sql
        mine = run(_NEXT_NUMBER, (installation.bytes,)).one_or_none()
        if mine is None:
            made = {"uid": installation.bytes, "label": "this computer", "last_no": 1}
            copy_id, number = self._insert(schema.copy, made), 1
        else:
            copy_id, number = mine
        seen = {uid.hex(): last for uid, last in run(_OTHERS, (copy_id,))}
        run(_COUNTED)
        row = {"uid": uuid4().bytes, "copy_id": copy_id, "no": number, "seen": _json(seen), **entry}
        return self._insert(schema.journal_entry, row)

    def _insert(self, table: Table, row: Mapping[str, Any]) -> int:
        places = ", ".join("?" * len(row))
        insertion = f"INSERT INTO {table.name} ({', '.join(row)}) VALUES ({places})"
        return int(self.connection.exec_driver_sql(insertion, tuple(row.values())).lastrowid)

    def _row(self, table: Table, row_id: int) -> Mapping[str, Any]:
        found = self.connection.exec_driver_sql(
            f"SELECT * FROM {table.name} WHERE id = ?", (row_id,)
        )
        return dict(found.mappings().one())

    def _write(self, table: Table, row_id: int, fields: Mapping[str, Any]) -> None:
        places = "".join(f", {name} = ?" for name in fields)
        self.connection.exec_driver_sql(
            f"UPDATE {table.name} SET rev = {self.entry_id}{places} WHERE id = ?",
            (*fields.values(), row_id),
        )

    def _note(
        self,
        table: Table,
        row_uid: bytes,
        op: str,
        old: Mapping[str, Any] | None,
        new: Mapping[str, Any] | None,
    ) -> None:
        self._lines.append(
            (
                table.name,
                row_uid,
                op,
                None if old is None else _json(old),
                None if new is None else _json(new),
            )
        )


def from_json(text: str) -> dict[str, Any]:
    """Read the fields of a journal line back, bytes included."""
    return {name: _bytes_back(value) for name, value in json.loads(text).items()}


def _json(fields: Mapping[str, Any]) -> str:
    return json.dumps(fields, ensure_ascii=False, separators=(",", ":"), default=_bytes_out)


def _bytes_out(value: object) -> dict[str, str]:
    if isinstance(value, bytes):
        return {"hex": value.hex()}
    raise TypeError(f"not a value of a row: {type(value).__name__}")


def _bytes_back(value: Any) -> Any:
    if isinstance(value, dict) and set(value) == {"hex"}:
        return bytes.fromhex(value["hex"])
    return value
