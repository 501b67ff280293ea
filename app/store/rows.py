"""Whole rows of any table looked up by what names them: their local ids, their uids."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sqlalchemy import Connection, Table

Row = dict[str, Any]

_AT_ONCE = 500  # values in one IN list


def rows_with(
    connection: Connection,
    table: Table,
    column: str,
    values: Iterable[Any],
    *,
    where: str = "TRUE",
) -> list[Row]:
    """The rows whose column has one of the values, in the bin or not, in the order of their ids.

    `where` is a further condition in SQL, written by us and never by anybody else.
    """
    wanted, found = list(values), list[Row]()
    for start in range(0, len(wanted), _AT_ONCE):
        part = tuple(wanted[start : start + _AT_ONCE])
        places = ", ".join("?" * len(part))
        found += select(
            connection, f"SELECT * FROM {table.name} WHERE {column} IN ({places}) AND {where}", part
        )
    return sorted(found, key=lambda row: int(row["id"]))


def select(connection: Connection, query: str, values: tuple[Any, ...] = ()) -> list[Row]:
    """The rows of a query as plain dictionaries: with thousands of them that counts."""
    found = connection.exec_driver_sql(query, values)
    names = list(found.keys())
    return [dict(zip(names, row, strict=True)) for row in found.all()]
