from __future__ import annotations

from datetime import date
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtWidgets import QApplication

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.person import Person
from app.review.table import TableCounts
from app.ui.readings.model import Column
from app.ui.readings.widths import FOLDS, fitted
from app.ui.readings.words import head_words, quiet_words

PERSON = Person(1, UUID(int=1), "Tilde", Unit.MMOL_L, "Europe/Lisbon")
ONE_MONTH = Period(date(2026, 1, 4), date(2026, 1, 17))
TWO_MONTHS = Period(date(2026, 1, 28), date(2026, 2, 3))
TWO_YEARS = Period(date(2025, 12, 28), date(2026, 1, 3))
ONE_DAY = Period(date(2026, 1, 4), date(2026, 1, 4))


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        (TableCounts(0, 0, 0, 0, 0, 0), "no readings (n 0)"),
        (TableCounts(1, 1, 0, 0, 0, 1), "n 1 reading · 1 without a mark"),
        (TableCounts(3, 1, 0, 0, 0, 0), "n 3 readings on 1 day"),
        (
            TableCounts(69, 14, 11, 1, 2, 8),
            "n 69 readings on 14 days · 11 in doubt · 1 set aside · 2 not mine · 8 without a mark",
        ),
    ],
)
def test_the_head_says_how_many_and_what_is_out_of_the_ordinary(
    qapp: QApplication, counts: TableCounts, words: str
) -> None:
    assert head_words(counts, ONE_DAY, PERSON, 0) == f"4 January 2026 · {words}"


def test_readings_without_a_time_are_not_passed_over(qapp: QApplication) -> None:
    said = head_words(TableCounts(3, 1, 0, 0, 0, 0), ONE_DAY, PERSON, 2)

    assert said.endswith("2 without a time, not listed")


def test_the_quiet_line_says_the_order(qapp: QApplication) -> None:
    assert quiet_words(5, newest_first=True, filtered=False).startswith("the newest first")
    assert quiet_words(5, newest_first=False, filtered=False).startswith("the oldest first")
    assert quiet_words(1, newest_first=None, filtered=True).startswith("1 reading found · ")


_needs = st.fixed_dictionaries(
    {column: st.tuples(st.integers(10, 150), st.integers(0, 300)) for column in Column}
).map(lambda drawn: {column: (least, least + more) for column, (least, more) in drawn.items()})


@given(needed=_needs, room=st.integers(100, 2500))
def test_columns_fill_the_room_and_keep_their_least(
    needed: dict[Column, tuple[int, int]], room: int
) -> None:
    widths = fitted(room, needed)

    kept = set(Column) - set(FOLDS)
    assert kept <= set(widths)
    assert all(widths[column] >= needed[column][0] for column in widths)
    if sum(widths.values()) != room:
        assert sum(widths.values()) > room
        assert widths == {column: needed[column][0] for column in kept}


@given(needed=_needs, room=st.integers(100, 2500))
def test_the_keeper_folds_before_the_note(needed: dict[Column, tuple[int, int]], room: int) -> None:
    widths = fitted(room, needed)

    folded = [column for column in FOLDS if column not in widths]
    assert folded == list(FOLDS[: len(folded)])
