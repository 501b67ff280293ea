"""The verb about who is in the diary: person."""

from __future__ import annotations

import argparse
from datetime import date
from typing import TYPE_CHECKING

from app.cli.words import a_day
from app.domain.errors import Refused
from app.domain.glucose import shown
from app.domain.person import today_of
from app.domain.targets import CARE_TEAM_LINE, preset, presets
from app.store.diary_file import create_diary, open_diary
from app.store.installation import installation_id
from app.store.people import persons
from app.work.bin import remove_person
from app.work.people import add_person, chosen_person, set_targets
from app.work.safety import set_low_line

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def _words_of_person(person: argparse.ArgumentParser) -> None:
    kinds = person.add_subparsers(
        title="what", metavar="add|list|targets|low-line|remove", required=True
    )
    add = kinds.add_parser("add", help="add a person; makes the diary where there is none")
    add.add_argument("name")
    add.add_argument("--unit", required=True, help="mg/dL or mmol/L")
    add.add_argument("--zone", required=True, help="Region/City")
    add.add_argument("--clock", type=int, choices=(12, 24), default=24, help="hours of the clock")
    add.add_argument("--dates", choices=("dmy", "mdy", "ymd"), default="dmy", help="order of dates")
    add.add_argument("--day-starts", type=int, default=0, metavar="HOUR", help="0 to 6")
    add.add_argument("--targets", metavar="KEY", help="published goals to begin with")
    add.set_defaults(verb=_add_person)
    shown = kinds.add_parser("list", help="who is in this diary")
    shown.add_argument("--json", action="store_true")
    shown.set_defaults(verb=_list_persons)
    targets = kinds.add_parser("targets", help="published goals: list them, or put one in force")
    targets.add_argument("key", nargs="?")
    targets.add_argument("--from", dest="from_day", type=a_day, metavar="DAY")
    targets.set_defaults(verb=_targets)
    line = kinds.add_parser("low-line", help="the person's own low line, apart from the goals")
    line.add_argument("line", help="in the person's unit")
    line.add_argument("--from", dest="from_day", type=a_day, metavar="DAY", help="default today")
    line.add_argument("--why", metavar="TEXT", help="the reason for one under the usual line")
    line.set_defaults(verb=_low_line)
    gone = kinds.add_parser("remove", help="put a person into the bin, with everything of theirs")
    gone.add_argument("name")
    gone.add_argument("--name-again", metavar="NAME", help="the name once more, to be sure")
    gone.set_defaults(verb=_remove_person)


WORDS = {"person": _words_of_person}


def _add_person(asked: Asked) -> int:
    options, around = asked.options, asked.around
    installation = installation_id(around.state)
    if options.targets:
        preset(options.targets)  # refuse an unknown key before a new file is made
    made = not asked.diary_path.exists()
    opened = (
        create_diary(asked.diary_path, installation, now=around.now)
        if made
        else open_diary(asked.diary_path, installation)
    )
    try:
        with opened as diary:
            diary.writer = asked.writer()
            person = add_person(
                diary,
                options.name,
                unit=options.unit,
                zone=options.zone,
                now=around.now,
                clock=options.clock,
                date_order=options.dates,
                day_start=options.day_starts,
                targets=options.targets,
            )
    except Refused:
        if made:  # an empty diary that nobody asked for is not left behind
            asked.diary_path.unlink(missing_ok=True)
        raise
    if made:
        around.say(f"A new diary: {asked.diary_path}")
    around.say(f"Added {person.name}, {person.unit}, {person.zone}.")
    return 0


def _list_persons(asked: Asked) -> int:
    with asked.diary(to_read=True) as diary:
        found = persons(diary)
    if asked.options.json:
        asked.around.say_json(
            [
                {
                    "name": person.name,
                    "uid": str(person.uid),
                    "unit": person.unit,
                    "zone": person.zone,
                    "clock": person.clock,
                    "dates": person.date_order,
                    "day_starts": person.day_start,
                }
                for person in found
            ]
        )
    for person in [] if asked.options.json else found:
        asked.around.say(f"{person.name}  {person.unit}  {person.zone}")
    return 0


def _targets(asked: Asked) -> int:
    if asked.options.key is None:
        for each in presets():
            asked.around.say(f"{each.key}\n    {each.name}\n    {each.source}")
        asked.around.say(CARE_TEAM_LINE)
        return 0
    with asked.diary() as diary:
        person = chosen_person(persons(diary), asked.person_name)
        name = set_targets(
            diary,
            person,
            asked.options.key,
            from_day=asked.options.from_day,
            now=asked.around.now,
        )
    asked.around.say(f'In force for {person.name}: "{name}". {CARE_TEAM_LINE}')
    return 0


def _low_line(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        line = set_low_line(
            diary,
            person,
            options.line,
            person.unit,
            from_day=options.from_day or today_of(person, now),
            why=options.why,
            now=now,
        )
    below = f"{shown(line.low.in_unit(person.unit), person.unit)} {person.unit}"
    since = date.fromordinal(line.from_day)
    asked.around.say(f"From {since} on, a low of {person.name} is below {below}.")
    return 0


def _remove_person(asked: Asked) -> int:
    options = asked.options
    with asked.diary() as diary:
        person = chosen_person(persons(diary), options.name)
        done = remove_person(diary, person, name_again=options.name_again, now=asked.around.now)
    asked.around.say(done.sentence)
    return 0
