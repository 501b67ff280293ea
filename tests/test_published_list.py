"""The list of checked values names tests that are there, and every file of checks."""

from __future__ import annotations

import re
from pathlib import Path

PUBLISHED = Path(__file__).parent / "published"
LIST = (PUBLISHED / "README.md").read_text(encoding="utf-8")
NAMED = re.compile(r"`(test_published_\w+\.py)(?:::(test_\w+))?`")


def test_every_test_that_the_list_names_is_there() -> None:
    named = NAMED.findall(LIST)

    missing = [
        f"{file}::{name}"
        for file, name in named
        if not (PUBLISHED / file).is_file()
        or (name and f"\ndef {name}(" not in (PUBLISHED / file).read_text(encoding="utf-8"))
    ]

    assert len(named) > 60
    assert missing == []


def test_every_file_of_checks_is_in_the_list() -> None:
    files = {path.name for path in PUBLISHED.glob("test_published_*.py")}

    assert files == {file for file, _ in NAMED.findall(LIST)}


def test_every_row_says_how_sure_it_is() -> None:
    rows = [line for line in LIST.splitlines() if line.startswith("| ") and "`test_" in line]
    sure = re.compile(r"\b(V|V2|M|C|R|W)\b")

    assert len(rows) > 30
    assert [row for row in rows if not sure.search(row.split(" | ")[2])] == []
