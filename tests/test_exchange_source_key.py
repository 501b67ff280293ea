"""Keys of rows."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from app.exchange.file_read import Row
from app.exchange.source_key import source_keys
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
