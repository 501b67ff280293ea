"""Weekdays, meters, keepers, places and named days compared; nights belong to the day before."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from app.domain.clock import Period
from app.domain.errors import Refused
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.question import Kind, Outcome
from app.review.apart import Apart
from app.review.asking import answer, shares_verdict
from app.review.compare import Compared, compare
from app.review.days_named import days_named
from app.review.nights import days_belonged_to, nights_tested
from app.review.periods import Portion
from app.review.record import record_of
from app.statistics.proportion import share_of
from app.store import schema
from app.store.columns import columns_of
from app.store.diary import Diary
from app.work.note_days import note_days, tag_day
from tests.households import NOW, new_diary, tilde, written
from tests.sides import all_written, with_meter

MONDAY = date(2026, 2, 2)
TWO_WEEKS = Period(MONDAY, MONDAY + timedelta(days=13))


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    """Two weeks from a Monday on: waking each day, higher on weekends, by tenths apart."""
    made = tilde(diary)
    rows = []
    for at in range(14):
        day = MONDAY + timedelta(days=at)
        value = (9.0 if at % 7 >= 5 else 7.0) + at / 10
        rows.append((f"{day} 07:00", f"{value:.1f}", Mark.WAKING))
    all_written(diary, made, rows)
    return made


def asked(diary: Diary, person: Person, kind: Kind, *names: str, minimum: bool = True) -> Compared:
    record = record_of(diary, person)
    return compare(diary, record, kind, names, TWO_WEEKS, now=NOW, minimum=minimum)


def test_weekdays_and_weekends_have_all_their_days(diary: Diary, person: Person) -> None:
    found = asked(diary, person, Kind.WEEKDAYS).found

    assert (found.first.name, found.second.name) == ("weekdays", "weekends")
    assert (found.first.n, found.first.days, found.first.days_in_all) == (10, 10, 10)
    assert (found.second.n, found.second.days, found.second.days_in_all) == (4, 4, 4)
    assert isinstance(found.evened, Apart)
    assert found.evened.value == pytest.approx(2.35)
    assert found.evened.verdict == "too_few"  # four days of weekends


def test_the_night_after_friday_is_fridays(diary: Diary, person: Person) -> None:
    written(diary, person, "2026-02-07 02:30", "4.0", Mark.NIGHT)  # a Saturday by the calendar
    written(diary, person, "2026-02-07 05:00", "5.0")  # no longer night

    found = asked(diary, person, Kind.WEEKDAYS).found

    assert (found.first.n, found.first.nights_tested) == (11, 1)
    assert (found.second.n, found.second.nights_tested) == (5, 0)


def test_the_last_night_of_a_period_is_in_it_and_the_one_before_is_not(
    diary: Diary, person: Person
) -> None:
    for at in ("2026-02-02 02:00", "2026-02-16 02:00", "2026-02-16 08:00"):
        written(diary, person, at, "5.0")

    record = record_of(diary, person)

    assert asked(diary, person, Kind.WEEKDAYS).found.second.nights_tested == 1
    days = nights_tested(record, TWO_WEEKS, now=int(NOW.timestamp()))
    assert days.tolist() == [date(2026, 2, 15).toordinal()]


@pytest.mark.parametrize("start", [0, 3, 6])
def test_a_night_belongs_to_the_day_before_whenever_the_diary_day_begins(
    tmp_path: Path, start: int
) -> None:
    with new_diary(tmp_path, f"start-{start}.thimblebook") as diary:
        child = tilde(diary, day_start=start)
        times = ("00:00", "02:59", "04:59", "05:00", "05:59", "06:00", "23:59")
        all_written(diary, child, [(f"2026-02-10 {at}", "7.0", Mark.NONE) for at in times])

        found = days_belonged_to(columns_of(diary, child), start)

    tenth = date(2026, 2, 10).toordinal()
    still_the_ninth = start == 6  # five to six is before that diary's day begins
    assert (found - tenth).tolist() == [
        -1, -1, -1, -still_the_ninth, -still_the_ninth, 0, 0,
    ]  # fmt: skip


def test_meters_are_compared_by_name_and_the_rest_is_counted(diary: Diary, person: Person) -> None:
    with_meter(diary, person, "blue", MONDAY, "2026-02-04")
    with_meter(diary, person, "spare", date(2026, 2, 9), "2026-02-09")

    found = asked(diary, person, Kind.METERS, "spare", "Blue")

    assert (found.found.first.name, found.found.second.name) == ("spare", "blue")
    assert (found.found.first.n, found.found.second.n, found.outside) == (7, 5, 2)
    assert found.found.first.days_in_all is None
    assert found.names == ("spare", "blue")
    assert asked(diary, person, Kind.METERS).question.what == ("spare", "blue")


def test_keepers_and_places_are_compared_by_name(diary: Diary, person: Person) -> None:
    with diary.change("edit", {}, now=NOW, person=person) as change:
        for name, table, column in (
            ("Odalys", schema.keeper, "keeper_id"),
            ("Bram", schema.keeper, "keeper_id"),
            ("home", schema.place, "place_id"),
            ("school", schema.place, "place_id"),
        ):
            made = change.add(table, name=name, person_id=person.id)
            first = name in ("Odalys", "home")
            for row in range(1, 15):
                if (row <= 8) is first and row < 14:
                    fields: dict[str, Any] = {column: made}
                    change.edit(schema.reading, row, **fields)

    keepers, places = asked(diary, person, Kind.KEEPERS), asked(diary, person, Kind.PLACES)

    for found, names in ((keepers, ("Odalys", "Bram")), (places, ("home", "school"))):
        assert found.names == names
        assert (found.found.first.n, found.found.second.n, found.outside) == (8, 5, 1)


def test_what_is_too_little_of_one_side_is_withheld(diary: Diary, person: Person) -> None:
    with_meter(diary, person, "blue", MONDAY, "2026-02-02")
    with_meter(diary, person, "spare", date(2026, 2, 14), "2026-02-14")

    found = asked(diary, person, Kind.METERS).found

    assert (found.first.n, found.second.n) == (12, 2)
    assert found.slots == ()
    assert found.second.lows.missing is not None


def test_tagged_days_stand_against_all_others(diary: Diary, person: Person) -> None:
    for at in range(0, 12, 2):
        tag_day(diary, person, "Judo", MONDAY + timedelta(days=at), now=NOW)

    found = asked(diary, person, Kind.DAYS, " judo ").found

    assert found.first.name == "days with the tag “judo”"
    assert (found.first.days_in_all, found.second.days_in_all) == (6, 8)
    assert (found.first.n, found.second.n) == (6, 8)


def test_days_that_go_on_reach_to_the_end_of_the_period(diary: Diary, person: Person) -> None:
    note_days(diary, person, "exam", date(2026, 1, 1), None, now=NOW, text="finals")

    found = days_named(diary, person, "Finals", TWO_WEEKS)

    assert (found.by, found.days.size) == ("name", 14)
    assert days_named(diary, person, "exam", TWO_WEEKS).days.tolist() == found.days.tolist()


def test_how_a_word_picks_days_out_can_be_said(diary: Diary, person: Person) -> None:
    tag_day(diary, person, "sick", MONDAY, now=NOW)
    note_days(diary, person, "sick", MONDAY, MONDAY + timedelta(days=2), now=NOW)

    assert days_named(diary, person, "sick", TWO_WEEKS).by == "tag"
    assert days_named(diary, person, "sick", TWO_WEEKS, by="name").days.size == 3


@pytest.mark.parametrize(
    ("kind", "names", "says"),
    [
        (Kind.WEEKDAYS, ("x",), "no name is needed"),
        (Kind.DAYS, (), "Name one tag"),
        (Kind.DAYS, ("judo",), "is called “judo”"),
        (Kind.DAYS, (" ",), "is called “”"),
        (Kind.METERS, (), "Two different meters"),
        (Kind.METERS, ("blue",), "Name two meters"),
        (Kind.KEEPERS, ("Odalys", "Bram"), "none of the keepers"),
    ],
)
def test_what_makes_no_two_sides_is_refused(
    diary: Diary, person: Person, kind: Kind, names: tuple[str, ...], says: str
) -> None:
    with pytest.raises(Refused, match=says):
        asked(diary, person, kind, *names)


def test_a_slot_is_tested_where_its_mark_is_written(diary: Diary, person: Person) -> None:
    tag_day(diary, person, "judo", MONDAY, now=NOW)
    written(diary, person, f"{MONDAY} 21:00", "3.4", Mark.BEDTIME)
    written(diary, person, f"{MONDAY} 21:16", "3.1")  # a recheck without a mark
    written(diary, person, f"{MONDAY + timedelta(days=1)} 21:00", "5.0", Mark.BEDTIME)
    record = record_of(diary, person)

    found = answer(
        diary, record, "judo", TWO_WEEKS, outcome=Outcome.LOW, slot=Mark.BEDTIME, now=NOW
    )

    assert (found.asked.days, found.asked.tested, found.asked.n) == (1, 1, 1)
    assert (found.others.days, found.others.tested, found.others.untested) == (13, 1, 12)
    assert found.asked.found is not None
    assert found.asked.found.found.count == 1
    assert found.verdict == "too_few"


def portion(count: int, n: int) -> Portion:
    return Portion(share_of(count, n), None)


@pytest.mark.parametrize(
    ("first", "second", "says"),
    [
        (portion(15, 40), portion(4, 18), "cannot_tell"),
        (portion(35, 40), portion(2, 40), "more_often"),
        (portion(2, 40), portion(35, 40), "less_often"),
        (portion(0, 0), portion(35, 40), "too_few"),
        (None, portion(35, 40), "too_few"),
    ],
)
def test_shares_differ_only_where_their_ranges_do_not_overlap(
    first: Portion | None, second: Portion, says: str
) -> None:
    assert shares_verdict(first, second) == says


def test_the_same_question_has_the_same_text_however_it_is_typed(
    diary: Diary, person: Person
) -> None:
    tag_day(diary, person, "judo", MONDAY, now=NOW)

    one, other = (asked(diary, person, Kind.DAYS, word).question for word in ("judo", " JUDO "))

    assert one.spec == other.spec
    assert np.array_equal(
        days_named(diary, person, "judo", TWO_WEEKS).days,
        days_named(diary, person, "JUDO", TWO_WEEKS).days,
    )
