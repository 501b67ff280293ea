"""What happens with each mess that the Shanghai records hold: a sheet of results and free text.

Q. Zhao et al. (2023), Sci Data 10, 35, doi 10.1038/s41597-023-01940-7 (CC BY 4.0).
"""

from __future__ import annotations

import csv
import io
import json
from datetime import datetime
from pathlib import Path

import openpyxl
import pytest

from app.exchange.file_read import FileRead, ReadingRow
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.store.readings import readings_of
from app.work.bring_in import File, bring_in, try_file
from app.work.people import add_person
from app.work.row_answers import RowAnswers
from tests.households import NOW, new_diary
from tests.open_data import SHANGHAI, needs_shanghai

PATH = SHANGHAI / "fingerstick_and_meals.csv"
RECIPE = """
name = "records"
encoding = "utf-8"
unit = "mg/dL"
zone = "Asia/Shanghai"

[columns]
datetime = "timestamp"
value = "cbg_mg_dl"
note = "dietary_intake"
"""
IN_ALL, WITH_A_RESULT = 7_653, 4_019


@pytest.fixture(scope="module")
def read() -> FileRead:
    return read_table(PATH.read_bytes(), read_recipe(RECIPE, where="records.toml"))


@pytest.fixture(scope="module")
def sheet() -> list[dict[str, str]]:
    """The file as Python's own reader cuts it."""
    with PATH.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def results(read: FileRead) -> list[ReadingRow]:
    return [row for row in read.rows if isinstance(row, ReadingRow)]


@needs_shanghai
def test_line_breaks_inside_a_quoted_field_break_no_record(
    read: FileRead, sheet: list[dict[str, str]]
) -> None:
    assert sum("\n" in row["dietary_intake"] for row in sheet) == 2_930
    assert read.seen == len(sheet) == IN_ALL
    assert len(results(read)) == WITH_A_RESULT
    assert len(read.problems) == IN_ALL - WITH_A_RESULT


@needs_shanghai
def test_a_meal_without_a_result_is_refused_as_one_without_a_value(read: FileRead) -> None:
    assert {problem.why for problem in read.problems} == {"the value is missing"}


@needs_shanghai
def test_free_text_comes_along_with_its_breaks_and_signs(
    read: FileRead, sheet: list[dict[str, str]]
) -> None:
    wanted = [row["dietary_intake"].strip() for row in sheet if row["cbg_mg_dl"]]

    held = [(row.note or "").strip() for row in results(read)]

    assert held == wanted
    assert any("\n" in note for note in held)


@needs_shanghai
@pytest.mark.parametrize(("sign", "fields"), [("\u2019", 2), ("\uff0c", 1)])
def test_curly_apostrophes_and_wide_commas_are_text_and_no_delimiters(
    sign: str, fields: int, read: FileRead, sheet: list[dict[str, str]]
) -> None:
    there = [row for row in sheet if sign in row["dietary_intake"]]

    assert len(there) >= fields
    assert read.delimiter == ","
    assert not any("fields" in problem.why for problem in read.problems)


@needs_shanghai
def test_text_in_place_of_data_is_a_note_and_never_a_value(
    read: FileRead, sheet: list[dict[str, str]]
) -> None:
    assert sum("data not available" in row["dietary_intake"].lower() for row in sheet) == 880
    assert all(row.glucose.value is not None for row in results(read))


@needs_shanghai
def test_the_one_impossible_value_is_held_and_asked_about(read: FileRead, tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = add_person(diary, "Wen", unit="mg/dL", zone="Asia/Shanghai", now=NOW)
        file = File(PATH.name, PATH.read_bytes(), read)
        found = try_file(diary, person, file, now=NOW)
        (asked,) = found.asked
        said = RowAnswers({asked.line: "leave-out"})
        done = bring_in(diary, person, file, now=NOW, recipe=None, answers=said)
        held = len(readings_of(diary, person))

    expected = json.loads((SHANGHAI / "expected.json").read_text(encoding="utf-8"))
    assert found.account.held == len(expected["implausible_rows"]) == 1
    assert asked.asks.startswith("2044.8 mg/dL is over 1,000 mg/dL")
    assert asked.answers == ("keep", "leave-out")  # in mmol/L it would be no result either
    assert done.account.held == 0
    assert held == expected["cbg_mg_dl_plausible"]["n"]


@needs_shanghai
def test_several_records_of_one_person_come_in_together_and_that_is_said(
    read: FileRead, sheet: list[dict[str, str]]
) -> None:
    records = {row["record"] for row in sheet}
    persons = {row["patient"] for row in sheet}

    assert len(records) > len(persons)
    assert any(note.startswith("Columns not read: record, patient") for note in read.notes)


@needs_shanghai
def test_the_file_of_others_is_as_it_was_published() -> None:
    assert PATH.read_bytes()[:6] == b"record"
    assert b"\r\n" not in PATH.read_bytes()[:200]


# What stood in the sheets that the file was made of; these need no data.


def test_parts_of_a_second_in_a_spreadsheet_are_dropped_and_the_minute_stays() -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(("Time", "Glucose (mg/dL)"))
    sheet.append((datetime(2021, 6, 3, 10, 58, 59, 955_000), 192.6))  # noqa: DTZ001 - a cell
    out = io.BytesIO()
    book.save(out)

    (row,) = results(read_table(out.getvalue(), None))

    assert f"{row.wall:%Y-%m-%d %H:%M}" == "2021-06-03 10:58"


@pytest.mark.parametrize("text", ["2021-06-03 10:58:59.955", "2021-06-03T10:58:59.955"])
def test_parts_of_a_second_in_text_are_read(text: str) -> None:
    (row,) = results(read_table(f"Time,Glucose (mg/dL)\n{text},192.6\n".encode(), None))

    assert f"{row.wall:%Y-%m-%d %H:%M:%S}" == "2021-06-03 10:58:59"


@pytest.mark.parametrize(
    "title",
    ["Glucose (mg/dL)", "Glucose (mg / dl) ", " glucose mg/dl", "Blood glucose [mg/dL]", "BG"],
)
def test_titles_that_differ_between_files_of_one_set_tell_the_same(title: str) -> None:
    data = f"Date,Time,{title}\n2021-06-03,10:58,192.6\n2021-06-03,12:58,292.6\n".encode()

    first, _ = results(read_table(data, None))

    assert (first.glucose.value, first.glucose.unit.value) == ("192.6", "mg/dL")
