from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.clock_anchors import Anchor, moment_of
from app.domain.errors import Refused
from app.domain.person import Person
from app.exchange.table import read_table
from app.review.clocks import clocks_of
from app.review.memories import Memory
from app.store.check import check_diary
from app.store.diary import Diary
from app.store.state_hash import state_hash
from app.work.bring_in import File, bring_in
from app.work.clock_plan import anchor_at, plan_repair
from app.work.repair_clock import apply_repair
from app.work.take_back import redo_last, undo_last
from tests.households import new_diary, tilde
from tests.memories import ZONE, a_wall, memory, record

NOW = datetime(2026, 11, 24, 12, 0, tzinfo=UTC)
HEAD = "Date,Time,Glucose (mmol/L)\n"
BLUE = ("2020-01-01,00:20,6.1", "2020-01-05,22:10,9.9", "2020-01-10,13:05,7.7")


def bring(diary: Diary, person: Person, *lines: str, meter: str | None = "blue") -> None:
    data = (HEAD + "\n".join(lines) + "\n").encode()
    bring_in(
        diary, person, File("c.csv", data, read_table(data, None), meter), now=NOW, recipe=None
    )


def memory_of(diary: Diary, person: Person) -> Memory:
    (found,) = clocks_of(diary, person).memories
    return found


def values(diary: Diary, person: Person) -> list[str]:
    return [each.value.partition(" ")[0] for each in memory_of(diary, person).records]


@settings(max_examples=12, deadline=None)
@given(
    true=st.integers(1_700_000_000, 1_790_000_000),
    first=st.integers(0, 2),
    length=st.integers(0, 2),
    late_s=st.one_of(st.none(), st.integers(0, 400_000)),
)
def test_a_repair_and_its_undo_leave_an_equal_state(
    true: int, first: int, length: int, late_s: int | None
) -> None:
    with TemporaryDirectory() as folder, new_diary(Path(folder)) as diary:
        person = tilde(diary)
        bring(diary, person, *BLUE)
        before = state_hash(diary)
        blue = memory_of(diary, person)
        anchors = [Anchor(a_wall("2020-01-01"), moment_of(true, ZONE))]
        if late_s is not None:
            there = moment_of(true + 10 * 86_400 + late_s, ZONE)
            anchors.append(Anchor(a_wall("2020-01-11"), there))
        plan = plan_repair(
            blue.stamped,
            first,
            min(first + length, 2),
            anchors,
            meter_id=blue.meter.id,
            meter="blue",
            now=NOW,
            doubtful=[each.id for each in blue.stamped],
        )

        done = apply_repair(diary, person, plan, now=NOW)
        repaired = state_hash(diary)
        undo_last(diary, person, now=NOW)

        assert done.count == len(plan.records)
        assert repaired != before
        assert state_hash(diary) == before
        redo_last(diary, person, now=NOW)
        assert state_hash(diary) == repaired


def test_a_repaired_diary_is_sound(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        bring(diary, person, *BLUE)
        blue = memory_of(diary, person)
        anchor = anchor_at(a_wall("2020-01-01"), a_wall("2026-11-14T18:20"), ZONE)
        plan = plan_repair(
            blue.stamped, 0, 2, [anchor], meter_id=blue.meter.id, meter="blue", now=NOW
        )
        apply_repair(diary, person, plan, now=NOW)

        assert not check_diary(diary).wrong


@pytest.mark.parametrize(
    ("true", "what"), [("2026-10-25T01:30", "came twice"), ("2026-03-29T01:30", "never was")]
)
def test_a_known_moment_in_an_odd_hour_is_refused(true: str, what: str) -> None:
    with pytest.raises(Refused, match=what):
        anchor_at(a_wall("2020-01-01"), a_wall(true), ZONE)


def test_records_whose_own_clock_looks_wrong_measure_no_order() -> None:
    records = memory(["2026-05-09T07:00", "2020-01-01T00:20", "2020-01-02T00:20"])
    anchor = anchor_at(a_wall("2020-01-01T00:20"), a_wall("2026-05-01T07:00"), ZONE)

    def plan(*doubtful: int) -> int:
        made = plan_repair(
            records, 1, 2, [anchor], meter_id=1, meter="blue", now=NOW, doubtful=doubtful
        )
        return len(made.moments)

    with pytest.raises(Refused, match="before the one that precedes it"):
        plan()
    assert plan(records[0].id) == 2


def test_a_stamp_that_cannot_be_read_is_not_repaired() -> None:
    blank = replace(record(1, "2020-01-01T00:20"), shown=None)
    anchor = anchor_at(a_wall("2020-01-01"), a_wall("2026-05-01"), ZONE)

    with pytest.raises(Refused, match="can't be read"):
        plan_repair([blank], 0, 0, [anchor], meter_id=1, meter="blue", now=NOW)


def test_copies_that_overlap_keep_one_order_whatever_came_first(tmp_path: Path) -> None:
    old = ("2026-05-01,07:00,5.1", "2026-05-02,07:00,5.2", "2026-05-03,07:00,5.3")
    new = (*old[1:], "2026-05-04,07:00,5.4", "2026-05-05,07:00,5.5")
    told = []
    for number, copies in enumerate(((old, new), (new, old))):
        folder = tmp_path / str(number)
        folder.mkdir()
        with new_diary(folder) as diary:
            person = tilde(diary)
            for lines in copies:
                bring(diary, person, *reversed(lines))  # newest first, as meters list
            told.append(values(diary, person))

    assert told == [["5.1", "5.2", "5.3", "5.4", "5.5"]] * 2


def test_an_older_copy_that_shares_nothing_goes_in_front(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        bring(diary, person, "2026-05-04,07:00,5.4", "2026-05-05,07:00,5.5")
        bring(diary, person, "2026-05-01,07:00,5.1", "2026-05-02,07:00,5.2")

        assert values(diary, person) == ["5.1", "5.2", "5.4", "5.5"]


def test_a_file_of_no_meter_has_no_memory_and_no_proposal(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        bring(diary, person, *BLUE, meter=None)

        clocks = clocks_of(diary, person)

        assert (clocks.memories, clocks.proposals, clocks.undated) == ((), (), ())
