from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tests.commands import Terminal


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path, now=datetime(2026, 3, 12, 4, 0, tzinfo=UTC))
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def due(terminal: Terminal, at: str) -> dict[str, dict[str, Any]]:
    """What follows, by kind, as of a time of 12 March."""
    found = terminal.ok("due", "--at", f"2026-03-12 {at}", "--json").json["follow_ups"]
    return {each["kind"]: each for each in found}


def test_a_low_asks_for_a_recheck_with_its_text_source_and_care_team_line(
    terminal: Terminal,
) -> None:
    terminal.ok("add", "3.0", "--at", "2026-03-12 02:50")

    soon, now = due(terminal, "02:55"), due(terminal, "03:06")

    assert (soon["low_recheck"]["state"], soon["low_recheck"]["wall"]) == (
        "upcoming",
        "2026-03-12T03:05",
    )
    recheck = now["low_recheck"]
    assert recheck["state"] == "due"
    assert "Still below 3.9 mmol/L: do the same again" in recheck["says"][0]
    assert "American Diabetes Association" in recheck["source"]
    assert recheck["care_team"].startswith("General information. Follow the plan that your own")
    assert now["low_caution"]["state"] == "due"
    assert now["low_later"]["wall"] == "2026-03-12T03:50"


def test_rechecks_go_on_until_one_is_not_low_and_the_second_low_one_calls_for_help(
    terminal: Terminal,
) -> None:
    terminal.ok("care", "set", "emergency-number", "555-0199")
    terminal.ok("add", "3.0", "--at", "2026-03-12 02:50")
    terminal.ok("add", "3.2", "--at", "2026-03-12 03:06")
    once = due(terminal, "03:22")
    terminal.ok("add", "3.3", "--at", "2026-03-12 03:22")
    twice = due(terminal, "03:23")
    shown = terminal.ok("due", "--at", "2026-03-12 03:23").out
    terminal.ok("add", "4.6", "--at", "2026-03-12 03:38")
    back = due(terminal, "03:40")

    assert once["low_again"]["title"] == "Still low: 3.2 mmol/L at 03:06"
    assert "low_help" not in once
    assert twice["low_help"]["urgent"]
    assert "Get help now" in twice["low_help"]["title"]
    assert any("555-0199" in line for line in twice["low_help"]["says"])
    assert "Still low after 2 rechecks: 3.3 mmol/L at 03:22. Get help now" in shown
    assert not {"low_recheck", "low_again", "low_help"} & set(back)
    assert back["low_later"]["wall"] == "2026-03-12T04:22"


def test_a_recheck_missed_in_the_night_is_told_as_past_with_its_time(terminal: Terminal) -> None:
    terminal.ok("add", "3.0", "--at", "2026-03-12 02:50")

    morning = terminal.ok("due", "--at", "2026-03-12 07:10").out

    assert due(terminal, "07:10")["low_recheck"]["state"] == "missed"
    assert "recheck after a low: it was due at 2026-03-12 03:05, nothing is written." in morning
    assert "Test again" not in morning


def test_as_of_a_time_nothing_later_is_known(terminal: Terminal) -> None:
    terminal.ok("add", "3.0", "--at", "2026-03-12 02:50")
    terminal.ok("add", "4.9", "--at", "2026-03-12 03:10")

    assert due(terminal, "02:40") == {}
    assert due(terminal, "03:06")["low_recheck"]["state"] == "due"
    assert "low_recheck" not in due(terminal, "03:12")


def test_a_reading_that_is_not_low_asks_for_nothing(terminal: Terminal) -> None:
    terminal.ok("add", "4.1", "--at", "2026-03-12 02:50")

    assert due(terminal, "03:06") == {}


def test_the_persons_own_line_asks_earlier(terminal: Terminal) -> None:
    terminal.ok("person", "low-line", "4.5", "--from", "2026-03-01")
    terminal.ok("add", "4.2", "--at", "2026-03-12 02:50")

    assert "Still below 4.5 mmol/L" in due(terminal, "03:06")["low_recheck"]["says"][0]


def test_follow_ups_are_off_by_choice_but_for_the_caution_of_a_low_and_help(
    terminal: Terminal,
) -> None:
    for kind in ("low-recheck", "low-later"):
        terminal.ok("follow-ups", "off", kind)
    for at, value in (("02:20", "3.0"), ("02:36", "3.2"), ("02:52", "3.1")):
        terminal.ok("add", value, "--at", f"2026-03-12 {at}")

    assert set(due(terminal, "03:00")) == {"low_caution", "low_help"}
    assert terminal.type("follow-ups", "off", "low-caution").code == 1
    assert terminal.type("follow-ups", "off", "low-later").code == 1  # it is so already
    terminal.ok("undo")
    assert set(due(terminal, "03:00")) == {"low_caution"}  # the second recheck was taken back
    terminal.ok("follow-ups", "on", "low-recheck", "--minutes", "20")
    assert due(terminal, "03:00")["low_again"]["wall"] == "2026-03-12T02:56"


def test_a_follow_up_that_is_none_is_answered_with_the_words_that_work(terminal: Terminal) -> None:
    refused = terminal.type("follow-ups", "off", "moon")
    terminal.ok("follow-ups", "off", "ketones-high")

    assert (refused.code, "low-later, ketones-high" in refused.err) == (1, True)


def test_two_highs_ask_for_ketones_by_the_persons_own_limit(terminal: Terminal) -> None:
    terminal.ok("add", "14.1", "--at", "2026-03-12 01:00")
    assert due(terminal, "03:10") == {}
    terminal.ok("add", "13.9", "--at", "2026-03-12 02:00")
    assert due(terminal, "03:10") == {}  # 13.9 is not above 13.9
    terminal.ok("add", "15.0", "--at", "2026-03-12 02:40")
    terminal.ok("add", "14.8", "--at", "2026-03-12 03:15")

    found = due(terminal, "03:20")["ketones_high"]
    assert found["title"] == (
        "Test ketones if you can: 14.8 mmol/L at 03:15, above 13.9 mmol/L 2 times in a row"
    )
    terminal.ok("follow-ups", "on", "ketones-high", "--times", "3", "--above", "15.5")
    assert due(terminal, "03:20") == {}
    terminal.ok("undo")
    terminal.ok("note", "ketone", "0.3", "--at", "2026-03-12 03:30")
    assert due(terminal, "03:40") == {}


def test_what_is_due_is_snoozed_put_away_opened_and_each_can_be_taken_back(
    terminal: Terminal,
) -> None:
    now = datetime(2026, 3, 12, 3, 6, tzinfo=UTC)
    terminal.ok("add", "3.0", "--at", "2026-03-12 02:50", now=now)
    key = due(terminal, "03:06")["low_recheck"]["key"]

    def closed() -> bool:
        return bool(due(terminal, "03:06")["low_recheck"]["closed"])

    snoozed = terminal.ok("follow-ups", "snooze", key, "--minutes", "5", now=now).out
    assert snoozed == "A reminder is to come again in 5 minutes “recheck after a low”.\n"
    done = terminal.ok("follow-ups", "close", key, "--elsewhere", now=now).out
    assert "said to be done elsewhere" in done
    assert closed()
    terminal.ok("follow-ups", "open", key, now=now)
    assert not closed()
    terminal.ok("undo")
    assert closed()
    assert "was said to be done elsewhere" in terminal.ok("history").out
    assert terminal.type("follow-ups", "close", "low-recheck/none", now=now).code == 1
    assert terminal.type("follow-ups", "snooze", key, "--minutes", "0", now=now).code == 1


def test_every_follow_up_has_its_source_and_the_quiet_hours_are_kept(terminal: Terminal) -> None:
    terminal.ok("follow-ups", "remind", "--quiet", "22:00", "06:30", "--no-values")

    found = terminal.ok("follow-ups", "list", "--json").json

    assert all(len(each["source"]) > 20 for each in found["rules"])
    assert all(each["on"] for each in found["rules"])
    assert (found["quiet"], found["values"], found["beep"]) == (["22:00", "06:30"], False, False)
    assert "Quiet hours: 22:00 to 06:30." in terminal.ok("follow-ups", "list").out
    assert terminal.type("follow-ups", "remind", "--quiet", "22:00", "22:00").code == 1
    assert terminal.type("follow-ups", "remind", "--quiet", "25:00", "06:00").code == 1
    assert terminal.type("follow-ups", "remind", "--no-values").code == 1
    terminal.ok("undo")
    assert terminal.ok("follow-ups", "list", "--json").json["quiet"] is None


def test_texts_of_the_care_team_are_kept_as_typed_and_taken_out(terminal: Terminal) -> None:
    terminal.ok("care", "set", "sick-plan", "every 2 h;  ring 555-0100 at 1.5")
    terminal.ok("care", "set", "sick-plan", "every 4 h")

    assert terminal.ok("care", "show", "--json").json["sick-plan"] == "every 4 h"
    terminal.ok("undo")
    assert terminal.ok("care", "show", "--json").json["sick-plan"] == (
        "every 2 h;  ring 555-0100 at 1.5"
    )
    terminal.ok("care", "set", "sick-plan", "")
    assert terminal.ok("care", "show", "--json").json["sick-plan"] is None
    assert "nothing written" in terminal.ok("care", "show").out
    assert terminal.type("care", "set", "diet", "x").code == 1
    assert terminal.type("care", "set", "team-phone", "5" * 200).code == 1
