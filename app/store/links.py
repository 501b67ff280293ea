"""Which rows belong to which, and which merely name another: what goes into the bin together."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from sqlalchemy import Connection, Table

from app.store import schema
from app.store.rows import Row, rows_with, select

Rows = dict[str, dict[int, Row]]  # by table and local id

# A row goes with what these columns refer to; every other reference only names something.
_BELONGS = {
    ("target_limit", "set_id"),
    ("import_row", "import_id"),
    ("vial_range", "vial_id"),
    ("vial_use", "vial_id"),
    ("vial_use", "meter_id"),
    ("clock_repair", "meter_id"),
    ("clock_anchor", "repair_id"),
    ("clock_setting", "meter_id"),
    ("control_test", "meter_id"),
    ("help", "reading_id"),
}
HANGING = (schema.note, schema.tag_on)  # these know their row by its uid
# Written beside other things because they are named there; in use elsewhere, they stay.
BESIDE = frozenset({"tag", "keeper", "place", "recipe", "meter", "import_batch"})
_SHARED = (schema.keeper, schema.place, schema.meter, schema.vial)  # others may name these too


@cache
def references() -> tuple[tuple[Table, str, Table], ...]:
    """Every reference from one user table to another: from where, by which column, to where."""
    return tuple(
        (table, column.name, key.column.table)
        for table in schema.USER_TABLES
        for column in table.c
        for key in column.foreign_keys
        if key.column.table in schema.USER_TABLES
    )


def belongs(table: Table, column: str) -> bool:
    """Whether a row goes into the bin with what this column refers to."""
    return column == "person_id" or (table.name, column) in _BELONGS


@cache
def owners(table: str) -> tuple[tuple[str, Table], ...]:
    """The columns by which rows of a table belong to others, the person last."""
    found = [
        (column, target)
        for each, column, target in references()
        if each.name == table and belongs(each, column)
    ]
    return tuple(sorted(found, key=lambda pair: pair[0] == "person_id"))


def by_table(name: str) -> Table:
    """A table by its name."""
    return schema.metadata.tables[name]


def put(rows: Rows, table: str, found: Iterable[Row]) -> None:
    """Add rows to those gathered."""
    rows.setdefault(table, {}).update({row["id"]: row for row in found})


def live_users(
    connection: Connection, rows: Rows, *, belonging: bool
) -> Iterator[tuple[str, int, str, Row]]:
    """Live rows, not among these, that belong to one of them or merely name one.

    Yields the table and local id of what is used, then the table and the row that uses it.
    """
    for table, column, target in references():
        used = rows.get(target.name)
        if used and belongs(table, column) is belonging:
            among = rows.get(table.name, {})
            for row in rows_with(connection, table, column, used, where="deleted_at IS NULL"):
                if row["id"] not in among:
                    yield target.name, row[column], table.name, row
    if belonging:
        yield from _hanging_users(connection, rows)


def _hanging_users(connection: Connection, rows: Rows) -> Iterator[tuple[str, int, str, Row]]:
    for name, used in list(rows.items()):
        ids = {row["uid"]: row_id for row_id, row in used.items()}
        for table in HANGING if name not in ("note", "tag_on") else ():
            among = rows.get(table.name, {})
            for row in rows_with(
                connection, table, "row_uid", ids, where=f"deleted_at IS NULL AND tbl = '{name}'"
            ):
                if row["id"] not in among:
                    yield name, ids[row["row_uid"]], table.name, row


def with_all_that_belongs(connection: Connection, rows: Rows) -> Rows:
    """These rows with every live row that belongs to one of them, and to one of those in turn."""
    whole: Rows = defaultdict(dict)
    newest = rows
    while any(newest.values()):
        for name, found in newest.items():
            whole[name].update(found)
        newest = defaultdict(dict)
        for _, _, name, row in live_users(connection, dict(whole), belonging=True):
            newest[name][row["id"]] = row
    return dict(whole)


def all_of_person(connection: Connection, person_id: int) -> Rows:
    """The live rows of a person; a meter or a name that someone else's rows name stays out."""
    rows: Rows = {}
    for table in (schema.person, *(t for t in schema.USER_TABLES if "person_id" in t.c)):
        column = "id" if table is schema.person else "person_id"
        put(
            rows,
            table.name,
            rows_with(connection, table, column, [person_id], where="deleted_at IS NULL"),
        )
    for shared in _SHARED:
        for used in _named_by_others(connection, shared, person_id):
            rows[shared.name].pop(used, None)
    whole = with_all_that_belongs(connection, rows)
    for name, found in whole.items():
        if "person_id" in by_table(name).c:  # of a meter that others use too, their own tests stay
            whole[name] = {
                row_id: row
                for row_id, row in found.items()
                if row["person_id"] in (None, person_id)
            }
    return whole


def _named_by_others(connection: Connection, shared: Table, person_id: int) -> set[int]:
    named: set[int] = set()
    for table, column, target in references():
        if target is shared and "person_id" in table.c:
            named |= {
                row[column]
                for row in select(
                    connection,
                    f"SELECT DISTINCT {column} FROM {table.name} WHERE {column} IS NOT NULL"
                    " AND deleted_at IS NULL AND person_id != ?",
                    (person_id,),
                )
            }
    return named


def missing_targets(
    connection: Connection, rows: Mapping[str, Iterable[Row]]
) -> Iterator[tuple[str, str, Row, Table, Row]]:
    """What rows refer to that is in the bin.

    Yields the table, the column and the row that refers, then the table and the row in the bin.
    """
    gathered = {name: list(found) for name, found in rows.items()}
    for table, column, target in references():
        users = gathered.get(table.name, [])
        wanted = {row[column] for row in users if row[column] is not None}
        binned = {
            row["id"]: row
            for row in rows_with(connection, target, "id", wanted, where="deleted_at IS NOT NULL")
        }
        for row in users:
            if row[column] in binned:
                yield table.name, column, row, target, binned[row[column]]


def counted(rows: Rows) -> int:
    """How many rows were gathered."""
    return sum(len(found) for found in rows.values())
