"""The plan as a calendar file: read back by icalendar, and looked at byte by byte."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from dateutil.rrule import rrulestr
from icalendar import Calendar

from app.domain.person import Person
from app.domain.plan_files import read_plan, trade_plan
from app.exchange.icalendar_out import CalendarTest, plan_as_ics
from app.exchange.icalendar_zone import zone_component
from app.review.plan_calendar import calendar_of
from app.review.schedule import ground_of
from app.store.diary import Diary
from app.work.note_days import note_days
from app.work.plan import pause_plan, put_aside, set_plan
from tests.households import NOW, new_diary, tilde

MONDAY, TODAY = date(2026, 3, 2), date(2026, 3, 12)
STAMP = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
UID = UUID("0b9d5b7e-58a3-4a41-9f6e-6a1f0b6b2f11")


def one(**more: object) -> CalendarTest:
    held: dict[str, object] = {
        "uid": UID,
        "sequence": 3,
        "start": datetime.fromisoformat("2026-03-12T07:00"),
        "recurs": "FREQ=DAILY",
        "last": None,
        "left_out": (),
        "added": (),
        "words": "waking",
        "zone": None,
    }
    return CalendarTest(**{**held, **more})  # type: ignore[arg-type]


def text_of(*tests: CalendarTest, **more: object) -> str:
    return plan_as_ics(tests, name="Tests of Tilde", stamp=STAMP, **more)  # type: ignore[arg-type]


def events(text: str) -> list[Any]:  # its types are unions of everything
    return list(Calendar.from_ical(text).walk("VEVENT"))


def walls(event: Any, until: str) -> list[str]:
    """The times at which a calendar would ring, by the rule text that was written."""
    lines = event.to_ical().decode().replace("\r\n ", "").splitlines()
    rule = [
        line for line in lines if line.split(":")[0].split(";")[0] in ("RRULE", "RDATE", "EXDATE")
    ]
    start = event["DTSTART"].dt
    if not rule:
        return [f"{start:%m-%d %H:%M}"]
    found = rrulestr("\n".join(rule), dtstart=start, forceset=True)
    found.rdate(start)  # the first time belongs to the series
    end = datetime.fromisoformat(until)
    return [f"{each:%m-%d %H:%M}" for each in found.between(datetime(1990, 1, 1), end)]  # noqa: DTZ001


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    return tilde(diary)


def exported(diary: Diary, person: Person) -> list[Any]:
    tests = calendar_of(diary, ground_of(diary, person), from_day=TODAY)
    return events(text_of(*tests))


def test_a_daily_test_floats_repeats_and_rings() -> None:
    text = text_of(one())

    (event,) = events(text)
    assert "DTSTART:20260312T070000\r\n" in text
    assert (event["DTSTART"].dt.tzinfo, event["SEQUENCE"], event["CLASS"]) == (None, 3, "PRIVATE")
    (alarm,) = event.walk("VALARM")
    assert (alarm["ACTION"], alarm["DESCRIPTION"]) == ("DISPLAY", "Test: waking")
    assert alarm["TRIGGER"].dt == timedelta(0)
    assert event["DTSTAMP"].dt == STAMP
    for name in ("VERSION:2.0", "PRODID:", "CALSCALE:GREGORIAN"):
        assert f"\r\n{name}" in text


def test_lines_end_as_the_standard_says_and_long_ones_are_folded() -> None:
    words = "before; swimming, with Bram \\ at the pool\nand then " + "ä" * 90

    text = text_of(one(words=words))

    lines = text.encode().split(b"\r\n")
    assert lines[-1] == b""
    assert all(len(line) <= 75 for line in lines)
    assert all(b"\n" not in line for line in lines)
    (event,) = events(text)
    assert str(event["SUMMARY"]) == f"Test: {words}"
    assert "before\\; swimming\\, with Bram \\\\ at the pool\\nand" in text.replace("\r\n ", "")


def test_the_same_neutral_words_can_stand_for_every_test() -> None:
    text = text_of(one(), summary="Check")

    assert "waking" not in text
    assert text.count("Check") == 2


def test_a_zone_brings_its_clock_changes_along() -> None:
    text = text_of(one(last=datetime.fromisoformat("2026-04-01T07:00")), zone="Europe/Lisbon")

    assert "DTSTART;TZID=Europe/Lisbon:20260312T070000" in text
    assert "UNTIL=20260401T060000Z" in text  # of the kind that a zoned start asks for
    assert text.index("BEGIN:VTIMEZONE") < text.index("BEGIN:VEVENT")


@pytest.mark.parametrize(
    "name", ["Europe/Lisbon", "America/Chicago", "Australia/Lord_Howe", "Asia/Tokyo"]
)
def test_the_zone_that_is_written_has_the_offsets_of_the_zone_meant(name: str) -> None:
    zone = ZoneInfo(name)
    part: Any = zone_component(name, zone, 2025, 2027)
    onsets = sorted(
        (each["DTSTART"].dt - each["TZOFFSETFROM"].td, each["TZOFFSETTO"].td)
        for each in part.subcomponents
    )

    at = datetime(2025, 1, 1, 0, 30, tzinfo=UTC)
    while at.year < 2028:
        naive = at.replace(tzinfo=None)
        offset = [after for onset, after in onsets if onset <= naive][-1]
        assert offset == at.astimezone(zone).utcoffset(), at
        at += timedelta(hours=1)


def test_an_uid_stays_when_the_plan_is_written_again_and_the_sequence_rises_with_a_change(
    diary: Diary, person: Person
) -> None:
    set_plan(diary, person, trade_plan("fasting-bedtime").in_force(MONDAY), now=NOW)
    first, again = exported(diary, person), exported(diary, person)
    pause_plan(diary, person, date(2026, 3, 20), date(2026, 3, 21), now=NOW)
    paused = exported(diary, person)

    def names(found: list[Any]) -> list[str]:
        return [str(each["UID"]) for each in found]

    assert names(first) == names(again) == names(paused)
    assert len(set(names(first))) == 2
    assert [each["SEQUENCE"] for each in first] == [each["SEQUENCE"] for each in again]
    assert paused[0]["SEQUENCE"] > first[0]["SEQUENCE"]


def test_the_calendar_rings_when_the_plan_expects_a_test(diary: Diary, person: Person) -> None:
    set_plan(diary, person, trade_plan("fasting-bedtime").in_force(TODAY), now=NOW)
    set_plan(
        diary,
        person,
        trade_plan("seven-point").in_force(date(2026, 3, 16)),
        now=NOW,
        beside=True,
    )
    note_days(diary, person, "away", date(2026, 3, 14), date(2026, 3, 15), now=NOW)
    rule = ground_of(diary, person).plans[0].rules[0]
    put_aside(diary, person, rule.id, datetime.fromisoformat("2026-03-13T07:00"), now=NOW)

    found = exported(diary, person)

    waking = [each for each in found if str(each["SUMMARY"]) == "Test: waking"]
    rung = sorted(wall for each in waking for wall in walls(each, "2026-03-21"))
    # Of the profile's three days each waking test is asked once.
    assert rung == [f"03-{day} 07:00" for day in (12, 16, 17, 18, 19, 20)]


def test_a_version_that_ended_tells_the_calendar_so(diary: Diary, person: Person) -> None:
    set_plan(diary, person, trade_plan("fasting-bedtime").in_force(MONDAY), now=NOW)
    set_plan(diary, person, trade_plan("before-meals").in_force(TODAY), now=NOW)

    found = exported(diary, person)

    waking = [each for each in found if str(each["SUMMARY"]) == "Test: waking"]
    assert [walls(each, "2026-03-14")[-1] for each in waking] == ["03-11 07:00", "03-13 07:00"]


def test_a_plan_that_was_replaced_is_struck(diary: Diary, person: Person) -> None:
    set_plan(diary, person, trade_plan("fasting-bedtime").in_force(TODAY), now=NOW)
    before = {str(each["UID"]) for each in exported(diary, person)}
    set_plan(diary, person, trade_plan("before-meals").in_force(TODAY), now=NOW)

    struck = {
        str(each["UID"]) for each in exported(diary, person) if each.get("STATUS") == "CANCELLED"
    }

    assert struck == before


def test_a_pause_without_an_end_ends_the_ringing_for_now(diary: Diary, person: Person) -> None:
    set_plan(diary, person, trade_plan("fasting-bedtime").in_force(MONDAY), now=NOW)
    pause_plan(diary, person, date(2026, 3, 14), None, now=NOW)

    assert [walls(each, "2027-01-01")[-1] for each in exported(diary, person)] == [
        "03-13 07:00",
        "03-13 22:00",
    ]


def test_school_days_counts_and_dates_are_written_out(diary: Diary, person: Person) -> None:
    plan = read_plan(
        """
        [[tests]]
        at = "10:00"
        on = "school days"
        [[tests]]
        at = "11:00"
        count = 3
        [[tests]]
        at = "12:00"
        dates = [2026-03-14, 2026-03-20]
        """,
        TODAY,
    )
    set_plan(diary, person, plan, now=NOW)
    note_days(diary, person, "holiday", date(2026, 3, 16), date(2026, 3, 16), now=NOW)

    school, counted, dated = exported(diary, person)

    assert walls(school, "2026-03-19") == [f"03-{day} 10:00" for day in (12, 13, 17, 18)]
    assert walls(counted, "2027-01-01") == ["03-12 11:00", "03-13 11:00", "03-14 11:00"]
    assert walls(dated, "2027-01-01") == ["03-14 12:00", "03-20 12:00"]


def test_without_a_plan_in_force_there_is_no_calendar(diary: Diary, person: Person) -> None:
    set_plan(
        diary, person, trade_plan("fasting-bedtime").in_force(MONDAY, date(2026, 3, 5)), now=NOW
    )

    assert calendar_of(diary, ground_of(diary, person), from_day=TODAY) == ()
