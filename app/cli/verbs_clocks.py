"""The verb for meters' clocks: what looks wrong, its repair, settings, stays, undated readings."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from app.cli.clock_previews import plan_as_json, preview_lines
from app.cli.clock_repairs import meter_named, planned, proposal_numbered
from app.cli.clock_words import words_of_clocks
from app.cli.words import one_line, plural
from app.domain.clock_anchors import moment_of
from app.domain.errors import Refused
from app.review.clock_stretch import a_wall, doubted, run_of
from app.review.clock_words import (
    found_words,
    record_words,
    settles_words,
    shift_words,
    wall_words,
    why_words,
)
from app.review.clocks import Clocks, Proposal, clocks_of
from app.review.clocks_json import (
    clocks_as_json,
    history_as_json,
    record_as_json,
)
from app.work.clock_notes import keep_setting, keep_stay, say_no
from app.work.note_down import moment_typed
from app.work.repair_clock import apply_repair, keep_in_doubt

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def _words_of_clocks(clocks: argparse.ArgumentParser) -> None:
    words_of_clocks(clocks)
    clocks.set_defaults(verb=lambda asked: _ACTS[asked.options.act](asked))


WORDS = {"clocks": _words_of_clocks}


def _list(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person(to_read=True) as (diary, person):
        clocks = clocks_of(diary, person)
    chosen = _numbered(clocks, options.meter)
    if options.json:
        around.say_json(clocks_as_json(clocks, chosen))
        return 0
    for number, each in chosen:
        for line in _proposal_lines(number, each):
            around.say(one_line(line))
    if not chosen:
        around.say(f"No clock of {person.name}'s meters looks wrong.")
    else:
        around.say(
            "Nothing was changed. To repair one: clocks repair N; if the clock was right: "
            "clocks no N; if you cannot say: clocks doubt N."
        )
    if clocks.undated:
        around.say(f"{len(clocks.undated)} undated, in no figure; see: clocks undated")
    return 0


def _proposal_lines(number: int, each: Proposal) -> Iterator[str]:
    first, last = each.records[0], each.records[-1]
    yield f"{number}  {each.meter.name}: {found_words(each)}"
    yield (
        f"   {plural(each.n, 'record')}, stamped {wall_words(first.shown)} "
        f"to {wall_words(last.shown)}"
    )
    yield f"   Why: {why_words(each)}"
    if each.shift_s is None:
        yield "   Shift: none proposed"
    elif each.kind == "local_time":
        yield "   Shift: none; the stamps are the wall times of the place"
    else:
        yield f"   Shift: {shift_words(each.shift_s)}"
    if any(record.in_doubt for record in each.records):
        yield "   Kept in doubt until more is known."
    yield f"   Settled by: {settles_words(each)}"


def _numbered(clocks: Clocks, meter: str | None) -> list[tuple[int, Proposal]]:
    if meter is not None:
        meter_named(clocks, meter)
    return [
        (number, each)
        for number, each in enumerate(clocks.proposals, 1)
        if meter in (None, each.meter.name)
    ]


def _repair(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person(to_read=not options.sure) as (diary, person):
        clocks = clocks_of(diary, person)
        plan = planned(asked, clocks)
        done = apply_repair(diary, person, plan, now=around.now) if options.sure else None
    memory = clocks.memory(plan.meter_id)
    records = memory.records if memory else ()
    if options.json:
        around.say_json(plan_as_json(plan, records, done))
        return 0
    if done is not None:
        around.say(f"{one_line(done.sentence)} The raw stamps stay; undo takes it back.")
        return 0
    for line in preview_lines(plan, records):
        around.say(one_line(line))
    return 0


def _no(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person() as (diary, person):
        clocks = clocks_of(diary, person)
        each = proposal_numbered(clocks, options.number)
        sentence = say_no(
            diary,
            person,
            kind=each.kind,
            meter=each.meter.name,
            count=each.n,
            first=each.records[0].uid,
            last=each.records[-1].uid,
            now=around.now,
            doubted=doubted(clocks, each),
        )
    return _say(asked, sentence)


def _doubt(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person() as (diary, person):
        clocks = clocks_of(diary, person)
        each = proposal_numbered(clocks, options.number)
        if doubted(clocks, each) is not None:
            raise Refused("The clock of these readings is in doubt already; nothing was changed.")
        run = run_of(clocks, each)
        done = keep_in_doubt(
            diary,
            person,
            (each.meter.id, each.meter.name),
            run.memory.stamped[run.first : run.last + 1],
            shift_s=each.shift_s,
            now=around.now,
        )
    return _say(asked, done.sentence)


def _set(asked: Asked) -> int:
    options, around = asked.options, asked.around
    if options.meter is None:
        raise Refused("Say which meter it was: --meter NAME")
    with asked.person() as (diary, person):
        meter = meter_named(clocks_of(diary, person), options.meter)
        at = moment_typed(options.at, person, now=around.now, zone=meter.zone)
        sentence = keep_setting(
            diary,
            person,
            (meter.id, meter.name),
            at,
            now=around.now,
            shown_before=_wall(options.shown_before),
            shown_after=_wall(options.shown_after),
            cause=options.cause,
        )
    return _say(asked, sentence)


def _journey(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person() as (diary, person):
        start, end = (
            moment_typed(text, person, now=around.now, zone=options.zone, sure=True)
            for text in (options.first, options.last)
        )
        kept = {None: None, "home": person.zone, "local": options.zone}[options.meters]
        sentence = keep_stay(diary, person, start, end, now=around.now, meters_kept=kept)
    return _say(asked, sentence)


def _history(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person(to_read=True) as (diary, person):
        clocks = clocks_of(diary, person)
    meter = None if options.meter is None else meter_named(clocks, options.meter).name
    if options.json:
        around.say_json(history_as_json(clocks, meter))
        return 0
    for each, row in clocks.settings:
        if meter in (None, each.name):
            shown = f"{row.shown_before or 'not said'} → {row.shown_after or 'not said'}"
            at = moment_of(row.at, each.zone).wall.replace("T", " ")
            why = f" ({row.cause})" if row.cause else ""
            around.say(one_line(f"{at}  {each.name}: set, {shown.replace('T', ' ')}{why}"))
    for repair in clocks.repairs:
        if meter in (None, repair.meter.name):
            row_state, n = repair.row.state, plural(len(repair.records), "reading")
            shift = shift_words(repair.row.shift_s) if row_state == "applied" else row_state
            around.say(one_line(f"{repair.meter.name}: {n}, {shift}"))
            for anchor in repair.anchors:
                why = f" ({anchor.why})" if anchor.why else ""
                true = anchor.true.wall.replace("T", " ")
                around.say(one_line(f"   known: {wall_words(anchor.shown)} was {true}{why}"))
    if not clocks.settings and not clocks.repairs:
        around.say("No setting and no repair of a clock is written.")
    return 0


def _undated(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person(to_read=True) as (diary, person):
        clocks = clocks_of(diary, person)
    name = None if options.meter is None else meter_named(clocks, options.meter).name
    found = [each for each in clocks.undated if name in (None, each.meter)]
    if options.json:
        around.say_json([record_as_json(each) for each in found])
        return 0
    for each in found:
        stamp = one_line(each.raw or "no stamp")
        around.say(one_line(f"{stamp:<22} {record_words(each)}   {each.meter or 'no meter'}"))
    around.say(f"{len(found)} undated, in no figure. A known moment dates them: clocks repair")
    return 0


def _wall(text: str | None) -> datetime | None:
    return None if text is None else a_wall(text)


def _say(asked: Asked, sentence: str) -> int:
    if asked.options.json:
        asked.around.say_json({"sentence": sentence})
    else:
        asked.around.say(one_line(sentence))
    return 0


_ACTS: dict[str, Callable[[Asked], int]] = {
    "list": _list,
    "repair": _repair,
    "no": _no,
    "doubt": _doubt,
    "set": _set,
    "journey": _journey,
    "history": _history,
    "undated": _undated,
}
