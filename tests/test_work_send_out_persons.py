"""Several persons leave and come back, each alone as CSV and all together as a whole diary."""

from __future__ import annotations

import csv
import io
import tempfile
from collections.abc import Collection
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.person import Person
from app.domain.reading import NewReading, Reading
from app.domain.steps import Stopped
from app.exchange.csv_export import COLUMNS
from app.exchange.table import read_table
from app.store.check import check_diary
from app.store.diary import Diary
from app.store.people import persons
from app.store.readings import readings_of, write_reading
from app.store.state_hash import state_hash
from app.work.bring_in import File, bring_in
from app.work.csv_rows import Part
from app.work.send_out import csv_holds, export_csv, write_csv
from app.work.whole_diary import (
    bring_whole,
    bring_whole_anew,
    export_lines,
    export_sqlite,
    lines_of,
    read_whole,
)
from tests.households import INSTALLATION, NOW, corwin, new_diary, tilde, written
from tests.test_work_send_out import new_readings

LATER = NOW + timedelta(days=1)
several = st.lists(new_readings(), max_size=3)


def typed(diary: Diary, person: Person, readings: list[NewReading]) -> None:
    for new in readings:
        with diary.change("enter", {}, now=NOW, person=person) as change:
            write_reading(change, person, new, origin="typed")


def as_csv(diary: Diary, person: Person, without: Collection[Part] = ()) -> str:
    text = io.StringIO(newline="")
    write_csv(diary, person, text, without=without)
    return text.getvalue()


def said(diary: Diary, person: Person) -> list[Reading]:
    return [replace(each, id=0) for each in readings_of(diary, person)]


@settings(max_examples=25, deadline=None)
@given(several, several)
def test_two_persons_come_back_as_they_were_by_both_ways(
    ones: list[NewReading], others: list[NewReading]
) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with new_diary(folder) as diary:
            pair = tilde(diary), corwin(diary)
            for person, readings in zip(pair, (ones, others), strict=True):
                typed(diary, person, readings)
            before = [said(diary, person) for person in pair]
            files = [as_csv(diary, person) for person in pair]
            data, state = lines_of(diary, now=NOW), state_hash(diary)

        with new_diary(folder, "by-csv.thimblebook") as other:
            for person, text, readings in zip(
                (tilde(other), corwin(other)), files, before, strict=True
            ):
                if readings:
                    file = File("out.csv", text.encode(), read_table(text.encode(), None))
                    bring_in(other, person, file, now=LATER, recipe=None)
                # The reasons for doubt are worked out anew there, and are the same.
                assert said(other, person) == readings
                assert as_csv(other, person) == text

        with new_diary(folder, "whole.thimblebook") as other:
            bring_whole(other, read_whole(data), name="all.jsonl", now=LATER)
            assert state_hash(other) == state
            assert [said(other, person) for person in persons(other)] == before
            assert check_diary(other).wrong == ()


@settings(max_examples=25, deadline=None)
@given(st.lists(new_readings(), min_size=1, max_size=3), st.sets(st.sampled_from(Part)))
def test_what_stays_behind_is_in_no_cell_and_the_rest_is_untouched(
    readings: list[NewReading], without: set[Part]
) -> None:
    columns = {
        Part.NOTES: {"note"},
        Part.TAGS: {"tags"},
        Part.KEEPERS: {"keeper"},
        Part.DOUBT: {"doubt_reasons"},
        Part.SOURCE: {"raw_time", "raw_value", "raw_unit", "code", "source_row"},
    }
    blank = {name for part in without for name in columns[part]}
    with tempfile.TemporaryDirectory() as name, new_diary(Path(name)) as diary:
        person = tilde(diary)
        typed(diary, person, readings)
        whole = list(csv.DictReader(io.StringIO(as_csv(diary, person), newline="")))
        text = as_csv(diary, person, without)
        part = list(csv.DictReader(io.StringIO(text, newline="")))

    assert [
        {name: "" if name in blank else cell for name, cell in row.items()} for row in whole
    ] == part
    assert set(part[0]) == set(COLUMNS)
    assert len(read_table(text.encode(), None).rows) == len(readings)  # it still comes back in


def test_the_sum_counts_whose_notes_leave(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        written(diary, person, "2026-03-12 07:05", "7.6", note="mine", tags=("swim",))
        written(diary, person, "2026-03-14 07:05", "3.2", hands="not")
        found = csv_holds(diary, person, None)

    assert (found.readings, found.notes, found.tags, found.doubt) == (2, 1, 1, 1)
    assert (str(found.first), str(found.last)) == ("2026-03-12", "2026-03-14")
    assert found.undated == found.not_counted == found.sourced == 0


def test_every_way_out_and_in_tells_how_far_it_is_and_stops_without_a_trace(
    tmp_path: Path,
) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        written(diary, person, "2026-03-12 07:05", "7.6", note="mine")
        data = lines_of(diary, now=NOW)
        out = tmp_path / "out"
        out.mkdir()
        told: list[tuple[int, int]] = []

        def told_of(done: int, of: int) -> None:
            told.append((done, of))

        def stops(done: int, of: int) -> None:
            if done * 2 >= of:
                raise Stopped("stopped")

        for at, write in enumerate(
            (
                lambda path, step: export_csv(diary, person, path, step=step),
                lambda path, step: export_lines(diary, path, now=NOW, step=step),
                lambda path, step: export_sqlite(diary, path, step=step),
                lambda path, step: bring_whole_anew(
                    path, INSTALLATION, read_whole(data), name="a", now=LATER, step=step
                ),
            )
        ):
            told.clear()
            with pytest.raises(Stopped):
                write(out / "x", stops)
            assert list(out.iterdir()) == []
            write(out / f"{at}.thimblebook", told_of)
            assert told[-1][0] == told[-1][1] > 0
            assert [done for done, _ in told] == sorted(done for done, _ in told)
            for each in out.iterdir():
                if each.is_file():
                    each.unlink()
                else:
                    each.rmdir()

        with new_diary(tmp_path, "empty.thimblebook") as empty:
            state = state_hash(empty)
            with pytest.raises(Stopped):
                bring_whole(empty, read_whole(data), name="a", now=LATER, step=stops)
            assert state_hash(empty) == state
