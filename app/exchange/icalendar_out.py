"""Planned tests as a calendar by RFC 5545, with alarms, so that a phone can ring.

Times float, "07:00 wherever I am", unless a zone is named. A test keeps its UID, so that a calendar
that has it already is updated and holds nothing twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from uuid import UUID, uuid5

from app.domain.clock import zone_named

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//Thimblebook//Planned tests 1//EN"
_NAMESPACE = UUID("b0f8a6a4-6a38-5b57-9a7f-0b6c53f0a8d2")  # of this file's own UIDs
_LENGTH = timedelta(minutes=10)
_YEARS_AHEAD = 6


@dataclass(frozen=True, slots=True)
class CalendarTest:
    """A test that repeats, in naive wall time.

    `start` is its first time, which the rule or the dates repeat; `last` is the last one of a rule
    that ends. `left_out` are times of the rule that are not expected, `added` ones beside it.
    `sequence` never falls. `is_gone` tells a calendar to strike the test.
    """

    uid: UUID
    sequence: int
    start: datetime
    recurs: str | None
    last: datetime | None
    left_out: tuple[datetime, ...]
    added: tuple[datetime, ...]
    words: str
    zone: str | None
    is_gone: bool = False


def plan_as_ics(
    tests: Sequence[CalendarTest],
    *,
    name: str,
    stamp: datetime,
    summary: str | None = None,
    zone: str | None = None,
) -> str:
    """The tests as the text of a calendar file.

    Parameters
    ----------
    name : str
        What a calendar calls it.
    stamp : datetime
        Aware: when the file was made.
    summary : str, optional
        The same neutral words for every test, for a calendar that others see.
    zone : str, optional
        The zone of tests that name none; without it they float.

    Returns
    -------
    str
        Lines end in CRLF and have at most 75 octets.

    References
    ----------
    RFC 5545 (2009), sections 3.1, 3.3.5, 3.6.1, 3.6.6; RFC 7986 (2016), 5.1; RFC 9074 (2021), 4.
    """
    from icalendar import Calendar

    from app.exchange.icalendar_zone import zone_component

    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", name)
    zones = {each.zone or zone for each in tests} - {None}
    first = min((each.start.year for each in tests), default=stamp.year)
    for named in sorted(each for each in zones if each):
        years = (first, max(stamp.year, first) + _YEARS_AHEAD)
        calendar.add_component(zone_component(named, zone_named(named), *years))
    for each in tests:
        calendar.add_component(_event(each, stamp, summary or f"Test: {each.words}", zone))
    text: bytes = calendar.to_ical(sorted=False)
    return text.decode()


def _event(test: CalendarTest, stamp: datetime, summary: str, zone: str | None) -> Event:
    from icalendar import Alarm, Event, vRecur

    named = test.zone or zone
    place = zone_named(named) if named else None

    def when(wall: datetime) -> datetime:
        return wall if place is None else wall.replace(tzinfo=place)

    event = Event()
    event.add("uid", str(uuid5(_NAMESPACE, f"planned-test/{test.uid}")))
    event.add("dtstamp", stamp.astimezone(UTC))
    event.add("sequence", test.sequence)
    event.add("summary", summary)
    event.add("dtstart", when(test.start))
    event.add("duration", _LENGTH)
    if test.recurs is not None:
        rule = vRecur.from_ical(test.recurs)
        if test.last is not None:
            # UNTIL is of the kind of DTSTART: floating with floating, UTC with a zone.
            rule.pop("COUNT", None)
            last = when(test.last)
            rule["UNTIL"] = [last if place is None else last.astimezone(UTC)]
        event.add("rrule", rule)
    if test.left_out:
        event.add("exdate", [when(each) for each in test.left_out])
    if test.added:
        event.add("rdate", [when(each) for each in test.added])
    event.add("transp", "TRANSPARENT")
    event.add("class", "PRIVATE")
    if test.is_gone:
        event.add("status", "CANCELLED")
        return event
    alarm = Alarm()
    alarm.add("uid", str(uuid5(_NAMESPACE, f"alarm/{test.uid}")))
    alarm.add("action", "DISPLAY")
    alarm.add("description", summary)
    alarm.add("trigger", timedelta(0))
    event.add_component(alarm)
    return event
