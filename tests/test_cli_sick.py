from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.commands import Terminal

PLAN = "every 4 h; ring 555-0100 at 1.5"
# A night and a day of illness: wall time, glucose and ketones in mmol/L.
CHECKS = (
    ("2026-02-09 22:00", "14.2", "0.4"),
    ("2026-02-10 01:00", "16.8", "1.1"),
    ("2026-02-10 07:30", "15.1", "1.7"),
    ("2026-02-10 12:00", "12.0", "0.9"),
    ("2026-02-10 18:00", "9.4", "0.5"),
)
GAPS = [
    ("2026-02-10T01:00", "2026-02-10T07:30", 390),
    ("2026-02-10T07:30", "2026-02-10T12:00", 270),
    ("2026-02-10T12:00", "2026-02-10T18:00", 360),
]
DOSE_WORDS = re.compile(r"insulin|dose|units\b|bolus|correct|inject|tablet", re.IGNORECASE)


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path, now=datetime(2026, 2, 10, 20, 10, tzinfo=UTC))
    made.ok("person", "add", "Wren", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    made.ok("care", "set", "sick-plan", PLAN)
    made.ok("care", "set", "team-phone", "555-0100")
    for day in range(1, 7):
        made.ok("add", "6.0 before lunch", "--at", f"2026-02-0{day} 12:00")
    made.ok(
        "sick", "start", "flu", "--at", "2026-02-09 21:30", now=made.now.replace(day=9, hour=22)
    )
    for at, glucose, ketones in CHECKS:
        made.ok("add", glucose, "--at", at)
        made.ok("note", "ketone", ketones, "--at", at)
    return made


def test_the_sick_day_is_told_end_to_end(terminal: Terminal) -> None:
    going_on = terminal.ok("sick", "show", "--json").json
    terminal.ok("sick", "stop", "--at", "2026-02-10 20:00")
    found = terminal.ok("sick", "show", "--json").json
    shown = terminal.ok("sick", "show").out

    assert found["glucose"]["mean"]["value"] == 13.5
    assert found["glucose"]["mean"]["n"] == 5
    assert (found["unit"], found["ketones"]["unit"]) == ("mmol/L", "mmol/L")
    peak = found["ketones"]["peak"]
    assert (peak["value"], peak["at"], peak["band"]) == (1.7, "2026-02-10T07:30", "risk")
    assert (found["plan"], found["team_phone"]) == (PLAN, "555-0100")
    for kind in ("glucose", "ketones"):
        gaps = [(each["from"], each["to"], each["minutes"]) for each in found[kind]["gaps"]]
        assert gaps == GAPS
    assert going_on["goes_on"]
    assert going_on["glucose"]["since_last_min"] == 130
    assert (found["goes_on"], found["ketones"]["since_last_min"]) == (False, 120)
    assert f"Your plan: {PLAN}" in shown
    assert "Telephone: 555-0100" in shown
    assert "Glucose average: 13.5 mmol/L (n 5)" in shown
    assert "Highest ketones: 1.7 mmol/L at 07:30 on Tue 10 Feb" in shown
    assert "    Tue 10 Feb, 01:00 to 07:30: 6 h 30 min" in shown
    assert "    Tue 10 Feb, 07:30 to 12:00: 4 h 30 min" in shown
    assert "    Tue 10 Feb, 12:00 to 18:00: 6 h" in shown


def test_the_fortnight_is_shown_with_and_without_set_aside_days(terminal: Terminal) -> None:
    terminal.ok("sick", "stop")

    fortnight = terminal.ok("sick", "show", "--json").json["fortnight"]
    figures = terminal.ok("figures", "--ending", "2026-02-10", "--json").json

    whole, without = fortnight["whole"], fortnight["without_set_aside_days"]
    assert (whole["n"], whole["mean"]["value"]) == (11, pytest.approx((36 + 67.5) / 11))
    assert (without["n"], without["mean"]["value"]) == (6, pytest.approx(6.0))
    assert figures["n"] == 11  # no ketones in it
    assert figures["without_set_aside_days"]["n"] == 6


def test_one_day_is_told_as_one(terminal: Terminal) -> None:
    terminal.ok("sick", "stop")
    terminal.ok("note", "days", "own", "away", "--from", "2026-02-02", "--set-aside")

    shown = terminal.ok("sick", "show").out

    assert "n 1 on 1 day\n" in shown


def test_what_is_read_aloud_holds_everything_in_order_and_no_word_of_a_dose(
    terminal: Terminal,
) -> None:
    terminal.ok("note", "event", "symptom", "vomited", "--at", "2026-02-10 02:15")

    found = terminal.ok("sick", "show", "--json").json
    shown = terminal.ok("sick", "show").out

    assert found["read_aloud"][:3] == [
        "Mon 9 Feb, 22:00: glucose 14.2 mmol/L, ketones 0.4 mmol/L",
        "Tue 10 Feb, 01:00: glucose 16.8 mmol/L, ketones 1.1 mmol/L",
        "Tue 10 Feb, 02:15: symptom: vomited",
    ]
    assert DOSE_WORDS.findall(shown) == []
    assert DOSE_WORDS.findall("take 2 units of insulin")  # the check would notice one


def test_the_interval_is_the_plans_own(terminal: Terminal) -> None:
    terminal.ok("follow-ups", "on", "sick-ketones", "--minutes", "360")

    found = terminal.ok("sick", "show", "--json").json

    assert [each["minutes"] for each in found["ketones"]["gaps"]] == [390]
    assert [each["minutes"] for each in found["glucose"]["gaps"]] == [390, 270, 360]


def test_the_next_checks_are_due_while_the_sick_days_go_on(terminal: Terminal) -> None:
    kinds = ("sick_glucose", "sick_ketones")

    def states(at: str) -> list[tuple[str, str, str]]:
        found = terminal.ok("due", "--at", at, "--json").json["follow_ups"]
        return [(x["kind"], x["wall"], x["state"]) for x in found if x["kind"] in kinds]

    assert states("2026-02-10 20:05") == [
        ("sick_glucose", "2026-02-10T22:00", "upcoming"),
        ("sick_ketones", "2026-02-10T22:00", "upcoming"),
    ]
    assert {state for _, _, state in states("2026-02-11 03:00")} == {"due"}
    terminal.ok("sick", "stop")
    assert states("2026-02-11 03:00") == []


def test_sick_days_begin_once_end_after_they_began_and_can_be_taken_back(
    terminal: Terminal,
) -> None:
    assert "already" in terminal.type("sick", "start").err
    assert "before they began" in terminal.type("sick", "stop", "--at", "2026-02-09 21:00").err
    terminal.ok("sick", "stop")
    assert terminal.type("sick", "stop").code == 1
    assert "Sick days ended" in terminal.ok("undo").out
    assert terminal.ok("sick", "show", "--json").json["goes_on"]
    assert terminal.type("sick", "show", "--on", "2026-01-02").code == 1


def test_an_urine_test_and_a_result_off_the_scale_have_a_place(terminal: Terminal) -> None:
    terminal.ok("note", "ketone", "urine: moderate", "--at", "2026-02-10 19:00")
    terminal.ok("note", "ketone", "HI", "--at", "2026-02-10 19:30")

    ketones = terminal.ok("sick", "show", "--json").json["ketones"]

    assert [(each["value"], each["band"]) for each in ketones["tests"][-2:]] == [
        (None, "risk"),
        (None, "emergency"),
    ]
    assert ketones["peak"]["result"] == "HI"


def test_whole_days_that_were_noted_as_sick_are_shown_too(tmp_path: Path) -> None:
    made = Terminal(tmp_path, now=datetime(2026, 2, 20, 8, 0, tzinfo=UTC))
    made.ok("person", "add", "Wren", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    made.ok("note", "days", "sick", "--from", "2026-02-09", "--to", "2026-02-10")
    for at, glucose, _ in CHECKS:
        made.ok("add", glucose, "--at", at)

    shown = made.ok("sick", "show", "--on", "2026-02-10").out

    assert "Wren, sick days\n" in shown
    assert "Glucose: n 5\n" in shown
    assert "Ketones: no test written (n 0)\n" in shown
    assert "no reading of this fortnight lies on a set-aside day" in shown


def test_sick_days_with_nothing_written_have_words_and_no_numbers(tmp_path: Path) -> None:
    made = Terminal(tmp_path, now=datetime(2026, 2, 10, 20, 10, tzinfo=UTC))
    made.ok("person", "add", "Wren", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    made.ok("sick", "start")

    shown = made.ok("sick", "show").out
    found = made.ok("sick", "show", "--json").json

    assert "Your plan: none written" in shown
    assert "Ketones: no test written (n 0)" in shown
    assert "nothing written" in shown
    assert "missing" in found["glucose"]["mean"]
    assert found["ketones"]["peak"] is None
