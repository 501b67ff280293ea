"""What must hold of the figures whatever was written: order, unit, set-aside readings and days."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.review.figures import figures
from app.review.figures_json import figures_as_json
from app.review.rarer import rarer_figures
from app.review.record import kept_in_step, record_of
from app.store.diary import Diary
from app.store.people import persons
from app.work.note_days import note_days
from app.work.take_back import undo_last
from tests.households import NOW, new_diary, tilde, written

SPRING = Period(date(2026, 2, 20), date(2026, 3, 12))


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def worked(diary: Diary, person: Person, *, minimum: bool = False) -> dict[str, Any]:
    record = record_of(diary, person)
    rarer = rarer_figures(record, SPRING, now=NOW, minimum=minimum)
    found = figures_as_json(figures(record, SPRING, now=NOW, minimum=minimum), rarer)
    return dict(json.loads(json.dumps(found, allow_nan=False)))


def test_figures_stand_with_and_without_the_days_set_aside(diary: Diary) -> None:
    person = tilde(diary)
    for day in range(1, 11):
        value = "14.0" if day in (4, 5) else "6.0"
        written(diary, person, f"2026-03-{day:02} 07:00", value, Mark.WAKING)
        written(diary, person, f"2026-03-{day:02} 21:00", "8.0", Mark.BEDTIME)
    note_days(diary, person, "sick", date(2026, 3, 4), date(2026, 3, 5), now=NOW, set_aside=True)
    note_days(diary, person, "travel", date(2026, 3, 8), date(2026, 3, 9), now=NOW)

    found = worked(diary, person)

    rest = found["without_set_aside_days"]
    assert (found["n"], rest["n"], rest["left_out"], rest["days"]) == (20, 16, 4, 8)
    assert found["mean"]["value"] == pytest.approx(7.8)
    assert rest["mean"]["value"] == pytest.approx(7.0)
    assert found["evened"]["value"] == pytest.approx((7.6 + 8.0) / 2)
    assert rest["evened"]["value"] == pytest.approx(7.0)
    assert rest["shares"]["very_high"]["n"] == 0
    assert found["shares"]["very_high"]["n"] == 2
    assert rest["sd"] == pytest.approx(1.032796, abs=1e-6)  # eight at 6 and eight at 8


def test_days_that_are_set_aside_and_go_on_reach_to_the_end(diary: Diary) -> None:
    person = tilde(diary)
    for day in range(1, 6):
        written(diary, person, f"2026-03-{day:02} 07:00", "6.0")
    note_days(diary, person, "steroid", date(2026, 3, 4), None, now=NOW, set_aside=True)

    assert worked(diary, person)["without_set_aside_days"]["n"] == 3


def test_a_window_that_follows_sees_a_day_set_aside_at_once(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-04 07:00", "6.0")
    record = record_of(diary, person)
    note_days(diary, person, "sick", date(2026, 3, 4), date(2026, 3, 4), now=NOW, set_aside=True)

    followed = kept_in_step(diary, record)

    assert figures(record, SPRING, now=NOW).without_set_aside_days.n == 1
    assert figures(followed, SPRING, now=NOW).without_set_aside_days.n == 0


_line = st.tuples(
    st.integers(0, 18),
    st.integers(0, 23),
    st.one_of(
        st.integers(11, 333).map(lambda tenths: f"{tenths / 10:.1f}"),
        st.sampled_from(["LO", ">33.3"]),
    ),
    st.sampled_from(list(Mark)),
)
_lines = st.lists(_line, max_size=14, unique_by=lambda line: line[:2])
bounded = settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def the_only_one(diary: Diary) -> Person:
    found = persons(diary)
    return found[0] if found else tilde(diary, targets="nice-under-18")


def write(diary: Diary, person: Person, lines: list[Any]) -> None:
    for day, hour, value, mark in lines:
        at = SPRING.first + timedelta(days=day)
        written(diary, person, f"{at} {hour:02}:00", value, mark)


def take_back(diary: Diary, person: Person, times: int) -> None:
    for _ in range(times):
        undo_last(diary, person, now=NOW)


@bounded
@given(lines=_lines, shuffled=st.randoms(use_true_random=False))
def test_the_order_in_which_readings_were_written_never_matters(
    diary: Diary, lines: list[Any], shuffled: Any
) -> None:
    person = the_only_one(diary)
    write(diary, person, lines)
    one = worked(diary, person)
    take_back(diary, person, len(lines))
    other_order = list(lines)
    shuffled.shuffle(other_order)

    write(diary, person, other_order)
    other = worked(diary, person)

    take_back(diary, person, len(lines))
    assert one == other


@bounded
@given(lines=_lines, odd=_line)
def test_a_reading_set_aside_changes_no_average_no_spread_and_no_share(
    diary: Diary, lines: list[Any], odd: Any
) -> None:
    person = the_only_one(diary)
    write(diary, person, lines)
    before = worked(diary, person)
    day, hour, value, mark = odd
    at = SPRING.first + timedelta(days=day)
    written(diary, person, f"{at} {hour:02}:30", value, mark, standing=Standing.SET_ASIDE)

    after = worked(diary, person)

    take_back(diary, person, len(lines) + 1)
    assert after.pop("left_out") == {"set_aside": 1}
    assert before.pop("left_out") == {}
    assert after == before


@bounded
@given(lines=_lines)
def test_the_unit_that_is_shown_changes_no_count_no_share_and_no_index(
    diary: Diary, lines: list[Any]
) -> None:
    person = the_only_one(diary)
    write(diary, person, lines)

    one = worked(diary, person)
    other = worked(diary, replace(person, unit=Unit.MG_DL))

    take_back(diary, person, len(lines))
    for name in ("n", "shares", "judged", "trust", "unmarked", "left_out", "doubt"):
        assert one[name] == other[name], name
    for name in ("j_index", "m_value", "grade", "lbgi", "hbgi"):
        assert one["spread"][name] == other["spread"][name], name
    for share in one["shares"].values():
        if not isinstance(share["share"], dict):
            assert share["low"] <= share["share"] <= share["high"]
