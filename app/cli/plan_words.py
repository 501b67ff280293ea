"""The words of the verbs plan, due and begin."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.cli.words import a_day
from app.review.plan import GRID_DAYS


def words_of_plan(plan: argparse.ArgumentParser) -> None:
    """Add what can be done with a plan; each says in `act` which it is."""
    acts = plan.add_subparsers(
        title="what",
        metavar="show|kinds|set|end|pause|resume|skip|history|export",
        required=True,
    )
    show = acts.add_parser("show", help="the plan, today, what was kept, what it can't see")
    show.add_argument("--days", type=int, default=GRID_DAYS, metavar="N")
    show.add_argument("--on", type=a_day, metavar="DAY", help="the day shown (default today)")
    _answers(show, "show")
    _answers(acts.add_parser("kinds", help="the trade's own plans, with their sources"), "kinds")
    chosen = acts.add_parser("set", help="put a plan in force: one of the kinds, or a TOML file")
    chosen.add_argument("what", metavar="KIND|FILE.toml")
    chosen.add_argument("--from", dest="first", type=a_day, metavar="DAY", help="default today")
    chosen.add_argument("--to", dest="last", type=a_day, metavar="DAY", help="else it goes on")
    chosen.add_argument("--on", type=a_day, nargs="+", metavar="DAY", help="on chosen days alone")
    how = chosen.add_mutually_exclusive_group()
    how.add_argument("--beside", action="store_true", help="the running plan goes on")
    how.add_argument("--instead", action="store_true", help="the running plan ends")
    _answers(chosen, "set")
    end = acts.add_parser("end", help="let the plan end with a day")
    end.add_argument("--on", type=a_day, metavar="DAY", help="its last day (default today)")
    _answers(end, "end")
    pause = acts.add_parser("pause", help="expect no test on some days")
    pause.add_argument("--from", dest="first", type=a_day, metavar="DAY", help="default today")
    pause.add_argument("--to", dest="last", type=a_day, metavar="DAY", help="else until resumed")
    _answers(pause, "pause")
    resume = acts.add_parser("resume", help="expect tests again")
    resume.add_argument("--from", dest="first", type=a_day, metavar="DAY", help="default today")
    _answers(resume, "resume")
    skip = acts.add_parser("skip", help="put one planned test aside, move it, or say it was done")
    skip.add_argument("when", metavar="WALL", help="2026-03-12 07:00, or 07:00 for today")
    skip.add_argument("--mark", help="which, where several are planned then")
    how = skip.add_mutually_exclusive_group()
    how.add_argument("--to", metavar="WALL", help="move it there")
    how.add_argument("--elsewhere", action="store_true", help="tested, and not written here")
    how.add_argument("--again", action="store_true", help="expect it again as planned")
    _answers(skip, "skip")
    _answers(acts.add_parser("history", help="every version of the plan"), "history")
    out = acts.add_parser("export", help="the plan as a calendar file with alarms")
    out.add_argument("out", type=Path, metavar="OUT.ics")
    out.add_argument("--summary", metavar="TEXT", help="the same neutral words for every test")
    out.add_argument(
        "--zoned", action="store_true", help="by the person's own zone, not wherever the phone is"
    )
    _answers(out, "export")


def words_of_due(due: argparse.ArgumentParser) -> None:
    """Add the words of `due`."""
    due.add_argument("--at", metavar="WALL", help="as of then, if not now: 2026-03-12 07:10")
    due.add_argument("--json", action="store_true")


def words_of_begin(begin: argparse.ArgumentParser) -> None:
    """Add the words of `begin`."""
    begin.add_argument("what", choices=("meal",))
    begin.add_argument("--mark", metavar="MEAL", help="breakfast, lunch, evening-meal, snack, meal")
    begin.add_argument("--at", metavar="WALL", help="when, if not now: 2026-03-12 07:10")
    begin.add_argument("--zone", help="the zone of the place, if not the person's own")
    begin.add_argument("--sure", action="store_true", help="keep an odd time as typed")
    begin.add_argument("--json", action="store_true")


def _answers(parser: argparse.ArgumentParser, act: str) -> None:
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(act=act)
