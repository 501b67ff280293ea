"""The verb that writes down what is no reading: help, a test, a change, days, an event, a tag."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from app.cli.note_words import words_of_note
from app.cli.words import one_line, plural
from app.domain.clock import Moment, Period
from app.domain.errors import DiaryError, Refused
from app.domain.ketone_cautions import ketone_caution
from app.domain.ketones import band_of, read_ketones
from app.domain.labs import read_lab
from app.domain.person import today_of
from app.domain.written import EVENT_KINDS, SPAN_KINDS
from app.review.written import written_in
from app.store.people import care_texts
from app.work.note_days import note_change, note_days, tag_day, tag_moment
from app.work.note_down import Noted, moment_typed, note_event, note_help, note_ketones, note_lab
from app.work.note_typed import carbs_typed, end_typed, moment_of_day

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.domain.cautions import CareTexts
    from app.domain.person import Person
    from app.store.diary import Diary

_SPOKEN = {"travel": "journey", "set-aside": "set_aside"}


def _words_of_note(note: argparse.ArgumentParser) -> None:
    words_of_note(note)
    note.set_defaults(verb=lambda asked: _ACTS[asked.options.act](asked))


WORDS = {"note": _words_of_note}


def _help(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        noted = note_help(
            diary,
            person,
            _at(asked, person),
            now=now,
            what=options.what,
            with_reading=options.with_reading,
        )
    return _say(asked, person, noted)


def _ketone(asked: Asked) -> int:
    options = asked.options
    result = read_ketones(" ".join(options.result), sure=options.sure)
    with asked.person() as (diary, person):
        at = _at(asked, person)
        noted = note_ketones(diary, person, result, at, now=asked.around.now, keeper=options.keeper)
        caution = ketone_caution(result, care=_care(diary, person))
    band = band_of(result)
    more = {
        "result": result.shown,
        "band": band.code if band else None,
        "caution": list(caution),
    }
    return _say(asked, person, noted, more, caution)


def _lab(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    result = read_lab(" ".join(options.result), sure=options.sure)
    with asked.person() as (diary, person):
        if options.at:
            at = _at(asked, person)
        else:
            at = moment_of_day(options.on, person, now=now, sure=options.sure)
        noted = note_lab(diary, person, result, at, now=now)
    return _say(asked, person, noted, {"result": result.shown})


def _change(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        day = options.on or today_of(person, now)
        said = " ".join(options.what)
        noted = note_change(diary, person, day, said, now=now, settling_days=options.settling)
    return _say(asked, person, noted)


def _days(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    kind = _kind(options.kind, SPAN_KINDS)
    with asked.person() as (diary, person):
        noted = note_days(
            diary,
            person,
            kind,
            options.first or today_of(person, now),
            options.last,
            now=now,
            text=" ".join(options.text),
            set_aside=options.set_aside,
        )
    return _say(asked, person, noted)


def _event(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    kind = _kind(options.kind, EVENT_KINDS)
    carbs = None if options.carbs is None else carbs_typed(options.carbs, sure=options.sure)
    with asked.person() as (diary, person):
        at = _at(asked, person)
        noted = note_event(
            diary,
            person,
            at,
            kind=kind,
            now=now,
            text=" ".join(options.text),
            until=_until(asked, person, at),
            carb_g=carbs,
            keeper=options.keeper,
        )
    return _say(asked, person, noted)


def _tag(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    if (options.on is None) is (options.at is None):
        raise Refused("Say where the tag belongs: --on a day, or --at the minute of a reading.")
    with asked.person() as (diary, person):
        if options.on is not None:
            noted = tag_day(diary, person, options.label, options.on, now=now)
        else:
            noted = tag_moment(diary, person, options.label, _at(asked, person), now=now)
    return _say(asked, person, noted)


def _list(asked: Asked) -> int:
    options = asked.options
    with asked.person(to_read=True) as (diary, person):
        period = Period(options.first or date.min, options.last or date.max)
        found = written_in(diary, person, period)
    if options.json:
        asked.around.say_json([each.as_json() for each in found])
        return 0
    for each in found:
        tags = "".join(f" #{tag}" for tag in each.tags)
        asked.around.say(f"{each.when:<25} {each.what:<8} {one_line(each.words + tags)}")
    asked.around.say(f"{plural(len(found), 'note')} beside the readings of {person.name}.")
    return 0


_ACTS: dict[str, Callable[[Asked], int]] = {
    "help": _help,
    "ketone": _ketone,
    "lab": _lab,
    "change": _change,
    "days": _days,
    "event": _event,
    "tag": _tag,
    "list": _list,
}


def _at(asked: Asked, person: Person) -> Moment:
    options = asked.options
    return moment_typed(
        options.at, person, now=asked.around.now, zone=options.zone, sure=options.sure
    )


def _until(asked: Asked, person: Person, start: Moment) -> Moment | None:
    options, now = asked.options, asked.around.now
    if options.until is None:
        return None
    return end_typed(options.until, start, person, now=now, zone=options.zone, sure=options.sure)


def _kind(typed: str, kinds: Sequence[str]) -> str:
    said = typed.strip().casefold()
    code = _SPOKEN.get(said, said)
    if code not in kinds:
        raise Refused(
            f'"{typed}" is not one of the kinds. Nothing was saved; say one of: '
            f"{', '.join(kinds)}. Words of your own go behind it."
        )
    return code


def _care(diary: Diary, person: Person) -> CareTexts | None:
    """What the care team said; what was saved stands whatever becomes of it."""
    try:
        return care_texts(diary, person)
    except DiaryError:
        return None


def _say(
    asked: Asked,
    person: Person,
    noted: Noted,
    more: Mapping[str, Any] | None = None,
    lines: Sequence[str] = (),
) -> int:
    if asked.options.json:
        found = {"uid": str(noted.uid), "table": noted.table, "person": person.name}
        asked.around.say_json({**found, "sentence": noted.sentence, **(more or {})})
        return 0
    asked.around.say(f"Saved for {person.name}. {one_line(noted.sentence)}")
    for line in lines:
        asked.around.say(line)
    return 0
