"""The diaries of the AIM-94 data set, where a copy lies beside the checkout."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from app.domain.glucose import Bound
from app.domain.marks import Mark
from app.exchange.file_read import DoseRow, EventRow, FileRead, ReadingRow
from app.exchange.recipe_toml import read_recipe
from app.exchange.source_key import source_keys
from app.exchange.table import read_table

FOLDER = Path(__file__).resolve().parents[2] / "shared" / "data" / "uci-diabetes-aim94"
RECIPE = Path(__file__).parent / "data" / "aim94.toml"

needs_the_data = pytest.mark.skipif(
    not FOLDER.is_dir(), reason="the AIM-94 records do not lie beside this checkout"
)

# The reasons of expected.json, and how ours begin or end.
WORDS = {
    "date_missing": "the date is missing",
    "date_impossible": "is not in the calendar",
    "time_invalid": "is not a time of day",
    "code_undocumented": "is not in the recipe",
    "value_missing": "the value is missing",
    "value_not_a_number": "is not a plain number",
    "glucose_zero": "a glucose value is not 0",
}


@pytest.fixture(scope="module")
def read() -> dict[str, FileRead]:
    recipe = read_recipe(RECIPE.read_text(encoding="utf-8"), where=RECIPE.name)
    return {
        path.name: read_table(path.read_bytes(), recipe)
        for path in sorted((FOLDER / "raw").iterdir())
    }


@pytest.fixture(scope="module")
def expected() -> Any:
    return json.loads((FOLDER / "expected.json").read_text(encoding="utf-8"))


def readings(read: dict[str, FileRead]) -> list[ReadingRow]:
    return [row for file in read.values() for row in file.rows if isinstance(row, ReadingRow)]


@needs_the_data
def test_every_line_is_a_reading_a_bound_a_dose_an_event_or_refused(
    read: dict[str, FileRead], expected: Any
) -> None:
    bounds = Counter(row.glucose.bound for row in readings(read))
    kinds = Counter(row.kind for file in read.values() for row in file.rows)

    assert sum(file.seen for file in read.values()) == expected["totals"]["lines"] == 29_330
    assert bounds == {Bound.EXACT: 13_516, Bound.ABOVE: 6, Bound.BELOW: 1}
    assert kinds == {"reading": 13_523, "dose": 14_360, "event": 1_244}
    assert sum(len(file.problems) for file in read.values()) == 203
    assert not any(row.held for file in read.values() for row in file.rows)


@needs_the_data
def test_each_refused_line_is_refused_for_its_reason(
    read: dict[str, FileRead], expected: Any
) -> None:
    ours = {
        (name, problem.line): (problem.text, problem.why)
        for name, file in read.items()
        for problem in file.problems
    }
    bounds = {
        (name, row.line)
        for name, file in read.items()
        for row in file.rows
        if isinstance(row, ReadingRow) and row.glucose.bound is not Bound.EXACT
    }

    for row in expected["rejected_rows"]:
        place = (row["file"], row["line"])
        if place in bounds:
            assert row["text"].endswith(("0Hi", "0Lo"))
            continue
        text, why = ours.pop(place)
        assert text == row["text"]
        assert WORDS[row["reason"]] in why
    assert ours == {}


@needs_the_data
def test_each_code_of_each_file_has_its_count_and_mean(
    read: dict[str, FileRead], expected: Any
) -> None:
    for name, facts in expected["per_file"].items():
        values: dict[str, list[float]] = {}
        for row in read[name].rows:
            if isinstance(row, ReadingRow) and row.glucose.bound is Bound.EXACT:
                values.setdefault(str(row.code), []).append(float(row.raw_value or "nan"))
        found = {code: (len(all_), sum(all_) / len(all_)) for code, all_ in values.items()}
        assert found.keys() == facts["glucose_per_code"].keys()
        for code, stats in facts["glucose_per_code"].items():
            count, mean = found[code]
            assert count == stats["n"]
            assert mean == pytest.approx(stats["mean"], abs=1e-9)


@needs_the_data
def test_first_and_last_times_are_those_of_the_file(
    read: dict[str, FileRead], expected: Any
) -> None:
    for name, facts in expected["per_file"].items():
        walls = [
            row.wall
            for row in read[name].rows
            if row.wall is not None
            and not (isinstance(row, ReadingRow) and row.glucose.bound.value != "exact")
        ]
        assert f"{min(walls):%Y-%m-%dT%H:%M}" == facts["first"]
        assert f"{max(walls):%Y-%m-%dT%H:%M}" == facts["last"]


@needs_the_data
def test_a_longer_download_meets_the_shared_rows(read: dict[str, FileRead], expected: Any) -> None:
    for pair in expected["overlapping_downloads"]:
        earlier = set(source_keys(read[pair["earlier"]].rows, bytes(16), "aim94"))
        later = set(source_keys(read[pair["later"]].rows, bytes(16), "aim94"))
        assert len(earlier & later) >= pair["shared_accepted_rows"]


def test_the_recipe_tells_doses_events_marks_and_made_up_times() -> None:
    recipe = read_recipe(RECIPE.read_text(encoding="utf-8"), where=RECIPE.name)
    data = (
        "04-21-1991\t9:09\t58\t100\n"
        "04-21-1991\t08:00\t33\t009\n"
        "04-21-1991\t12:00\t67\t0\n"
        "04-21-1991\t18:00\t48\t0Lo\n"
    )

    rows = read_table(data.encode(), recipe).rows

    assert [row.precision for row in rows] == ["minute", "slot", "slot", "slot"]
    reading, dose, event, low = rows
    assert isinstance(reading, ReadingRow)
    assert (reading.mark, reading.glucose.value) == (Mark.WAKING, "100")
    assert isinstance(dose, DoseRow)
    assert (dose.what, dose.amount, dose.unit) == ("regular insulin", "9", "U")
    assert isinstance(event, EventRow)
    assert (event.event, event.level, event.text) == ("meal", "larger", None)
    assert isinstance(low, ReadingRow)
    assert (low.glucose.bound, low.glucose.value) == (Bound.BELOW, None)
