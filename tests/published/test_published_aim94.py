"""Open finger-stick records of seventy people, through the store, against figures worked apart.

M. Kahn (1994), Diabetes [data set], UCI Machine Learning Repository, doi 10.24432/C5T59G (AIM-94,
Washington University, St. Louis). The expected figures were computed with pandas and numpy (SD with
n - 1, quartiles of type 7); confidence: read from the data set itself, origin by three mirrors that
agree. The data are not part of this project; without them these checks are skipped.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from app.domain.glucose import Bound
from app.domain.levels import Level, level_of
from app.domain.reading import Reading
from app.review.figures import figures, whole_time
from app.review.record import record_of
from app.statistics.moments import mean, standard_deviation
from app.statistics.quantiles import quartiles
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.readings import readings_of
from tests.commands import Terminal
from tests.households import INSTALLATION, NOW

DATA = Path(__file__).resolve().parents[3] / "shared" / "data" / "uci-diabetes-aim94"
RECIPE = Path(__file__).resolve().parents[1] / "data" / "aim94.toml"

pytestmark = pytest.mark.skipif(
    not DATA.is_dir(), reason="the open data set does not lie beside this checkout"
)

NAMES = [f"data-{number:02}" for number in range(1, 71)]
SEVEN_OFF_THE_SCALE = 7


@pytest.fixture(scope="module")
def expected() -> dict[str, Any]:
    return dict(json.loads((DATA / "expected.json").read_text()))


@pytest.fixture(scope="module")
def taken(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Any]]:
    """Seventy people in one diary, each with the file of that name."""
    terminal = Terminal(tmp_path_factory.mktemp("aim94"))
    accounts = {}
    for name in NAMES:
        terminal.ok("person", "add", name, "--unit", "mg/dL", "--zone", "America/Chicago")
        done = terminal.ok(
            *("--person", name, "import", str(DATA / "raw" / name)),
            *("--recipe", str(RECIPE), "--json"),
        )
        accounts[name] = done.json
    with open_diary(terminal.diary, INSTALLATION) as diary:
        people = {person.name: person for person in persons(diary)}
        readings = {name: readings_of(diary, people[name]) for name in NAMES}
        shown = {}
        for name in NAMES:
            record = record_of(diary, people[name])
            shown[name] = figures(record, whole_time(record, NOW.date()), now=NOW)
        yield {
            "terminal": terminal,
            "accounts": accounts,
            "readings": readings,
            "figures": shown,
        }


def numbers(readings: list[Reading]) -> NDArray[np.float64]:
    return np.array([float(each.glucose.value or 0) for each in exact(readings)])


def exact(readings: list[Reading]) -> list[Reading]:
    return [each for each in readings if each.glucose.bound is Bound.EXACT]


def agree(readings: list[Reading], wanted: dict[str, Any]) -> None:
    values = numbers(readings)
    assert values.size == wanted["n"]
    assert mean(values) == pytest.approx(wanted["mean"], abs=1e-9)
    if wanted["sd"] is not None:
        assert standard_deviation(values) == pytest.approx(wanted["sd"], abs=1e-9)
    found = quartiles(values)
    assert found is not None
    for name in ("q1", "median", "q3"):
        assert getattr(found, name) == pytest.approx(wanted[name], abs=1e-9)
    if "below_54" in wanted:
        levels = Counter(level_of(each.glucose) for each in exact(readings))
        assert levels[Level.VERY_LOW] == wanted["below_54"]
        assert levels[Level.VERY_LOW] + levels[Level.LOW] == wanted["below_70"]
        assert levels[Level.IN_RANGE] == wanted["from_70_to_180_inclusive"]
        assert levels[Level.HIGH] + levels[Level.VERY_HIGH] == wanted["above_180"]
        assert levels[Level.VERY_HIGH] == wanted["above_250"]


def test_every_line_is_accounted_for(taken: dict[str, Any], expected: dict[str, Any]) -> None:
    accounts = taken["accounts"].values()

    total = {name: sum(each[name] for each in accounts) for name in ("seen", "new", "refused")}
    kinds = {
        kind: sum(each["kinds"][kind] for each in accounts) for kind in ("reading", "dose", "event")
    }

    totals = expected["totals"]
    assert total["seen"] == totals["lines"] == 29_330
    assert total["refused"] == totals["rejected"] - SEVEN_OFF_THE_SCALE
    assert total["new"] == totals["accepted"] + SEVEN_OFF_THE_SCALE
    assert all(each["already"] == each["held"] == 0 for each in accounts)
    assert kinds == {
        "reading": totals["accepted_glucose"] + SEVEN_OFF_THE_SCALE,
        "dose": totals["accepted_insulin"],
        "event": totals["accepted_events_65_to_72"],
    }


def test_each_refusal_is_the_one_expected(taken: dict[str, Any], expected: dict[str, Any]) -> None:
    refused = {
        (name, problem["line"])
        for name, account in taken["accounts"].items()
        for problem in account["problems"]
    }

    off_the_scale = {
        (row["file"], row["line"])
        for row in expected["rejected_rows"]
        if row["text"].endswith(("0Hi", "0Lo"))
    }
    wanted = {(row["file"], row["line"]) for row in expected["rejected_rows"]} - off_the_scale
    assert len(off_the_scale) == SEVEN_OFF_THE_SCALE
    assert refused == wanted


def test_all_glucose_together(taken: dict[str, Any], expected: dict[str, Any]) -> None:
    together = [each for name in NAMES for each in taken["readings"][name]]

    assert len(together) == 13_523
    agree(together, expected["glucose_all"])


def test_glucose_of_each_code(taken: dict[str, Any], expected: dict[str, Any]) -> None:
    together = [each for name in NAMES for each in taken["readings"][name]]

    for code, wanted in expected["glucose_per_code"].items():
        agree([each for each in together if each.stamp.code == code], wanted)


@pytest.mark.parametrize(
    ("by", "of"),
    [
        ("glucose_by_hour", lambda at: str(at.hour)),
        ("glucose_by_weekday_monday_is_0", lambda at: str(at.weekday())),
    ],
)
def test_glucose_of_each_hour_and_weekday(
    taken: dict[str, Any], expected: dict[str, Any], by: str, of: Any
) -> None:
    together = [each for name in NAMES for each in taken["readings"][name]]

    for key, wanted in expected[by].items():
        agree([each for each in together if of(each.moment.local) == key], wanted)


@pytest.mark.parametrize("name", NAMES)
def test_glucose_of_each_file_and_code(
    taken: dict[str, Any], expected: dict[str, Any], name: str
) -> None:
    readings, wanted = taken["readings"][name], expected["per_file"][name]

    agree(readings, wanted["glucose"])
    for code, of_code in wanted["glucose_per_code"].items():
        agree([each for each in readings if each.stamp.code == code], of_code)


@pytest.mark.parametrize("name", NAMES)
def test_the_figures_shown_are_those_worked_apart(
    taken: dict[str, Any], expected: dict[str, Any], name: str
) -> None:
    shown, wanted = taken["figures"][name], expected["per_file"][name]["glucose"]

    if name == "data-02":  # holds the seven results off the scale
        assert shown.n == wanted["n"] + SEVEN_OFF_THE_SCALE
        return
    assert shown.n == wanted["n"]
    assert shown.mean.value == pytest.approx(wanted["mean"], abs=1e-9)
    assert shown.spread.sd == pytest.approx(wanted["sd"], abs=1e-9)
    assert shown.quartiles.median == pytest.approx(wanted["median"], abs=1e-9)
    counts = [share.found.count for share in shown.shares]
    assert counts[0] == wanted["below_54"]
    assert counts[0] + counts[1] == wanted["below_70"]
    assert counts[4] == wanted["above_250"]


def test_downloads_that_overlap_add_only_what_is_new(
    taken: dict[str, Any], expected: dict[str, Any]
) -> None:
    terminal: Terminal = taken["terminal"]
    for number, chain in enumerate(expected["overlap_chains"]):
        person = f"chain {number}"
        terminal.ok("person", "add", person, "--unit", "mg/dL", "--zone", "America/Chicago")
        for name in chain["files"]:
            terminal.ok(
                *("--person", person, "import", str(DATA / "raw" / name)),
                *("--recipe", str(RECIPE)),
            )

        count = len(terminal.ok("--person", person, "list", "--json").json)

        assert count == chain["glucose_distinct"], chain["files"]


def test_a_file_read_again_adds_nothing(taken: dict[str, Any]) -> None:
    terminal: Terminal = taken["terminal"]

    again = terminal.ok(
        *("--person", "data-29", "import", str(DATA / "raw" / "data-29")),
        *("--recipe", "aim94", "--json"),
    ).json

    first = taken["accounts"]["data-29"]
    assert (again["new"], again["already"]) == (0, first["new"])
    assert again["seen"] == again["already"] + again["refused"]
