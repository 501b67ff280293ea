from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import Terminal


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def readings(terminal: Terminal) -> list[dict[str, object]]:
    return list(terminal.ok("list", "--json").json)


def test_a_line_is_saved_and_said_piece_by_piece(terminal: Terminal) -> None:
    done = terminal.ok("add", "7.2 before lunch 12:10")

    assert done.out.splitlines()[0] == (
        "Saved for Tilde: 7.2 mmol/L, Thu 12 Mar 2026 12:10, before lunch."
    )
    assert [line.split()[0] for line in done.out.splitlines()[1:]] == ["7.2", "before", "12:10"]


def test_a_low_at_night_is_taken_at_once(terminal: Terminal) -> None:
    done = terminal.ok("add", "2.1", now=terminal.now.replace(hour=2, minute=10))

    assert done.err == ""
    (found,) = readings(terminal)
    assert (found["value"], found["at"], found["level"]) == ("2.1", "2026-03-12T02:10", "very_low")


def test_words_need_no_quotes(terminal: Terminal) -> None:
    terminal.ok("add", "5,6", "after", "dinner", "20:10")

    (found,) = readings(terminal)
    assert (found["value"], found["mark"]) == ("5.6", "after_evening_meal")


def test_what_was_saved_can_be_read_as_json(terminal: Terminal) -> None:
    found = terminal.ok("add", "HI after dinner 20:10 #party", "--keeper", "Odalys", "--json").json

    assert {key: found[key] for key in found if key not in ("uid", "understood", "caution")} == {
        "person": "Tilde",
        "value": None,
        "unit": "mmol/L",
        "bound": "above",
        "at": "2026-03-12T20:10",
        "zone": "Europe/Lisbon",
        "mark": "after_evening_meal",
        "note": None,
        "tags": ["party"],
    }
    assert readings(terminal)[0]["uid"] == found["uid"]
    assert readings(terminal)[0]["keeper"] == "Odalys"


def test_a_time_of_another_place_keeps_its_zone(terminal: Terminal) -> None:
    terminal.ok("add", "7.2", "--at", "2026-03-12 07:10", "--zone", "America/Chicago")

    (found,) = readings(terminal)
    assert (found["at"], found["zone"], found["offset_min"]) == (
        "2026-03-12T07:10",
        "America/Chicago",
        -300,
    )


@pytest.mark.parametrize("line", ["112 6:50", "112 mmol/L 6:50", "56 7:00", "0.5 7:00", "34 7:00"])
def test_an_odd_value_is_asked_about_and_kept_on_demand(terminal: Terminal, line: str) -> None:
    asked = terminal.type("add", line)

    assert asked.code == 1
    assert "Answer with: " in asked.err
    assert "--sure" in asked.err
    assert readings(terminal) == []

    terminal.ok("add", line, "--sure")

    assert [each["value"] for each in readings(terminal)] == [line.split()[0]]


def test_the_offered_unit_is_an_answer(terminal: Terminal) -> None:
    asked = terminal.type("add", "112 6:50")

    assert "Answer with: 112 mg/dL   or   " in asked.err
    terminal.ok("add", "112 mg/dL 6:50")
    (found,) = readings(terminal)
    assert (found["value"], found["unit"]) == ("112", "mg/dL")


def test_a_time_to_come_is_asked_about(terminal: Terminal) -> None:
    asked = terminal.type("add", "7.2 23:15")

    assert asked.code == 1
    assert "Answer with: yesterday 23:15   or   --sure" in asked.err
    terminal.ok("add", "7.2 yesterday 23:15")
    assert readings(terminal)[0]["at"] == "2026-03-11T23:15"


@pytest.mark.parametrize(
    ("at", "answers"),
    [
        ("2025-03-30 01:30", ("2025-03-30 02:30+01:00", "2025-03-30 00:30+00:00")),  # skipped
        ("2025-10-26 01:30", ("2025-10-26 01:30+01:00", "2025-10-26 01:30+00:00")),  # came twice
    ],
)
def test_an_hour_that_the_clocks_changed_is_asked_about(
    terminal: Terminal, at: str, answers: tuple[str, str]
) -> None:
    asked = terminal.type("add", "7.2", "--at", at)

    assert asked.code == 1
    assert f"Answer with: {answers[0]}   or   {answers[1]}" in asked.err
    assert readings(terminal) == []
    for answer in answers:
        terminal.ok("add", "7.2", "--at", answer)
    assert [each["at"] for each in readings(terminal)] == [
        answer[:16].replace(" ", "T") for answer in sorted(answers, key=utc)
    ]


def utc(answer: str) -> str:
    return f"{int(answer[11:13]) - int(answer[17:19]):02}"


@pytest.mark.parametrize(
    "line",
    [
        "nan", "NaN", "inf", "-inf", "1e400", "1_0", "0", "0.0", "3000 mg/dL", "9" * 400,
        "", "   ", "lunch", "7.2 25:10", "7.2 2026-02-30", "7.2 yesterday 24:61",
    ],
)  # fmt: skip
def test_what_can_not_be_a_reading_is_refused_in_one_line(terminal: Terminal, line: str) -> None:
    done = terminal.type("add", "--sure", "--", line)

    assert done.code == 1
    assert done.out == ""
    assert done.err.count("\n") == 1
    assert done.err.endswith("Nothing was saved.\n")
    assert readings(terminal) == []


@pytest.mark.parametrize(
    "at", ["2026-02-30 10:00", "2026-03-12 25:00", "1960-01-01 08:00", "soon", "2200-01-01 10:00"]
)
def test_a_time_that_never_was_is_refused(terminal: Terminal, at: str) -> None:
    done = terminal.type("add", "7.2", "--at", at, "--sure")

    assert done.code == 1
    assert readings(terminal) == []


def test_an_unknown_zone_is_refused(terminal: Terminal) -> None:
    done = terminal.type("add", "7.2", "--zone", "Europe/Atlantis")

    assert done.code == 1
    assert '"Europe/Atlantis" is not a time zone known here' in done.err


def test_bytes_that_are_no_text_are_refused(terminal: Terminal) -> None:
    for words in (("add", "7.2 \udcff"), ("add", "7.2", "--keeper", "\udcff")):
        done = terminal.type(*words)

        assert done.code == 1
        assert done.err.startswith("A word of the command holds bytes that are no text.")
    assert readings(terminal) == []
