"""The verb about which tests are meant to happen: plan."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from app.cli.plan_words import words_of_plan
from app.cli.verbs_due import a_wall, planned_line, say_all, say_done
from app.cli.words import one_line, plural
from app.domain.clock import Period, last_days
from app.domain.errors import Refused
from app.domain.plan_files import read_plan, trade_plan, trade_plans
from app.domain.plans import ELSEWHERE, MOVE, SKIP
from app.exchange.icalendar_out import plan_as_ics
from app.review.plan import PlanGrid, grid_of, timeline_of, today_there
from app.review.plan_calendar import calendar_of
from app.review.plan_json import grid_as_json, plan_as_json, timeline_as_json
from app.review.plan_words import plan_words, repeats_words, time_words
from app.review.record import record_of
from app.review.schedule import Ground, Planned, ground_of, planned_in
from app.store.plans import plans_of
from app.work.plan import (
    end_plans,
    expect_again,
    pause_plan,
    put_aside,
    resume_plan,
    set_plan,
)
from app.work.send_out import export_calendar

if TYPE_CHECKING:
    import argparse

    from app.cli.surroundings import Asked
    from app.domain.person import Person

_LARGEST_PLAN = 200_000  # bytes of a file with a plan


def _plan(parser: argparse.ArgumentParser) -> None:
    words_of_plan(parser)
    parser.set_defaults(verb=lambda asked: _ACTS[asked.options.act](asked))


WORDS = {"plan": _plan}


def _show(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person(to_read=True) as (diary, person):
        record, ground = record_of(diary, person), ground_of(diary, person)
        today = options.on or today_there(ground, now)
        period = last_days(options.days, today)
        grid = grid_of(record, ground, period, now=now)
        day = timeline_of(record, ground, today, now=now)
    if options.json:
        asked.around.say_json(
            {"person": person.name, **grid_as_json(grid), "today": timeline_as_json(day)}
        )
        return 0
    say_all(asked, _show_lines(person, ground, grid, day.tests))
    return 0


def _show_lines(
    person: Person, ground: Ground, grid: PlanGrid, tests: tuple[Planned, ...]
) -> Iterator[str]:
    if not ground.plans:
        yield f"{person.name} has no plan. Begin with one of the trade's own: plan kinds."
        return
    for plan in grid.in_force:
        yield f"{person.name}: {plan_words(plan)}"
        if plan.source:
            yield f"  {one_line(plan.source)}"
        for rule in plan.rules:
            yield f"  {one_line(rule.words):<22} {repeats_words(rule)}; {time_words(rule)}"
    if not grid.in_force:
        yield f"{person.name}: no plan is in force on {grid.today}."
    yield ""
    yield f"{grid.today}"
    for test in tests:
        yield planned_line(ground, test)
    if not tests:
        yield "  nothing planned"
    yield ""
    yield from _kept_lines(grid)


def _kept_lines(grid: PlanGrid) -> Iterator[str]:
    period, kept = grid.period, grid.kept
    days = plural(period.days, "day")
    late = f", {kept.all.late} of them late" if kept.all.late else ""
    yield f"{period.first} to {period.last} ({days}): kept {kept.all.words} planned tests{late}"
    for reason, n in kept.not_expected.items():
        yield f"  {plural(n, 'test')} not expected: {reason}"
    if kept.slips:
        yield "  Where it slips: " + "; ".join(kept.slips)
    if grid.gaps and grid.gaps.unseen:
        yield "What this plan can't see"
        for sentence in grid.gaps.unseen:
            yield f"  {sentence}"


def _kinds(asked: Asked) -> int:
    found = trade_plans()
    if asked.options.json:
        asked.around.say_json(
            [
                {"kind": each.key, "name": each.name, "source": each.source, "sure": each.sure}
                for each in found
            ]
        )
        return 0
    for each in found:
        asked.around.say(f"{each.key:<16} {each.name}")
        asked.around.say(f"{'':<16} {each.source}")
    asked.around.say("What your own care team agreed with you comes first.")
    return 0


def _set(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        first = options.first or today_there(ground_of(diary, person), now)
        if options.what.endswith(".toml"):
            plan = read_plan(_text_of(Path(options.what)), first, options.last)
        else:
            trade = trade_plan(options.what)
            plan = trade.in_force(first, options.last, dates=options.on or ())
        # What ends by itself lets the running plan go on around it.
        beside = options.beside or (plan.to_day is not None and not options.instead)
        done = set_plan(diary, person, plan, now=now, beside=beside)
    return say_done(asked, person, done)


def _end(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        last = options.on or today_there(ground_of(diary, person), now)
        done = end_plans(diary, person, last, now=now)
    return say_done(asked, person, done)


def _pause(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        first = options.first or today_there(ground_of(diary, person), now)
        done = pause_plan(diary, person, first, options.last, now=now)
    return say_done(asked, person, done)


def _resume(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        first = options.first or today_there(ground_of(diary, person), now)
        done = resume_plan(diary, person, first, now=now)
    return say_done(asked, person, done)


def _skip(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        record, ground = record_of(diary, person), ground_of(diary, person)
        wall = a_wall(options.when, today_there(ground, now))
        to = None if options.to is None else a_wall(options.to, wall.date())
        day = Period(wall.date() - timedelta(days=1), wall.date() + timedelta(days=1))
        found = [
            each
            for each in planned_in(record, ground, day, now=now)
            if each.rule is not None
            and wall in (each.wall, each.settled.occurrence.planned)
            and options.mark in (None, each.mark.value if each.mark else None)
        ]
        if len(found) != 1 or found[0].rule is None:
            raise Refused(_which(found, wall))
        rule, planned = found[0].rule, found[0].settled.occurrence.planned
        if options.again:
            done = expect_again(diary, person, rule.id, planned, now=now)
        else:
            kind = MOVE if to else ELSEWHERE if options.elsewhere else SKIP
            done = put_aside(diary, person, rule.id, planned, now=now, kind=kind, to=to)
    return say_done(asked, person, done)


def _which(found: list[Planned], wall: datetime) -> str:
    if not found:
        return f"Nothing is planned at {wall:%Y-%m-%d %H:%M}. Nothing was changed; see plan show."
    marks = ", ".join(each.mark.value if each.mark else each.words for each in found)
    return f"Several tests are planned then: {marks}. Nothing was changed; say which by --mark."


def _history(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        plans = plans_of(diary, person)
    if asked.options.json:
        asked.around.say_json([plan_as_json(each) for each in plans])
        return 0
    for number, plan in enumerate(plans, 1):
        asked.around.say(f"{number}. {plan_words(plan)}")
        for rule in plan.rules:
            line = f"{one_line(rule.words):<22} {repeats_words(rule)}; {time_words(rule)}"
            asked.around.say(f"   {line}")
    asked.around.say(f"{plural(len(plans), 'version')} of {person.name}'s plan.")
    return 0


def _export(asked: Asked) -> int:
    options = asked.options
    return send_plan(
        asked, options.out, summary=options.summary, zoned=options.zoned, as_json=options.json
    )


def send_plan(
    asked: Asked,
    out: Path,
    *,
    summary: str | None = None,
    zoned: bool = False,
    as_json: bool = False,
) -> int:
    """Write the plan as a calendar file; to the terminal where `out` is "-"."""
    now = asked.around.now
    with asked.person(to_read=True) as (diary, person):
        ground = ground_of(diary, person)
        tests = calendar_of(diary, ground, from_day=today_there(ground, now))
        if not tests:
            raise Refused(f"{person.name} has no plan in force from today on; nothing was written.")
        text = plan_as_ics(
            tests,
            name=f"Tests of {person.name}",
            stamp=now.astimezone(UTC),
            summary=summary,
            zone=person.zone if zoned else None,
        )
        if os.fspath(out) == "-":
            asked.around.send(text)
            return 0
        export_calendar(diary, out, text)
    if as_json:
        asked.around.say_json({"file": os.fspath(out), "tests": len(tests)})
    else:
        written = plural(len(tests), "planned test")
        asked.around.say(f"{written} written to {out}; bring it into a calendar.")
    return 0


_ACTS: dict[str, Callable[[Asked], int]] = {
    "show": _show,
    "kinds": _kinds,
    "set": _set,
    "end": _end,
    "pause": _pause,
    "resume": _resume,
    "skip": _skip,
    "history": _history,
    "export": _export,
}


def _text_of(path: Path) -> str:
    try:
        if path.stat().st_size > _LARGEST_PLAN:
            raise Refused(f"{path} is too large for a plan. Nothing was changed.")
        return path.read_text(encoding="utf-8")
    except OSError as problem:
        raise Refused(f"{path} can't be read ({problem.strerror}). Nothing was changed.") from None
    except UnicodeDecodeError:
        raise Refused(f"{path} is not text, so it is no plan. Nothing was changed.") from None
