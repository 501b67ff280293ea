"""Open finger-stick results of 98 people, through the store, against figures worked apart.

Q. Zhao et al. (2023), Sci Data 10, 35, doi 10.1038/s41597-023-01940-7 (CC BY 4.0; read from a
mirror, V2). The expected figures were computed with pandas and numpy (SD with n - 1, quartiles of
type 7; W). Every result is a tenth of mmol/L times exactly 18, so many lie on a limit: the open set
for limits. The data are not part of this project; without them these checks are skipped.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app.statistics.moments import mean, standard_deviation
from app.statistics.proportion import band_counts, share_in_range
from app.statistics.quantiles import quartiles
from tests.commands import Terminal

DATA = Path(__file__).resolve().parents[3] / "shared" / "data" / "shanghai-fingerstick"

pytestmark = pytest.mark.skipif(
    not DATA.is_dir(), reason="the open data set does not lie beside this checkout"
)

# Counted in the file: 12 results are 10.0 mmol/L (180.0 mg/dL), 17 are 13.9 (250.2), 7 are 3.9
# (70.2), none 3.0.
ON_13_9 = 17
IMPOSSIBLE_FROM = 1_000  # one result, 2044.8, is a slip of the pen
IN_MG, IN_MMOL = "in mg/dL", "in mmol/L"


@pytest.fixture(scope="module")
def expected() -> dict[str, Any]:
    return dict(json.loads((DATA / "expected.json").read_text(encoding="utf-8")))


@pytest.fixture(scope="module")
def rows() -> list[dict[str, str]]:
    """The rows that hold a finger-stick result."""
    with (DATA / "fingerstick_and_meals.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["cbg_mg_dl"]]


@pytest.fixture(scope="module")
def results(rows: list[dict[str, str]]) -> list[tuple[str, float]]:
    """When each result was, and its mg/dL as published."""
    return [(row["timestamp"], float(row["cbg_mg_dl"])) for row in rows]


@pytest.fixture(scope="module")
def taken(
    tmp_path_factory: pytest.TempPathFactory, results: list[tuple[str, float]]
) -> dict[str, Any]:
    """All results as one person's, once in each unit: the account of the file, and the figures."""
    terminal = Terminal(tmp_path_factory.mktemp("shanghai"))
    found = {}
    for person, unit, factor in ((IN_MG, "mg/dL", 1), (IN_MMOL, "mmol/L", 18)):
        terminal.ok("person", "add", person, "--unit", unit, "--zone", "Asia/Shanghai")
        lines = [f"{at[:10]},{at[11:16]},{value / factor:.1f}" for at, value in results]
        file = terminal.folder / "results.csv"
        file.write_text(f"Date,Time,Glucose ({unit})\n" + "\n".join(lines) + "\n", encoding="utf-8")
        account = terminal.ok("--person", person, "import", str(file), "--json").json
        figures = terminal.ok("--person", person, "figures", "--all-time", "--json").json
        found[person] = {"account": account, "figures": figures}
    return found


@pytest.mark.parametrize("person", [IN_MG, IN_MMOL])
def test_every_result_is_taken_but_the_impossible_one_which_is_held(
    taken: dict[str, Any], expected: dict[str, Any], person: str
) -> None:
    account = taken[person]["account"]

    assert account["seen"] == expected["cbg_mg_dl_all_values"]["n"] == 4_019
    assert account["held"] == 1
    assert account["new"] == expected["cbg_mg_dl_plausible"]["n"] == 4_018


@pytest.mark.parametrize(
    ("person", "key"),
    [(IN_MG, "cbg_mg_dl_plausible"), (IN_MMOL, "cbg_mmol_l_plausible_divided_by_18")],
)
def test_the_figures_are_those_worked_apart(
    taken: dict[str, Any], expected: dict[str, Any], person: str, key: str
) -> None:
    figures, wanted = taken[person]["figures"], expected[key]

    assert figures["n"] == wanted["n"]
    assert figures["mean"]["value"] == pytest.approx(wanted["mean"], abs=1e-9)
    for name in ("sd", "min", "q1", "median", "q3", "max"):
        assert figures[name] == pytest.approx(wanted[name], abs=1e-9), name
    assert figures["spread"]["iqr"] == pytest.approx(wanted["q3"] - wanted["q1"], abs=1e-9)


def test_each_level_has_the_count_of_its_own_unit(
    taken: dict[str, Any], expected: dict[str, Any]
) -> None:
    wanted = expected["cbg_mg_dl_plausible"]

    counts = {
        person: [each["n"] for each in taken[person]["figures"]["shares"].values()]
        for person in (IN_MG, IN_MMOL)
    }

    in_mg = [
        wanted["below_54"],
        wanted["below_70"] - wanted["below_54"],
        wanted["from_70_to_180_inclusive"],
        wanted["above_180"] - wanted["above_250"],
        wanted["above_250"],
    ]
    assert counts[IN_MG] == in_mg
    # 13.9 mmol/L is 250.2 mg/dL here: on the limit in the one unit, above it in the other.
    moved = [0, 0, 0, ON_13_9, -ON_13_9]
    assert counts[IN_MMOL] == [one + step for one, step in zip(in_mg, moved, strict=True)]


@pytest.mark.parametrize(
    ("key", "of"),
    [
        ("cbg_mg_dl_plausible_by_type", lambda row: row["diabetes_type"]),
        ("cbg_mg_dl_plausible_by_hour", lambda row: str(int(row["timestamp"][11:13]))),
    ],
)
def test_each_group_has_the_figures_worked_apart(
    rows: list[dict[str, str]],
    expected: dict[str, Any],
    key: str,
    of: Callable[[dict[str, str]], str],
) -> None:
    for name, wanted in expected[key].items():
        values = [float(row["cbg_mg_dl"]) for row in rows if of(row) == name]
        values = [value for value in values if value < IMPOSSIBLE_FROM]
        assert len(values) == wanted["n"]
        assert mean(values) == pytest.approx(wanted["mean"], abs=1e-9)
        assert standard_deviation(values) == pytest.approx(wanted["sd"], abs=1e-9)
        found = quartiles(values)
        assert found is not None
        assert found.median == pytest.approx(wanted["median"], abs=1e-9)
        if "below_54" in wanted:
            bands = band_counts(values, very_low=54, low=70, high=180, very_high=250)
            assert bands.very_low == wanted["below_54"]
            assert bands.in_range == wanted["from_70_to_180_inclusive"]
            assert bands.very_high == wanted["above_250"]


def test_so_many_results_lie_on_each_limit_and_converting_first_would_misfile_them(
    results: list[tuple[str, float]],
) -> None:
    tenths = [round(value / 18, 1) for _, value in results]

    own = share_in_range(tenths, 3.9, 10.0).count
    converted_first = share_in_range([value * 18.0156 for value in tenths], 70, 180).count

    assert [tenths.count(limit) for limit in (3.0, 3.9, 10.0, 13.9)] == [0, 7, 12, ON_13_9]
    assert own - converted_first == 12
