"""A question asked through the commands: days with something against the others, both untested."""

from __future__ import annotations

import shutil
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.shipped import shipped
from app.store.diary_file import open_diary
from app.store.people import persons
from app.work.note_days import tag_day
from sample_db import tilde as generator
from sample_db.generator import Truth
from tests.commands import Terminal
from tests.households import INSTALLATION

YEAR_OVER = datetime(2026, 9, 1, 12, tzinfo=UTC)
YEAR = ("--from", "2025-09-01", "--to", "2026-08-31")
SWIM_NIGHTS = ("ask", "swim", "--slot", "night", "--outcome", "low")


def written_out(tests: Iterable[Truth]) -> str:
    rows = ["Date,Time,Glucose (mmol/L),Mark"]
    for test in tests:
        mark = "" if test.mark is Mark.NONE else test.mark.words
        rows.append(f"{test.taken_at:%Y-%m-%d,%H:%M},{test.value},{mark}")
    return "\n".join(rows) + "\n"


def the_person(terminal: Terminal) -> Person:
    with open_diary(terminal.diary, INSTALLATION) as diary:
        return persons(diary)[0]


@pytest.fixture(scope="module")
def true_year(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Tilde's year as it really was, brought in from a file, with a tag on each day of a swim."""
    terminal = Terminal(tmp_path_factory.mktemp("year"), now=YEAR_OVER)
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    file = terminal.folder / "truth.csv"
    file.write_text(written_out(generator.truth()), encoding="utf-8")
    taken = terminal.ok("import", str(file), "--json").json
    assert (taken["seen"], taken["new"]) == (1758, 1758)
    with open_diary(terminal.diary, INSTALLATION) as diary:
        for day in generator.swim_days():
            tag_day(diary, persons(diary)[0], "swim", day, now=YEAR_OVER)
    return terminal.diary


@pytest.fixture
def terminal(tmp_path: Path, true_year: Path) -> Terminal:
    made = Terminal(tmp_path, now=YEAR_OVER)
    shutil.copyfile(true_year, made.diary)
    made.diary.chmod(0o600)
    return made


@pytest.fixture
def sample(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path, now=YEAR_OVER)
    shutil.copyfile(shipped("sample_db", "households.thimblebook"), made.diary)
    made.diary.chmod(0o600)
    return made


def sides(found: dict[str, Any]) -> list[tuple[int, int, int, int]]:
    return [
        (side["days"], side["tested"], side["untested"], side["found"]["n"])
        for side in found["sides"]
    ]


def test_lows_in_the_nights_after_swimming(terminal: Terminal) -> None:
    found = terminal.ok(*SWIM_NIGHTS, *YEAR, "--json").json

    assert sides(found) == [(76, 40, 36, 15), (289, 18, 271, 4)]
    after, other = (side["found"] for side in found["sides"])
    assert after["share"] == 0.375
    assert (after["low"], after["high"]) == pytest.approx((0.2422, 0.5297), abs=5e-5)
    assert other["share"] == pytest.approx(0.2222, abs=5e-5)
    assert (other["low"], other["high"]) == pytest.approx((0.0900, 0.4521), abs=5e-5)
    assert found["verdict"] == "cannot_tell"
    assert found["questions_asked"] == 1


def test_the_answer_is_told_in_words(terminal: Terminal) -> None:
    said = terminal.ok(*SWIM_NIGHTS, *YEAR).out

    assert said == (
        "Tilde, 2025-09-01 to 2026-08-31\n"
        "Days with the tag “swim”: 40 of 76 nights tested, 15 of 40 with a low, 38 % "
        "(24 – 53 %).\n"
        "Other days: 18 of 289 nights tested, 4 of 18 with a low, 22 % (9 – 45 %).\n"
        "Can't tell yet from these nights: the two ranges overlap.\n"
        "36 of 76 nights on days with the tag “swim” and 271 of 289 other nights untested; those "
        "tested may have been tested when someone was worried.\n"
        "1 question asked so far.\n"
    )


def test_days_with_a_tag_are_counted_as_days_once(terminal: Terminal) -> None:
    said = terminal.ok("ask", "swim", *YEAR).out

    assert "of 76 days with the tag “swim” and " in said
    assert "days on days" not in said.splitlines()[-2]


def test_the_sample_shows_what_meters_and_paper_kept(sample: Terminal) -> None:
    # One more night is tested than really was: on the sick night of 10 February readings were
    # added by hand.
    found = sample.ok("--person", "Tilde", *SWIM_NIGHTS, *YEAR, "--json").json

    assert found["by"] == "tag"
    assert sides(found) == [(76, 40, 36, 15), (289, 19, 270, 4)]
    assert found["verdict"] == "cannot_tell"


def test_an_event_is_found_by_its_text_or_kind(sample: Terminal) -> None:
    by_text = sample.ok("--person", "Tilde", "ask", "swimming", "--slot", "night", "--json").json
    by_kind = sample.ok("--person", "Tilde", "ask", "exercise", "--slot", "night", "--json").json

    assert (by_text["by"], by_kind["by"]) == ("event", "event")
    assert sides(by_text) == sides(by_kind) == [(76, 40, 36, 15), (289, 19, 270, 4)]


def test_days_with_a_name_are_found_too(sample: Terminal) -> None:
    found = sample.ok("--person", "Tilde", "ask", "influenza", "--outcome", "high", "--json").json

    assert found["by"] == "name"
    assert sides(found)[0][:2] == (4, 4)
    assert found["verdict"] == "too_few"
    assert "missing" in found["sides"][0]["found"]["share"]


def test_the_same_weekdays_can_be_asked_for(terminal: Terminal) -> None:
    found = terminal.ok(*SWIM_NIGHTS, *YEAR, "--same-weekdays", "--json").json

    # Tuesdays and Thursdays outside term: 104 of the year less the 76 with a swim.
    assert [side["days"] for side in found["sides"]] == [76, 28]


def test_a_mean_is_compared_with_its_interval(terminal: Terminal) -> None:
    found = terminal.ok("ask", "swim", "--slot", "bedtime", "--outcome", "mean", *YEAR, "--json")

    difference = found.json["difference"]
    assert found.json["sides"][0]["found"] is None
    assert difference["low"] < difference["value"] < difference["high"] < 0
    assert found.json["verdict"] == "lower"
    assert any("does not say why" in line for line in found.json["words"])


def test_each_different_question_is_counted_once(terminal: Terminal) -> None:
    first = terminal.ok(*SWIM_NIGHTS, *YEAR, "--json").json["questions_asked"]
    again = terminal.ok(*SWIM_NIGHTS, *YEAR, "--json").json["questions_asked"]
    other = terminal.ok("compare", "weekdays", *YEAR, "--json").json["questions_asked"]

    assert (first, again, other) == (1, 1, 2)
    assert "3 questions asked so far. The more are asked" in terminal.ok("ask", "swim").out


def test_undo_takes_a_question_back(terminal: Terminal) -> None:
    terminal.ok(*SWIM_NIGHTS, *YEAR)
    terminal.ok("compare", "weekdays", *YEAR)

    said = terminal.ok("undo").out

    assert "weekdays and weekends" in said
    found = terminal.ok(*SWIM_NIGHTS, *YEAR, "--json").json
    assert found["questions_asked"] == 1


def test_an_unknown_word_is_refused_with_what_there_is(terminal: Terminal) -> None:
    done = terminal.type("ask", "judo", *YEAR)

    assert done.code == 1
    assert "is called “judo”" in done.err
    assert "“swim”" in done.err
    assert terminal.ok(*SWIM_NIGHTS, *YEAR, "--json").json["questions_asked"] == 1


def test_the_other_unit_changes_no_count_and_no_verdict(terminal: Terminal) -> None:
    from app.store import schema

    here = terminal.ok("ask", "swim", "--slot", "night", *YEAR, "--json").json
    with open_diary(terminal.diary, INSTALLATION) as diary:
        person = persons(diary)[0]
        with diary.change("settings", {}, now=YEAR_OVER, person=person) as change:
            change.edit(schema.person, person.id, unit="mg/dL")

    there = terminal.ok("ask", "swim", "--slot", "night", *YEAR, "--json").json

    assert the_person(terminal).unit == "mg/dL"
    assert sides(here) == sides(there)
    assert here["verdict"] == there["verdict"]
    assert [side["found"] for side in here["sides"]] == [side["found"] for side in there["sides"]]
