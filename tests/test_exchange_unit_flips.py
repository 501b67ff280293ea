from __future__ import annotations

from app.domain.glucose import Unit
from app.exchange.answers import answered
from app.exchange.file_read import ControlRow, FileRead, ReadingRow
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.exchange.unit_flips import unit_runs

HEAD = "Date,Time,Glucose\n"


def a_file(values: list[str], head: str = HEAD) -> bytes:
    rows = (f"2026-01-{day:02},07:00,{value}\n" for day, value in enumerate(values, 1))
    return (head + "".join(rows)).encode()


def units(read: FileRead) -> list[tuple[str, str | None]]:
    return [
        (row.glucose.unit.value, row.glucose.value)
        for row in read.rows
        if isinstance(row, ReadingRow)
    ]


FLIPPED = ["5.6", "7.1", "6.0", "101", "33", "126", "98"]


def test_a_unit_that_changes_in_the_middle_is_asked_about_with_the_lines() -> None:
    read = read_table(a_file(FLIPPED), None)

    (question,) = read.questions
    assert question.kind == "unit_from"
    assert "lines 2 to 4 (5.6 to 7.1) look like mmol/L; lines 5 to 8 (98 to 126)" in question.asks
    assert question.answers == ("--unit-from 5=mg/dL", "--unit-from none")
    assert read.rows == []


def test_the_answer_gives_each_part_its_unit_and_alters_no_number() -> None:
    read = read_table(a_file(FLIPPED), answered(None, unit_from="5=mg/dL"))

    assert units(read) == [
        *(("mmol/L", value) for value in FLIPPED[:3]),
        *(("mg/dL", value) for value in FLIPPED[3:]),
    ]
    assert {row.raw_unit for row in read.rows} == {None}  # the file named none


def test_one_unit_throughout_can_be_the_answer() -> None:
    read = read_table(a_file(FLIPPED), answered(None, unit="mg/dL", unit_from="none"))

    assert {unit for unit, _ in units(read)} == {"mg/dL"}


def test_two_odd_values_are_slips_and_no_flip() -> None:
    assert len(unit_runs(enumerate(["5.6", "7.1", "6.0", "101", "99", "5.0", "6.1"], 2))) == 1


def test_values_that_fit_both_units_belong_to_no_run_of_their_own() -> None:
    assert unit_runs(enumerate(["22", "30", "25", "20"], 2)) == []


def test_three_turns_are_three_answers() -> None:
    values = [*FLIPPED, "5.5", "5.2", "6.6"]

    read = read_table(a_file(values), answered(None, unit_from="5=mg/dL,9=mmol/L"))

    assert [unit for unit, _ in units(read)] == ["mmol/L"] * 3 + ["mg/dL"] * 4 + ["mmol/L"] * 3


CODED = """
name = "k"
[columns]
date = "Date"
time = "Time"
value = "Glucose"
code = "Kind"
[codes]
"" = { mark = "none" }
"c" = { control = "any" }
"n" = { control = "normal" }
"""


def test_a_code_can_say_that_a_row_is_a_control_test() -> None:
    head = "Date,Time,Glucose,Kind\n"
    data = (
        head + "2026-01-01,07:00,112,\n2026-01-01,07:02,99,c\n2026-01-02,07:02,101,n\n"
    ).encode()

    read = read_table(data, read_recipe(CODED, where="k"))

    controls = [row for row in read.rows if isinstance(row, ControlRow)]
    assert [(row.line, row.glucose.value, row.glucose.unit, row.level) for row in controls] == [
        (3, "99", Unit.MG_DL, None),
        (4, "101", Unit.MG_DL, "normal"),
    ]
    assert read.seen == 3
