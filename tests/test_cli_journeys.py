from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tests.commands import Terminal


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path, now=datetime(2026, 3, 12, 21, 30, tzinfo=UTC))
    made.ok("person", "add", "Ede", "--unit", "mmol/L", "--zone", "Europe/London")
    made.ok("journeys", "--rule", "gb")
    return made


def journey(terminal: Terminal, start: str, until: str | None) -> dict[str, Any]:
    """Note a journey of 12 March and read it back."""
    ends = ("--until", until) if until else ()
    terminal.ok("note", "event", "journey", "to town", "--at", f"2026-03-12 {start}", *ends)
    found: dict[str, Any] = terminal.ok("journeys", "--json").json["journeys"][-1]
    return found


def add(terminal: Terminal, at: str, value: str) -> None:
    terminal.ok("add", value, "--at", f"2026-03-12 {at}")


def test_tests_in_time_are_listed_and_nothing_is_missing(terminal: Terminal) -> None:
    add(terminal, "08:25", "7.2")
    add(terminal, "10:50", "6.4")

    found = journey(terminal, "09:00", "11:30")

    assert found["says"] == [
        "Before: tested 35 min before: 7.2 mmol/L.",
        "During: 1 h 50 min after the start, 6.4 mmol/L.",
    ]
    assert (found["before"]["minutes"], found["longest_without_min"]) == (-35, 110)


def test_what_is_not_written_is_named(terminal: Terminal) -> None:
    add(terminal, "06:40", "5.0")

    found = journey(terminal, "09:00", "12:10")

    assert found["says"] == [
        (
            "Before: no test written in the 2 h before it; 2 h 20 min before: 5.0 mmol/L, "
            "not above the rule's 5.0 mmol/L."
        ),
        "During: no test written.",
        "Longest part without a test: 3 h 10 min, 09:00 to 12:10; the rule says every 2 h.",
    ]


def test_exactly_two_hours_are_within_the_rule(terminal: Terminal) -> None:
    add(terminal, "07:00", "6.0")

    assert journey(terminal, "09:00", "11:00")["says"] == [
        "Before: tested 2 h before: 6.0 mmol/L.",
        "During: no test written.",
    ]


def test_the_wait_after_a_low_is_set_beside_the_rule(terminal: Terminal) -> None:
    add(terminal, "08:00", "3.4")
    add(terminal, "08:30", "5.6")

    found = journey(terminal, "09:00", "09:30")

    assert found["says"][-1] == (
        "A low 1 h before the start (3.4 mmol/L); back at 5.6 mmol/L 30 min before the start; "
        "the rule says to wait 45 min."
    )
    assert found["back_after_low"]["value"] == 5.6


def test_a_low_with_nothing_after_it_says_so(terminal: Terminal) -> None:
    add(terminal, "08:30", "3.9")
    add(terminal, "08:40", "LO")

    says = journey(terminal, "09:00", None)["says"]

    assert says[0] == "Before: tested 20 min before: LO."
    assert says[1] == "During: no end was written, so tests on the way can't be told apart."
    assert says[2] == (
        "A low 20 min before the start (LO); no test after it was written before the start."
    )


def test_it_never_says_that_somebody_may_drive_and_names_where_to_check(
    terminal: Terminal,
) -> None:
    add(terminal, "08:25", "7.2")
    journey(terminal, "09:00", "10:00")

    shown = terminal.ok("journeys").out

    assert "safe" not in shown.casefold()
    assert "Check the current text" in shown
    assert "it never says that somebody is fit to drive" in shown
    assert "1 journey of Ede." in shown


def test_a_rule_is_chosen_dropped_and_taken_back(terminal: Terminal) -> None:
    assert {each["key"] for each in terminal.ok("journeys", "--rules", "--json").json} >= {"gb"}
    terminal.ok("journeys", "--rule", "none")
    assert terminal.ok("journeys", "--json").json["rule"] is None
    assert "No rule was chosen" in terminal.ok("journeys").out
    terminal.ok("undo")
    assert terminal.ok("journeys", "--json").json["rule"]["key"] == "gb"
    assert terminal.type("journeys", "--rule", "moon").code == 1
    assert all(each["check"] for each in terminal.ok("journeys", "--rules", "--json").json)


def test_without_a_rule_the_tests_are_listed_all_the_same(terminal: Terminal) -> None:
    terminal.ok("journeys", "--rule", "none")
    add(terminal, "08:25", "4.2")

    assert journey(terminal, "09:00", "15:00")["says"] == [
        "Before: tested 35 min before: 4.2 mmol/L.",
        "During: no test written.",
    ]
