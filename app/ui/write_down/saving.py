"""What the forms ask to be written, off the GUI thread: plain values in, what was done out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from app.domain.clock import Moment
from app.domain.errors import DiaryError, Refused
from app.domain.ketone_cautions import ketone_caution
from app.domain.ketones import read_ketones
from app.domain.labs import read_lab
from app.domain.numerals import plain_number
from app.domain.person import Person
from app.store.diary import Diary
from app.store.people import care_texts
from app.work.note_days import note_change, note_days, tag_day, tag_moment
from app.work.note_down import moment_typed, note_event, note_help, note_ketones, note_lab
from app.work.note_typed import carbs_typed, end_typed, moment_of_day


@dataclass(frozen=True, slots=True)
class Asked:
    """For whom, when it is now, and which odd values or times are to be kept as typed."""

    diary: Diary
    person: Person
    now: datetime
    value_sure: bool = False
    time_sure: bool = False

    def kept_as_typed(self, *, value: bool) -> Asked:
        """The same, with odd values kept as typed, or odd times."""
        return replace(self, value_sure=True) if value else replace(self, time_sure=True)

    def moment(self, typed: str | None) -> Moment:
        """The moment of a typed time; now where none was typed."""
        return moment_typed(typed, self.person, now=self.now, sure=self.time_sure)


@dataclass(frozen=True, slots=True)
class Done:
    """One sentence on what was written down, and the caution that belongs to it."""

    sentence: str
    caution: tuple[str, ...] = ()


def write_help(asked: Asked, at: str | None, *, what: str, with_reading: bool) -> Done:
    """Write needed help down."""
    noted = note_help(
        asked.diary,
        asked.person,
        asked.moment(at),
        now=asked.now,
        what=what,
        with_reading=with_reading,
    )
    return Done(noted.sentence)


def write_ketones(asked: Asked, at: str | None, *, result: str, keeper: str) -> Done:
    """Write a ketone test down, and say what belongs to a raised one."""
    found = read_ketones(result, sure=asked.value_sure)
    noted = note_ketones(
        asked.diary,
        asked.person,
        found,
        asked.moment(at),
        now=asked.now,
        keeper=keeper.strip() or None,
    )
    try:
        care = care_texts(asked.diary, asked.person)
    except DiaryError:  # the test is saved, whatever becomes of the care team's texts
        care = None
    return Done(noted.sentence, ketone_caution(found, care=care))


def write_lab(asked: Asked, day: date | None, *, result: str) -> Done:
    """Write a laboratory's result down, as printed."""
    found = read_lab(result, sure=asked.value_sure)
    at = moment_of_day(day, asked.person, now=asked.now, sure=asked.time_sure)
    return Done(note_lab(asked.diary, asked.person, found, at, now=asked.now).sentence)


def write_event(
    asked: Asked,
    at: str | None,
    *,
    kind: str,
    text: str,
    until: str | None,
    carbs: str,
    keeper: str,
) -> Done:
    """Write an event down."""
    grams = carbs_typed(carbs, sure=asked.value_sure) if carbs.strip() else None
    start = asked.moment(at)
    end = None
    if until is not None:
        end = end_typed(until, start, asked.person, now=asked.now, sure=asked.time_sure)
    noted = note_event(
        asked.diary,
        asked.person,
        start,
        kind=kind,
        now=asked.now,
        text=text,
        until=end,
        carb_g=grams,
        keeper=keeper.strip() or None,
    )
    return Done(noted.sentence)


def write_days(
    asked: Asked, first: date, last: date | None, *, kind: str, text: str, set_aside: bool
) -> Done:
    """Write days with a name down."""
    noted = note_days(
        asked.diary,
        asked.person,
        kind,
        first,
        last,
        now=asked.now,
        text=text,
        set_aside=set_aside,
    )
    return Done(noted.sentence)


def write_change(asked: Asked, day: date, *, what: str, settling: str) -> Done:
    """Write a change down."""
    plain = plain_number(settling.strip())
    if plain is None or not plain.isdigit():
        raise Refused(f'"{settling}" is no number of days. Nothing was saved; write it as 3.')
    noted = note_change(
        asked.diary, asked.person, day, what, now=asked.now, settling_days=int(plain)
    )
    return Done(noted.sentence)


def write_tag(asked: Asked, day: date, at: str | None, *, label: str) -> Done:
    """Put a tag on a whole day, or on what is written at a minute of it."""
    if at is None:
        return Done(tag_day(asked.diary, asked.person, label, day, now=asked.now).sentence)
    moment = asked.moment(at)
    return Done(tag_moment(asked.diary, asked.person, label, moment, now=asked.now).sentence)
