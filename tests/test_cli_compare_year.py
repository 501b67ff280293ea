"""Comparing and the year through the commands."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.domain.shipped import shipped
from tests.commands import Terminal

YEAR_OVER = datetime(2026, 9, 1, 12, tzinfo=UTC)


@pytest.fixture
def sample(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path, now=YEAR_OVER)
    shutil.copyfile(shipped("sample_db", "households.thimblebook"), made.diary)
    made.diary.chmod(0o600)
    return made


def test_homes_are_compared_in_neutral_words(sample: Terminal) -> None:
    words = ("--person", "Tilde", "compare", "places", "Odalys's home", "Bram's home")
    found = sample.ok(*words, "--json").json
    said = sample.ok(*words).out

    assert [side["name"] for side in found["sides"]] == ["Odalys's home", "Bram's home"]
    assert found["lows_verdict"] == "cannot_tell"
    assert found["names"][0] == "Odalys's home"
    assert found["questions_asked"] == 1
    assert "1 question asked so far." in said
    for word in ("worse", "better", "winner", "best", "careless", "significant"):
        assert word not in said


def test_meters_carry_the_word_on_what_their_standard_permits(sample: Terminal) -> None:
    said = sample.ok("--person", "Tilde", "compare", "meters").out

    assert "blue: n 1296 on" in said
    assert "ISO 15197:2013" in said
    assert "readings of the period on neither side." in said


def test_weekdays_and_weekends_show_tested_and_untested_nights(sample: Terminal) -> None:
    found = sample.ok("--person", "Tilde", "compare", "weekdays", "--json").json

    assert [(side["days"], side["days_in_all"]) for side in found["sides"]] == [
        (261, 261),
        (104, 104),
    ]
    assert sum(side["nights_tested"] for side in found["sides"]) == 59
    assert "49 of 261 nights tested" in sample.ok("--person", "Tilde", "compare", "weekdays").out


def test_words_that_do_not_go_together_are_refused(sample: Terminal) -> None:
    done = sample.type("--person", "Tilde", "compare", "meters", "--by", "tag")

    assert (done.code, done.err) == (
        1,
        "--by and --same-weekdays go with: compare days WORD\n",
    )
    assert sample.type("--person", "Tilde", "compare", "moons").code == 2
    assert sample.type("--person", "Tilde", "ask", "swim", "--slot", "dusk").code == 2


def test_the_year_can_be_read_as_json_and_as_a_table(sample: Terminal) -> None:
    words = ("--person", "Tilde", "year", "--ending", "2026-08-31")
    found = sample.ok(*words, "--json").json
    said = sample.ok(*words).out

    assert [month["month"] for month in found["months"]][::11] == ["2025-09", "2026-08"]
    assert found["n"] == sum(month["n"] for month in found["months"]) == 1760
    waking = [month["slots"]["waking"]["n"] for month in found["months"]]
    assert sum(waking) == 312
    assert "after_breakfast" not in found["months"][0]["slots"]
    kinds = {each["kind"] for each in found["beside"]}
    assert kinds == {"days", "change", "visit", "lab", "new meter"}
    assert "2026: sick days (influenza) 9 – 12 Feb" in said
    assert "2026: change (long-acting plan changed by the team) 27 Apr" in said
    assert max(len(line) for line in said.splitlines()) <= 120


def test_a_month_without_readings_is_named_as_a_gap(sample: Terminal) -> None:
    said = sample.ok("--person", "Corwin", "year").out

    assert "No readings in Sep 2026; nothing is drawn across." in said
