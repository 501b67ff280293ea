from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.clock import Period
from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person, today_of
from app.domain.reading import Standing
from app.review.figures import Figures, figures, whole_time
from app.review.figures_json import figures_as_json
from app.review.record import record_of
from app.store.diary import Diary
from app.work.people import set_targets
from app.work.take_back import undo_last
from tests.households import NOW, corwin, new_diary, tilde, written

MARCH = Period(date(2026, 3, 1), date(2026, 3, 31))
NOVEMBER = Period(date(2025, 11, 1), date(2025, 11, 30))


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def worked(diary: Diary, person: Person, period: Period = MARCH, **how: Any) -> dict[str, Any]:
    found = figures_as_json(figures(record_of(diary, person), period, now=NOW, **how))
    return dict(json.loads(json.dumps(found, allow_nan=False)))


def test_a_day_with_three_low_spells(diary: Diary) -> None:
    person = tilde(diary)
    for at, value in [
        ("02:10", "3.0"),
        ("02:26", "3.4"),
        ("02:43", "4.3"),
        ("16:40", "3.1"),
        ("16:57", "4.6"),
        ("17:45", "6.0"),
        ("19:05", "3.6"),
        ("21:10", "7.2"),
    ]:
        written(diary, person, f"2026-03-12 {at}", value)

    found = worked(diary, person)

    assert found["n"] == 8
    assert found["mean"]["value"] == pytest.approx(4.4, abs=1e-12)
    assert found["median"] == pytest.approx(3.95, abs=1e-12)
    assert (found["shares"]["very_low"]["n"], found["shares"]["low"]["n"]) == (0, 4)
    assert found["without_rechecks"]["left_out"] == 3
    assert found["without_rechecks"]["shares"]["low"]["n"] == 3


def test_an_average_from_one_time_of_day_is_not_to_be_trusted(diary: Diary) -> None:
    person = tilde(diary)
    for day in range(1, 29):
        written(diary, person, f"2025-11-{day:02} 07:05", "6.8", Mark.WAKING)
    for day in range(3, 7):
        written(diary, person, f"2025-11-{day:02} 21:00", "11.6", Mark.BEDTIME)

    found = worked(diary, person, NOVEMBER)

    assert found["n"] == 32
    assert found["mean"]["value"] == pytest.approx(7.4)
    assert found["evened"]["value"] == pytest.approx(9.2)
    assert (found["evened"]["slots"], found["evened"]["smallest_n"]) == (2, 4)
    assert found["trust"]["verdict"] == "no"
    assert found["trust"]["reasons"][:2] == ["28 of 32 at waking", "5 of 7 slots never tested"]


def test_an_empty_period_has_words_and_no_number(diary: Diary) -> None:
    found = worked(diary, tilde(diary))

    assert found["n"] == 0
    for name in ("mean", "median", "q1", "sd", "cv", "min", "max", "mage", "evened"):
        assert "missing" in found[name], name
    assert all("missing" in share["share"] for share in found["shares"].values())
    assert found["trust"]["verdict"] == "no"


def test_one_reading_gives_counts_and_says_what_is_missing(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6", Mark.WAKING)

    found = worked(diary, person)

    assert found["n"] == 1
    assert found["mean"] == {"missing": "needs 3 readings; there is 1 reading"}
    assert found["sd"] == {"missing": "needs 14 readings on 5 days; there is 1 reading on 1 day"}
    assert found["shares"]["in_range"]["n"] == 1
    assert (found["min"], found["max"]) == (7.6, 7.6)


def test_no_minimum_shows_what_mathematics_allows(diary: Diary) -> None:
    person = tilde(diary)
    for value in ("5.4", "7.8"):
        written(diary, person, "2026-03-12 07:05", value)

    found = worked(diary, person, minimum=False)

    assert found["mean"]["value"] == pytest.approx(6.6)
    assert found["sd"] == pytest.approx(1.697056, abs=1e-6)
    assert found["shares"]["in_range"]["share"] == 1


@pytest.mark.parametrize(
    ("unit", "values"),
    [
        (Unit.MMOL_L, "3.0 3.8 3.9 5.5 10.0 10.1 13.9 14.0 2.9 7.8"),
        (Unit.MG_DL, "54 69 70 100 180 181 250 251 53 140"),
    ],
)
@pytest.mark.parametrize("shown_in", list(Unit))
def test_a_result_on_a_limit_is_judged_in_the_unit_it_was_entered_in(
    diary: Diary, unit: Unit, values: str, shown_in: Unit
) -> None:
    person = replace(tilde(diary), unit=shown_in)
    for minute, value in enumerate(values.split()):
        written(diary, person, f"2026-03-12 07:{minute:02}", value, unit=unit)

    found = worked(diary, person)

    assert [each["n"] for each in found["shares"].values()] == [1, 2, 4, 2, 1]


def test_a_result_over_the_range_makes_the_mean_a_bound(diary: Diary) -> None:
    person = corwin(diary)
    for minute, value in enumerate(["92", "118", "145", "187", "103", ">600"]):
        written(diary, person, f"2026-03-12 07:{minute:02}", value)

    found = worked(diary, person)

    assert found["n"] == 6
    assert found["mean"]["value"] is None
    assert found["mean"]["bound"] == {"at_least": 207.5}
    assert found["median"] == 131.5
    assert found["max"] == {"above": 600.0}
    assert found["shares"]["very_high"]["n"] == 1


def test_lo_without_a_limit_is_very_low_and_leaves_no_mean(diary: Diary) -> None:
    person = corwin(diary)
    for minute, value in enumerate(["92", "118", "LO"]):
        written(diary, person, f"2026-03-12 07:{minute:02}", value)

    found = worked(diary, person)

    assert found["shares"]["very_low"]["n"] == 1
    assert "limit is not known" in found["mean"]["missing"]
    assert found["min"] == {"below": None}
    assert found["median"] == 92


def test_lo_and_hi_together_leave_words_for_a_mean(diary: Diary) -> None:
    person = corwin(diary)
    for minute, value in enumerate(["92", "<20", ">600"]):
        written(diary, person, f"2026-03-12 07:{minute:02}", value)

    assert "both under and over" in worked(diary, person)["mean"]["missing"]


def test_more_than_one_in_a_hundred_off_the_scale_leaves_no_spread(diary: Diary) -> None:
    person = corwin(diary)
    for day in range(1, 12):
        for hour in (7, 12, 18):
            written(diary, person, f"2026-03-{day:02} {hour:02}:00", str(100 + day + hour))
    written(diary, person, "2026-03-12 07:00", "HI")

    assert "1 of 34 readings are off" in worked(diary, person)["sd"]["missing"]


def test_what_is_not_mine_or_set_aside_changes_no_figure(diary: Diary) -> None:
    person = tilde(diary)
    for day in range(1, 8):
        for slot, mark in enumerate(SLOTS[:4]):
            written(diary, person, f"2026-03-{day:02} {7 + slot:02}:00", f"{day}.{slot + 2}", mark)
    before = worked(diary, person)
    written(diary, person, "2026-03-05 09:30", "22.0", standing=Standing.SET_ASIDE)
    written(diary, person, "2026-03-05 09:31", "1.4", standing=Standing.NOT_MINE)

    after = worked(diary, person)

    assert after.pop("left_out") == {"set_aside": 1, "not_mine": 1}
    assert before.pop("left_out") == {}
    assert after == before


def test_a_doubtful_reading_stays_in_and_both_averages_are_shown(diary: Diary) -> None:
    person = tilde(diary)
    for hour, value in enumerate(["5.0", "6.0", "7.0"]):
        written(diary, person, f"2026-03-12 {hour + 7:02}:00", value)
    written(diary, person, "2026-03-12 15:40", "14.0", hands="not")

    found = worked(diary, person)

    assert found["mean"]["value"] == pytest.approx(8.0)
    assert found["without_doubt"]["mean"]["value"] == pytest.approx(6.0)
    assert found["doubt"] == {"hands": 1}
    assert found["without_doubt"]["n"] == 3


def test_a_reading_in_the_future_is_left_out_and_said(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-20 07:05", "7.6")

    assert worked(diary, person)["left_out"] == {"future": 1}


def test_the_night_belongs_to_the_day_before_where_the_person_wants_it(diary: Diary) -> None:
    person = tilde(diary, day_start=4)
    written(diary, person, "2026-03-12 03:59", "5.0")
    written(diary, person, "2026-03-12 04:00", "6.0")

    eleventh = worked(diary, person, Period(date(2026, 3, 11), date(2026, 3, 11)))
    twelfth = worked(diary, person, Period(date(2026, 3, 12), date(2026, 3, 12)))

    assert (eleventh["min"], twelfth["min"]) == (5.0, 6.0)


def test_each_reading_is_judged_by_the_goals_of_its_own_day(diary: Diary) -> None:
    person = tilde(diary, targets="ispad-2022")
    set_targets(diary, person, "nice-under-18", from_day=date(2026, 3, 10), now=NOW)
    for day in (9, 10):
        written(diary, person, f"2026-03-{day:02} 07:05", "7.5", Mark.WAKING)

    by_day = worked(diary, person)
    by_today = worked(diary, person, by_todays_limits=True)

    assert by_day["judged"]["waking"] == {"n": 2, "below": 0, "within": 1, "above": 1}
    assert len(by_day["goals"]) == 2
    assert by_today["judged"]["waking"] == {"n": 2, "below": 0, "within": 0, "above": 2}


def test_less_than_180_means_that_180_is_above(diary: Diary) -> None:
    person = corwin(diary, targets="ada-adults")
    for minute, value in enumerate(["179", "180", "181"]):
        written(diary, person, f"2026-03-12 14:{minute:02}", value, Mark.AFTER_LUNCH)
    for minute, value in enumerate(["79", "80", "130", "131"]):
        written(diary, person, f"2026-03-12 12:{minute:02}", value, Mark.BEFORE_LUNCH)

    found = worked(diary, person)["judged"]

    assert found["after_lunch"] == {"n": 3, "below": 0, "within": 1, "above": 2}
    assert found["before_lunch"] == {"n": 4, "below": 1, "within": 2, "above": 1}


def test_minutes_after_the_meal_choose_between_two_goals(diary: Diary) -> None:
    person = corwin(diary, targets="ada-pregnancy")
    written(diary, person, "2026-03-12 13:00", "130", Mark.AFTER_LUNCH, after_min=60)
    written(diary, person, "2026-03-12 14:00", "130", Mark.AFTER_LUNCH, after_min=120)
    written(diary, person, "2026-03-12 15:00", "130", Mark.AFTER_LUNCH)

    found = worked(diary, person)

    assert found["judged"]["after_lunch"] == {"n": 2, "below": 0, "within": 1, "above": 1}
    assert found["without_goal"] == 1


def test_without_goals_nothing_is_judged(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.5", Mark.WAKING)

    assert worked(diary, person)["judged"] == {}


def test_all_time_runs_from_the_first_reading_to_the_last(diary: Diary) -> None:
    person = tilde(diary)
    today = today_of(person, NOW)
    nothing_yet = whole_time(record_of(diary, person), today)
    written(diary, person, "2025-09-01 07:15", "9.4")
    written(diary, person, "2026-03-12 07:05", "7.5")

    assert nothing_yet == Period(today, today)
    assert whole_time(record_of(diary, person), today) == Period(
        date(2025, 9, 1), date(2026, 3, 12)
    )


def test_a_period_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(Refused, match="ends before it begins"):
        Period(date(2026, 3, 2), date(2026, 3, 1))


_line = st.tuples(
    st.integers(1, 11),
    st.integers(0, 23),
    st.integers(0, 59),
    st.integers(11, 333),
    st.sampled_from(list(Mark)),
)


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(lines=st.lists(_line, max_size=12))
def test_the_unit_that_is_shown_changes_no_count_and_no_verdict(
    diary: Diary, lines: list[tuple[int, int, int, int, Mark]]
) -> None:
    person = _the_only_one(diary)
    for day, hour, minute, tenths, mark in lines:
        written(
            diary, person, f"2026-03-{day:02} {hour:02}:{minute:02}", f"{tenths / 10:.1f}", mark
        )

    one = figures(record_of(diary, person), MARCH, now=NOW)
    shown_in_mg = record_of(diary, replace(person, unit=Unit.MG_DL))
    other = figures(shown_in_mg, MARCH, now=NOW)
    for _ in lines:
        undo_last(diary, person, now=NOW)

    assert _counts(one) == _counts(other)


def _the_only_one(diary: Diary) -> Person:
    from app.store.people import persons

    found = persons(diary)
    return found[0] if found else tilde(diary, targets="nice-under-18")


def _counts(found: Figures) -> list[Any]:
    return [
        found.n,
        found.days_with_readings,
        [share.found.count for share in found.shares],
        found.judgement,
        found.trust,
        found.left_out,
        found.without_rechecks.n,
        [(each.mark, each.n) for each in found.by_mark],
    ]
