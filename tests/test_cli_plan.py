from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from icalendar import Calendar

from tests.commands import Terminal


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)  # its clock stands at 2026-03-12 21:30 in Lisbon, a Thursday
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def test_without_a_plan_it_is_said_how_to_begin(terminal: Terminal) -> None:
    assert "plan kinds" in terminal.ok("plan", "show").out
    assert terminal.ok("plan", "show", "--json").json["in_force"] == []
    assert "five-point" in terminal.ok("plan", "kinds").out
    assert {each["kind"] for each in terminal.ok("plan", "kinds", "--json").json} > {"paired"}


def test_a_kind_is_put_in_force_and_shown_with_what_was_kept(terminal: Terminal) -> None:
    done = terminal.ok("plan", "set", "five-point", "--from", "2026-03-10")
    terminal.ok("add", "6.1 waking", "--at", "2026-03-12 07:10")

    shown = terminal.ok("plan", "show").out
    found = terminal.ok("plan", "show", "--json").json

    assert done.out == "The plan “Five-point profile” was put in force from 2026-03-10 on.\n"
    assert "  07:00  waking                 done\n" in shown
    assert "  12:30  before lunch           planned, nothing written\n" in shown
    assert "kept 1 of 12 planned tests" in shown
    assert "night: not in the plan; lows there would not be seen" in shown
    assert (found["kept"]["planned"], found["kept"]["kept"], found["kept"]["open"]) == (12, 1, 3)
    assert [each["state"] for each in found["today"]["tests"]] == [
        "done",
        "missed",
        "due",
        "due",
        "upcoming",
    ]


def test_a_profile_goes_beside_the_plan_and_a_habit_takes_its_place(terminal: Terminal) -> None:
    terminal.ok("plan", "set", "fasting-bedtime", "--from", "2026-03-02")
    terminal.ok("plan", "set", "seven-point", "--on", "2026-03-16", "2026-03-18")
    terminal.ok("plan", "set", "before-meals", "--from", "2026-04-01")

    history = terminal.ok("plan", "history", "--json").json

    assert [(each["kind"], each["from"], each["to"]) for each in history] == [
        ("fasting-bedtime", "2026-03-02", "2026-03-31"),
        ("seven-point", "2026-03-16", "2026-03-18"),
        ("before-meals", "2026-04-01", None),
    ]
    assert "3 versions of Tilde's plan." in terminal.ok("plan", "history").out


def test_a_plan_that_is_no_text_is_refused_in_a_plain_sentence(terminal: Terminal) -> None:
    file = terminal.folder / "week.toml"
    file.write_bytes(b"\xff\xfe\x00")

    refused = terminal.type("plan", "set", str(file))

    assert (refused.code, "is not text" in refused.err) == (1, True)


def test_a_file_is_a_plan_and_one_that_is_none_is_refused(terminal: Terminal) -> None:
    file = terminal.folder / "week.toml"
    file.write_text('name = "Week"\n[[tests]]\nat = "10:15"\nweekdays = ["Thu"]\n', "utf-8")
    terminal.ok("plan", "set", str(file))
    file.write_text('[[tests]]\nat = "late"\n', "utf-8")

    refused = terminal.type("plan", "set", str(file))
    missing = terminal.type("plan", "set", str(terminal.folder / "none.toml"))

    assert "Thu; 10:15" in terminal.ok("plan", "show").out
    assert (refused.code, "Test 1" in refused.err) == (1, True)
    assert (missing.code, "can't be read (No such file" in missing.err) == (1, True)
    assert terminal.type("plan", "set", "nine-point").code == 1


def test_what_is_due_is_said_as_of_a_time(terminal: Terminal) -> None:
    terminal.ok("plan", "set", "fasting-bedtime", "--from", "2026-03-12")

    now = terminal.ok("due").out
    morning = terminal.ok("due", "--at", "07:05", "--json").json
    tomorrow = terminal.ok("due", "--at", "2026-03-13 07:30", "--json").json

    assert "Tilde, 2026-03-12 21:30" in now
    assert "  22:00  bedtime                to come" in now
    assert "  2026-03-13 07:00  waking" in now
    assert "no alarm" in now
    assert [each["mark"] for each in morning["due"]] == ["waking"]
    assert morning["wake_up"] == "2026-03-12T08:00:01Z"
    assert [each["wall"] for each in tomorrow["due"]] == ["2026-03-13T07:00"]


@pytest.mark.parametrize("at", ["soon", "25:00", "2026-02-30 07:00", "2026-03-29 01:30"])
def test_a_time_that_is_none_is_refused(terminal: Terminal, at: str) -> None:
    refused = terminal.type("due", "--at", at)

    assert refused.code == 1
    assert refused.err


def test_a_meal_that_begins_makes_a_test_due_and_can_be_taken_back(terminal: Terminal) -> None:
    done = terminal.ok("begin", "meal", "--mark", "evening-meal", "--at", "19:20")

    due = terminal.ok("due", "--json").json["due"]
    assert "evening meal, 2026-03-12 19:20" in done.out
    assert [(each["wall"], each["mark"]) for each in due] == [
        ("2026-03-12T21:20", "after_evening_meal")
    ]
    terminal.ok("undo")
    assert terminal.ok("due", "--json").json["due"] == []
    assert terminal.type("begin", "meal", "--mark", "tea").code == 1


def test_planned_tests_are_put_aside_moved_and_expected_again(terminal: Terminal) -> None:
    terminal.ok("plan", "set", "fasting-bedtime", "--from", "2026-03-12")

    aside = terminal.ok("plan", "skip", "22:00")
    assert "not expected" not in terminal.ok("due").out
    assert aside.out == "The planned test “bedtime”, 2026-03-12 22:00, was put aside.\n"
    terminal.ok("plan", "skip", "22:00", "--to", "23:30")
    assert "23:30  bedtime" in terminal.ok("due").out
    terminal.ok("plan", "skip", "22:00", "--elsewhere")
    terminal.ok("plan", "skip", "22:00", "--again")
    assert "22:00  bedtime" in terminal.ok("due").out
    assert terminal.type("plan", "skip", "22:15").code == 1


def test_of_several_tests_at_one_time_the_mark_says_which(terminal: Terminal) -> None:
    terminal.ok("plan", "set", "fasting-bedtime", "--from", "2026-03-12")
    terminal.ok("plan", "set", "seven-point", "--beside", "--from", "2026-03-12")
    file = terminal.folder / "more.toml"
    file.write_text('[[tests]]\nat = "22:00"\nmark = "casual"\n', "utf-8")
    terminal.ok("plan", "set", str(file), "--beside")

    refused = terminal.type("plan", "skip", "22:00")

    assert (refused.code, "--mark" in refused.err) == (1, True)
    terminal.ok("plan", "skip", "22:00", "--mark", "casual")


def test_a_pause_and_an_end_are_said_and_undone(terminal: Terminal) -> None:
    terminal.ok("plan", "set", "fasting-bedtime", "--from", "2026-03-02")

    paused = terminal.ok("plan", "pause", "--to", "2026-03-14")
    assert "no test is expected" in paused.out
    assert terminal.ok("due").out.count("to come") == 0
    terminal.ok("plan", "resume", "--from", "2026-03-12")
    assert terminal.type("plan", "resume").code == 1
    ended = terminal.ok("plan", "end")
    assert ended.out == "The plan “Fasting and bedtime” ends with 2026-03-12.\n"
    terminal.ok("undo")
    assert terminal.ok("plan", "history", "--json").json[0]["to"] is None


def test_the_plan_becomes_a_calendar_file_that_is_written_over_but_nothing_else_is(
    terminal: Terminal,
) -> None:
    out = terminal.folder / "plan.ics"
    assert terminal.type("plan", "export", str(out)).code == 1
    terminal.ok("plan", "set", "fasting-bedtime", "--from", "2026-03-12")

    terminal.ok("plan", "export", str(out), "--summary", "Check")
    terminal.ok("plan", "export", str(out), "--summary", "Check", "--zoned", "--json")

    calendar = Calendar.from_ical(out.read_bytes())
    assert [str(each["SUMMARY"]) for each in calendar.walk("VEVENT")] == ["Check", "Check"]
    assert len(calendar.walk("VTIMEZONE")) == 1
    assert out.stat().st_mode & 0o077 == 0
    other = terminal.folder / "letter.txt"
    other.write_text("Dear", "utf-8")
    assert terminal.type("plan", "export", str(other)).code == 1
    assert terminal.type("plan", "export", str(terminal.diary)).code == 1
    assert other.read_text("utf-8") == "Dear"


def test_the_plan_is_also_exported_as_ics_or_to_the_terminal(terminal: Terminal) -> None:
    terminal.ok("plan", "set", "fasting-bedtime", "--from", "2026-03-12")
    out = terminal.folder / "plan.ics"

    terminal.ok("export", "--as", "ics", str(out))
    shown = terminal.ok("plan", "export", "-").out

    assert out.read_bytes().decode() == shown.replace("\r\n", "\n").replace("\n", "\r\n")
    refused = terminal.type("export", "--as", "ics", str(out), "--from", "2026-03-01")
    assert refused.code == 1


@pytest.mark.parametrize(
    ("day", "says"),
    [
        ("2026-03-29", "The clocks skip 01:30; it is asked once, at 02:30."),
        ("2026-10-25", "01:30 comes twice; the first one is meant."),
    ],
)
def test_a_time_in_a_clock_change_is_asked_once_and_that_is_said(
    terminal: Terminal, day: str, says: str
) -> None:
    file = terminal.folder / "night.toml"
    file.write_text('[[tests]]\nat = "01:30"\nmark = "night"\n', "utf-8")
    terminal.ok("plan", "set", str(file))

    shown = terminal.ok("plan", "show", "--on", day)

    assert shown.out.count("01:30  night") == 1
    assert says in shown.out
    tests = terminal.ok("plan", "show", "--on", day, "--json").json["today"]["tests"]
    assert len(tests) == 1


def test_neither_recurrence_nor_calendars_are_imported_before_they_are_needed() -> None:
    asked = "import sys, app.cli.verbs_plan, app.cli.verbs_due; print(*sys.modules)"

    done = subprocess.run([sys.executable, "-c", asked], check=True, capture_output=True, text=True)

    assert not {"dateutil", "icalendar"} & set(done.stdout.split())


def test_history_tells_of_the_plan_in_sentences(terminal: Terminal) -> None:
    terminal.ok("plan", "set", "fasting-bedtime", "--from", "2026-03-12")
    terminal.ok("begin", "meal")

    told = terminal.ok("history").out

    assert "The plan “Fasting and bedtime” was put in force from 2026-03-12 on." in told
    assert "A meal has begun: meal, 2026-03-12 21:30; the test two hours after it" in told
