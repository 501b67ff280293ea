"""A child goes to school for a week: the card goes out, the sheet comes back, then the meter."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tests.commands import Terminal
from tests.screens import CardScreen

METER = """date,time,value
2026-03-09,12:07,7.2
2026-03-10,12:04,5.9
2026-03-11,12:15,8.8
"""
RECIPE = """
name = "grey"
unit = "mmol/L"
delimiter = "comma"
date_format = "YYYY-MM-DD"
header = true
[columns]
date = "date"
time = "time"
value = "value"
"""


@pytest.fixture
def terminal(tmp_path: Path, qapp: object) -> Terminal:
    made = Terminal(tmp_path, screen=CardScreen())
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    for day in range(2, 7):
        made.ok("add", "5.5 before lunch", "--at", f"2026-03-0{day} 12:30")
    return made


def test_the_card_goes_out_the_sheet_and_the_meter_come_back_and_nothing_is_doubled(
    terminal: Terminal,
) -> None:
    card, blank = terminal.folder / "card.html", terminal.folder / "sheet.csv"
    meter, recipe = terminal.folder / "grey.csv", terminal.folder / "grey.toml"
    meter.write_text(METER)
    recipe.write_text(RECIPE)
    terminal.ok("care", "set", "contacts", "Odalys 555-0101")

    # Out: the card, and the same boxes as a file.
    terminal.ok("hand-over", str(card), "--from", "2026-03-09", "--days", "3")
    terminal.ok("return-sheet", str(blank), "--blank", "--from", "2026-03-09", "--days", "3")
    rows = list(csv.reader(blank.read_text().splitlines()))
    lunch = rows[0].index("before lunch")

    # Back: two values with times, one without.
    for row, text in zip(rows[1:], ("7.2 12:10", "5.9", "6.0 12:30 PE"), strict=True):
        row[lunch] = text
    with blank.open("w", newline="") as stream:
        csv.writer(stream).writerows(rows)
    sheet = ("return-sheet", str(blank), "--keeper", "Ms Ardley", "--place", "school")
    first = terminal.ok(*sheet, "--json").json
    bring = ("import", str(meter), "--recipe", str(recipe), "--json")
    asked = terminal.ok(*bring).json
    lines = [each["line"] for each in asked["asked"]]
    answers = [word for line in lines for word in ("--answer", f"{line}=one")]
    told = terminal.ok(*bring, *answers).json
    again = terminal.ok(*sheet, "--json").json

    assert card.read_text(encoding="utf-8").count("<td></td>") == 3 * 8
    assert (first["new"], first["asked"]) == (3, 0)
    assert (asked["new"], asked["held"], lines) == (1, 2, [2, 3])
    assert (told["new"], told["linked"]) == (0, 2)
    assert (again["new"], again["already"] + again["asked"]) == (0, 3)
    kept = [
        (each["at"], each["value"], each["keeper"], each["place"])
        for each in terminal.ok("list", "--json").json
        if each["at"] >= "2026-03-09"
    ]
    assert kept == [
        ("2026-03-09T12:10", "7.2", "Ms Ardley", "school"),
        ("2026-03-10T12:04", "5.9", "Ms Ardley", "school"),
        ("2026-03-11T12:15", "8.8", None, None),
        ("2026-03-11T12:30", "6.0", "Ms Ardley", "school"),
    ]
