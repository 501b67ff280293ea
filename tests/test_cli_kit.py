from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tests.commands import Terminal
from tests.kits import three_vials

JUNE = datetime(2026, 6, 4, 9, tzinfo=UTC)


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path, now=JUNE)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    made.ok("kit", "meter", "add", "blue")
    return made


def figures(terminal: Terminal, *words: str) -> Any:
    return terminal.ok("figures", "--all-time", "--no-minimum", *words, "--json").json


def doubtful(terminal: Terminal, reason: str) -> list[str]:
    return [each["at"] for each in terminal.ok("list", "--json").json if reason in each["doubt"]]


def vials(terminal: Terminal) -> dict[str, Any]:
    return {each["lot"]: each for each in terminal.ok("kit", "--json").json["vials"]}


LAPSED = "strips past their last good day"
FAILED = "a control test failed"


@pytest.fixture
def lapsed(terminal: Terminal) -> Terminal:
    """Seven readings around the last good day of a vial, the vial entered only afterwards."""
    for day, value in (
        ("2026-05-29", "7.0"), ("2026-05-30", "7.4"), ("2026-05-31", "8.8"),
        ("2026-06-01", "9.2"), ("2026-06-02", "3.4"),
    ):  # fmt: skip
        terminal.ok("add", f"{value}", "--at", f"{day} 07:00")
    terminal.ok("add", "7.2", "--at", "2026-06-03 07:00")
    terminal.ok(
        "kit", "vial", "add", "V1", "--printed", "2026-12-31", "--opened", "2026-03-01",
        "--days-open", "90", "--strips", "50", "--meter", "blue",
    )  # fmt: skip
    terminal.ok(
        "kit", "vial", "add", "V2", "--printed", "2027-06", "--opened", "2026-06-03",
        "--days-open", "90", "--strips", "50", "--meter", "blue",
    )  # fmt: skip
    return terminal


def test_a_lapsed_vial_that_was_entered_late_puts_three_readings_in_doubt(lapsed: Terminal) -> None:
    found = figures(lapsed)

    assert vials(lapsed)["V1"]["last_good_day"] == "2026-05-30"
    assert found["doubt"] == {"vial": 3}
    assert doubtful(lapsed, LAPSED) == ["2026-05-31T07:00", "2026-06-01T07:00", "2026-06-02T07:00"]
    assert (found["n"], round(found["mean"]["value"], 2)) == (6, 7.17)
    assert found["without_doubt"]["n"] == 3
    assert round(found["without_doubt"]["mean"]["value"], 2) == 7.2


def test_a_doubtful_low_stays_among_the_lows_with_its_mark(lapsed: Terminal) -> None:
    lows = lapsed.ok("lows", "--all-time", "--json").json

    assert lows["in_doubt"] == 1
    assert "3.4 mmol/L L?" in lapsed.ok("lows", "--all-time").out


def test_a_corrected_date_is_followed_at_once_and_taken_back(lapsed: Terminal) -> None:
    lapsed.ok("kit", "vial", "edit", "V1", "--printed", "2026-05-15")
    corrected = figures(lapsed)["doubt"]
    lapsed.ok("undo")

    assert corrected == {"vial": 5}
    assert figures(lapsed)["doubt"] == {"vial": 3}


def test_a_vial_put_away_with_strips_in_it_is_not_called_used_up(lapsed: Terminal) -> None:
    line = next(each for each in lapsed.ok("kit").out.splitlines() if "Vial V1" in each)

    assert "45 left" in line
    assert line.endswith("(no longer used)")


def test_strips_left_are_counted_from_use_and_by_a_count(lapsed: Terminal) -> None:
    before = vials(lapsed)
    lapsed.ok("kit", "strips", "count", "31", "--vial", "V2", "--at", "2026-06-03 12:00")
    lapsed.ok("add", "6.1", "--at", "2026-06-03 18:00")

    assert (before["V1"]["left"], before["V2"]["left"]) == (45, 49)
    assert vials(lapsed)["V2"]["left"] == 30


@pytest.fixture
def failed(tmp_path: Path) -> Terminal:
    """Readings with vials A, B and C of one meter, and a control test that failed with B."""
    there = three_vials(tmp_path)
    there.ok("add", "7.0", "--at", "2026-07-24 07:40")
    there.ok("kit", "control", "9.5", "--at", "2026-07-24 07:10")
    return there


FOUR = ["2026-07-03T07:00", "2026-07-10T07:00", "2026-07-23T22:00", "2026-07-24T07:05"]
OF_B = FOUR[2:]


def test_a_failed_control_reaches_back_and_a_pass_with_another_vial_offers_to_narrow(
    failed: Terminal,
) -> None:
    passed = failed.ok("kit", "control", "6.6", "--at", "2026-07-24 07:25").out
    waiting = doubtful(failed, FAILED)
    fail = failed.ok("kit", "--json").json["failed"][0]

    failed.ok("kit", "narrow", "vial")

    assert waiting == FOUR
    assert fail["waits"] is True
    assert [(each["side"], each["stay"], each["released"]) for each in fail["offers"]] == [
        ("vial", 2, 2)
    ]
    assert "Vial C passed on the same meter" in passed
    assert "kit narrow vial, or kit narrow keep" in passed
    assert doubtful(failed, FAILED) == OF_B


def test_the_person_s_word_is_taken_back_by_undo(failed: Terminal) -> None:
    failed.ok("kit", "control", "6.6", "--at", "2026-07-24 07:25")
    failed.ok("kit", "narrow", "vial")
    failed.ok("undo")

    assert doubtful(failed, FAILED) == FOUR


def test_a_word_holds_no_longer_when_its_reason_is_gone(failed: Terminal) -> None:
    number = failed.ok("kit", "control", "6.6", "--at", "2026-07-24 07:25", "--json").json["number"]
    failed.ok("kit", "narrow", "vial")

    failed.ok("kit", "control-edit", number, "--result", "9.9")

    assert set(FOUR) <= set(doubtful(failed, FAILED))


def test_doubt_follows_a_control_test_whose_time_or_meter_is_corrected(failed: Terminal) -> None:
    number = failed.ok("kit", "--json").json["failed"][0]["test"]
    failed.ok("kit", "meter", "add", "grey", "--unit", "mmol/L")
    failed.ok("kit", "control", "6.6", "--at", "2026-07-24 07:25", "--meter", "blue")

    told = failed.ok("kit", "control-edit", number, "--at", "2026-06-29 07:00").out
    earlier = doubtful(failed, FAILED)
    failed.ok("undo")
    there = doubtful(failed, FAILED)
    failed.ok("kit", "control-edit", number, "--meter", "grey")
    elsewhere = doubtful(failed, FAILED)

    assert "time" in told
    assert there == FOUR
    assert earlier == ["2026-06-30T07:00"]
    assert elsewhere == []  # no vial is known to have been in it


def test_a_control_test_is_not_moved_into_the_future(failed: Terminal) -> None:
    refused = failed.type("kit", "control-edit", "#1", "--at", "2030-01-01 06:00", "--sure")

    assert refused.code == 1
    assert "has not come yet" in refused.err or "future" in refused.err


def test_control_values_are_in_no_glucose_figure(failed: Terminal) -> None:
    found = figures(failed)

    assert (found["n"], found["max"]) == (6, 7.0)
    assert len(failed.ok("kit", "--json").json["control_tests"]) == 2


def test_nothing_can_be_narrowed_without_a_reason(failed: Terminal) -> None:
    refused = failed.type("kit", "narrow", "vial")

    assert refused.code == 1
    assert "nothing says that it was the vial" in refused.err


def test_after_a_fail_the_steps_end_with_not_using_the_results(failed: Terminal) -> None:
    said = failed.ok("kit").out

    assert "failed, above the range" in said
    assert "Test again with a fresh strip of the same vial." in said
    assert "7. Still outside: do not use the results; ask the maker and your care team." in said


AT = ("--at", "2026-06-03 10:00")
EACH = {
    "The meter “spare” was added.": ("meter", "add", "spare", "--capacity", "250"),
    "The meter “blue” was changed: capacity.": ("meter", "edit", "blue", "--capacity", "500"),
    "A vial of strips was added, lot G2.": ("vial", "add", "G2", "--printed", "12/2026"),
    "The control solution “S-14” was written down.": ("solution", "add", "low", "--lot", "S-14"),
    "The battery was changed (blue), 2026-06-03 10:00.": ("event", "battery", *AT),
    "The part “the red one” of the kit was added.": ("item", "lancing device", "the red one"),
    "Supplies: 100 strips bought.": ("strips", "bought", "100", *AT),
    "A control test is due every 30 days.": ("every", "30"),
    "A control test was written down: 6.4 mmol/L with blue, 2026-06-03 10:00.": (
        "control", "6.4", *AT,
    ),
}  # fmt: skip


@pytest.mark.parametrize("sentence", EACH)
def test_each_thing_is_told_and_taken_back(terminal: Terminal, sentence: str) -> None:
    before = terminal.ok("kit", "--json").json

    terminal.ok("kit", *EACH[sentence])
    told = terminal.ok("history", "--json").json[0]["sentence"]
    changed = terminal.ok("kit", "--json").json
    terminal.ok("undo")

    assert told == sentence
    assert changed != before
    assert terminal.ok("kit", "--json").json == before
    assert terminal.ok("check").code == 0


@pytest.mark.parametrize(
    ("words", "answers"),
    [
        (("vial", "add", "X", "--printed", "05/06"), ("2006-05", "2005-06")),
        (("control", "6.4"), ("--meter blue", "--meter spare")),
        (("vial", "edit", "twin", "--printed", "2027-01"), ("#1", "#2")),
        (("control", "120", "--meter", "blue"), ("mg/dL",)),
    ],
)
def test_what_could_be_several_is_asked_with_the_words_that_answer(
    terminal: Terminal, words: tuple[str, ...], answers: tuple[str, ...]
) -> None:
    terminal.ok("kit", "meter", "add", "spare")
    if "twin" in words:
        terminal.ok("kit", "vial", "add", "twin", "--opened", "2026-01-01")
        terminal.ok("kit", "vial", "add", "twin", "--opened", "2026-02-01")

    asked = terminal.type("kit", *words)

    assert asked.code == 1
    assert all(answer in asked.err for answer in answers), asked.err


def test_a_typed_reading_is_of_the_one_meter_there_is_and_else_of_the_one_said(
    terminal: Terminal,
) -> None:
    terminal.ok("add", "6.0", "--at", "2026-06-01 07:00")
    terminal.ok("kit", "meter", "add", "spare")
    terminal.ok("add", "6.1", "--at", "2026-06-02 07:00")
    terminal.ok("add", "6.2", "--at", "2026-06-03 07:00", "--meter", "spare")

    meters = {each["name"]: each["n"] for each in terminal.ok("kit", "--json").json["meters"]}

    assert meters == {"blue": 1, "spare": 1}
    terminal.ok("kit", "readings", "--meter", "spare", "--from", "2026-06-01", "--to", "2026-06-03")
    assert [e["n"] for e in terminal.ok("kit", "--json").json["meters"]] == [1, 2]


def test_pairs_with_the_laboratory_give_their_limit_and_no_verdict(terminal: Terminal) -> None:
    terminal.ok("add", "6.9", "--at", "2026-06-03 08:04")
    terminal.ok("note", "lab", "6.0 mmol/L", "--at", "2026-06-03 08:00")
    terminal.ok("note", "lab", "7.0 mmol/L", "--at", "2026-06-02 08:00")

    found = terminal.ok("kit", "lab-pairs", "--json").json
    said = terminal.ok("kit", "lab-pairs").out

    assert (found["n"], found["unpaired"], found["verdict"]) == (1, 1, None)
    assert found["pairs"][0]["difference"] == pytest.approx(0.9)
    assert found["pairs"][0]["limit"] == pytest.approx(0.9)  # 15 % of 6.0, both ends inside
    assert found["pairs"][0]["within"] is True
    assert "No verdict from 1 pair" in said
