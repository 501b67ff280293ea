"""The clock of the computer goes back, leaps ahead or changes its zone between two changes."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from app.store.people import persons
from app.store.readings import readings_of
from tests.commands import Terminal
from tests.households import NOW, new_diary, tilde, written

JUMPS = {
    "an hour back": timedelta(hours=-1),
    "a day back": timedelta(days=-1),
    "thirty days ahead": timedelta(days=30),
    "asleep for eight hours": timedelta(hours=8),
}
ROWS = "date,time,value\n2026-03-01,07:05,5.6\n2026-03-01,12:10,6.1\n"


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def listed(terminal: Terminal, now: datetime) -> list[dict[str, Any]]:
    found = json.loads(
        terminal.ok("list", "--from", "2026-01-01", "--to", "2026-12-31", "--json", now=now).out
    )
    rows = found["readings"] if isinstance(found, dict) else found
    assert isinstance(rows, list)
    return rows


@pytest.mark.parametrize("jump", JUMPS.values(), ids=JUMPS.keys())
def test_readings_typed_around_a_leap_are_each_there_once(
    terminal: Terminal, jump: timedelta
) -> None:
    terminal.ok("add", "5.1")
    terminal.ok("add", "6.2", now=NOW + jump)
    terminal.ok("add", "7.3", now=NOW + timedelta(minutes=1))

    for now in (NOW + jump, NOW, NOW + timedelta(minutes=2)):
        values = [each["value"] for each in listed(terminal, now)]
        assert sorted(map(str, values)) == ["5.1", "6.2", "7.3"]
        terminal.ok("figures", "--no-minimum", now=now)
    terminal.ok("check")


@pytest.mark.parametrize("jump", JUMPS.values(), ids=JUMPS.keys())
def test_undo_takes_back_what_was_done_last_not_what_is_newest_by_the_clock(
    terminal: Terminal, jump: timedelta
) -> None:
    terminal.ok("add", "5.1", now=NOW)
    terminal.ok("add", "6.2", now=NOW + jump)

    terminal.ok("undo", now=NOW - timedelta(days=2))

    assert [str(each["value"]) for each in listed(terminal, NOW)] == ["5.1"]


@pytest.mark.parametrize("jump", JUMPS.values(), ids=JUMPS.keys())
def test_a_file_brought_in_again_after_a_leap_brings_nothing_twice(
    terminal: Terminal, jump: timedelta
) -> None:
    file = terminal.folder / "file.csv"
    file.write_text(ROWS)
    words = ("import", str(file), "--unit", "mmol/L", "--date-order", "ymd", "--json")
    first = terminal.ok(*words).json

    again = terminal.ok(*words, now=NOW + jump).json

    assert (first["new"], again["new"], again["already"]) == (2, 0, 2)


def test_of_two_readings_of_one_minute_the_one_written_later_comes_last(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        first = written(diary, person, "2026-03-12 02:10", "2.9")
        second = written(diary, person, "2026-03-12 02:10", "3.4")
        earlier = written(diary, person, "2026-03-12 02:09", "3.1")

        found = [reading.uid for reading in readings_of(diary, persons(diary)[0], None)]

    assert found == [earlier, first, second]


def test_a_change_of_zone_between_two_changes_keeps_the_order_of_the_instants(
    terminal: Terminal,
) -> None:
    terminal.ok("add", "5.1", "--zone", "Asia/Tokyo", now=NOW)
    terminal.ok("add", "6.2", "--zone", "America/New_York", now=NOW + timedelta(minutes=5))
    terminal.ok("add", "7.3", now=NOW + timedelta(minutes=10))

    later = NOW + timedelta(minutes=20)
    assert [str(each["value"]) for each in listed(terminal, later)] == ["5.1", "6.2", "7.3"]
    terminal.ok("figures", "--no-minimum", "--all-time", now=later)
    terminal.ok("check")


def test_the_zone_of_the_process_changes_nothing(
    terminal: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    import time

    terminal.ok("add", "5.1")
    before = listed(terminal, NOW)
    try:
        for zone in ("Pacific/Kiritimati", "America/Los_Angeles"):
            monkeypatch.setenv("TZ", zone)
            if hasattr(time, "tzset"):
                time.tzset()
            assert listed(terminal, NOW) == before
    finally:
        monkeypatch.delenv("TZ")
        if hasattr(time, "tzset"):
            time.tzset()
