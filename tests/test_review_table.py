from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.clock import Period
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.levels import Level, level_of
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.review.marks_drawn import LEVELS
from app.review.table import (
    NO_LEVEL,
    SortBy,
    TableCounts,
    Wanted,
    Which,
    counts_of,
    readings_table,
    rows_sorted,
    rows_wanted,
)
from app.store.beside import NOTHING, Beside, beside_of
from app.store.columns import ABOVE, ARRAYS, BELOW, EXACT, NO_VALUE, Columns, columns_of
from app.store.diary import Diary
from app.store.readings import readings_of
from app.work.edit import Edit, edit_reading, set_aside
from tests.households import NOW, new_diary, result, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def a_week(diary: Diary) -> Person:
    person = tilde(diary)
    written(diary, person, "2026-03-09 07:05", "7.6", Mark.WAKING, note="Late BREAKFAST")
    written(diary, person, "2026-03-10 12:10", "2.9", Mark.BEFORE_LUNCH, tags=("swim",))
    written(diary, person, "2026-03-10 21:00", "HI", Mark.BEDTIME, hands="not")
    written(diary, person, "2026-03-11 02:30", "LO", standing=Standing.SET_ASIDE)
    written(diary, person, "2026-03-12 07:00", "112", unit=Unit.MG_DL, standing=Standing.NOT_MINE)
    return person


def shown(diary: Diary, person: Person, wanted: Wanted) -> list[str]:
    table = readings_table(columns_of(diary, person), person.unit)
    return [table.shown(int(row)) for row in rows_wanted(table, wanted, beside_of(diary, person))]


@pytest.mark.parametrize(
    ("wanted", "values"),
    [
        (Wanted(), ["7.6", "2.9", "HI", "LO", "6.2"]),
        (Wanted(period=Period(date(2026, 3, 10), date(2026, 3, 11))), ["2.9", "HI", "LO"]),
        (Wanted(mark=Mark.WAKING), ["7.6"]),
        (Wanted(mark=Mark.NONE), ["LO", "6.2"]),
        (Wanted(level=Level.VERY_LOW), ["2.9", "LO"]),
        (Wanted(level=Level.VERY_HIGH), ["HI"]),
        (Wanted(which=Which.DOUBTFUL), ["HI"]),
        (Wanted(which=Which.SET_ASIDE), ["LO"]),
        (Wanted(which=Which.NOT_MINE), ["6.2"]),
        (Wanted(which=Which.APART), ["LO", "6.2"]),
        (Wanted(words="breakfast"), ["7.6"]),
        (Wanted(words=" SWIM "), ["2.9"]),
        (Wanted(words="for a test"), ["LO", "6.2"]),
        (Wanted(words="nowhere"), []),
        (Wanted(words="swim", mark=Mark.WAKING), []),
    ],
)
def test_a_filter_lets_through_what_it_says(
    diary: Diary, wanted: Wanted, values: list[str]
) -> None:
    person = a_week(diary)

    assert shown(diary, person, wanted) == values


def test_letters_are_compared_without_regard_to_case_in_every_script(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-09 07:05", "7.6", note="Große Straße")

    assert shown(diary, person, Wanted(words="STRASSE")) == ["7.6"]


def test_a_keeper_is_a_filter_too(diary: Diary) -> None:
    person = a_week(diary)
    row = readings_of(diary, person)[1].id
    edit_reading(diary, person, row, Edit(keeper="Bram"), now=NOW)
    beside = beside_of(diary, person)
    (keeper,) = beside.keepers

    assert shown(diary, person, Wanted(keeper=keeper)) == ["2.9"]
    assert beside.keepers[keeper] == "Bram"


@pytest.mark.parametrize(
    ("by", "descending", "values"),
    [
        (SortBy.DAY, True, ["6.2", "LO", "HI", "2.9", "7.6"]),
        (SortBy.DAY, False, ["7.6", "2.9", "HI", "LO", "6.2"]),
        (SortBy.TIME, False, ["LO", "6.2", "7.6", "2.9", "HI"]),
        (SortBy.VALUE, False, ["LO", "2.9", "6.2", "7.6", "HI"]),
        (SortBy.VALUE, True, ["HI", "7.6", "6.2", "2.9", "LO"]),
        (SortBy.LEVEL, False, ["LO", "2.9", "6.2", "7.6", "HI"]),
        (SortBy.MARK, False, ["7.6", "2.9", "HI", "6.2", "LO"]),
        (SortBy.STANDING, False, ["6.2", "LO", "HI", "2.9", "7.6"]),
        (SortBy.NOTE, False, ["7.6", "6.2", "LO", "HI", "2.9"]),
        (SortBy.KEEPER, False, ["6.2", "LO", "HI", "2.9", "7.6"]),
        (SortBy.METER, True, ["6.2", "LO", "HI", "2.9", "7.6"]),
    ],
)
def test_rows_stand_in_the_order_that_was_asked_for(
    diary: Diary, by: SortBy, descending: bool, values: list[str]
) -> None:
    person = a_week(diary)
    table, beside = readings_table(columns_of(diary, person), person.unit), beside_of(diary, person)

    rows = rows_sorted(
        table, rows_wanted(table, Wanted(), beside), beside, by=by, descending=descending
    )

    assert [table.shown(int(row)) for row in rows] == values


def test_names_are_sorted_by_letters_and_those_without_stand_apart(diary: Diary) -> None:
    person = a_week(diary)
    for each, name in zip(readings_of(diary, person), ("school", "Bram", "alma"), strict=False):
        edit_reading(diary, person, each.id, Edit(keeper=name), now=NOW)
    table, beside = readings_table(columns_of(diary, person), person.unit), beside_of(diary, person)

    rows = rows_sorted(
        table, rows_wanted(table, Wanted(), beside), beside, by=SortBy.KEEPER, descending=False
    )

    names = [beside.keepers.get(int(table.columns.keeper[row]), "") for row in rows]
    assert names == ["", "", "alma", "Bram", "school"]


def test_the_counts_say_what_the_rows_hold(diary: Diary) -> None:
    person = a_week(diary)
    table = readings_table(columns_of(diary, person), person.unit)

    found = counts_of(table, rows_wanted(table, Wanted(), NOTHING))

    assert found == TableCounts(n=5, days=4, doubtful=1, set_aside=1, not_mine=1, unmarked=0)


def test_an_empty_diary_gives_an_empty_table(diary: Diary) -> None:
    person = tilde(diary)
    table = readings_table(columns_of(diary, person), person.unit)

    for by in SortBy:
        rows = rows_sorted(
            table, rows_wanted(table, Wanted(), NOTHING), NOTHING, by=by, descending=True
        )
        assert rows.size == 0
    assert counts_of(table, rows) == TableCounts(0, 0, 0, 0, 0, 0)


def test_what_is_beside_a_reading_is_only_what_is_out_of_the_ordinary(diary: Diary) -> None:
    person = a_week(diary)
    ids = [each.id for each in readings_of(diary, person)]
    set_aside(diary, person, ids[:1], "the strips lay open", now=NOW)

    found = beside_of(diary, person)

    assert found.note == {ids[0]: "Late BREAKFAST"}
    assert found.tags == {ids[1]: ("swim",)}
    assert found.why == {
        ids[0]: "the strips lay open",
        ids[3]: "for a test",
        ids[4]: "for a test",
    }
    assert found.time_state == {}
    assert found.later == {each.id for each in readings_of(diary, person) if each.added_later}


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["exact", "LO", "HI", "<", ">"]),
            st.sampled_from([Unit.MG_DL, Unit.MMOL_L]),
            st.integers(10, 6000),
        ),
        min_size=1,
    )
)
def test_the_levels_of_all_rows_are_those_of_each_result(
    drawn: list[tuple[str, Unit, int]],
) -> None:
    glucoses = [
        result(kind if kind in ("LO", "HI") else f"{kind.strip('exact')}{n / 10:g}", unit)
        for kind, unit, n in drawn
    ]
    columns = _columns_of(glucoses)

    table = readings_table(columns, Unit.MMOL_L)

    assert [LEVELS[code] for code in table.level] == [level_of(each) for each in glucoses]
    assert [table.shown(row) for row in range(len(glucoses))] == [
        each.shown(Unit.MMOL_L) for each in glucoses
    ]


def _columns_of(glucoses: list[Glucose]) -> Columns:
    n = len(glucoses)
    codes = {Bound.BELOW: BELOW, Bound.EXACT: EXACT, Bound.ABOVE: ABOVE}
    zeros = {name: np.zeros(n, dtype=np.int64) for name in ARRAYS}
    return Columns(
        **{
            **zeros,
            "entered": np.array([each.number or 0.0 for each in glucoses]),
            "mg_dl": np.array([each.mg_dl or 0.0 for each in glucoses]),
            "unit": np.array([each.unit is Unit.MMOL_L for each in glucoses], dtype=np.int8),
            "bound": np.array([codes[each.bound] for each in glucoses], dtype=np.int8),
        },
        undated=0,
        seen=0,
    )


def test_no_value_has_no_level() -> None:
    columns = _columns_of([Glucose("5.6", Unit.MMOL_L)])
    columns.bound[0] = NO_VALUE

    table = readings_table(columns, Unit.MMOL_L)

    assert (int(table.level[0]), table.shown(0)) == (NO_LEVEL, "")


def test_nothing_beside_is_what_an_empty_diary_has(diary: Diary) -> None:
    person = tilde(diary)

    assert beside_of(diary, person) == Beside()


def test_what_older_readings_say_of_themselves_can_be_left_out(diary: Diary) -> None:
    person = tilde(diary)
    for day in ("2026-03-10", "2026-03-12"):
        written(diary, person, f"{day} 07:05", "5.6", standing=Standing.NOT_MINE, note=day)
    older, newer = columns_of(diary, person).id.tolist()
    since = int(columns_of(diary, person).instant[1])

    found = beside_of(diary, person, since=since)

    assert set(found.why) == {newer}
    assert found.note == {older: "2026-03-10", newer: "2026-03-12"}
