"""One change of the diary: its transaction, its journal entry, and every row it touches."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID, uuid4

from sqlalchemy import Connection, RowMapping, Table, update

from app.store import schema
from app.store.row_hash import rehash

# Plain SQL for what every save runs: having it built anew each time takes as long as the commit.
_NEXT_NUMBER = "UPDATE copy SET last_no = last_no + 1 WHERE uid = ? RETURNING id, last_no"
_OTHERS = "SELECT uid, last_no FROM copy WHERE id != ?"
_COUNTED = "UPDATE diary SET change_counter = change_counter + 1"

Fields = Mapping[str, Any]  # columns of a row by name; a whole row has all of them


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
        words: Fields,
        person_id: int | None = None,
        undoes: int | None = None,
    ) -> None:
        self.connection = connection
        self.at = at
        self.touched: dict[str, set[int]] = {}  # local ids of the rows written here, by table
        self.retold: set[int] = set()  # entries before this one whose words or lines were blanked
        self.bulk: set[str] = set()  # tables with more rows of this entry than those
        self._lines: list[tuple[str, bytes, str, str | None, str | None]] = []
        self.copy_id, self.entry_id = self._begin(
            installation,
            at=at,
            kind=kind,
            words=_json(words),
            person_id=person_id,
            undoes=undoes,
        )

    def add(self, table: Table, *, uid: UUID | None = None, **fields: Any) -> int:
        """Add a row; returns its local id."""
        made = uid or uuid4()
        row = {"uid": made.bytes, "born": self.entry_id, "rev": self.entry_id, **fields}
        row_id = self._insert(table, row)
        self.touched.setdefault(table.name, set()).add(row_id)
        self._note(table, made.bytes, "add", None, fields)
        return row_id

    def edit(
        self,
        table: Table,
        row_id: int,
        *,
        before: Fields | RowMapping | None = None,
        **fields: Any,
    ) -> None:
        """Change fields of a row; those that already hold the value are no change.

        `before` is the whole row as it is now, where the caller has it in hand.
        """
        self.edit_all(table, [(before or self._row(table, row_id), fields)])

    def edit_all(self, table: Table, rows: Iterable[tuple[Fields | RowMapping, Fields]]) -> int:
        """Change fields of many rows, each given as it is now; returns how many were different."""
        alike: dict[tuple[str, ...], list[tuple[Any, ...]]] = {}
        for before, fields in rows:
            old = {name: before[name] for name in fields if before[name] != fields[name]}
            if old:
                new = {name: fields[name] for name in old}
                alike.setdefault(tuple(new), []).append((*new.values(), before["id"]))
                self._note(table, before["uid"], "edit", old, new)
        for names, values in alike.items():
            self._write(table, names, values)
        return sum(len(values) for values in alike.values())

    def delete(self, table: Table, row_id: int) -> None:
        """Put a row into the bin."""
        self.delete_all(table, [self._row(table, row_id)])

    def delete_all(self, table: Table, rows: Iterable[Fields | RowMapping]) -> int:
        """Put rows, given as they are now, into the bin; returns how many were not in it."""
        live = [row for row in rows if row["deleted_at"] is None]
        return self._move(table, live, "delete", self.at)

    def restore(self, table: Table, row_id: int) -> None:
        """Take a row out of the bin."""
        self.restore_all(table, [self._row(table, row_id)])

    def restore_all(self, table: Table, rows: Iterable[Fields | RowMapping]) -> int:
        """Take rows, given as they are now, out of the bin; returns how many were in it."""
        binned = [row for row in rows if row["deleted_at"] is not None]
        return self._move(table, binned, "restore", None)

    def move_many(
        self, table: Table, rows: Iterable[Fields | RowMapping], *, into_bin: bool
    ) -> int:
        """Put rows of an import into the bin or take them out, as they came: without lines.

        Those taken out count as new, not as amended.
        """
        head = ("deleted_at",) if into_bin else ("deleted_at", "born")
        fields = (self.at,) if into_bin else (None, self.entry_id)
        values = [(*fields, row["id"]) for row in rows]
        if values:
            self._write(table, head, values)
        return len(values)

    def blank(self, table: Table, row_ids: Iterable[int], neutral: Fields) -> None:
        """Put neutral values over what rows of the bin said; alone here, no old value is kept."""
        values = [(*neutral.values(), row_id) for row_id in row_ids]
        self._write(table, tuple(neutral), values)

    def wrote(self, table: str) -> None:
        """Say that rows of a table were written past this class: those whose `rev` is the entry.

        Rows of an import are many and their own new values; the journal holds no line for them.
        """
        self.bulk.add(table)

    def finish(self) -> None:
        """Write the lines of the journal and the hashes of the rows: the end of the transaction."""
        if self._lines:
            self.connection.exec_driver_sql(
                "INSERT INTO journal_change (entry_id, tbl, row_uid, op, old, new)"
                f" VALUES ({self.entry_id}, ?, ?, ?, ?, ?)",
                self._lines,
            )
        rehash(
            self.connection,
            self.touched,
            bulk=self.bulk,
            entries=self.retold,
            rev=self.entry_id,
        )

    def concerns(self, person_id: int) -> None:
        """Say in the entry whose change it is, where that was not known at its start."""
        self.connection.execute(
            update(schema.journal_entry)
            .where(schema.journal_entry.c.id == self.entry_id)
            .values(person_id=person_id)
        )

    def written_by(self, keeper_id: int) -> None:
        """Say in the entry who makes the change."""
        self.connection.execute(
            update(schema.journal_entry)
            .where(schema.journal_entry.c.id == self.entry_id)
            .values(keeper_id=keeper_id)
        )

    def says(self, words: Fields) -> None:
        """Fill the entry's sentence with what is known only once the change is made."""
        self.connection.execute(
            update(schema.journal_entry)
            .where(schema.journal_entry.c.id == self.entry_id)
            .values(words=_json(words))
        )

    def names_import(self, import_id: int, words: Fields) -> None:
        """Say in the entry which import it is and what came of it."""
        self.connection.execute(
            update(schema.journal_entry)
            .where(schema.journal_entry.c.id == self.entry_id)
            .values(import_id=import_id, words=_json(words))
        )

    def _begin(self, installation: UUID, **entry: Any) -> tuple[int, int]:
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
        return copy_id, self._insert(schema.journal_entry, row)

    def _insert(self, table: Table, row: Fields) -> int:
        places = ", ".join("?" * len(row))
        insertion = f"INSERT INTO {table.name} ({', '.join(row)}) VALUES ({places})"
        return int(self.connection.exec_driver_sql(insertion, tuple(row.values())).lastrowid)

    def _row(self, table: Table, row_id: int) -> Fields:
        found = self.connection.exec_driver_sql(
            f"SELECT * FROM {table.name} WHERE id = ?", (row_id,)
        )
        return dict(found.mappings().one())

    def _write(self, table: Table, names: tuple[str, ...], values: list[tuple[Any, ...]]) -> None:
        """Write columns of many rows; each of `values` ends with the local id."""
        places = "".join(f", {name} = ?" for name in names)
        self.connection.exec_driver_sql(
            f"UPDATE {table.name} SET rev = {self.entry_id}{places} WHERE id = ?", values
        )
        self.touched.setdefault(table.name, set()).update(each[-1] for each in values)

    def _move(
        self, table: Table, rows: list[Fields | RowMapping], op: str, deleted_at: int | None
    ) -> int:
        if rows:
            self._write(table, ("deleted_at",), [(deleted_at, row["id"]) for row in rows])
        for row in rows:
            self._note(table, row["uid"], op, None, None)
        return len(rows)

    def _note(
        self,
        table: Table,
        row_uid: bytes,
        op: str,
        old: Fields | None,
        new: Fields | None,
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


def to_json(fields: Fields) -> str:
    """Write the fields of a journal line, bytes included."""
    return _ENCODER.encode(fields)


def _json(fields: Fields) -> str:
    return to_json(fields)


def _bytes_out(value: object) -> dict[str, str]:
    if isinstance(value, bytes):
        return {"hex": value.hex()}
    raise TypeError(f"not a value of a row: {type(value).__name__}")


def _bytes_back(value: Any) -> Any:
    if isinstance(value, dict) and set(value) == {"hex"}:
        return bytes.fromhex(value["hex"])
    return value


# One encoder for all lines: json.dumps would make a new one for each.
_ENCODER = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), default=_bytes_out)
