"""From rules to occurrences: RFC 5545 recurrence by python-dateutil, in naive wall time."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta

from app.statistics.schedule.rule import Occurrence, Rule
from app.statistics.schedule.walls import Places, instant_of, instant_where

_MIDNIGHT = time(0)
_DAY = timedelta(days=1)
_PARTS = re.compile(r"[A-Z]+=[A-Z0-9,+:-]+(;[A-Z]+=[A-Z0-9,+:-]+)*")
_UNITS = {"DAILY": 1, "WEEKLY": 7}
_MINUTES = {"SECONDLY": 0, "MINUTELY": 1, "HOURLY": 60}
OFTENEST_MINUTES = 15  # a rule of this diary


def occurrences_of(
    rules: Iterable[Rule], first_day: int, last_day: int, *, places: Places
) -> tuple[Occurrence, ...]:
    """Every occurrence whose wall time lies on these days, by instant, ties by the rule's key.

    Parameters
    ----------
    rules : iterable of Rule
        In any order.
    first_day, last_day : int
        Date ordinals, both included, of the clocks by which each rule goes.
    places : sequence of (int, tzinfo)
        Where the person is, for the rules without a zone of their own.

    Returns
    -------
    tuple of Occurrence
        A test that was moved is there on its new day, and not on the one that it was planned for.

    Raises
    ------
    ValueError
        If a recurrence is none of RFC 5545, or its UNTIL is not in wall time.

    References
    ----------
    RFC 5545 (2009), sections 3.3.10 and 3.8.5.3.
    """
    found = [each for rule in rules for each in _of_rule(rule, first_day, last_day, places=places)]
    found.sort(key=_order)
    return tuple(found)


def checked_recurrence(text: str) -> str:
    """The value of an RRULE as it will be kept; UNTIL with a date alone includes that day.

    Raises
    ------
    ValueError
        If it is no recurrence, or its UNTIL is in UTC while the plan is in wall time.

    Examples
    --------
    >>> checked_recurrence("freq=daily;until=20260401")
    'FREQ=DAILY;UNTIL=20260401T235959'
    """
    said = text.strip().upper().removeprefix("RRULE:")
    if not _PARTS.fullmatch(said):
        raise ValueError(f"not a recurrence: {text}")
    parts = dict(each.split("=", 1) for each in said.split(";"))
    until = parts.get("UNTIL", "")
    if "FREQ" not in parts or {"BYSECOND", "BYMINUTE"} & parts.keys():
        raise ValueError(f"a recurrence needs FREQ, of days or of hours: {text}")
    every = int(parts.get("INTERVAL", "1")) * _MINUTES.get(parts["FREQ"], 1440)
    if every < OFTENEST_MINUTES:
        raise ValueError(f"more often than every {OFTENEST_MINUTES} minutes: {text}")
    if until.endswith("Z"):
        raise ValueError(f"UNTIL must be in wall time, without Z: {until}")
    if until and "COUNT" in parts:
        raise ValueError("UNTIL and COUNT exclude each other")
    if re.fullmatch(r"\d{8}", until):
        parts["UNTIL"] = f"{until}T235959"
    kept = ";".join(f"{name}={value}" for name, value in parts.items())
    next(iter(_dates(kept, datetime(2000, 1, 1))), None)  # noqa: DTZ001 - wall time is naive
    return kept


def _of_rule(rule: Rule, first_day: int, last_day: int, *, places: Places) -> list[Occurrence]:
    zone, moved = rule.zone, rule.moved
    walls = _walls(rule, first_day, last_day)
    found = []
    odd = False
    for planned, wall in _moved(rule, walls, first_day, last_day) if moved else _unmoved(walls):
        instant, hour = instant_where(wall, places) if zone is None else instant_of(wall, zone)
        found.append(Occurrence(rule, planned, wall, instant, hour))
        odd = odd or hour == "skipped"
    if odd:  # of a rule of hours one in the hour that is skipped meets the next one: once is enough
        there = {each.instant for each in found if each.hour != "skipped"}
        found = [each for each in found if each.hour != "skipped" or each.instant not in there]
    return found


def _unmoved(walls: Iterable[datetime]) -> Iterator[tuple[datetime, datetime]]:
    """Each wall time as planned and as it holds, where nothing was moved."""
    return ((each, each) for each in walls)


def _moved(
    rule: Rule, walls: Iterable[datetime], first_day: int, last_day: int
) -> Iterator[tuple[datetime, datetime]]:
    moved = rule.moved
    ends = min(moved).toordinal(), max(moved).toordinal()
    planned = {*walls, *(each for each in _walls(rule, *ends) if each in moved)}
    for each in sorted(planned):
        wall = moved.get(each, each)
        if first_day <= wall.toordinal() <= last_day:
            yield each, wall


def _walls(rule: Rule, first_day: int, last_day: int) -> Iterator[datetime]:
    """The wall times of a rule on these days, as planned."""
    minutes, speaks = rule.minutes, rule.speaks_on
    # A usual time and an offset can lie on the day before or after.
    beside = 1 if minutes else 0
    first = max(first_day - beside, rule.first_day, rule.start.toordinal())
    last = last_day + beside
    if rule.last_day is not None:
        last = min(last, rule.last_day)
    if first > last:
        return
    for wall in _recurring(rule, first, last):
        if speaks is not None and not speaks(wall.toordinal()):
            continue
        if minutes:
            at = minutes[max(bisect_right(minutes, (wall.toordinal(), 1 << 30)) - 1, 0)][1]
            moment = datetime.combine(wall.date(), _MIDNIGHT) + timedelta(minutes=at)
            if first_day <= moment.toordinal() <= last_day:
                yield moment
        else:
            yield wall


def _recurring(rule: Rule, first: int, last: int) -> Iterator[datetime]:
    """The dates of a rule with the time of day of its start."""
    start = rule.start
    if rule.recurs is None:
        days = rule.dates or (start.toordinal(),)
        for day in sorted({each for each in days if first <= each <= last}):
            yield datetime.combine(date.fromordinal(day), start.time())
        return
    begin = datetime.combine(date.fromordinal(first), _MIDNIGHT)
    end = datetime.combine(date.fromordinal(last), time.max)
    for wall in _dates(rule.recurs, _forwarded(rule.recurs, start, first)):
        if wall > end:
            return
        if wall >= begin:
            yield wall


def _dates(recurs: str, start: datetime) -> Iterable[datetime]:
    from dateutil.rrule import rrulestr  # imported late: the window opens without it

    found: Iterable[datetime] = rrulestr(recurs, dtstart=start)
    return found


def _forwarded(recurs: str, start: datetime, first: int) -> datetime:
    """A later start with the same later occurrences, so that an old plan is quick to look into.

    Whole steps of a rule of days or weeks change nothing, unless it counts from its start.
    """
    parts = dict(each.split("=", 1) for each in recurs.upper().split(";"))
    unit = _UNITS.get(parts.get("FREQ", ""))
    behind = first - 1 - start.toordinal()
    if unit is None or "COUNT" in parts or behind <= 0:
        return start
    step = unit * int(parts.get("INTERVAL", "1"))
    # A week back: the first week of a rule of weeks is looked into whole.
    steps = max(0, behind // step - 1)
    return start + steps * step * _DAY


def _order(occurrence: Occurrence) -> tuple[int, int]:
    return occurrence.instant, occurrence.rule.key
