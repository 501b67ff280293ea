"""Verbs about follow-ups and the care team's texts: follow-ups, care."""

from __future__ import annotations

import argparse
import re
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from app.cli.words import a_day, one_line
from app.domain.care import CARE_KINDS
from app.domain.errors import Refused
from app.domain.follow_ups import (
    CHOICES,
    CLOSED,
    ELSEWHERE,
    KETONES_HIGH,
    ReminderWishes,
    follow_rule,
    follow_texts,
    rule_name,
)
from app.domain.glucose import LimitPair, Unit, converted
from app.domain.numerals import half_up, plain_number
from app.review.kit_due import kit_dues_of
from app.review.record import record_of
from app.review.reminders import Reminder, reminder_wishes, reminders_of
from app.review.schedule import ground_of
from app.store.follow_ups import follow_rules_of
from app.store.people import care_texts
from app.work.care import set_care_text
from app.work.follow_ups import close_due, open_again, set_follow_rule, snooze
from app.work.reminding import set_reminders

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.domain.person import Person
    from app.store.diary import Diary

_HOURS = re.compile(r"(\d{1,2}):(\d{2})")
_SNOOZE_MINUTES = 10


def _follow_words(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(
        title="what", metavar="list|on|off|snooze|close|open|remind", required=True
    )
    _act(acts.add_parser("list", help="which there are, with their sources"), _list)
    for name, how in (("on", "switch one on, or change it"), ("off", "switch one off")):
        switch = acts.add_parser(name, help=how)
        switch.add_argument("kind", metavar="KIND", help=", ".join(map(_dashed, CHOICES)))
        if name == "on":
            switch.add_argument("--minutes", type=int, metavar="N", help="after, or how often")
            switch.add_argument("--above", metavar="LIMIT", help="of ketones-high, in your unit")
            switch.add_argument("--times", type=int, metavar="N", help="of ketones-high: in a row")
        _act(switch, _switch).set_defaults(on=name == "on")
    later = acts.add_parser("snooze", help="remind again later; the key is in due --json")
    later.add_argument("key")
    later.add_argument("--minutes", type=int, default=_SNOOZE_MINUTES, metavar="N")
    _act(later, _snooze)
    close = acts.add_parser("close", help="put one away")
    close.add_argument("key")
    close.add_argument("--elsewhere", action="store_true", help="done, and not written here")
    _act(close, _close)
    again = acts.add_parser("open", help="let one that was put away be due again")
    again.add_argument("key")
    _act(again, _open)
    remind = acts.add_parser("remind", help="quiet hours, text without values, sound")
    quiet = remind.add_mutually_exclusive_group()
    quiet.add_argument("--quiet", nargs=2, metavar=("FROM", "TO"), help="22:00 06:30")
    quiet.add_argument("--no-quiet", action="store_true")
    remind.add_argument("--values", action=argparse.BooleanOptionalAction)
    remind.add_argument("--beep", action=argparse.BooleanOptionalAction)
    remind.add_argument("--tray", action=argparse.BooleanOptionalAction)
    _act(remind, _remind)


def _care_words(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(title="what", metavar="show|set", required=True)
    _act(acts.add_parser("show", help="what is written down"), _show_care)
    put = acts.add_parser("set", help="write a text, in place of the one before; '' takes it out")
    put.add_argument("kind", metavar="KIND", help=", ".join(_dashed(kind) for kind in CARE_KINDS))
    put.add_argument("text", nargs="+")
    put.add_argument("--from", dest="first", type=a_day, metavar="DAY", help="else always")
    _act(put, _set_care)


WORDS = {"follow-ups": _follow_words, "care": _care_words}


def _act(parser: argparse.ArgumentParser, verb: Any) -> argparse.ArgumentParser:
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(verb=verb)
    return parser


def _list(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        held, wishes = follow_rules_of(diary, person), reminder_wishes(diary, person)
    found = []
    for kind in CHOICES:
        rule, texts = follow_rule(held, kind), follow_texts()[kind]
        minutes = rule.minutes or texts.get("minutes")
        above = rule.high_above.in_unit(person.unit) if kind == KETONES_HIGH else None
        found.append(
            {
                "kind": _dashed(kind),
                "name": rule_name(kind),
                "on": rule.on,
                "minutes": minutes,
                **({"above": above, "times": rule.times} if above is not None else {}),
                "source": texts["source"],
            }
        )
    if asked.options.json:
        asked.around.say_json(
            {"person": person.name, "unit": person.unit, "rules": found, **_wishes(wishes)}
        )
        return 0
    for each in found:
        minutes = f", {each['minutes']} min" if each["minutes"] else ""
        asked.around.say(f"{each['kind']:<14} {'on' if each['on'] else 'off'}{minutes}")
        asked.around.say(f"    {each['name']}. {each['source']}")
    asked.around.say("The caution beside a low can't be switched off; it is shown once.")
    quiet = _wishes(wishes)["quiet"]
    asked.around.say(f"Quiet hours: {' to '.join(quiet) if quiet else 'none'}.")
    return 0


def _switch(asked: Asked) -> int:
    options = asked.options
    kind = options.kind.strip().casefold().replace("-", "_")
    with asked.person() as (diary, person):
        limits = None
        if options.on and (options.above is not None or options.times is not None):
            if kind != KETONES_HIGH:
                raise Refused("Only ketones-high has a limit. Nothing was changed.")
            limits = _limits(diary, person, options.above, options.times)
        rule = set_follow_rule(
            diary,
            person,
            kind,
            now=asked.around.now,
            on=options.on,
            minutes=options.minutes if options.on else None,
            limits=limits,
        )
    state = "on" if rule.on else "off"
    return _said(asked, person, f"{rule_name(kind)} is {state} for {person.name}.")


def _limits(diary: Diary, person: Person, above: str | None, times: int | None) -> dict[str, Any]:
    held = dict(follow_rule(follow_rules_of(diary, person), KETONES_HIGH).limits)
    if times is not None:
        held["times"] = times
    if above is not None:
        pair = _pair(above, person.unit)
        held["above"] = {"mg": pair.mg_dl, "mmol": pair.mmol_l}
    return held


def _pair(text: str, unit: Unit) -> LimitPair:
    plain = plain_number(text)
    if plain is None or not 0 < float(plain) < converted(3000, Unit.MG_DL, unit):
        raise Refused(f'"{text}" is no limit in {unit}. Nothing was changed.')
    number = float(plain)
    other = float(half_up(converted(number, unit, unit.other), unit.other.places))
    return LimitPair(number, other) if unit is Unit.MG_DL else LimitPair(other, number)


def _snooze(asked: Asked) -> int:
    now, options = asked.around.now, asked.options
    if options.minutes < 1:
        raise Refused("Minutes are 1 or more. Nothing was changed.")
    with asked.person() as (diary, person):
        found = _reminder(asked, diary, person)
        until = now + timedelta(minutes=options.minutes)
        said = snooze(diary, person, found.due.key, found.name, until=until, now=now)
    return _said(asked, person, said)


def _close(asked: Asked) -> int:
    with asked.person() as (diary, person):
        found = _reminder(asked, diary, person)
        how = ELSEWHERE if asked.options.elsewhere else CLOSED
        said = close_due(diary, person, found.due.key, found.name, now=asked.around.now, how=how)
    return _said(asked, person, said)


def _open(asked: Asked) -> int:
    with asked.person() as (diary, person):
        found = _reminder(asked, diary, person)
        said = open_again(diary, person, found.due.key, found.name, now=asked.around.now)
    return _said(asked, person, said)


def _remind(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        held = reminder_wishes(diary, person)
        quiet = held.quiet
        if options.no_quiet:
            quiet = None
        elif options.quiet:
            quiet = (_minute(options.quiet[0]), _minute(options.quiet[1]))
        wanted = replace(
            held,
            quiet=quiet,
            with_values=held.with_values if options.values is None else options.values,
            beep=held.beep if options.beep is None else options.beep,
            tray=held.tray if options.tray is None else options.tray,
        )
        if wanted == held:
            raise Refused("It is so already; nothing was changed.")
        said = set_reminders(diary, person, wanted, now=asked.around.now)
    return _said(asked, person, said)


def _show_care(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        held = care_texts(diary, person)
    found = {kind: getattr(held, kind.replace(" ", "_").replace("-", "_")) for kind in CARE_KINDS}
    if asked.options.json:
        asked.around.say_json(
            {"person": person.name, **{_dashed(kind): text for kind, text in found.items()}}
        )
        return 0
    for kind, text in found.items():
        asked.around.say(f"{kind:<18} {one_line(text) if text else 'nothing written'}")
    return 0


def _set_care(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        said = set_care_text(
            diary,
            person,
            options.kind,
            " ".join(options.text),
            now=asked.around.now,
            from_day=options.first,
        )
    return _said(asked, person, said)


def _reminder(asked: Asked, diary: Diary, person: Person) -> Reminder:
    record, ground, now = record_of(diary, person), ground_of(diary, person), asked.around.now
    kit = kit_dues_of(diary, record, now=now)
    try:
        return reminders_of(diary, record, ground, now=now, kit=kit).by_key(asked.options.key)
    except KeyError:
        raise Refused(
            f'Nothing of the key "{asked.options.key}" is due around now. Nothing was changed; '
            "the keys are in due --json."
        ) from None


def _minute(text: str) -> int:
    found = _HOURS.fullmatch(text.strip())
    if not found or int(found[1]) > 23 or int(found[2]) > 59:
        raise Refused(f'"{text}" is no time of day. Nothing was changed; write it as 22:00.')
    return int(found[1]) * 60 + int(found[2])


def _wishes(wishes: ReminderWishes) -> dict[str, Any]:
    quiet = wishes.quiet
    return {
        "quiet": None if quiet is None else [f"{at // 60:02d}:{at % 60:02d}" for at in quiet],
        "values": wishes.with_values,
        "beep": wishes.beep,
        "tray": wishes.tray,
    }


def _dashed(code: str) -> str:
    return code.replace("_", "-").replace(" ", "-")


def _said(asked: Asked, person: Person, sentence: str) -> int:
    if asked.options.json:
        asked.around.say_json({"person": person.name, "sentence": sentence})
    else:
        asked.around.say(sentence)
    return 0
