from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.commands import Terminal

# An invented day, by the clocks of Lisbon.
DAY = (
    ("02:10", "3.0"), ("02:26", "3.4"), ("02:43", "4.3"), ("16:40", "3.1"), ("16:57", "4.6"),
    ("17:45", "6.0"), ("19:05", "3.6"), ("21:10", "7.2"),
)  # fmt: skip
THAT_DAY = ("--days", "1", "--ending", "2026-03-12")
NEXT_DAY = datetime(2026, 3, 13, 12, tzinfo=UTC)


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path, now=NEXT_DAY)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def test_eight_values_of_one_day(terminal: Terminal) -> None:
    for time, value in DAY:
        terminal.ok("add", value, "--at", f"2026-03-12 {time}")

    lows = terminal.ok("lows", *THAT_DAY, "--json").json
    figures = terminal.ok("figures", *THAT_DAY, "--json").json

    assert figures["n"] == lows["n"] == 8
    assert figures["mean"]["value"] == pytest.approx(4.4)
    assert figures["median"] == pytest.approx(3.95)
    assert (lows["lows"], lows["level_1"], lows["level_2"], lows["level_3"]) == (4, 4, 0, 0)
    assert [
        (spell["at"][11:], spell["lows"], spell["ended"], spell["back_min"], spell["next_min"])
        for spell in lows["spells"]
    ] == [
        ("02:10", 2, "closed", 33, None),
        ("16:40", 1, "closed", 17, None),
        ("19:05", 1, "no recheck written", None, 125),
    ]
    assert (lows["spell_count"], lows["rechecked"], lows["not_rechecked"]) == (3, 2, 1)
    assert lows["without_rechecks"] == {"n": 5, "lows": 3, "level_1": 3, "level_2": 0}
    assert lows["without_rechecks"]["n"] == figures["without_rechecks"]["n"]


def test_the_same_day_in_words(terminal: Terminal) -> None:
    for time, value in DAY:
        terminal.ok("add", value, "--at", f"2026-03-12 {time}")

    lines = terminal.ok("lows", *THAT_DAY).out.splitlines()

    assert lines[1:6] == [
        "A low is below 3.9 mmol/L (the usual line).",
        "4 of 8 readings low, in 3 spells; without 3 rechecks: 3 of 5.",
        "  level 3 (another person's help was needed): none written",
        "  level 2 (below 3.0 mmol/L): 0",
        "  level 1 (3.0 – 3.8 mmol/L): 4",
    ]
    assert "Night, between 00:00 and 05:00: 2 lows; 1 of 1 night tested." in lines
    assert (
        "  Thu 12 Mar 2026 19:05  1 low reading, no recheck written; next value 125 min later"
        in lines
    )
    assert "      02:43  4.3 mmol/L         +33 min" in lines
    assert not any("7.2 mmol/L" in line for line in lines)  # two hours later closes nothing


def test_a_doubtful_low_and_one_set_aside_stay_and_are_marked(terminal: Terminal) -> None:
    terminal.ok("add", "2.8 hands not washed", "--at", "2026-03-12 02:10")
    terminal.ok("add", "8.0", "--at", "2026-03-12 12:00")
    terminal.ok("note", "days", "sick", "--from", "2026-03-12", "--to", "2026-03-12", "--set-aside")

    lows = terminal.ok("lows", *THAT_DAY, "--json").json
    words = terminal.ok("lows", *THAT_DAY).out

    assert (lows["lows"], lows["level_2"], lows["in_doubt"]) == (1, 1, 1)
    assert lows["spells"][0]["readings"][0]["doubt"] == ["hands not washed"]
    assert lows["spells"][0]["readings"][0]["set_aside_day"] is True
    assert "2.8 mmol/L LL? (hands not washed, on set-aside days)" in words


def test_help_counts_without_any_number_and_marks_the_spell_it_is_tied_to(
    terminal: Terminal,
) -> None:
    terminal.ok("add", "3.4", "--at", "2026-03-12 02:10")
    terminal.ok("note", "help", "--at", "2026-03-12 02:14", "--what", "juice", "--with-reading")
    terminal.ok("note", "help", "--at", "2026-03-12 15:00")

    lows = terminal.ok("lows", *THAT_DAY, "--json").json

    assert lows["level_3"] == 2
    assert [each["reading"] and each["reading"]["value"] for each in lows["help"]] == [3.4, None]
    assert lows["spells"][0]["helped"] is True
    assert lows["lows"] == 1  # help is no reading


def test_a_high_after_a_low_and_a_very_high_with_its_ketones(terminal: Terminal) -> None:
    for time, value in (("08:00", "3.2"), ("11:59", "14.2"), ("18:00", "15.0")):
        terminal.ok("add", value, "--at", f"2026-03-12 {time}")
    terminal.ok("note", "ketone", "1.2", "--at", "2026-03-12 11:20")

    lows = terminal.ok("lows", *THAT_DAY, "--json").json

    assert lows["highs_after"]["within_min"] == 240
    assert lows["highs_after"]["spells_tested"] == 1
    (followed,) = lows["highs_after"]["found"]
    assert (followed["low"]["value"], followed["high"]["value"]) == (3.2, 14.2)
    assert followed["minutes"] == 239
    assert [
        (each["value"], each["ketones"], each["ketones_minutes"])
        for each in lows["very_highs"]["found"]
    ] == [(14.2, "1.2 mmol/L", -39), (15.0, None, None)]
    assert "no ketone test within 4 hours" in terminal.ok("lows", *THAT_DAY).out


def test_without_readings_nothing_is_said_about_lows(terminal: Terminal) -> None:
    said = terminal.ok("lows", *THAT_DAY).out
    lows = terminal.ok("lows", *THAT_DAY, "--json").json

    assert "No readings in these days, which says nothing about lows." in said
    assert (lows["n"], lows["spells"], lows["night"]["nights_tested"]) == (0, [], 0)


def test_readings_without_a_low_leave_the_untested_nights_open(terminal: Terminal) -> None:
    terminal.ok("add", "6.1", "--at", "2026-03-12 08:00")

    said = terminal.ok("lows", "--days", "14", "--ending", "2026-03-12").out

    assert "No low among 1 reading." in said
    assert "0 of 14 nights tested; a low in another night would not be seen." in said


def test_a_spell_over_the_end_of_the_period_is_told_to_its_end(terminal: Terminal) -> None:
    for at, value in (("2026-03-12 23:50", "3.3"), ("2026-03-13 00:15", "5.0")):
        terminal.ok("add", value, "--at", at)

    before = terminal.ok("lows", *THAT_DAY, "--json").json
    after = terminal.ok("lows", "--days", "1", "--ending", "2026-03-13", "--json").json

    assert [spell["back_min"] for spell in before["spells"]] == [25]
    assert after["spells"] == []


def test_a_result_off_the_scale_is_a_low_of_level_2(terminal: Terminal) -> None:
    terminal.ok("add", "LO", "--at", "2026-03-12 08:00")

    lows = terminal.ok("lows", *THAT_DAY, "--json").json

    assert (lows["lows"], lows["level_2"]) == (1, 1)
    assert lows["spells"][0]["readings"][0]["value"] == {"below": None}


def test_the_persons_own_line_says_what_is_a_low_and_leaves_the_levels(terminal: Terminal) -> None:
    for time, value in DAY:
        terminal.ok("add", value, "--at", f"2026-03-12 {time}")

    terminal.ok("person", "low-line", "4,4", "--from", "2026-03-01")
    higher = terminal.ok("lows", *THAT_DAY, "--json").json
    refused = terminal.type("person", "low-line", "3.4")
    terminal.ok("person", "low-line", "3.4", "--from", "2026-03-12", "--why", "told by the team")
    lower = terminal.ok("lows", "--from", "2026-03-11", "--to", "2026-03-12", "--json").json
    terminal.ok("undo")
    terminal.ok("undo")
    usual = terminal.ok("lows", *THAT_DAY, "--json").json

    assert refused.code == 1
    assert "needs the reason in your own words" in refused.err
    assert [(each["lows"], each["level_1"]) for each in (higher, lower, usual)] == [
        (5, 4), (2, 4), (4, 4),
    ]  # fmt: skip
    assert lower["low_line"] == [
        {"from": "2026-03-01", "below": 4.4, "why": None},
        {"from": "2026-03-12", "below": 3.4, "why": "told by the team"},
    ]
    assert usual["low_line"] == [{"from": None, "below": 3.9, "why": None}]


def test_nothing_in_it_advises_a_dose_praises_or_scolds(terminal: Terminal) -> None:
    for time, value in DAY:
        terminal.ok("add", value, "--at", f"2026-03-12 {time}")

    said = terminal.ok("lows", *THAT_DAY).out.casefold()

    assert not [
        word for word in ("dose", "insulin", "safe", "good", "bad", "recovered") if word in said
    ]
