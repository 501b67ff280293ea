"""Verbs about what is due: due, begin; and how a planned test is said on one line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from app.cli.plan_words import words_of_begin, words_of_due
from app.cli.words import one_line
from app.domain.errors import Refused
from app.domain.plans import MEALS, meal_at, meal_named
from app.review.kit_dues import kit_dues_of
from app.review.plan import DueNow, due_now, today_there
from app.review.plan_json import due_as_json
from app.review.plan_words import NOTHING_WRITTEN, hour_words, state_words
from app.review.record import record_of
from app.review.reminders import Reminder, reminders_of
from app.review.reminders_told import follow_up_lines, follow_ups_as_json, open_follow_ups
from app.review.schedule import Ground, Planned, ground_of, place_now
from app.statistics.schedule.walls import instant_where, wall_at, zone_at
from app.store.wishes import usual_times
from app.work.note_down import moment_typed
from app.work.plan import PlanChanged, begin_meal

if TYPE_CHECKING:
    import argparse

    from app.cli.surroundings import Asked
    from app.domain.person import Person

_WALL = re.compile(r"(?:(\d{4}-\d{2}-\d{2})[T ])?(\d{1,2}):(\d{2})")
NOT_AN_ALARM = "Due tests are shown only while somebody looks; this is no alarm and wakes nobody."


def _due_words(parser: argparse.ArgumentParser) -> None:
    words_of_due(parser)
    parser.set_defaults(verb=_due)


def _begin_words(parser: argparse.ArgumentParser) -> None:
    words_of_begin(parser)
    parser.set_defaults(verb=_begin)


WORDS = {"due": _due_words, "begin": _begin_words}


def _due(asked: Asked) -> int:
    options = asked.options
    with asked.person(to_read=True) as (diary, person):
        record, ground = record_of(diary, person), ground_of(diary, person)
        now = _as_of(options.at, ground, asked.around.now)
        found = due_now(record, ground, now=now)
        reminders = reminders_of(
            diary,
            record,
            ground,
            now=now,
            kit=kit_dues_of(diary, person, now=now, record=record),
            as_of=options.at is not None,
        )
        follow = [each for each in reminders.items if each.follow_up is not None]
    if options.json:
        more = {"follow_ups": follow_ups_as_json(follow)}
        asked.around.say_json({"person": person.name, **due_as_json(found), **more})
        return 0
    say_all(asked, _due_lines(person, ground, found, follow))
    return 0


def _due_lines(
    person: Person, ground: Ground, found: DueNow, follow: Sequence[Reminder] = ()
) -> Iterator[str]:
    here = found.at.astimezone(place_now(ground, found.at))
    yield f"{person.name}, {here:%Y-%m-%d %H:%M}"
    yield from follow_up_lines(follow)
    for title, tests in (("Due", found.due), ("To come", found.to_come)):
        if tests:
            yield title
            yield from (planned_line(ground, each, day=here.date()) for each in tests)
    if found.passed:
        yield NOTHING_WRITTEN[:1].upper() + NOTHING_WRITTEN[1:]
        yield from (f"  {each.wall:%H:%M}  {one_line(each.words)}" for each in found.passed)
    if not (found.due or found.to_come or any(open_follow_ups(follow))):
        yield "Nothing is due within a day."
    yield NOT_AN_ALARM


def _begin(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        at = moment_typed(options.at, person, now=now, zone=options.zone, sure=options.sure)
        if options.mark is None:
            meal = meal_at(at.minute, usual_times(diary, person))
        else:
            named = meal_named(options.mark)
            if named is None:
                raise Refused(f'"{options.mark}" is no meal here; say one of: {", ".join(MEALS)}.')
            meal = named
        done = begin_meal(diary, person, at, now=now, meal=meal)
    return say_done(asked, person, done)


def say_done(asked: Asked, person: Person, done: PlanChanged) -> int:
    """Say in one sentence what was done."""
    if asked.options.json:
        uid = str(done.uid) if done.uid else None
        asked.around.say_json({"person": person.name, "uid": uid, "sentence": done.sentence})
    else:
        asked.around.say(done.sentence)
    return 0


def say_all(asked: Asked, lines: Iterator[str]) -> None:
    """Say line after line."""
    for line in lines:
        asked.around.say(line)


def planned_line(ground: Ground, test: Planned, *, day: date | None = None) -> str:
    """A planned test on one line; with its date where that is not `day`."""
    really = wall_at(test.instant, zone_at(test.instant, ground.places))
    note = hour_words(test, really)
    on = "" if day in (None, test.wall.date()) else f"{test.wall:%Y-%m-%d} "
    line = f"  {on}{test.wall:%H:%M}  {one_line(test.words):<22} {state_words(test)}"
    return f"{line}. {note}" if note else line


def _as_of(text: str | None, ground: Ground, now: datetime) -> datetime:
    """The time that is asked about: now, or a wall time by the clocks of the place."""
    if text is None:
        return now
    wall = a_wall(text, today_there(ground, now))
    instant, hour = instant_where(wall, ground.places)
    if hour == "skipped":
        raise Refused(f"{wall:%Y-%m-%d %H:%M} does not exist: the clocks skip that hour.")
    return datetime.fromtimestamp(instant, UTC)


def a_wall(text: str, today: date) -> datetime:
    """Read a naive wall time; a time alone is of today."""
    found = _WALL.fullmatch(text.strip())
    try:
        if not found:
            raise ValueError(text)
        day = date.fromisoformat(found[1]) if found[1] else today
        return datetime.combine(day, datetime.min.time()).replace(
            hour=int(found[2]), minute=int(found[3])
        )
    except ValueError:
        raise Refused(
            f'"{text}" is no time; write it as 2026-03-12 07:10, or 07:10 for today.'
        ) from None
