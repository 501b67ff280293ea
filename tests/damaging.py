"""Files damaged on purpose: a diary with many readings, and ways to spoil a copy of it."""

from __future__ import annotations

import random
import sqlite3
import struct
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.row_hash import hashed_columns
from app.work.bring_in import File, bring_in
from tests.households import INSTALLATION, NOW, written
from tests.version_diary import RECIPE, make

PAGE = 4096
FIRST_DAY = date(2025, 3, 1)
_LEAF, _INNER = 13, 5  # kinds of pages of a table (SQLite's documentation of its file format)

Rows = dict[str, list[tuple[Any, ...]]]


def filled(path: Path, *, imported: int = 1500, typed: int = 40) -> Path:
    """A diary with rows in every table, readings of a file, five a day, and typed ones."""
    make(path)
    with open_diary(path, INSTALLATION) as diary:
        person = persons(diary)[0]
        bring_in(diary, person, _file(imported), now=NOW, recipe=None)
        for number in range(typed):
            day = date(2026, 1, 1) + timedelta(number)
            written(diary, person, f"{day} 07:0{number % 10}", f"{4 + number / 10:.1f}", note="n")
    return path


def _file(count: int) -> File:
    draw = random.Random(5)
    lines = ["date,time,value,meal"]
    for number in range(count):
        day = FIRST_DAY + timedelta(number // 5)
        hour = 7 + 3 * (number % 5)
        lines.append(f"{day},{hour:02}:{draw.randrange(60):02},{draw.uniform(3, 15):.1f},")
    data = "\n".join(lines).encode()
    read = read_table(data, read_recipe(RECIPE, where="kitchen"), unit_hint=None)
    return File("year.csv", data, read)


def rows_of(path: Path) -> Rows:
    """Every row of every table that keeps hashes, with its hash."""
    with closing(sqlite3.connect(path)) as connection:
        return {
            table: connection.execute(f"SELECT * FROM {table} ORDER BY id").fetchall()
            for table in sorted(hashed_columns(connection))
        }


def values_of(path: Path) -> Rows:
    """The same without hashes: what the rows say."""
    return {table: [row[:-1] for row in rows] for table, rows in rows_of(path).items()}


def journal_of(path: Path) -> Rows:
    """The journal, which keeps no hashes."""
    with closing(sqlite3.connect(path)) as connection:
        return {
            table: connection.execute(f"SELECT * FROM {table} ORDER BY id").fetchall()
            for table in ("diary", "copy", "journal_entry", "journal_change")
        }


def root_page(path: Path, table: str) -> int:
    """The number of the first page of a table."""
    with closing(sqlite3.connect(path)) as connection:
        found = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = ?", (table,))
        return int(found.fetchone()[0])


def leaf_pages(path: Path, table: str) -> list[int]:
    """The numbers of the pages that hold a table's rows, in the order of the rows."""
    data = path.read_bytes()

    def under(page: int) -> list[int]:
        start = (page - 1) * PAGE
        if data[start] == _LEAF:
            return [page]
        assert data[start] == _INNER
        cells = struct.unpack_from(">H", data, start + 3)[0]
        places = struct.unpack_from(f">{cells}H", data, start + 12)
        below = [struct.unpack_from(">I", data, start + place)[0] for place in places]
        return [
            leaf
            for each in (*below, struct.unpack_from(">I", data, start + 8)[0])
            for leaf in under(each)
        ]

    return under(root_page(path, table))


def without_page(path: Path, page: int, *, noise: int | None = None) -> None:
    """Put zeros in the place of a page, or noise from a seed."""
    content = bytes(PAGE) if noise is None else random.Random(noise).randbytes(PAGE)
    data = bytearray(path.read_bytes())
    data[(page - 1) * PAGE : page * PAGE] = content
    path.write_bytes(data)


def altered(path: Path, old: bytes, new: bytes) -> None:
    """Put bytes in the place of others that stand in the file exactly once."""
    data = path.read_bytes()
    assert data.count(old) == 1, data.count(old)
    assert len(old) == len(new)
    path.write_bytes(data.replace(old, new))
