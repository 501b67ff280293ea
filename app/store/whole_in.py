"""The rows of a whole diary written into an empty one, looked at one by one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from math import isfinite
from typing import Any
from uuid import UUID

from sqlalchemy import Column, Connection, Float, Integer, LargeBinary, Table

from app.domain.clock import moment_at
from app.domain.errors import Refused
from app.domain.glucose import Unit, converted
from app.store import schema
from app.store.diary import Diary
from app.store.journal import Change
from app.store.state_hash import said_by, target_of
from app.store.whole import COPY, IN_BIN

_LARGEST = 2**63  # SQLite's whole numbers lie under it
_UID = re.compile(r"[0-9a-f]{32}")
_SHOWN = 40


def is_empty(diary: Diary) -> bool:
    """Whether nobody ever wrote anything in the diary: no row at all, in the bin neither."""
    with diary.reading() as connection:
        return is_empty_seen_by(connection)


def is_empty_seen_by(connection: Connection) -> bool:
    """`is_empty`, of what a connection in hand sees."""
    return not any(
        connection.exec_driver_sql(f"SELECT EXISTS (SELECT 1 FROM {table.name})").scalar_one()
        for table in schema.USER_TABLES
    )


class BringingIn:
    """Writes rows by one change; gives each its local id and finds by uid what it refers to."""

    def __init__(self, change: Change) -> None:
        self._change = change
        self._tables = {table.name: table for table in schema.USER_TABLES}
        self._ids: dict[str, dict[str, int]] = {name: {} for name in (COPY, *self._tables)}

    def row(self, name: str, said: Mapping[str, Any]) -> None:
        """Write one row.

        Raises
        ------
        Refused
            The row is none of that table: an unknown table or field, a value of another kind, a
            uid that was met before, a reference to a row that did not come before it.
        """
        rest = dict(said)
        uid = _uid(rest.pop("uid", None))
        ids = self._ids.get(name)
        if ids is None:
            raise Refused(f'"{name[:_SHOWN]}" is no table of a diary')
        if uid in ids:
            raise Refused(f"the {name} {uid} is there twice")
        if name == COPY:
            ids[uid] = _copy(self._change.connection, uid, rest)
            return
        table, binned = self._tables[name], rest.pop(IN_BIN, None)
        if binned not in (None, 1) or isinstance(binned, bool):
            raise Refused(f"{IN_BIN} is 1 or not there")
        fields = self._fields(table, rest)
        fields.update(_derived(table, fields))
        ids[uid] = self._change.add(table, uid=UUID(hex=uid), **fields)
        if binned:
            self._change.delete(table, ids[uid])

    def _fields(self, table: Table, said: dict[str, Any]) -> dict[str, Any]:
        fields: dict[str, Any] = {}
        for column in said_by(table):
            value = said.pop(column.name, None)
            target = target_of(column)
            if value is None:
                if not column.nullable and column.server_default is None:
                    raise Refused(f"the field {column.name} of {table.name} is missing")
            elif target is None:
                fields[column.name] = _checked(column, value)
            else:
                found = self._ids[target.name].get(_uid(value))
                if found is None:
                    raise Refused(f"{column.name} names a {target.name} that did not come before")
                fields[column.name] = found
        if said:
            raise Refused(f'"{min(said)[:_SHOWN]}" is no field of {table.name}')
        return fields


def _uid(value: Any) -> str:
    if not isinstance(value, str) or not _UID.fullmatch(value):
        raise Refused(f"{value!a:.{_SHOWN}} is no uid of 32 hexadecimal digits")
    return value


def _checked(column: Column[Any], value: Any) -> Any:
    kind = column.type
    fits = isinstance(value, str)
    if isinstance(kind, LargeBinary):
        fits = isinstance(value, bytes)
    elif isinstance(kind, Float):  # asked before Integer: neither is the other for SQLAlchemy
        fits = isinstance(value, int | float) and not isinstance(value, bool) and _is_held(value)
    elif isinstance(kind, Integer):
        fits = isinstance(value, int) and not isinstance(value, bool) and _is_held(value)
    if not fits:
        raise Refused(f"{value!a:.{_SHOWN}} does not fit the field {column.name}")
    return value


def _is_held(number: float) -> bool:
    return isfinite(number) and -_LARGEST <= number < _LARGEST


def _copy(connection: Connection, uid: str, said: dict[str, Any]) -> int:
    """The local id of a copy of the diary, added where it never wrote here."""
    label = said.pop("label", None)
    if said or not isinstance(label, str):
        raise Refused("a copy has a label and nothing else")
    table, raw = schema.copy, UUID(hex=uid).bytes
    found = connection.execute(table.select().where(table.c.uid == raw)).first()
    if found is not None:
        return int(found.id)
    made = connection.execute(table.insert().values(uid=raw, label=label))
    return int(made.lastrowid)


def _derived(table: Table, fields: Mapping[str, Any]) -> dict[str, Any]:
    """The columns that follow from others: the moment's, and the value in mg/dL."""
    derived: dict[str, Any] = {}
    try:
        if "instant" in table.c and fields.get("wall") is not None:
            wall = datetime.fromisoformat(fields["wall"])
            if wall.tzinfo is not None:
                raise ValueError("a wall time has no offset of its own")
            moment = moment_at(wall, fields["zone"], fields["offset_min"])
            derived = {"instant": moment.instant, "day": moment.day, "minute": moment.minute}
        if "mg_dl" in table.c and fields.get("value") is not None:
            unit = Unit(fields["unit"])
            derived["mg_dl"] = converted(float(fields["value"]), unit, Unit.MG_DL)
    except (KeyError, ValueError, OverflowError) as problem:
        raise Refused(f"the {table.name} has no possible time or value") from problem
    return derived
