"""Before and after a change through the commands: the same slots, what else there was, no cause."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from app.domain.person import Person
from app.store import schema
from app.store.diary_file import open_diary
from app.store.people import persons
from tests.commands import Terminal
from tests.households import INSTALLATION, NOW

BEFORE = ["9.1", "8.4", "10.2", "9.6", "8.8", "10.9", "9.3"]
AFTER = ["7.9", "8.2", "6.8", "7.4", "9.0", "7.1", "7.6"]
CHANGE = date(2026, 2, 9)
LATER = datetime(2026, 2, 28, 21, 0, tzinfo=UTC)
TITLES = "Date,Time,Glucose (mmol/L),Mark\n"


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path, now=LATER)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    rows = [f"{CHANGE - timedelta(days=7 - at)},07:00,{v},waking" for at, v in enumerate(BEFORE)]
    # Three settling days, with values that would pull either side.
    rows += [f"{CHANGE + timedelta(days=at)},07:00,20.0,waking" for at in range(3)]
    rows += [f"{CHANGE + timedelta(days=3 + at)},07:00,{v},waking" for at, v in enumerate(AFTER)]
    brought_in(made, "wakings.csv", rows)
    made.ok("note", "change", "long-acting plan changed by the team", "--on", f"{CHANGE}")
    with_vial(made, date(2026, 2, 12))
    return made


def brought_in(terminal: Terminal, name: str, rows: list[str]) -> None:
    file = terminal.folder / name
    file.write_text(TITLES + "\n".join(rows) + "\n", encoding="utf-8")
    terminal.ok("import", str(file))


def with_vial(terminal: Terminal, opened: date) -> None:
    with open_diary(terminal.diary, INSTALLATION) as diary:
        person: Person = persons(diary)[0]
        with diary.change("new_vial", {"vial": "B7"}, now=NOW, person=person) as change:
            change.add(
                schema.vial, person_id=person.id, lot="B7", opened_day=opened.toordinal(),
                printed_expiry="2026-12",
            )  # fmt: skip


def answer(terminal: Terminal, *words: str) -> dict[str, Any]:
    found: dict[str, Any] = terminal.ok("before-after", *words, "--json").json
    return found


def test_the_wakings_before_and_after_a_change(terminal: Terminal) -> None:
    found = answer(terminal, f"{CHANGE}", "--mark", "waking")

    evened = found["evened"]
    assert (evened["first"], evened["second"]) == pytest.approx((9.4714286, 7.7142857), abs=1e-6)
    assert evened["value"] == pytest.approx(-1.7571429, abs=1e-6)
    assert (evened["low"], evened["high"]) == pytest.approx((-2.686, -0.828), abs=1e-3)
    assert evened["verdict"] == "lower"
    assert [side["n"] for side in found["sides"]] == [7, 7]
    assert found["change"]["settling_days"] == 3
    assert found["before"] == {"first": "2026-01-26", "last": "2026-02-08", "days": 14}
    assert found["after"] == {"first": "2026-02-12", "last": "2026-02-25", "days": 14}
    assert [(each["kind"], each["first"]) for each in found["others"]] == [
        ("new vial", "2026-02-12")
    ]
    assert evened["over_days"] == pytest.approx([-2.6, -0.95], abs=0.1)


def test_it_is_said_in_words_without_a_cause(terminal: Terminal) -> None:
    said = terminal.ok("before-after", "--mark", "waking").out

    assert (
        "Evened over waking: 9.5 and 7.7, difference −1.8 mmol/L "
        "(95 %: about −2.7 to −0.8), n 7 and 7\n"
    ) in said
    assert "Other things in the window: new vial 12 Feb\n" in said
    assert "3 settling days left out\n" in said
    assert "this does not say why" in said
    for word in ("because of", "thanks", "caused", "helped", "significant", "better"):
        assert word not in said


def test_after_meal_values_of_one_side_change_the_mean_and_not_the_answer(
    terminal: Terminal,
) -> None:
    before = answer(terminal)
    days = [date(2026, 2, 12) + timedelta(days=at % 10) for at in range(20)]
    rows = [f"{day},{19 + at // 10}:30,12.0,after dinner" for at, day in enumerate(days)]
    brought_in(terminal, "meals.csv", rows)

    after = answer(terminal)

    assert after["sides"][1]["n"] == before["sides"][1]["n"] + 20
    assert after["sides"][1]["mean"]["value"] > 10
    assert before["sides"][1]["mean"]["value"] < 8
    assert after["evened"] == before["evened"]
    assert after["slots"] == ["waking"]
    assert after["mix_reverses"]
    said = terminal.ok("before-after").out
    assert "The plain averages go the other way" in said


def test_the_windows_and_the_settling_days_can_be_chosen(terminal: Terminal) -> None:
    found = answer(terminal, "--days", "5", "--settling", "0")

    assert found["before"] == {"first": "2026-02-04", "last": "2026-02-08", "days": 5}
    assert found["after"] == {"first": "2026-02-09", "last": "2026-02-13", "days": 5}
    assert [side["n"] for side in found["sides"]] == [5, 5]


def test_a_young_change_shortens_both_windows(terminal: Terminal) -> None:
    now = datetime(2026, 2, 14, 9, 0, tzinfo=UTC)

    found = terminal.ok("before-after", "--json", now=now).json

    assert found["days_asked"] == 14
    assert found["before"] == {"first": "2026-02-06", "last": "2026-02-08", "days": 3}
    assert found["after"] == {"first": "2026-02-12", "last": "2026-02-14", "days": 3}
    assert found["evened"]["verdict"] == "too_few"
    said = terminal.ok("before-after", now=now).out
    assert "14 days were asked for; the change is not as old as that." in said
    assert "Can't tell yet" in said


def test_before_the_settling_days_are_over_it_says_when_to_ask(terminal: Terminal) -> None:
    done = terminal.type("before-after", now=datetime(2026, 2, 10, 9, 0, tzinfo=UTC))

    assert done.code == 1
    assert "begin on 2026-02-12" in done.err


def test_without_a_change_or_with_another_day_it_says_what_there_is(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path, now=LATER)
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")

    none = terminal.type("before-after")
    terminal.ok("note", "change", "new plan", "--on", f"{CHANGE}")
    other = terminal.type("before-after", "2026-02-08")

    assert (none.code, other.code) == (1, 1)
    assert none.err.startswith("No change is written down yet")
    assert "There are: 2026-02-09 (new plan)." in other.err


def test_sick_days_and_other_changes_are_listed_and_shown_without(terminal: Terminal) -> None:
    terminal.ok("note", "days", "sick", "--from", "2026-02-14", "--to", "2026-02-15")
    terminal.ok("note", "change", "school began", "--on", "2026-02-20")

    found = answer(terminal, f"{CHANGE}")

    assert [each["kind"] for each in found["others"]] == ["new vial", "days", "change"]
    without = found["without_sick_and_set_aside_days"]
    assert [side["n"] for side in without["sides"]] == [7, 5]
    # 6.8 and 7.4 fell on the sick days.
    assert without["evened"]["second"] == pytest.approx((7.9 + 8.2 + 9.0 + 7.1 + 7.6) / 5)
    assert found["without_doubt"] is None


def test_the_other_unit_changes_no_verdict(terminal: Terminal) -> None:
    here = answer(terminal, f"{CHANGE}")
    with open_diary(terminal.diary, INSTALLATION) as diary:
        person = persons(diary)[0]
        with diary.change("settings", {}, now=NOW, person=person) as change:
            change.edit(schema.person, person.id, unit="mg/dL")

    there = answer(terminal, f"{CHANGE}")

    assert there["unit"] == "mg/dL"
    assert there["evened"]["verdict"] == here["evened"]["verdict"]
    assert there["evened"]["value"] == pytest.approx(18.0156 * here["evened"]["value"])
    assert [side["lows"] for side in there["sides"]] == [side["lows"] for side in here["sides"]]
