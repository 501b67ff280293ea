from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from app.domain.ketones import Ketones, read_ketones
from app.domain.labs import read_lab
from app.domain.person import Person
from app.store.diary import Diary
from app.store.happenings import (
    events_between,
    events_on,
    helps_between,
    ketones_between,
    labs_of,
)
from app.store.readings import readings_of
from app.store.spans import changes_between, spans_between
from app.store.tags import tag_labels, tags_of
from app.work.edit import put_in_bin
from app.work.note_days import note_change, note_days, tag_day, tag_moment
from app.work.note_down import moment_typed, note_event, note_help, note_ketones, note_lab
from app.work.take_back import undo_last
from tests.households import NOW, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def ordinal(day: int) -> int:
    return date(2026, 3, day).toordinal()


def event(diary: Diary, person: Person, at: str) -> None:
    note_event(diary, person, moment_typed(at, person, now=NOW), kind="snack", now=NOW)


def test_a_diary_day_that_starts_at_four_holds_the_small_hours_of_the_next_date(
    diary: Diary,
) -> None:
    person = tilde(diary, day_start=4)
    for at in ("2026-03-10 04:00", "2026-03-11 03:59", "2026-03-11 04:00"):
        event(diary, person, at)

    walls = [each.start.wall for each in events_on(diary, person, ordinal(10))]

    assert walls == ["2026-03-10T04:00", "2026-03-11T03:59"]
    assert len(events_between(diary, person, ordinal(10), ordinal(11))) == 3


def test_tests_and_help_come_back_as_written_in_the_order_of_time(diary: Diary) -> None:
    person = tilde(diary)
    for at, typed in (("2026-03-11 08:00", "trace"), ("2026-03-10 08:00", ">8.0")):
        note_ketones(diary, person, read_ketones(typed), moment_typed(at, person, now=NOW), now=NOW)
    when = moment_typed("2026-03-10 02:10", person, now=NOW)
    note_help(diary, person, when, now=NOW, what="juice")
    note_lab(diary, person, read_lab("7.9 %"), when, now=NOW)

    tests = ketones_between(diary, person, ordinal(10), ordinal(11))
    shown = [Ketones(each.method, each.bound, each.value, each.level).shown for each in tests]

    assert shown == [">8.0 mmol/L", "urine: trace"]
    (helped,) = helps_between(diary, person, ordinal(10), ordinal(10))
    assert (helped.at, helped.what, helped.reading_id) == (when, "juice", None)
    (lab,) = labs_of(diary, person)
    assert (lab.kind, lab.value, lab.unit, lab.at) == ("a1c", "7.9", "%", when)
    assert helps_between(diary, person, ordinal(11), ordinal(12)) == ()


def test_days_with_a_name_are_found_from_every_day_that_they_touch(diary: Diary) -> None:
    person = tilde(diary)
    note_days(diary, person, "sick", date(2026, 3, 3), date(2026, 3, 5), now=NOW, set_aside=True)
    note_days(diary, person, "term", date(2026, 3, 5), None, now=NOW)

    found = {
        day: [each.kind for each in spans_between(diary, person, ordinal(day), ordinal(day))]
        for day in (2, 3, 5, 6, 30)
    }

    assert found == {2: [], 3: ["sick"], 5: ["sick", "term"], 6: ["term"], 30: ["term"]}
    sick, term = spans_between(diary, person, ordinal(1), ordinal(30))
    assert (sick.set_aside, term.set_aside) == (True, False)
    assert [sick.covers(ordinal(day)) for day in (2, 3, 5, 6)] == [False, True, True, False]
    assert term.covers(ordinal(30))


def test_changes_are_found_by_the_day_they_begin_on(diary: Diary) -> None:
    person = tilde(diary)
    note_change(diary, person, date(2026, 3, 4), "another plan", now=NOW, settling_days=7)

    (found,) = changes_between(diary, person, ordinal(4), ordinal(4))

    assert (found.day, found.what, found.settling_days) == (ordinal(4), "another plan", 7)
    assert changes_between(diary, person, ordinal(5), ordinal(12)) == ()


def test_tags_say_on_which_days_they_are_until_they_are_taken_back(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 08:00", "6.0", tags=("swim",))
    event(diary, person, "2026-03-11 16:30")
    tag_moment(
        diary, person, "Swim day", moment_typed("2026-03-11 16:30", person, now=NOW), now=NOW
    )
    tag_day(diary, person, "exam", date(2026, 3, 12), now=NOW)

    found = [(each.label, each.table, each.first_day) for each in tags_of(diary, person)]
    undo_last(diary, person, now=NOW)

    assert found == [
        ("swim", "reading", ordinal(10)),
        ("Swim day", "event", ordinal(11)),
        ("exam", "span", ordinal(12)),
    ]
    assert tag_labels(diary, person) == ("Swim day", "swim")
    assert len(tags_of(diary, person)) == 2


def test_nobody_elses_are_found(diary: Diary) -> None:
    person = tilde(diary)
    event(diary, person, "2026-03-11 16:30")
    other = Person(99, person.uid, "Bram", person.unit, person.zone)

    assert events_between(diary, other, ordinal(1), ordinal(30)) == ()


def test_help_stays_without_its_reading_when_that_goes_into_the_bin(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 02:10", "3.1")
    (reading,) = readings_of(diary, person)
    when = moment_typed("2026-03-10 02:15", person, now=NOW)
    note_help(diary, person, when, now=NOW, with_reading=True)

    def tied() -> list[int | None]:
        days = (ordinal(10), ordinal(10))
        return [each.reading_id for each in helps_between(diary, person, *days)]

    before = tied()
    put_in_bin(diary, person, [reading.id], now=NOW)
    during = tied()
    undo_last(diary, person, now=NOW)

    assert (before, during, tied()) == ([reading.id], [None], [reading.id])
