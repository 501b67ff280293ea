"""Typed words and times of what is written down beside readings, for window and commands alike."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta

from app.domain.clock import Moment, moment_now
from app.domain.errors import NeedsAnswer, Question, Refused
from app.domain.numerals import plain_number
from app.domain.person import Person
from app.work.note_down import moment_typed

_MOST_CARBS = 400.0  # grams; beyond it is asked about (a rule of this diary)
_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})")
_NOON = time(12)


def moment_of_day(day: date | None, person: Person, *, now: datetime, sure: bool = False) -> Moment:
    """Noon stands for a day whose time was not said; on the day itself never a time to come.

    Raises
    ------
    NeedsAnswer
        The day has not come yet. Nothing was saved.
    """
    if day is None or day == moment_now(now, person.zone).local.date():
        return moment_now(now, person.zone)
    return moment_typed(f"{day} {_NOON:%H:%M}", person, now=now, sure=sure)


def end_typed(
    text: str,
    start: Moment,
    person: Person,
    *,
    now: datetime,
    zone: str | None = None,
    sure: bool = False,
) -> Moment:
    """The end of an event: a time alone is the next one after its beginning.

    Raises
    ------
    Refused, NeedsAnswer
        As of every typed time. Nothing was saved.
    """
    said = text.strip()
    found = _CLOCK.fullmatch(said)
    if found and int(found[1]) < 24 and int(found[2]) < 60:
        end = start.local.replace(hour=int(found[1]), minute=int(found[2]), second=0)
        end += timedelta(days=end <= start.local)
        said = f"{end:%Y-%m-%d %H:%M}"
    return moment_typed(said, person, now=now, zone=zone, sure=sure)


def carbs_typed(text: str, *, sure: bool = False) -> float:
    """Carbohydrate in grams: "45", "12,5 g".

    Raises
    ------
    Refused
        It is no amount. Nothing was saved.
    NeedsAnswer
        It is a lot for one meal. Nothing was saved.
    """
    plain = plain_number(text.strip().casefold().removesuffix("g"))
    if plain is None:
        raise Refused(f'"{text}" is no amount in grams. Nothing was saved; write it as 45 or 12.5.')
    if float(plain) > _MOST_CARBS and not sure:
        asks = f"{plain} g is a lot for one meal. Is it right? Nothing was saved yet."
        raise NeedsAnswer((Question("carbs", asks, ("--sure",)),))
    return float(plain)
