from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.levels import Level
from app.domain.marks import SLOTS, Mark
from app.domain.reading import Standing
from app.review.bands import Band, Bands, By, bands
from app.review.record import record_of
from app.review.words import share_words
from app.store.diary import Diary
from app.store.people import persons
from app.work.take_back import undo_last
from tests.households import NOW, corwin, new_diary, tilde, written

WINTER = Period(date(2025, 11, 1), date(2026, 3, 31))


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def worked(diary: Diary, by: By, period: Period = WINTER, *, minimum: bool = True) -> Bands:
    (person,) = persons(diary)
    return bands(record_of(diary, person), period, by=by, now=NOW, minimum=minimum)


def band(found: Bands, key: str) -> Band:
    return next(each for each in found.bands if each.key == key)


def counts(of: Band) -> list[int]:
    return [share.found.count for share in of.shares]


def test_every_slot_is_there_and_other_marks_only_where_they_occur(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 07:00", "7.2", Mark.WAKING)
    written(diary, person, "2026-03-10 15:00", "2.9")

    found = worked(diary, By.SLOT)

    assert [each.key for each in found.bands] == [*SLOTS, "none"]
    assert counts(band(found, "waking")) == [0, 0, 1, 0, 0]
    assert counts(band(found, "none")) == [1, 0, 0, 0, 0]
    assert band(found, "night").n == 0


def test_a_weekday_is_that_of_the_diary_day(diary: Diary) -> None:
    person = tilde(diary, day_start=4)
    written(diary, person, "2026-03-10 03:30", "7.2")  # a Tuesday's clock, Monday's night

    found = worked(diary, By.WEEKDAY)

    assert [each.n for each in found.bands] == [1, 0, 0, 0, 0, 0, 0]
    assert found.bands[0].words == "Monday"


def test_a_month_without_readings_stays_as_a_gap(diary: Diary) -> None:
    person = corwin(diary)
    written(diary, person, "2025-12-31 23:00", "260")
    written(diary, person, "2026-02-01 07:00", "100")

    found = worked(diary, By.MONTH)

    # From the first reading to today: November is before the diary, March is not over.
    assert [each.key for each in found.bands] == ["2025-12", "2026-01", "2026-02", "2026-03"]
    assert [each.n for each in found.bands] == [1, 0, 1, 0]
    assert counts(found.bands[0]) == [0, 0, 0, 0, 1]


def test_none_of_many_stays_none_with_its_upper_limit(diary: Diary) -> None:
    person = corwin(diary)
    for at in range(90):
        day = date(2025, 12, 1) + timedelta(days=at)
        written(diary, person, f"{day} 07:00", "300" if at == 0 else "100", Mark.WAKING)

    found = band(worked(diary, By.SLOT), "waking")

    said = {share.level: share_words(share) for share in found.shares}
    assert said[Level.VERY_LOW] == "0 of 90 (0 %; 95 %: up to 4 %)"
    assert said[Level.IN_RANGE] == "89 of 90 (99 %; 95 %: 94 to >99 %)"
    assert found.shares[0].found.high == pytest.approx(0.04093563, abs=1e-7)
    assert (found.n, found.days) == (90, 90)


def test_few_readings_have_counts_and_the_words_for_what_is_missing(diary: Diary) -> None:
    person = corwin(diary)
    for at in range(13):
        written(diary, person, f"2026-03-{1 + at // 3:02} {7 + at % 3:02}:00", "100", Mark.WAKING)

    found = band(worked(diary, By.SLOT), "waking")
    shown = band(worked(diary, By.SLOT, minimum=False), "waking")

    assert found.missing is not None
    assert found.missing.why.startswith("needs 14 readings on 5 days")
    assert share_words(found.shares[2]) == "13 of 13"
    assert shown.missing is None


def test_a_period_before_the_first_reading_has_empty_groups(diary: Diary) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-01 07:00", "100")
    before = Period(date(2025, 1, 1), date(2025, 1, 31))

    for by in By:
        found = worked(diary, by, before)
        assert found.n == 0
        assert all(each.n == 0 and each.missing for each in found.bands)


_line = st.tuples(
    st.integers(0, 40), st.integers(0, 23), st.integers(11, 333), st.sampled_from(list(Mark))
)


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(lines=st.lists(_line, max_size=12))
def test_each_grouping_has_every_reading_once_and_the_unit_changes_no_count(
    diary: Diary, lines: list[tuple[int, int, int, Mark]]
) -> None:
    people = persons(diary)
    person = people[0] if people else tilde(diary)
    for day, hour, tenths, mark in lines:
        at = date(2026, 1, 20) + timedelta(days=day)
        written(diary, person, f"{at} {hour:02}:00", f"{tenths / 10:.1f}", mark)
    written(diary, person, "2026-02-01 12:00", "1.2", standing=Standing.SET_ASIDE)
    record = record_of(diary, person)
    in_mg = replace(record, person=replace(person, unit=Unit.MG_DL))

    for by in By:
        found = bands(record, WINTER, by=by, now=NOW)
        assert found.n == sum(each.n for each in found.bands) == len(lines)
        assert all(sum(counts(each)) == each.n for each in found.bands)
        for share in (share for each in found.bands for share in each.shares):
            shown = share.found
            if shown.share is not None and shown.low is not None and shown.high is not None:
                assert shown.low <= shown.share <= shown.high
        assert bands(in_mg, WINTER, by=by, now=NOW).bands == found.bands
    for _ in range(len(lines) + 1):
        undo_last(diary, person, now=NOW)
