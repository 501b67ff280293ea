from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from app.domain.clock import moment_at
from app.domain.labs import LabResult
from app.store.diary_file import open_diary
from app.store.people import persons
from app.work.note_days import note_days
from app.work.note_down import note_lab
from tests.commands import Terminal
from tests.households import INSTALLATION, NOW

DAYS = ("--from", "2025-11-01", "--to", "2025-11-30")


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def november(terminal: Terminal) -> None:
    """28 waking readings averaging 6.8 and four at bedtime averaging 11.6, nothing else."""
    rows = [f"2025-11-{day:02},07:05,{6.3 + day % 2},waking" for day in range(1, 29)]
    rows += [f"2025-11-{day:02},21:30,11.6,bedtime" for day in (3, 9, 15, 21)]
    file = terminal.folder / "november.csv"
    file.write_text("Date,Time,Glucose (mmol/L),Mark\n" + "\n".join(rows) + "\n", encoding="utf-8")
    terminal.ok("import", str(file))


def keys_in(found: Any) -> set[str]:
    if isinstance(found, dict):
        return set(found) | {key for each in found.values() for key in keys_in(each)}
    return {key for each in found for key in keys_in(each)} if isinstance(found, list) else set()


def test_no_average_of_readings_ever_becomes_an_a1c(terminal: Terminal) -> None:
    november(terminal)

    found = terminal.ok("figures", *DAYS, "--no-minimum", "--json").json
    said = terminal.ok("figures", *DAYS, "--no-minimum", "--all").out
    lab = terminal.ok("lab")

    assert not {key for key in keys_in(found) if "a1c" in key.lower() or key in ("eag", "gmi")}
    assert not {"a1c", "hba1c", "eag", "gmi", "adrr"} & set(said.lower().split())
    assert lab.out == "No laboratory value of Tilde is written down.\n"


def test_the_reasons_against_an_average_are_said_in_full(terminal: Terminal) -> None:
    november(terminal)

    found = terminal.ok("figures", *DAYS, "--json").json
    said = terminal.ok("figures", *DAYS).out

    assert found["trust"] == {
        "verdict": "no",
        "reasons": [
            "28 of 32 at waking",
            "5 of 7 slots never tested",
            "32 readings, fewer than 60",
        ],
    }
    assert "Plain average          7.4 " in said
    assert "n 32 on 28 days" in said
    assert "no – 28 of 32 at waking; 5 of 7 slots never tested; 32 readings, fewer than 60" in said


def test_the_spread_has_all_its_figures_in_json(terminal: Terminal) -> None:
    november(terminal)

    found = terminal.ok("figures", *DAYS, "--json").json["spread"]

    assert found.keys() >= {
        "within_day_cv", "iqr", "modd", "j_index", "m_value", "grade", "lbgi", "hbgi",
    }  # fmt: skip
    assert found["iqr"] == pytest.approx(1.0)
    assert found["modd"]["pairs"] == 27
    assert found["modd"]["value"] == pytest.approx(1.0)
    assert found["m_value"]["with_range"] is False
    assert found["lbgi"] == {
        "missing": "needs 60 readings on 14 days; there are 32 readings on 28 days"
    }
    shares = [found["grade"][name] for name in ("from_low", "from_within", "from_high")]
    assert sum(shares) == pytest.approx(1)


def test_the_rarer_figures_are_said_only_on_demand(terminal: Terminal) -> None:
    november(terminal)

    usual = terminal.ok("figures", *DAYS).out
    everything = terminal.ok("figures", *DAYS, "--all").out

    assert everything.startswith(usual)
    assert "MODD" not in usual
    assert "MODD                   1.0 mmol/L (from 27 pairs)\n" in everything
    assert "(against 120 mg/dL, without the range)" in everything
    assert "LBGI                   not shown: needs 60 readings on 14 days" in everything


def test_set_aside_days_stand_beside_the_whole(terminal: Terminal) -> None:
    november(terminal)
    with open_diary(terminal.diary, INSTALLATION) as diary:
        note_days(
            diary,
            persons(diary)[0],
            "sick",
            date(2025, 11, 9),
            date(2025, 11, 15),
            now=NOW,
            set_aside=True,
        )

    found = terminal.ok("figures", *DAYS, "--json").json
    said = terminal.ok("figures", *DAYS).out

    rest = found["without_set_aside_days"]
    assert rest.keys() >= {"n", "mean", "evened", "sd", "shares", "days"}
    assert (found["n"], rest["n"], rest["days"]) == (32, 23, 21)
    assert "Without 7 set-aside days (9 readings): n 23 on 21 days, average " in said


def test_bands_by_slot_weekday_and_month(terminal: Terminal) -> None:
    november(terminal)

    found = {
        by: terminal.ok("bands", *DAYS, "--by", by, "--json").json
        for by in ("slot", "weekday", "month")
    }

    for by, each in found.items():
        assert (each["by"], each["n"], each["unit"]) == (by, 32, "mmol/L")
        assert sum(band["n"] for band in each["bands"]) == 32
        for band in each["bands"]:
            assert sum(share["n"] for share in band["shares"].values()) == band["n"]
    slots = {band["key"]: band for band in found["slot"]["bands"]}
    assert slots["waking"]["shares"]["in_range"]["share"] == 1
    assert slots["bedtime"]["shares"]["high"]["share"] == {
        "missing": "needs 14 readings on 5 days; there are 4 readings on 4 days"
    }
    assert slots["night"]["n"] == 0
    assert found["weekday"]["bands"][0]["key"] == "monday"
    assert [band["key"] for band in found["month"]["bands"]] == ["2025-11"]


def test_none_and_all_are_never_reached_by_rounding(terminal: Terminal) -> None:
    rows = [f"2025-{1 + at // 28:02}-{1 + at % 28:02},07:{at % 60:02}" for at in range(256)]
    lines = [
        f"{row},{'2.8' if n == 0 and row == rows[0] else '6.0'}" for n in range(2) for row in rows
    ]
    file = terminal.folder / "year.csv"
    file.write_text("Date,Time,Glucose (mmol/L)\n" + "\n".join(lines) + "\n", encoding="utf-8")
    terminal.ok("import", str(file))

    said = terminal.ok("bands", "--all-time").out

    n = terminal.ok("figures", "--all-time", "--json").json["n"]
    assert f"below 3.0            1 of {n} (less than 1 %; 95 %: <1 to " in said
    assert f"above 13.9           0 of {n} (0 %; 95 %: " in said
    assert f"3.9 – 10.0           {n - 1} of {n} (more than 99 %; 95 %: " in said


def test_a_lab_value_stands_beside_the_readings_before_it(terminal: Terminal) -> None:
    november(terminal)
    with open_diary(terminal.diary, INSTALLATION) as diary:
        at = moment_at(NOW.replace(year=2025, month=11, day=28, hour=9, tzinfo=None), "UTC", 0)
        note_lab(diary, persons(diary)[0], LabResult("a1c", "53", "mmol/mol"), at, now=NOW)

    (found,) = terminal.ok("lab", "--json").json["a1c"]
    said = terminal.ok("lab").out

    assert found["percent"] == pytest.approx(7.00044)
    assert found["eag"]["value"] == pytest.approx(8.5674, abs=1e-4)
    assert found["eag"]["label"] == "estimated from your lab A1C"
    before = found["readings_before"]
    assert (before["first"], before["last"]) == ("2025-08-31", "2025-11-28")
    assert (before["n"], before["at_night"]) == (32, 0)
    assert before["mean"]["value"] == pytest.approx(7.4)
    assert before["evened"]["value"] == pytest.approx(9.2)
    assert "2025-11-28  A1C from the laboratory: 7.0 % (53 mmol/mol)\n" in said
    assert "a translation of the lab value" in said
    assert "the 90 days 2025-08-31 to 2025-11-28: plain average 7.4" in said
    assert "none of them is marked night" in said


def test_typed_values_that_look_rounded_are_told_to_the_person(terminal: Terminal) -> None:
    for minute in range(50):
        value = "7.0" if minute % 2 else "7.3"
        terminal.ok("add", f"{value} 7:{minute:02}")

    found = terminal.ok("rounding", "--json").json["units"]["mmol/L"]
    said = terminal.ok("rounding").out

    assert (found["n"], found["zero_or_five"]) == (50, 25)
    assert found["hint"] == "many values end in 0 or 5; rounding when writing down?"
    assert found["p_zero_or_five"] < 1e-3
    assert "  25 of 50 end in 0 or 5; about 10 would if every digit were as likely\n" in said
    assert said.endswith("For you alone: this is on no page for the clinic.\n")


def test_nothing_typed_has_no_last_digits(terminal: Terminal) -> None:
    november(terminal)  # from a file

    assert terminal.ok("rounding").out == "No value of Tilde was typed by hand.\n"
    assert terminal.ok("rounding", "--json").json == {"person": "Tilde", "units": {}}
