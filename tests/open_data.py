"""The open data sets, read in place where copies lie beside the checkout."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from app.domain.errors import Problem
from app.exchange.file_read import FileRead, Row
from app.exchange.recipe import Recipe
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table

_DATA = Path(__file__).resolve().parents[2] / "shared" / "data"
AIM94 = _DATA / "uci-diabetes-aim94"
SHANGHAI = _DATA / "shanghai-fingerstick"
AIM94_NAMES = [f"data-{number:02}" for number in range(1, 71)]

needs_aim94 = pytest.mark.skipif(
    not AIM94.is_dir(), reason="the AIM-94 records do not lie beside this checkout"
)
needs_shanghai = pytest.mark.skipif(
    not SHANGHAI.is_dir(), reason="the Shanghai finger-stick records do not lie beside it"
)


@cache
def aim94_recipe() -> Recipe:
    """How the diaries of AIM-94 are read."""
    path = Path(__file__).parent / "data" / "aim94.toml"
    return read_recipe(path.read_text(encoding="utf-8"), where=path.name)


@cache
def aim94(name: str) -> FileRead:
    """A diary of AIM-94, as it is read."""
    return read_table((AIM94 / "raw" / name).read_bytes(), aim94_recipe())


def line_of(read: FileRead, line: int) -> Row | Problem:
    """The row or the problem that a line of a file became; there is always just one."""
    found = [each for each in (*read.rows, *read.problems) if each.line == line]
    assert len(found) == 1, f"line {line} is {len(found)} times there"
    return found[0]
