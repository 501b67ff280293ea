"""The verb of the kit: meters, vials, solution, control tests, events, supplies."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from app.cli.kit_cards import say_cards
from app.cli.kit_said import done_json, moment_said, say, say_sentence
from app.cli.kit_text import control_lines, kit_lines, narrow_lines, pair_lines
from app.cli.kit_things import ACTS
from app.cli.kit_words import supply_why, words_of_kit
from app.cli.verbs_read import period_of
from app.domain.control import judge
from app.domain.control_doubt import Failed, failed_tests
from app.domain.errors import NeedsAnswer, Question, Refused
from app.domain.kit import Kit, Meter
from app.review.kit import kit_shown
from app.review.kit_json import kit_as_json, pairs_as_json
from app.review.meter_against_lab import meter_against_lab
from app.review.record import record_of
from app.store.kit_rows import kit_of
from app.work.kit_named import (
    item_meant,
    meter_meant,
    own_kit,
    solution_meant,
    vial_meant,
    vial_then,
)
from app.work.kit_tests import (
    edit_control,
    narrow,
    note_control,
    note_item,
    note_kit_event,
    note_supply,
    say_control_every,
)
from app.work.retype import typed_value

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def _words_of_kit(kit: argparse.ArgumentParser) -> None:
    words_of_kit(kit)
    kit.set_defaults(verb=lambda asked: _ACTS[asked.options.act](asked))


WORDS = {"kit": _words_of_kit}


def _list(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        found = kit_shown(diary, record_of(diary, person), now=asked.around.now)
    if asked.options.json:
        asked.around.say_json(kit_as_json(found))
        return 0
    for line in kit_lines(found):
        asked.around.say(line)
    return 0


def _control(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        kit = own_kit(kit_of(diary), person)
        meter = meter_meant(kit, options.meter)
        at = moment_said(asked, person)
        bottle = solution_meant(kit, options.solution, options.level)
        level = (options.level or (bottle.level if bottle else "normal")).casefold()
        vial = vial_meant(kit, options.vial) if options.vial else None
        if vial is None and vial_then(kit, meter, at.instant) is None and kit.vials:
            raise _which_vial(kit, meter)
        entry = typed_value(
            " ".join(options.result), person, meter.unit, now=now, sure=options.sure
        )
        if entry.problems:
            raise Refused(" ".join((*entry.problems, "Nothing was saved.")))
        if entry.questions:
            raise NeedsAnswer(entry.questions)
        if entry.glucose is None:
            raise Refused("A control test needs its result. Nothing was saved.")
        done = note_control(
            diary,
            person,
            entry.glucose,
            at,
            now=now,
            meter=meter,
            level=level,
            vial=vial,
            solution=bottle,
            temperature=options.temperature,
        )
        shown = kit_shown(diary, record_of(diary, person), now=now)
    if options.json:
        tests = kit_as_json(shown)["control_tests"]
        asked.around.say_json(
            {**done_json(done), "test": next(e for e in tests if e["uid"] == str(done.uid))}
        )
        return 0
    asked.around.say(done.sentence)
    for line in control_lines(shown, done.id):
        asked.around.say(line)
    return 0


def _control_edit(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        kit = own_kit(kit_of(diary), person)
        test = next((e for e in kit.tests if f"#{e.id}" == f"#{options.number.lstrip('#')}"), None)
        if test is None:
            raise Refused(f'There is no control test "{options.number}"; nothing was changed.')
        fields: dict[str, Any] = {}
        if options.result is not None:
            entry = typed_value(
                options.result, person, test.glucose.unit, now=asked.around.now, sure=options.sure
            )
            if entry.questions:
                raise NeedsAnswer(entry.questions)
            if entry.problems or entry.glucose is None:
                raise Refused(" ".join((*entry.problems, "Nothing was changed.")))
            glucose = entry.glucose
            fields |= {"value": glucose.value, "bound": glucose.bound.value, "unit": glucose.unit}
            fields["unit"] = glucose.unit.value
        if options.vial is not None:
            fields["vial_id"] = vial_meant(kit, options.vial).id
        if options.level is not None:
            fields["level"] = options.level.casefold()
        if options.solution is not None:
            bottle = solution_meant(kit, options.solution, None)
            fields["solution_id"] = bottle.id if bottle else None
        if options.meter is not None:
            fields["meter_id"] = meter_meant(kit, options.meter).id
        at = None if options.at is None else moment_said(asked, person)
        return say(asked, edit_control(diary, person, test, fields, now=asked.around.now, at=at))


def _narrow(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        kit = own_kit(kit_of(diary), person)
        failed = _failed_meant(kit, options.test)
        done = narrow(diary, person, failed, options.verdict, now=asked.around.now)
        shown = kit_shown(diary, record_of(diary, person), now=asked.around.now)
    if not options.json:
        asked.around.say(done.sentence)
        for line in narrow_lines(shown, done.id):
            asked.around.say(line)
        return 0
    return say(asked, done)


def _every(asked: Asked) -> int:
    days = asked.options.days
    if days != "never" and not days.isdecimal():
        raise Refused(f'"{days}" is no number of days; say a number, or never.')
    with asked.person() as (diary, person):
        sentence = say_control_every(
            diary, person, None if days == "never" else int(days), now=asked.around.now
        )
    return say_sentence(asked, sentence)


def _event(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        kit = own_kit(kit_of(diary), person)
        named = options.meter or options.vial or options.item
        meter = meter_meant(kit, options.meter) if options.meter or not named else None
        done = note_kit_event(
            diary,
            person,
            options.sort,
            moment_said(asked, person),
            now=asked.around.now,
            meter=meter,
            vial=vial_meant(kit, options.vial) if options.vial else None,
            item=item_meant(kit, options.item) if options.item else None,
            note=options.note,
        )
        return say(asked, done)


def _item(asked: Asked) -> int:
    with asked.person() as (diary, person):
        options = asked.options
        return say(
            asked, note_item(diary, person, options.sort, options.name, now=asked.around.now)
        )


def _strips(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        kit = own_kit(kit_of(diary), person)
        done = note_supply(
            diary,
            person,
            options.of,
            options.count,
            supply_why(options.why),
            moment_said(asked, person),
            now=asked.around.now,
            vial=vial_meant(kit, options.vial) if options.vial else None,
        )
        return say(asked, done)


def _lab_pairs(asked: Asked) -> int:
    options = asked.options
    with asked.person(to_read=True) as (diary, person):
        kit, record = own_kit(kit_of(diary), person), record_of(diary, person)
        meter = meter_meant(kit, options.meter).id if options.meter else None
        found = meter_against_lab(diary, record, period_of(asked, record), meter=meter)
    if options.json:
        asked.around.say_json(pairs_as_json(found))
        return 0
    for line in pair_lines(found, {each.id: each.name for each in kit.meters}):
        asked.around.say(line)
    return 0


_ACTS: dict[str, Callable[[Asked], int]] = {
    **ACTS,
    "list": _list,
    "cards": say_cards,
    "control": _control,
    "control_edit": _control_edit,
    "narrow": _narrow,
    "every": _every,
    "event": _event,
    "item": _item,
    "strips": _strips,
    "lab_pairs": _lab_pairs,
}


def _failed_meant(kit: Kit, number: str | None) -> Failed:
    fails = failed_tests(kit, judge(kit))
    if number is not None:
        found = [e for e in fails if f"#{e.judged.test.id}" == f"#{number.lstrip('#')}"]
    else:
        found = [each for each in fails if each.offers and each.word is None] or list(fails[-1:])
    if not found:
        raise Refused("There is no failed control test of that kind; nothing was changed.")
    if len(found) > 1:
        answers = tuple(f"--test #{each.judged.test.id}" for each in found)
        raise NeedsAnswer((Question("test", "Which failed control test?", answers),))
    return found[0]


def _which_vial(kit: Kit, meter: Meter) -> NeedsAnswer:
    newest = list(kit.vials)[-4:]
    answers = tuple(f"--vial #{each.id}" for each in newest)
    listed = ", ".join(f"#{each.id} {each.name}" for each in newest)
    asks = f"Nobody said which vial {meter.name} used then. Which one was it: {listed}?"
    return NeedsAnswer((Question("vial", asks, answers),))
