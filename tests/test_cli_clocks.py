from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.store.diary_file import open_diary
from app.store.installation import installation_id
from app.store.state_hash import state_hash
from tests.commands import Terminal

LATER = datetime(2026, 11, 24, 12, 0, tzinfo=UTC)
RESTARTED = (
    "Date,Time,Glucose (mmol/L)\n2020-01-01,00:20,6.1\n2020-01-05,22:10,9.9\n2020-01-10,13:05,7.7\n"
)
STRETCH = ("--meter", "blue", "--from", "2020-01-01 00:00", "--to", "2020-01-31 00:00")
BATTERY = ("--anchor", "2020-01-01 00:00 = 2026-11-14 18:20")
LAST = ("--anchor", "last = 2026-11-24 08:05")


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    """A child's diary with a copy of blue's memory, whose clock began anew on 14 November."""
    there = Terminal(tmp_path, now=LATER)
    there.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    (tmp_path / "blue.csv").write_text(RESTARTED)
    there.ok("import", str(tmp_path / "blue.csv"), "--meter", "blue")
    return there


def _times(terminal: Terminal) -> list[str | None]:
    return [each["at"] for each in terminal.ok("list", "--json").json]


def _state(terminal: Terminal) -> str:
    with open_diary(terminal.diary, installation_id(terminal.folder / "state")) as diary:
        return state_hash(diary)


def test_a_restarted_clock_is_proposed_with_what_would_settle_it(terminal: Terminal) -> None:
    found = terminal.ok("clocks", "--json").json["proposals"]

    assert [(each["kind"], each["n"], each["shift_s"]) for each in found] == [("factory", 3, None)]
    assert found[0]["first"]["shown"] == "2020-01-01T00:20"
    assert "--anchor" in found[0]["settles"]


def test_the_list_says_in_words_what_was_found_and_that_nothing_was_changed(
    terminal: Terminal,
) -> None:
    before = _state(terminal)

    said = terminal.ok("clocks").out

    assert "blue: the clock began anew at a date of the maker's" in said
    assert "3 records, stamped 2020-01-01 00:20 to 2020-01-10 13:05" in said
    assert "Nothing was changed." in said
    assert _state(terminal) == before


def test_the_moment_of_the_new_battery_gives_new_times_to_look_at_first(
    terminal: Terminal,
) -> None:
    before = _state(terminal)

    found = terminal.ok("clocks", "repair", *STRETCH, *BATTERY, "--json").json

    assert [each["new"]["at"] for each in found["records"]] == [
        "2026-11-14T18:40",
        "2026-11-19T16:30",
        "2026-11-24T07:25",
    ]
    assert not found["applied"]
    assert _state(terminal) == before


def test_the_preview_shows_old_and_new_times_beside_each_other(terminal: Terminal) -> None:
    said = terminal.ok("clocks", "repair", *STRETCH, *BATTERY).out

    assert "2020-01-05 22:10  →  Thu 2026-11-19 16:30   9.9 mmol/L" in said
    assert "One known moment; a second one would show whether the clock ran evenly." in said
    assert "Nothing was changed yet." in said


def test_a_repair_keeps_the_raw_stamps_in_sight(terminal: Terminal) -> None:
    terminal.ok("clocks", "repair", *STRETCH, *BATTERY, "--sure")

    listed = terminal.ok("list", "--raw").out

    assert "Sat 14 Nov 2026 18:40" in listed
    assert "[2020-01-01 00:20]" in listed
    assert [each["raw"]["wall"] for each in terminal.ok("list", "--json").json] == [
        "2020-01-01 00:20",
        "2020-01-05 22:10",
        "2020-01-10 13:05",
    ]


def test_one_undo_restores_exactly_what_was_there_before_a_repair(terminal: Terminal) -> None:
    times, state = _times(terminal), _state(terminal)
    terminal.ok("clocks", "repair", *STRETCH, *BATTERY, "--sure")
    assert _times(terminal) == ["2026-11-14T18:40", "2026-11-19T16:30", "2026-11-24T07:25"]

    terminal.ok("undo")

    assert _times(terminal) == times
    assert _state(terminal) == state
    terminal.ok("redo")
    assert _times(terminal) == ["2026-11-14T18:40", "2026-11-19T16:30", "2026-11-24T07:25"]


def test_a_second_known_moment_that_disagrees_is_shown_and_nothing_is_chosen(
    terminal: Terminal,
) -> None:
    found = terminal.ok("clocks", "repair", *STRETCH, *BATTERY, *LAST, "--json").json

    assert found["disagrees"]
    assert found["fit"]["apart_s"] == 40 * 60
    assert [each["new"] for each in found["records"]] == [None, None, None]
    assert [each["at"] for each in found["records"][2]["versions"]] == [
        "2026-11-24T07:25",
        "2026-11-24T08:05",
    ]


def test_the_disagreement_is_told_with_both_versions(terminal: Terminal) -> None:
    said = terminal.ok("clocks", "repair", *STRETCH, *BATTERY, *LAST).out

    assert "disagree by 40 min" in said
    assert "Tue 2026-11-24 07:25   or   Tue 2026-11-24 08:05" in said


def test_a_second_known_moment_is_held_against_one_that_was_said_before(
    terminal: Terminal,
) -> None:
    terminal.ok("clocks", "repair", *STRETCH, *BATTERY, "--sure")

    terminal.ok("clocks", "repair", *STRETCH, *LAST, "--sure")

    assert _times(terminal) == [None, None, None]
    assert terminal.ok("clocks", "--json").json["in_doubt"] == 3
    (repair,) = terminal.ok("clocks", "history", "--json").json["repairs"]
    assert repair["state"] == "disagrees"
    assert [each["at"] for each in repair["anchors"]] == ["2026-11-14T18:20", "2026-11-24T08:05"]
    terminal.ok("undo")
    assert _times(terminal) == ["2026-11-14T18:40", "2026-11-19T16:30", "2026-11-24T07:25"]


def test_a_disagreement_is_settled_by_one_moment_instead(terminal: Terminal) -> None:
    terminal.ok("clocks", "repair", *STRETCH, *BATTERY, *LAST, "--sure")

    terminal.ok("clocks", "repair", *STRETCH, *LAST, "--instead", "--sure")

    assert _times(terminal) == ["2026-11-14T19:20", "2026-11-19T17:10", "2026-11-24T08:05"]
    assert terminal.ok("clocks", "--json").json["in_doubt"] == 0


def test_a_moment_that_puts_records_into_the_future_is_refused(terminal: Terminal) -> None:
    done = terminal.type(
        "clocks", "repair", *STRETCH, "--anchor", "2020-01-01 00:20 = 2026-11-20 18:40", "--sure"
    )

    assert done.code == 1
    assert "has not come yet" in done.err
    assert _times(terminal)[0] == "2020-01-01T00:20"


def test_a_moment_that_breaks_the_order_of_the_memory_is_refused(terminal: Terminal) -> None:
    text = RESTARTED + "2026-11-24,09:00,8.8\n"
    (terminal.folder / "more.csv").write_text(text)
    terminal.ok("import", str(terminal.folder / "more.csv"), "--meter", "blue")

    done = terminal.type(
        "clocks", "repair", *STRETCH, "--anchor", "last = 2026-11-24 09:30", "--sure"
    )

    assert done.code == 1
    assert "That order cannot be" in done.err


def test_without_a_known_moment_a_question_is_asked(terminal: Terminal) -> None:
    done = terminal.type("clocks", "repair", "1")

    assert done.code == 1
    assert '--anchor "2020-01-01 00:20 = TRUE TIME"' in done.err


def test_a_no_is_remembered_and_undone_like_anything_else(terminal: Terminal) -> None:
    terminal.ok("clocks", "no", "1")
    assert terminal.ok("clocks", "--json").json["proposals"] == []

    terminal.ok("undo")

    assert len(terminal.ok("clocks", "--json").json["proposals"]) == 1


def test_a_stretch_kept_in_doubt_keeps_its_times_and_stays_proposed(terminal: Terminal) -> None:
    times, state = _times(terminal), _state(terminal)

    terminal.ok("clocks", "doubt", "1")

    assert _times(terminal) == times
    listed = terminal.ok("list", "--json").json
    assert [each["doubt"] for each in listed] == [["the clock of the meter may be wrong"]] * 3
    (proposal,) = terminal.ok("clocks", "--json").json["proposals"]
    assert proposal["in_doubt"]
    assert "in doubt already" in terminal.type("clocks", "doubt", "1").err
    terminal.ok("undo")
    assert _state(terminal) == state


def test_a_stretch_in_doubt_is_settled_by_a_repair_or_by_a_no(terminal: Terminal) -> None:
    terminal.ok("clocks", "doubt", "1")

    terminal.ok("clocks", "repair", "1", *BATTERY, "--sure")

    assert _times(terminal)[0] == "2026-11-14T18:40"
    assert {len(each["doubt"]) for each in terminal.ok("list", "--json").json} == {0}
    terminal.ok("undo")
    terminal.ok("clocks", "no", "1")
    assert {len(each["doubt"]) for each in terminal.ok("list", "--json").json} == {0}
    assert terminal.ok("clocks", "--json").json["in_doubt"] == 0


def test_a_disagreement_puts_the_clock_of_its_readings_in_doubt(terminal: Terminal) -> None:
    terminal.ok("clocks", "repair", *STRETCH, *BATTERY, *LAST, "--sure")

    listed = terminal.ok("list", "--json").json

    assert [each["doubt"] for each in listed] == [["the clock of the meter may be wrong"]] * 3


def test_a_setting_that_was_written_down_proposes_the_repair(terminal: Terminal) -> None:
    terminal.ok(
        *("clocks", "set", "--meter", "blue", "--at", "2026-11-14 18:20"),
        *("--shown-after", "2020-01-01 00:00", "--cause", "battery"),
    )

    found = terminal.ok("clocks", "repair", "1", "--json").json

    assert found["records"][0]["new"]["at"] == "2026-11-14T18:40"
    (setting,) = terminal.ok("clocks", "history", "--json").json["settings"]
    assert (setting["at"], setting["shown_after"]) == ("2026-11-14T18:20", "2020-01-01T00:00")
    assert setting["cause"] == "battery"


def test_records_at_a_factory_date_stay_out_of_figures_until_a_moment_dates_them(
    tmp_path: Path,
) -> None:
    terminal = Terminal(tmp_path, now=LATER)
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    before = "".join(f"2026-11-{day:02},07:05,7.0\n" for day in range(1, 15))
    (tmp_path / "blue.csv").write_text(
        "Date,Time,Glucose (mmol/L)\n" + before + RESTARTED.partition("\n")[2]
    )

    account = terminal.ok("import", str(tmp_path / "blue.csv"), "--meter", "blue", "--json").json

    assert (account["new"], account["undated"]) == (17, 3)
    assert terminal.ok("figures", "--all-time", "--json").json["n"] == 14
    assert [each["raw"] for each in terminal.ok("clocks", "undated", "--json").json] == [
        "2020-01-01 00:20",
        "2020-01-05 22:10",
        "2020-01-10 13:05",
    ]
    assert "3 undated, in no figure" in terminal.ok("list").out
    terminal.ok("clocks", "repair", "1", *BATTERY, "--sure")
    assert terminal.ok("figures", "--all-time", "--json").json["n"] == 17
    assert terminal.ok("clocks", "undated", "--json").json == []


def test_stamps_of_two_runs_are_not_repaired_in_one(terminal: Terminal) -> None:
    rows = ("2020-01-01,00:10,6.3", "2026-11-20,09:00,8.8", "2020-01-01,00:30,5.0")
    text = "\n".join(("Date,Time,Glucose (mmol/L)", *rows))
    (terminal.folder / "two.csv").write_text(text)
    terminal.ok("import", str(terminal.folder / "two.csv"), "--meter", "red")

    done = terminal.type(
        *("clocks", "repair", "--meter", "red", "--from", "2020-01-01 00:00"),
        *("--to", "2020-01-31 00:00", *BATTERY),
    )

    assert done.code == 1
    assert "no unbroken run" in done.err


def test_a_meter_or_a_number_that_is_not_there_is_refused(terminal: Terminal) -> None:
    assert "The meters are: blue" in terminal.type("clocks", "list", "--meter", "pink").err
    assert "There is no number 7" in terminal.type("clocks", "no", "7").err
    assert "2020-01-01 00:20" in terminal.type("clocks", "repair", "1", "--anchor", "x = y").err


def test_what_was_done_is_told_in_the_history(terminal: Terminal) -> None:
    terminal.ok("clocks", "repair", *STRETCH, *BATTERY, "--why", "new battery", "--sure")

    assert "The clock was repaired for 3 readings of the meter “blue”" in terminal.ok("history").out
    assert "known: 2020-01-01 00:00 was 2026-11-14 18:20 (new battery)" in (
        terminal.ok("clocks", "history").out
    )
