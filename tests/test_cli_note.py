from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.commands import Terminal

# Each kind of note with what it needs, and the sentence that the history tells of it.
EACH = {
    "help": (
        ("--at", "2026-03-12 02:10", "--what", "juice"),
        "Help from another person was written down, 2026-03-12 02:10: juice.",
    ),
    "ketone": (
        ("0.4", "--at", "2026-03-12 07:30"),
        "A ketone test was written down: 0.4 mmol/L, 2026-03-12 07:30.",
    ),
    "lab": (
        ("7.9 %", "--on", "2026-03-02"),
        "A laboratory's result was written down: A1C 7.9 %, 2026-03-02.",
    ),
    "change": (
        ("long-acting plan changed by the team", "--on", "2026-03-02"),
        "A change from 2026-03-02 on was written down: long-acting plan changed by the team.",
    ),
    "days": (
        ("sick", "influenza", "--from", "2026-02-09", "--to", "2026-02-13", "--set-aside"),
        (
            "Days were written down: sick “influenza”, from 2026-02-09 to 2026-02-13; "
            "they can be left out of averages."
        ),
    ),
    "event": (
        ("meal", "pasta", "--at", "2026-03-12 18:30", "--until", "19:00", "--carbs", "60"),
        "An event was written down: meal “pasta”, 2026-03-12 18:30.",
    ),
    "tag": (
        ("#swim", "--on", "2026-03-02"),
        "The tag “swim” was put on what is written, 2026-03-02.",
    ),
}


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def notes(terminal: Terminal, *words: str) -> list[Any]:
    return list(terminal.ok("note", "list", *words, "--json").json)


@pytest.mark.parametrize("kind", EACH)
def test_each_kind_is_saved_listed_told_and_taken_back(terminal: Terminal, kind: str) -> None:
    words, sentence = EACH[kind]

    saved = terminal.ok("note", kind, *words, "--json").json
    listed = notes(terminal)
    told = terminal.ok("history", "--json").json[0]["sentence"]
    undone = terminal.ok("undo").out
    after = notes(terminal)
    terminal.ok("redo")

    assert saved["sentence"] == told == sentence
    assert [each["uid"] for each in listed] == [saved["uid"]]
    assert undone == f"Taken back: “{sentence.removesuffix('.')}”.\n"
    assert after == []
    assert notes(terminal) == listed


@pytest.mark.parametrize("kind", EACH)
def test_each_kind_comes_out_of_the_bin_as_it_was(terminal: Terminal, kind: str) -> None:
    terminal.ok("note", kind, *EACH[kind][0])
    before = notes(terminal)
    terminal.ok("undo")
    codes = [each["code"] for each in terminal.ok("bin", "--json").json]

    terminal.ok("bin", "restore", *codes)

    assert notes(terminal) == before
    assert terminal.ok("check").code == 0


@pytest.mark.parametrize("kind", EACH)
def test_what_is_emptied_from_the_bin_leaves_a_history_without_it(
    terminal: Terminal, kind: str
) -> None:
    terminal.ok("note", kind, *EACH[kind][0])
    terminal.ok("undo")
    terminal.ok("bin", "empty", "--sure")

    said = terminal.ok("history").out

    assert not any(
        word in said
        for word in ("juice", "0.4", "7.9", "long-acting", "influenza", "pasta", "swim")
    )


def test_the_list_stands_in_the_order_of_days_and_times(terminal: Terminal) -> None:
    for kind, (words, _) in EACH.items():
        terminal.ok("note", kind, *words)

    lines = terminal.ok("note", "list").out.splitlines()

    assert [" ".join(line.split()) for line in lines] == [
        "2026-02-09 to 2026-02-13 days sick, influenza, may be left out of averages",
        "2026-03-02 change long-acting plan changed by the team (3 days to settle)",
        "2026-03-02 days own, swim #swim",
        "2026-03-02 12:00 lab A1C 7.9 %",
        "2026-03-12 02:10 help help from another person, juice",
        "2026-03-12 07:30 ketone 0.4 mmol/L",
        "2026-03-12 18:30 event meal, pasta, 60 g carbohydrate",
        "7 notes beside the readings of Tilde.",
    ]
    assert [each["what"] for each in notes(terminal, "--from", "2026-03-03")] == [
        "help", "ketone", "event",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        (("ketone", "14"), "--sure"),
        (("lab", "63"), '"63 mmol/mol"'),
        (("lab", "63 %"), '"63 mmol/mol"'),
        (("help", "--at", "23:45"), "yesterday 23:45"),
        (("event", "meal", "--carbs", "600"), "--sure"),
    ],
)
def test_what_is_odd_is_asked_about_with_the_words_that_answer(
    terminal: Terminal, words: tuple[str, ...], answer: str
) -> None:
    asked = terminal.type("note", *words)

    assert asked.code == 1
    assert answer in asked.err.splitlines()[-1]
    assert notes(terminal) == []


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("days", "feast"), "is not one of the kinds"),
        (("days", "own"), "in a few words"),
        (("days", "sick", "--from", "2026-03-02", "--to", "2026-03-01"), "end before they begin"),
        (("event", "party"), "is not one of the kinds"),
        (("event", "other"), "needs words"),
        (("event", "meal", "--carbs", "some"), "no amount in grams"),
        (("change", "  "), "Say what was changed"),
        (("change", "a plan", "--settling", "-1"), "0 to 60"),
        (("tag", "swim"), "Say where the tag belongs"),
        (("tag", "#", "--on", "2026-03-02"), "A tag has 1 to 40"),
        (("tag", "swim", "--at", "2026-03-02 10:00"), "Nothing is written at"),
        (("help", "--with-reading"), "no reading within half an hour"),
        (("help", "--at", "half past"), "not a time"),
        (("help", "--what", "x" * 501), "501 characters"),
    ],
)
def test_what_can_not_be_kept_is_refused_in_one_sentence_and_nothing_is_saved(
    terminal: Terminal, words: tuple[str, ...], why: str
) -> None:
    before = len(terminal.ok("history", "--json").json)

    refused = terminal.type("note", *words)

    assert refused.code == 1
    assert why in refused.err
    assert notes(terminal) == []
    assert len(terminal.ok("history", "--json").json) == before


def test_the_same_days_change_and_tag_are_not_written_twice(terminal: Terminal) -> None:
    for kind in ("days", "change", "tag"):
        terminal.ok("note", kind, *EACH[kind][0])
        again = terminal.type("note", kind, *EACH[kind][0])

        assert (again.code, again.err) == (
            1,
            "That is written down already; nothing was changed.\n",
        )


def test_a_tag_finds_the_reading_of_its_minute_before_an_event(terminal: Terminal) -> None:
    terminal.ok("add", "6.1", "--at", "2026-03-12 18:30")
    terminal.ok("note", "event", "exercise", "swimming", "--at", "2026-03-12 18:30")
    terminal.ok("note", "event", "exercise", "swimming", "--at", "2026-03-11 18:30")

    first = terminal.ok("note", "tag", "swim", "--at", "2026-03-12 18:30", "--json").json
    second = terminal.ok("note", "tag", "swim", "--at", "2026-03-11 18:30", "--json").json

    assert (first["table"], second["table"]) == ("reading", "event")
    assert terminal.ok("list", "--json").json[0]["tags"] == ["swim"]
    assert [each["tags"] for each in notes(terminal)] == [["swim"], []]


def test_an_end_by_the_clock_alone_is_the_next_such_time(terminal: Terminal) -> None:
    words = ("--at", "2026-03-10 23:30", "--until", "00:15")

    terminal.ok("note", "event", "exercise", *words)
    refused = terminal.type(
        "note", "event", "exercise", words[0], words[1], "--until", "9 March 8:00"
    )

    assert len(notes(terminal)) == 1
    assert "an event ends after it begins, within a day" in refused.err


def test_help_stays_when_the_reading_it_was_tied_to_goes(terminal: Terminal) -> None:
    terminal.ok("add", "3.1", "--at", "2026-03-12 02:10")
    terminal.ok("note", "help", "--at", "2026-03-12 02:20", "--with-reading")

    undone = terminal.type("undo", "--entry", "2")

    assert undone.code == 1  # the help rests on it: that is said, and nothing goes in silence
    assert [each["what"] for each in notes(terminal)] == ["help"]


def test_a_raised_ketone_result_is_saved_and_its_caution_said_after(terminal: Terminal) -> None:
    lines = terminal.ok("note", "ketone", "3.2").out.splitlines()

    assert lines[0].startswith("Saved for Tilde. A ketone test was written down: 3.2 mmol/L")
    assert lines[1] == "Blood ketones 3.2 mmol/L: get emergency care now"
    assert terminal.ok("note", "ketone", "0.4").out.count("\n") == 1


def test_usage_that_says_no_kind_is_wrong_usage(terminal: Terminal) -> None:
    assert terminal.type("note").code == 2
    assert terminal.type("note", "lab", "7.9 %", "--on", "yesterday").code == 2
