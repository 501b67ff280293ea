from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import Terminal


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def test_readings_stand_in_the_order_of_time(terminal: Terminal) -> None:
    for line in ("7.2 before lunch 12:10", "3.0 2:10 shaky", "HI yesterday 20:10", "14.2 19:05"):
        terminal.ok("add", line)

    assert [line.rstrip() for line in terminal.ok("list").out.splitlines()] == [
        "Wed 11 Mar 2026 20:10      HI mmol/L HH",
        "Thu 12 Mar 2026 02:10     3.0 mmol/L L   shaky",
        "Thu 12 Mar 2026 12:10     7.2 mmol/L     before lunch",
        "Thu 12 Mar 2026 19:05    14.2 mmol/L HH",
        "4 readings of Tilde.",
    ]


def test_a_period_has_both_its_days(terminal: Terminal) -> None:
    for day in (9, 10, 11, 12):
        terminal.ok("add", "7.2", "--at", f"2026-03-{day:02} 07:05")

    def days(*words: str) -> list[str]:
        return [each["at"][:10] for each in terminal.ok("list", "--json", *words).json]

    assert days("--from", "2026-03-10", "--to", "2026-03-11") == ["2026-03-10", "2026-03-11"]
    assert days("--from", "2026-03-11") == ["2026-03-11", "2026-03-12"]
    assert days("--to", "2026-03-09") == ["2026-03-09"]
    assert len(days()) == 4


def test_a_period_that_ends_before_it_begins_is_refused(terminal: Terminal) -> None:
    done = terminal.type("list", "--from", "2026-03-12", "--to", "2026-03-11")

    assert (done.code, done.out) == (1, "")
    assert done.err == "The period ends before it begins: 2026-03-12 to 2026-03-11.\n"


@pytest.mark.parametrize("day", ["yesterday", "2026-02-30", "12.03.2026", ""])
def test_what_is_no_day_is_wrong_usage(
    terminal: Terminal, day: str, capsys: pytest.CaptureFixture[str]
) -> None:
    done = terminal.type("list", "--from", day)

    assert done.code == 2
    assert f'"{day}" is no day; write it as YYYY-MM-DD' in capsys.readouterr().err


def test_everything_about_a_reading_can_be_read(terminal: Terminal) -> None:
    terminal.ok("add", "112 mg/dL fasting 6:50 left index #run slept badly", "--keeper", "Bram")

    (found,) = terminal.ok("list", "--json").json

    assert len(found.pop("uid")) == 36
    assert found == {
        "at": "2026-03-12T06:50",
        "instant": 1773298200,
        "zone": "Europe/Lisbon",
        "offset_min": 0,
        "value": "112",
        "unit": "mg/dL",
        "bound": "exact",
        "level": "in_range",
        "mark": "waking",
        "after_min": None,
        "site": "finger",
        "site_detail": "left index",
        "hands": "unknown",
        "standing": "counted",
        "standing_why": None,
        "doubt": [],
        "tags": ["run"],
        "note": "slept badly",
        "keeper": "Bram",
        "place": None,
        "time_from": "typed",
        "time_state": "sure",
        "time_precision": "minute",
        "origin": "typed",
        "added_later": True,
        "amended": False,
        "raw": {"wall": None, "value": "112", "unit": None, "code": None},
    }


def test_a_result_of_the_other_unit_is_shown_in_the_persons_own(terminal: Terminal) -> None:
    terminal.ok("add", "112 mg/dL 6:50")

    assert "6.2 mmol/L" in terminal.ok("list").out


def test_a_reading_in_doubt_has_its_sign(terminal: Terminal) -> None:
    terminal.ok("add", "3.4 6:50 hands not washed")

    assert "3.4 mmol/L L?" in terminal.ok("list").out
    assert terminal.ok("list", "--json").json[0]["doubt"] == ["hands not washed"]


def test_a_clock_of_twelve_hours_is_kept_to(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    terminal.ok("person", "add", "Corwin", "--unit", "mg/dL", "--zone", "America/Chicago",
                "--clock", "12")  # fmt: skip
    terminal.ok("add", "112 12:05 AM")

    assert "12:05 AM" in terminal.ok("list").out


def test_a_note_of_a_file_can_not_steer_the_terminal(terminal: Terminal, tmp_path: Path) -> None:
    file = tmp_path / "notes.csv"
    file.write_bytes(
        b'Date,Time,Glucose (mmol/L),Note\n2026-03-01,07:00,7.2,"two\nlines \x1b[2J"\n'
    )
    terminal.ok("import", str(file))

    line, count = terminal.ok("list").out.splitlines()
    assert line.endswith(r"two / lines \x1b[2J")
    assert count == "1 reading of Tilde."
    assert terminal.ok("list", "--json").json[0]["note"] == "two\nlines \x1b[2J"


def test_an_empty_list_says_so(terminal: Terminal) -> None:
    assert terminal.ok("list").out == "0 readings of Tilde.\n"
    assert terminal.ok("list", "--json").json == []
