from __future__ import annotations

import stat
from pathlib import Path

import pytest

from tests.commands import Terminal


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    return Terminal(tmp_path)


def add(terminal: Terminal, name: str = "Tilde", *more: str) -> None:
    terminal.ok("person", "add", name, "--unit", "mmol/L", "--zone", "Europe/Lisbon", *more)


def test_the_first_person_makes_the_diary(terminal: Terminal) -> None:
    done = terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")

    assert done.out.splitlines() == [
        f"A new diary: {terminal.diary}",
        "Added Tilde, mmol/L, Europe/Lisbon.",
    ]
    assert stat.S_IMODE(terminal.diary.stat().st_mode) == 0o600


def test_no_other_verb_makes_a_diary(terminal: Terminal) -> None:
    for words in (
        ("person", "list"),
        ("person", "targets", "ispad-2022"),
        ("add", "7.2"),
        ("list",),
        ("figures",),
        ("undo",),
        ("check",),
        ("export", "--as", "csv", "-"),
    ):
        done = terminal.type(*words)

        assert done.code == 1, words
        assert done.err.startswith(f"There is no diary at {terminal.diary}."), words
        assert not terminal.diary.exists(), words


def test_everything_about_a_person_can_be_read(terminal: Terminal) -> None:
    add(terminal, "Tilde", "--clock", "12", "--dates", "mdy", "--day-starts", "4")

    (found,) = terminal.ok("person", "list", "--json").json

    assert len(found.pop("uid")) == 36
    assert found == {
        "name": "Tilde",
        "unit": "mmol/L",
        "zone": "Europe/Lisbon",
        "clock": 12,
        "dates": "mdy",
        "day_starts": 4,
    }
    assert terminal.ok("person", "list").out == "Tilde  mmol/L  Europe/Lisbon\n"


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--unit", "mmol", "--zone", "UTC"), '"mmol" is not a unit of glucose'),
        (("--unit", "mg/dL", "--zone", "Mars/Base"), '"Mars/Base" is not a time zone known here'),
        (("--unit", "mg/dL", "--zone", "../etc"), '"../etc" is not a time zone known here'),
        (("--unit", "mg/dL", "--zone", "UTC", "--day-starts", "7"), "whole hour from 0 to 6"),
        (("--unit", "mg/dL", "--zone", "UTC", "--day-starts", "-1"), "whole hour from 0 to 6"),
        (("--unit", "mg/dL", "--zone", "UTC", "--targets", "mine"), "no published goals named"),
    ],
)  # fmt: skip
def test_what_is_not_known_is_refused_and_leaves_no_file(
    terminal: Terminal, words: tuple[str, ...], sentence: str
) -> None:
    done = terminal.type("person", "add", "Tilde", *words)

    assert done.code == 1
    assert sentence in done.err
    assert not terminal.diary.exists()


@pytest.mark.parametrize("name", ["", "   ", "\n", "a\x1b[31mb", "x" * 81])
def test_a_name_that_can_not_be_shown_is_refused(terminal: Terminal, name: str) -> None:
    done = terminal.type("person", "add", name, "--unit", "mg/dL", "--zone", "UTC")

    assert done.code == 1
    assert "name" in done.err
    assert not terminal.diary.exists()


@pytest.mark.parametrize("again", ["tilde", "TILDE", "  Tilde ", "Tilde"])
def test_names_are_told_apart_without_regard_to_case(terminal: Terminal, again: str) -> None:
    add(terminal)

    done = terminal.type("person", "add", again, "--unit", "mg/dL", "--zone", "UTC")

    assert done.code == 1
    assert 'a person named "Tilde" already' in done.err
    assert len(terminal.ok("person", "list", "--json").json) == 1


def test_with_several_people_somebody_has_to_be_named(terminal: Terminal) -> None:
    add(terminal)
    add(terminal, "Corwin")

    unnamed, unknown = terminal.type("list"), terminal.type("--person", "Bram", "list")

    assert (unnamed.code, unnamed.err) == (
        1,
        "Whose? Say --person and one of these names: Tilde, Corwin.\n",
    )
    assert (unknown.code, unknown.err) == (
        1,
        'There is no person named "Bram" in this diary. There are: Tilde, Corwin.\n',
    )
    assert terminal.ok("--person", "CORWIN", "list").out == "0 readings of Corwin.\n"


def test_a_person_sees_no_reading_of_another(terminal: Terminal) -> None:
    add(terminal)
    add(terminal, "Corwin")
    terminal.ok("--person", "tilde", "add", "7.2")

    assert [each["value"] for each in terminal.ok("--person", "Tilde", "list", "--json").json] == [
        "7.2"
    ]
    assert terminal.ok("--person", "Corwin", "list", "--json").json == []


def test_published_goals_are_listed_with_their_source(terminal: Terminal) -> None:
    shown = terminal.ok("person", "targets").out

    assert "ispad-2022\n    ISPAD 2022, children and young people\n    de Bock et al." in shown
    assert shown.endswith("The goals agreed with your own care team come first.\n")


def test_goals_are_put_in_force_from_a_day_on(terminal: Terminal) -> None:
    add(terminal)
    terminal.ok("add", "9.5 waking yesterday 7:05")
    terminal.ok("add", "9.5 waking 7:05")

    done = terminal.ok("person", "targets", "ispad-2022", "--from", "2026-03-12")

    assert done.out.startswith('In force for Tilde: "ISPAD 2022')
    judged = terminal.ok("figures", "--json").json["judged"]
    assert judged == {"waking": {"n": 1, "below": 0, "within": 0, "above": 1}}


def test_unknown_goals_are_refused_with_those_there_are(terminal: Terminal) -> None:
    add(terminal)

    done = terminal.type("person", "targets", "nobody-2030")

    assert done.code == 1
    assert "ada-adults, nice-adults-type-1" in done.err


def test_a_shortened_option_is_wrong_usage(
    terminal: Terminal, capsys: pytest.CaptureFixture[str]
) -> None:
    add(terminal)

    done = terminal.type("--pers", "Tilde", "list")

    assert done.code == 2
    assert "usage: thimblebook" in capsys.readouterr().err
