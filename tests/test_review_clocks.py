from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.domain.clock_anchors import true_moment
from app.domain.written import SPAN_KINDS
from app.review.clocks import Clocks, clocks_of
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.state_hash import state_hash
from app.work.note_days import note_days
from sample_db import corwin_life, tilde_life
from sample_db.build import INSTALLATION as SAMPLE
from sample_db.build import build
from tests.commands import Terminal
from tests.memories import brought_in, held_in, truth_of

LATER = datetime(2026, 9, 1, 12, tzinfo=UTC)
Found = tuple[str, str, int, str, str, int | None]


def _clocks(diary: Diary) -> Clocks:
    return clocks_of(diary, persons(diary)[0])


def _found(clocks: Clocks) -> list[Found]:
    return [
        (
            each.meter.name,
            each.kind,
            each.n,
            f"{each.records[0].shown:%Y-%m-%d %H:%M}",
            f"{each.records[-1].shown:%Y-%m-%d %H:%M}",
            each.shift_s,
        )
        for each in clocks.proposals
    ]


@pytest.fixture
def tilde(tmp_path: Path) -> Iterator[tuple[Diary, Terminal]]:
    diary, _ = brought_in(tmp_path, tilde_life.household())
    with diary:
        yield diary, Terminal(tmp_path, now=LATER)


@pytest.fixture
def corwin(tmp_path: Path) -> Iterator[tuple[Diary, Terminal]]:
    diary, _ = brought_in(tmp_path, corwin_life.household())
    with diary:
        yield diary, Terminal(tmp_path, now=LATER)


def test_each_fault_of_tildes_meters_is_found_and_nothing_else(
    tilde: tuple[Diary, Terminal],
) -> None:
    assert sorted(_found(_clocks(tilde[0]))) == [
        ("blue", "factory", 35, "2024-01-01 02:37", "2024-01-12 08:20", None),
        ("grey", "summer_time", 7, "2025-10-27 13:13", "2025-11-06 13:11", -3600),
        ("spare", "summer_time", 9, "2026-04-03 17:02", "2026-04-05 11:07", 3600),
    ]


def test_after_repair_each_of_tildes_readings_has_its_true_time(
    tilde: tuple[Diary, Terminal],
) -> None:
    diary, terminal = tilde
    assert held_in(_clocks(diary)) != truth_of(tilde_life.household())

    battery = ("--anchor", "2024-01-01 00:00 = 2025-11-22 09:40")
    for meter, *anchor in (("blue", *battery), ("grey",), ("spare",)):
        (number,) = [
            each["number"]
            for each in terminal.ok("clocks", "list", "--meter", meter, "--json").json["proposals"]
        ]
        terminal.ok("clocks", "repair", str(number), *anchor, "--sure")

    clocks = _clocks(diary)
    assert held_in(clocks) == truth_of(tilde_life.household())
    assert _found(clocks) == []
    assert not clocks.undated


def test_each_fault_of_corwins_meter_is_found_and_nothing_else(
    corwin: tuple[Diary, Terminal],
) -> None:
    diary, terminal = corwin
    _go_to_lisbon(terminal)

    # 18 readings of the journey, and the control test that his meter did not tell apart.
    assert _found(_clocks(diary)) == [
        ("black", "summer_time", 1, "2026-03-08 05:18", "2026-03-08 05:18", 3600),
        ("black", "half_day", 13, "2026-03-09 18:01", "2026-03-15 18:18", -43200),
        ("black", "home_time", 19, "2026-06-27 00:09", "2026-07-04 16:10", 21600),
    ]


def test_after_repair_each_of_corwins_readings_has_its_true_time(
    corwin: tuple[Diary, Terminal],
) -> None:
    diary, terminal = corwin
    _go_to_lisbon(terminal)

    for _ in range(3):
        terminal.ok("clocks", "repair", "1", "--sure")

    clocks = _clocks(diary)
    assert held_in(clocks) == truth_of(corwin_life.household())
    assert _found(clocks) == []


def test_a_journey_whose_zone_is_not_written_is_proposed_with_the_hours_that_fit(
    corwin: tuple[Diary, Terminal],
) -> None:
    diary, terminal = corwin
    assert "journey" in SPAN_KINDS
    first, last = corwin_life.HOME.spans[-1].first, corwin_life.HOME.spans[-1].last
    note_days(diary, persons(diary)[0], "journey", first, last, now=LATER, text="Lisbon")

    journey = _found(_clocks(diary))[-1]

    assert journey[1] == "home_time"
    assert journey[-1] == 6 * 3600
    assert 17 <= journey[2] <= 19
    asked = terminal.type("clocks", "repair", str(len(_found(_clocks(diary)))), "--sure")
    assert asked.code == 1
    assert "in which zone this journey was" in asked.err
    assert _found(_clocks(diary))[-1] == journey


def test_repairs_taken_back_one_after_another_leave_the_diary_as_it_was(
    corwin: tuple[Diary, Terminal],
) -> None:
    diary, terminal = corwin
    before, state = held_in(_clocks(diary)), state_hash(diary)
    terminal.ok("clocks", "repair", "1", "--sure")
    terminal.ok("clocks", "repair", "1", "--sure")
    assert state_hash(diary) != state

    terminal.ok("undo")
    terminal.ok("undo")

    assert state_hash(diary) == state
    assert held_in(_clocks(diary)) == before


def test_the_built_sample_holds_its_faults_repaired_and_proposes_nothing(tmp_path: Path) -> None:
    built = build(tmp_path / "sample.thimblebook")

    with open_diary(built.path, SAMPLE) as diary:
        by_name = {each.name: clocks_of(diary, each) for each in persons(diary)}

    assert [each.proposals for each in by_name.values()] == [(), ()]
    assert [
        (repair.meter.name, len(repair.records), len(repair.anchors))
        for clocks in by_name.values()
        for repair in clocks.repairs
    ] == [("grey", 7, 1), ("blue", 35, 1), ("spare", 9, 1), ("black", 1, 1), ("black", 13, 1)]
    assert {name: len(clocks.settings) for name, clocks in by_name.items()} == {
        "Tilde": len(tilde_life.household().clock_settings),
        "Corwin": len(corwin_life.household().clock_settings),
    }


def test_in_the_built_sample_every_known_moment_gives_the_time_that_is_held(
    tmp_path: Path,
) -> None:
    built = build(tmp_path / "sample.thimblebook")

    with open_diary(built.path, SAMPLE) as diary:
        found = [
            (record.held, true_moment(record.shown, repair.anchors[0]))
            for person in persons(diary)
            for repair in clocks_of(diary, person).repairs
            for record in repair.records
            if record.shown is not None
        ]

    assert len(found) == 65
    assert all(held == true for held, true in found)


def _go_to_lisbon(terminal: Terminal) -> None:
    terminal.ok(
        *("clocks", "journey", "--zone", "Europe/Lisbon"),
        *("--from", "2026-06-27 05:00", "--to", "2026-07-05 05:00"),
    )
