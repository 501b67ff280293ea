"""Saying that sick days begin and end."""

from __future__ import annotations

from datetime import datetime

from app.domain.clock import Moment, diary_day
from app.domain.errors import Refused
from app.domain.person import Person
from app.domain.written import Span
from app.store.diary import Diary
from app.store.noting import write_span
from app.store.plans import end_span
from app.store.spans import spans_between
from app.work.note_down import Noted, kept_text, wall_words
from app.work.told import told

SICK_START, SICK_STOP, SICK = "sick_start", "sick_stop", "sick"


def start_sick(
    diary: Diary,
    person: Person,
    at: Moment,
    *,
    now: datetime,
    text: str | None = None,
    set_aside: bool = True,
) -> Noted:
    """Let sick days begin; they go on until they are ended.

    Parameters
    ----------
    set_aside : bool, default True
        Averages can be asked without the readings of these days; no list leaves them out.

    Raises
    ------
    Refused
        Sick days go on already. Nothing was saved.
    """
    day = diary_day(at, person.day_start)
    if _open(diary, person, day):
        raise Refused("Sick days go on already. Nothing was saved; end them first.")
    words = {"at": wall_words(at)}
    with diary.change(SICK_START, words, now=now, person=person) as change:
        uid = write_span(
            change,
            person,
            kind=SICK,
            text=kept_text(text),
            first_day=day,
            last_day=None,
            set_aside=set_aside,
            begins=at.instant,
        )
    return Noted("span", uid, told(SICK_START, words))


def stop_sick(diary: Diary, person: Person, at: Moment, *, now: datetime) -> Noted:
    """Let the sick days that go on end; the day of the end still belongs to them.

    Raises
    ------
    Refused
        None go on, or they would end before they began. Nothing was saved.
    """
    day = diary_day(at, person.day_start)
    held = _open(diary, person, day)
    if not held:
        raise Refused("No sick days go on then. Nothing was saved.")
    span = held[-1]
    if span.begins is not None and at.instant <= span.begins:
        raise Refused("The sick days would end before they began. Nothing was saved.")
    words = {"at": wall_words(at)}
    with diary.change(SICK_STOP, words, now=now, person=person) as change:
        end_span(change, span.id, day, ends=at.instant)
    return Noted("span", span.uid, told(SICK_STOP, words))


def _open(diary: Diary, person: Person, day: int) -> list[Span]:
    """The sick days without an end, or with one to come, that a diary day lies in."""
    return [
        each
        for each in spans_between(diary, person, day, day)
        if each.kind == SICK and (each.last_day is None or each.last_day > day)
    ]
