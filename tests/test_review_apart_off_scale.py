"""Differences with results off the meter's scale: bounds, or words, never a guess."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.review.apart import Apart, apart
from app.review.apart_words import apart_words
from app.review.counted import Counted, counted_of
from app.review.figure import Missing
from app.store.columns import columns_of
from app.store.diary import Diary
from tests.households import NOW, new_diary, tilde
from tests.sides import all_written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    return tilde(diary)


def sides(diary: Diary, person: Person, before: str, after: str) -> tuple[Counted, Counted]:
    rows = []
    for month, values in (("01", before), ("02", after)):
        for day, value in enumerate(values.split(), 1):
            rows.append((f"2026-{month}-{day:02} 07:00", value, Mark.WAKING))
    all_written(diary, person, rows)
    counted, _ = counted_of(columns_of(diary, person), Unit.MMOL_L, now=int(NOW.timestamp()))
    later = counted.columns.day > counted.columns.day[0] + 25
    return counted.where(~later), counted.where(later)


@pytest.mark.parametrize(
    ("before", "after", "least", "most"),
    [
        ("7 8 9 7 8 9", "<1.1 6 6 6 6 6", None, (1.1 + 30) / 6 - 8),
        ("7 8 9 7 8 9", ">33.3 6 6 6 6 6", (33.3 + 30) / 6 - 8, None),
        (">33.3 8 9 7 8 9", "6 6 6 6 6 7", None, 37 / 6 - (33.3 + 41) / 6),
        (">33.3 8 9 7 8 9", "<1.1 6 6 6 6 6", None, (1.1 + 30) / 6 - (33.3 + 41) / 6),
    ],
)
def test_a_result_off_the_scale_leaves_a_bound(
    diary: Diary, person: Person, before: str, after: str, least: float | None, most: float | None
) -> None:
    found = apart(*sides(diary, person, before, after), minimum=True)

    assert isinstance(found, Apart)
    assert (found.value, found.low, found.high) == (None, None, None)
    assert found.verdict == "too_few"
    assert found.at_least == (None if least is None else pytest.approx(least))
    assert found.at_most == (None if most is None else pytest.approx(most))
    words = apart_words(found, Unit.MMOL_L)
    assert words.startswith("at most −" if most is not None else "at least 2.5")


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("7 8 9 7 8 9", "HI 6 6 6 6 6"),
        ("7 8 9 7 8 9", "<1.1 >33.3 6 6 6 6"),
        (">33.3 8 9 7 8 9", ">33.3 6 6 6 6 6"),
    ],
)
def test_where_nothing_is_certain_there_are_words(
    diary: Diary, person: Person, before: str, after: str
) -> None:
    found = apart(*sides(diary, person, before, after), minimum=True)

    assert isinstance(found, Missing)
    assert "scale" in found.why or "range" in found.why
