from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from app.domain.clock import Period
from app.domain.reading import Standing
from app.review.record import record_of
from app.review.spells import LowSpells, spells_of
from app.store.diary import Diary
from tests.households import NOW, new_diary, tilde, written

DAY = Period(date(2026, 3, 12), date(2026, 3, 12))


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def found(diary: Diary, readings: dict[str, str], now: datetime = NOW, **how: object) -> LowSpells:
    person = tilde(diary)
    for at, value in readings.items():
        written(diary, person, at, value)
    return spells_of(record_of(diary, person), DAY, now=now)


def test_a_day_with_three_low_spells(diary: Diary) -> None:
    # An invented day: two spells with rechecks, one low with the next value two hours later.
    spells = found(
        diary,
        {
            "2026-03-12 02:10": "3.0",
            "2026-03-12 02:26": "3.4",
            "2026-03-12 02:43": "4.3",
            "2026-03-12 16:40": "2.9",
            "2026-03-12 16:57": "4.6",
            "2026-03-12 19:05": "3.6",
            "2026-03-12 21:10": "7.2",
        },
    )

    assert (spells.n, spells.count, spells.rechecked, spells.not_rechecked) == (7, 3, 2, 1)
    assert (spells.open, spells.very_low) == (0, 1)


def test_a_low_late_in_the_day_is_closed_by_the_day_after(diary: Diary) -> None:
    spells = found(diary, {"2026-03-12 23:50": "3.2", "2026-03-13 00:10": "5.0"},
                   datetime(2026, 3, 14, tzinfo=UTC))  # fmt: skip

    assert (spells.n, spells.count, spells.rechecked) == (1, 1, 1)


def test_a_low_of_the_last_hour_is_open_and_not_blamed(diary: Diary) -> None:
    spells = found(diary, {"2026-03-12 21:00": "3.2"})

    assert (spells.count, spells.open, spells.not_rechecked) == (1, 1, 0)


def test_doubtful_lows_stay_and_set_aside_ones_are_told(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:00", "3.2", hands="not")
    written(diary, person, "2026-03-12 12:00", "2.2", standing=Standing.SET_ASIDE)
    written(diary, person, "2026-03-12 13:00", "2.1", standing=Standing.NOT_MINE)

    spells = spells_of(record_of(diary, person), DAY, now=NOW)

    assert (spells.count, spells.in_doubt, spells.set_aside, spells.very_low) == (1, 1, 1, 0)


def test_a_period_without_readings_has_no_spell(diary: Diary) -> None:
    assert found(diary, {}) == LowSpells(0, 0, 0, 0, 0, 0, 0, 0)
