from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.return_sheet import ReturnSheet, SheetCell
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.store.diary import Diary
from app.store.readings import readings_of
from app.work.bring_in import BroughtIn, File, bring_in, try_file
from app.work.return_sheet import save_sheet
from app.work.row_answers import row_answers
from app.work.take_back import undo_last
from tests.households import NOW, new_diary, tilde, written

DAY = date(2026, 3, 9)
RECIPE = """
name = "school"
unit = "mmol/L"
delimiter = "comma"
date_format = "YYYY-MM-DD"
header = false
[columns]
date = 1
time = 2
value = 3
"""


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    """A child with a usual lunch at 12:30, and a school sheet that had no time beside its value."""
    made = tilde(diary)
    for day in range(1, 6):
        written(diary, made, f"2026-03-0{day} 12:30", "5.5", Mark.BEFORE_LUNCH)
    cells = (SheetCell(DAY, Mark.BEFORE_LUNCH, "7.2"),)
    sheet = ReturnSheet(cells, "Ms Ardley", "school", Unit.MMOL_L, "Europe/Lisbon")
    save_sheet(diary, made, sheet, now=NOW)
    return made


def meters(*rows: str) -> File:
    data = "".join(f"{row}\n" for row in rows).encode()
    return File("meter.csv", data, read_table(data, read_recipe(RECIPE, where="school.toml")))


def looked_at(diary: Diary, person: Person, row: str) -> BroughtIn:
    return try_file(diary, person, meters(row), now=NOW)


@pytest.mark.parametrize("at", ["10:30", "11:52", "14:30"])
def test_a_meters_reading_of_about_the_slot_is_asked_about(
    diary: Diary, person: Person, at: str
) -> None:
    found = looked_at(diary, person, f"2026-03-09,{at},7.2")

    assert found.account.held == 1
    assert "was written for about 2026-03-09 12:30" in found.held[0].why


@pytest.mark.parametrize("row", ["2026-03-09,10:29,7.2", "2026-03-09,12:30,7.3"])
def test_another_value_or_another_time_is_a_reading_of_its_own(
    diary: Diary, person: Person, row: str
) -> None:
    assert looked_at(diary, person, row).account.new == 1


def test_what_is_one_gets_the_time_of_the_meter_and_an_undo_gives_it_back(
    diary: Diary, person: Person
) -> None:
    answers = row_answers(["1=one"])

    bring_in(diary, person, meters("2026-03-09,11:52,7.2"), now=NOW, recipe=None, answers=answers)

    def last() -> tuple[str, str, str | None, str | None]:
        found = readings_of(diary, person)[-1]
        assert found.moment is not None
        return found.moment.wall, found.time_precision, found.keeper, found.place

    assert last() == ("2026-03-09T11:52", "minute", "Ms Ardley", "school")
    undo_last(diary, person, now=NOW)
    assert last() == ("2026-03-09T12:30", "slot", "Ms Ardley", "school")


def test_two_rows_never_meet_the_same_result(diary: Diary, person: Person) -> None:
    file = meters("2026-03-09,12:20,7.2", "2026-03-09,12:40,7.2")

    found = try_file(diary, person, file, now=NOW, answers=row_answers(["1=one"]))

    assert (found.linked, found.account.new) == (1, 1)
