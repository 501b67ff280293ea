"""A look at the whole file: does SQLite find it sound, and do its rows agree with themselves."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, Table, func, select

from app.domain.glucose import Unit, converted
from app.store import schema
from app.store.diary import Diary

_EPOCH = 719163  # date(1970, 1, 1).toordinal()


@dataclass(frozen=True, slots=True)
class Checked:
    """What was looked at, and what is wrong in plain words (empty where all is well)."""

    persons: int
    readings: int
    changes: int
    wrong: tuple[str, ...]


def check_diary(diary: Diary) -> Checked:
    """Check pages, references, and that derived columns say what their sources say."""
    with diary.reading() as connection:
        wrong = [*_of_sqlite(connection), *_of_journal(connection), *_of_readings(connection)]
        return Checked(
            persons=_count(connection, schema.person),
            readings=_count(connection, schema.reading),
            changes=int(
                connection.execute(
                    select(func.count()).select_from(schema.journal_entry)
                ).scalar_one()
            ),
            wrong=tuple(wrong),
        )


def _count(connection: Connection, table: Table) -> int:
    query = select(func.count()).select_from(table).where(table.c.deleted_at.is_(None))
    return int(connection.execute(query).scalar_one())


def _of_sqlite(connection: Connection) -> list[str]:
    pages = [row[0] for row in connection.exec_driver_sql("PRAGMA integrity_check")]
    wrong = [] if pages == ["ok"] else [f"the file is damaged: {pages[0]}"]
    dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    if dangling:
        wrong.append(f"{len(dangling)} rows belong to something that is not there")
    return wrong


def _of_journal(connection: Connection) -> list[str]:
    entry, copy = schema.journal_entry, schema.copy
    query = (
        select(copy.c.last_no, func.count(entry.c.id), func.max(entry.c.no))
        .outerjoin(entry, entry.c.copy_id == copy.c.id)
        .group_by(copy.c.id)
    )
    return [
        f"the journal of one copy has {count} entries and ends at {highest}, not at {last}"
        for last, count, highest in connection.execute(query)
        if not last == count == highest
    ]


def _of_readings(connection: Connection) -> list[str]:
    table = schema.reading
    columns = (table.c.value, table.c.unit, table.c.mg_dl, table.c.instant, table.c.day)
    rows = connection.execute(
        select(*columns, table.c.minute, table.c.offset_min).where(table.c.deleted_at.is_(None))
    )
    values = times = 0
    for value, unit, mg_dl, instant, day, minute, offset in rows:
        if value is not None and converted(float(value), Unit(unit), Unit.MG_DL) != mg_dl:
            values += 1
        if instant is not None:
            local_minutes = instant // 60 + offset
            if (_EPOCH + local_minutes // 1440, local_minutes % 1440) != (day, minute):
                times += 1
    wrong = [f"{values} readings disagree with their value in mg/dL"] if values else []
    return wrong + ([f"{times} readings disagree with their local day or time"] if times else [])
