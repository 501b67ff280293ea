"""What must hold for any diary file after whatever happened to it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

from app.domain.errors import DiaryError
from app.store.check import check_diary
from app.store.diary_file import open_diary
from tests.households import INSTALLATION


def broken_in(diary: Path) -> list[str]:
    """Open a diary as the program does, check it, and say what is wrong with it."""
    try:
        with open_diary(diary, INSTALLATION) as opened:
            wrong = ["it opens as damaged"] if opened.damaged else []
            wrong += check_diary(opened).wrong
    except DiaryError as problem:
        return [str(problem)]
    left = [each.name for each in _hot(diary)]
    return wrong + ([f"not rolled back: {', '.join(left)}"] if left else [])


def rows(diary: Path, query: str, *values: object) -> list[tuple[Any, ...]]:
    """Rows of a closed diary."""
    with closing(sqlite3.connect(diary)) as connection:
        return connection.execute(query, values).fetchall()


def one(diary: Path, query: str, *values: object) -> Any:
    """One number of a closed diary."""
    return rows(diary, query, *values)[0][0]


def _hot(diary: Path) -> Iterator[Path]:
    """What is left that opening should have rolled back; zeros at its start are no journal yet."""
    for ending in ("-journal", "-wal"):
        beside = diary.with_name(diary.name + ending)
        if beside.exists():
            with beside.open("rb") as file:
                if file.read(1).strip(b"\0"):
                    yield beside
