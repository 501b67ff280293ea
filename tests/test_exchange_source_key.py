"""Keys of rows."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.glucose import Glucose, Unit
from app.domain.marks import Mark
from app.exchange.file_read import ReadingRow, Row
from app.exchange.source_key import Raw, key_again, source_keys, told_as_it_is, told_keys
from app.exchange.table import read_table

PERSON = bytes(range(16))


def rows_of(lines: list[str]) -> list[Row]:
    return read_table(("Date,Time,Result (mg/dL)\n" + "\n".join(lines) + "\n").encode(), None).rows


LINES = st.lists(
    st.sampled_from([f"2024-03-01,07:{m:02},{v}" for m in (0, 1) for v in (99, 100)]), min_size=1
)


@given(LINES)
def test_each_row_has_its_own_key_equal_rows_too(lines: list[str]) -> None:
    keys = source_keys(rows_of(lines), PERSON, "kitchen")

    assert len(set(keys)) == len(keys) == len(lines)
    assert {len(key) for key in keys} == {16}


@given(LINES, LINES)
def test_a_longer_file_keeps_the_keys_of_the_shorter(lines: list[str], more: list[str]) -> None:
    short = source_keys(rows_of(lines), PERSON, "kitchen")

    assert source_keys(rows_of(lines + more), PERSON, "kitchen")[: len(lines)] == short


@given(LINES, st.randoms(use_true_random=False))
def test_the_order_of_the_file_does_not_matter(lines: list[str], random: object) -> None:
    assert set(source_keys(rows_of(lines), PERSON, "k")) == set(
        source_keys(rows_of(sorted(lines)), PERSON, "k")
    )


def test_person_source_and_every_raw_part_count() -> None:
    (row,) = rows_of(["2024-03-01,07:30,100"])
    others = [
        row._replace(raw_wall="2024-03-01 07:31"),
        row._replace(raw_value="0100"),
        row._replace(raw_unit="mmol/L"),
        row._replace(code="58"),
    ]

    keys = [
        *source_keys([row], PERSON, "k"),
        *source_keys([row], bytes(16), "k"),
        *source_keys([row], PERSON, "l"),
        *(key for other in others for key in source_keys([other], PERSON, "k")),
    ]

    assert len(set(keys)) == 7


def test_what_a_person_may_change_later_does_not_count() -> None:
    (row,) = rows_of(["2024-03-01,07:30,100"])

    assert source_keys([row._replace(note="new", line=9)], PERSON, "k") == source_keys(
        [row], PERSON, "k"
    )


def test_the_key_is_the_same_on_every_machine() -> None:
    # Pinned: a changed key would bring in every file a second time.
    (row,) = rows_of(["2024-03-01,07:30,100"])

    assert source_keys([row], PERSON, "kitchen")[0].hex() == "8e31c45a0011704f2b438a01d3f886d0"


PARTS = st.none() | st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"))
RAW = st.tuples(PARTS, PARTS, PARTS, PARTS)


def row_of(wall: str | None, value: str | None, unit: str | None, code: str | None) -> Row:
    glucose = Glucose("5.6", Unit.MMOL_L)
    stamps = (wall, value, unit, code)
    return ReadingRow(2, None, "minute", *stamps, None, None, glucose, Mark.NONE, None, None)


@given(RAW, st.integers(0, 4), st.sampled_from(("file", "kitchen", "a:b", "")))
def test_a_key_is_made_anew_for_a_person_of_another_diary(
    raw: Raw, count: int, source: str
) -> None:
    old, new = b"\1" * 16, b"\2" * 16
    equal = [row_of(*raw)] * (count + 1)
    key, wanted = (source_keys(equal, person, source)[count] for person in (old, new))

    said = told_keys(raw, old, ("file", "kitchen", "a:b", ""), 5)[key]

    assert said == f"{count}:{source}"
    assert key_again(said, raw, old) == key
    assert key_again(said, raw, new) == wanted != key


def test_a_key_that_was_made_of_something_else_stays_as_it_is() -> None:
    key = bytes(range(16))

    said = told_as_it_is(key)

    assert said == f"key {key.hex()}"
    assert key_again(said, (None, "5.6", None, None), b"\2" * 16) == key


@pytest.mark.parametrize(
    "said", ["", "x", "-1:file", "²:file", "key 00", "key xy", "9" * 12 + ":a"]
)
def test_what_tells_of_no_row_gives_no_key(said: str) -> None:
    assert key_again(said, (None, "5.6", None, None), b"\1" * 16) is None
