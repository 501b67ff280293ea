from __future__ import annotations

from pathlib import Path

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from app.review.hints import hints_of
from app.statistics.memory_cover import joined_covers, without_counterpart
from tests.commands import Terminal
from tests.households import sample_of


def test_the_four_results_on_the_father_s_sheet_are_not_in_a_memory(tmp_path: Path) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, person):
        found = hints_of(diary, person)

    assert [(each.wall, each.glucose.value) for each in found.not_in_memory] == [
        ("2026-03-21T10:00", "6.0"),
        ("2026-03-21T16:00", "7.0"),
        ("2026-03-22T10:00", "8.0"),
        ("2026-03-22T12:00", "7.0"),
    ]


def test_what_the_memory_had_lost_is_not_told_as_missing(tmp_path: Path) -> None:
    with sample_of(tmp_path, "Corwin") as (diary, person):
        found = hints_of(diary, person)

    assert "2026-05-22T18:01" not in [each.wall for each in found.not_in_memory]


def test_added_later_is_more_than_two_hours(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)  # it is 21:30 there
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    for time in ("19:29", "19:30", "21:00"):
        terminal.ok("add", "6.1", "--at", f"2026-03-12 {time}")

    found = terminal.ok("hints", "--json").json
    said = terminal.ok("hints").out

    assert [each["at"] for each in found["added_later"]] == ["2026-03-12T19:29"]
    assert "no copied memory covers" in said
    assert said.endswith("For you alone: this is on no page for the clinic.\n")


_times = st.lists(st.integers(0, 5000), max_size=30)


@given(_times, _times, st.lists(st.tuples(st.integers(0, 5000), st.integers(0, 2000)), max_size=4))
def test_missing_is_what_a_plain_loop_finds(
    written: list[int], memory: list[int], spans: list[tuple[int, int]]
) -> None:
    covers = joined_covers([(first, first + long, False) for first, long in spans])

    found = without_counterpart(written, memory, covers)

    assert found.tolist() == [
        any(first <= at <= first + long for first, long in spans)
        and not any(abs(at - each) <= 300 for each in memory)
        for at in written
    ]
    assert found.dtype == np.bool_
