"""The words of the verb `kit`: what can be said of meters, vials, solution, tests and supplies."""

from __future__ import annotations

import argparse

from app.cli.verbs_read import add_period
from app.cli.words import a_day
from app.domain.kit import EVENT_KINDS, GLUCOSE, ITEM_KINDS, KETONE

_STRIPS_WHY = {"count": "counted", "bought": "bought", "used": "used", "wasted": "wasted"}


def words_of_kit(kit: argparse.ArgumentParser) -> None:
    """Add what can be done; each says in `act` which it is."""
    kit.add_argument("--json", action="store_true")
    kit.set_defaults(act="list")
    acts = kit.add_subparsers(title="what", metavar="list|meter|vial|use|solution|control|...")
    _answers(acts.add_parser("list", help="everything, with what is due")).set_defaults(act="list")
    _meter(acts.add_parser("meter", help="add or change a meter"))
    _vial(acts.add_parser("vial", help="add a vial, or correct its dates and ranges"))
    _use(acts)
    _solution(acts.add_parser("solution", help="add or change a bottle of control solution"))
    _control(acts)
    _upkeep(acts)
    cards = acts.add_parser("cards", help="how a test is done well, with the sources")
    _answers(cards).set_defaults(act="cards")
    pairs = acts.add_parser("lab-pairs", help="results of the meter beside the laboratory's")
    pairs.add_argument("--meter", metavar="NAME")
    add_period(pairs, 365)
    _answers(pairs).set_defaults(act="lab_pairs")


def _meter(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(title="what", metavar="add|edit", required=True)
    add = acts.add_parser("add", help="a new meter")
    edit = acts.add_parser("edit", help="change what is known of it")
    edit.add_argument("--rename", metavar="NAME")
    edit.add_argument("--last-day", type=a_day, metavar="DAY", help="the last day of its use")
    for each, act in ((add, "meter_add"), (edit, "meter_edit")):
        each.add_argument("name")
        each.add_argument("--unit", metavar="mg/dL|mmol/L", help="what it shows")
        each.add_argument("--zone", help="where its clock is, if not the person's own zone")
        each.add_argument("--serial")
        each.add_argument("--capacity", type=int, metavar="N", help="results its memory holds")
        each.add_argument("--range", metavar="20-600", help="what it can show, in its unit")
        each.add_argument("--first-day", type=a_day, metavar="DAY")
        each.add_argument(
            "--keep-memory",
            choices=("yes", "no"),
            help="whether somebody wants the memory kept, as of some drivers",
        )
        _answers(each).set_defaults(act=act)


def _vial(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(title="what", metavar="add|edit", required=True)
    add = acts.add_parser("add", help="a new vial of strips")
    add.add_argument("lot", nargs="?", help="the lot, as printed")
    add.add_argument("--kind", choices=(GLUCOSE, KETONE), default=GLUCOSE)
    add.add_argument("--meter", metavar="NAME", help="the meter that uses it from then on")
    add.add_argument("--at", metavar="WALL", help="from when on, if not from its opening day")
    edit = acts.add_parser("edit", help="correct it; readings in doubt follow at once")
    edit.add_argument("lot", help="the lot, or its number: #5")
    edit.add_argument("--rename", metavar="LOT")
    edit.add_argument("--finished", type=a_day, metavar="DAY")
    for each, act in ((add, "vial_add"), (edit, "vial_edit")):
        each.add_argument("--printed", metavar="YYYY-MM[-DD]", help="the printed date")
        each.add_argument("--opened", type=a_day, metavar="DAY")
        each.add_argument("--days-open", type=int, metavar="N", help="good so long once opened")
        each.add_argument("--strips", type=int, metavar="N")
        each.add_argument(
            "--range",
            action="append",
            default=[],
            metavar="[LEVEL:]5.2-7.8",
            help="the printed range of a level of control solution (normal unless said)",
        )
        each.add_argument("--unit", metavar="mg/dL|mmol/L", help="of the range")
        _timed_zone(each)
        _answers(each).set_defaults(act=act)


def _use(acts: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    use = acts.add_parser("use", help="which vial a meter uses, from when to when")
    use.add_argument("lot")
    use.add_argument("--meter", metavar="NAME")
    use.add_argument("--from", dest="at", metavar="WALL", help="default now")
    use.add_argument("--to", dest="until", metavar="WALL")
    use.add_argument("--beside", action="store_true", help="the vial before stays in use too")
    _timed_zone(use)
    _answers(use).set_defaults(act="use")
    finish = acts.add_parser("finish", help="a vial is used up or thrown away")
    finish.add_argument("lot")
    _timed(finish)
    _answers(finish).set_defaults(act="finish")
    made = acts.add_parser("readings", help="with which meter and vial readings were made")
    made.add_argument("--meter", metavar="NAME")
    made.add_argument("--vial", metavar="LOT")
    made.add_argument("--from", dest="first", type=a_day, metavar="DAY", required=True)
    made.add_argument("--to", dest="last", type=a_day, metavar="DAY")
    made.add_argument("--all", action="store_true", help="those with a meter or vial too")
    _answers(made).set_defaults(act="readings")


def _solution(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(title="what", metavar="add|edit", required=True)
    add = acts.add_parser("add", help="a new bottle")
    add.add_argument("level", help="low, normal or high")
    add.add_argument("--lot")
    edit = acts.add_parser("edit", help="correct it")
    edit.add_argument("lot", help="its lot, or its number: #1")
    for each, act in ((add, "solution_add"), (edit, "solution_edit")):
        each.add_argument("--printed", metavar="YYYY-MM[-DD]")
        each.add_argument("--opened", type=a_day, metavar="DAY")
        each.add_argument("--days-open", type=int, metavar="N", help="90 unless said")
        _answers(each).set_defaults(act=act)


def _control(acts: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    control = acts.add_parser("control", help="a test with control solution: 6.4 --meter blue")
    control.add_argument("result", nargs="+")
    control.add_argument("--meter", metavar="NAME")
    control.add_argument("--vial", metavar="LOT", help="if not the one that the meter uses")
    control.add_argument("--level", help="low, normal or high (normal, or that of the solution)")
    control.add_argument("--solution", metavar="LOT")
    control.add_argument("--temperature", metavar="22 C", help="where it was done")
    _timed(control)
    _answers(control).set_defaults(act="control")
    fix = acts.add_parser("control-edit", help="correct a control test by its number: #3")
    fix.add_argument("number", metavar="#N")
    fix.add_argument("--result")
    fix.add_argument("--meter", metavar="NAME")
    fix.add_argument("--vial", metavar="LOT")
    fix.add_argument("--level")
    fix.add_argument("--solution", metavar="LOT")
    fix.add_argument("--at", metavar="WALL", help="when it really was: 2026-03-12 07:10")
    _timed_zone(fix)
    _answers(fix).set_defaults(act="control_edit")
    narrow = acts.add_parser("narrow", help="after a fail: was it the vial or the meter?")
    narrow.add_argument("verdict", choices=("vial", "meter", "keep"))
    narrow.add_argument("--test", metavar="#N", help="the failed test, where there are several")
    _answers(narrow).set_defaults(act="narrow")
    every = acts.add_parser("every", help="after how many days the label wants a control test")
    every.add_argument("days", help="a number, or never")
    _answers(every).set_defaults(act="every")


def _upkeep(acts: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    event = acts.add_parser("event", help=f"what happened: {', '.join(EVENT_KINDS)}")
    event.add_argument("sort", metavar="KIND")
    event.add_argument("--meter", metavar="NAME")
    event.add_argument("--vial", metavar="LOT")
    event.add_argument("--item", metavar="NAME")
    event.add_argument("--note", metavar="TEXT")
    _timed(event)
    _answers(event).set_defaults(act="event")
    item = acts.add_parser("item", help=f"a part of the kit: {', '.join(ITEM_KINDS)}")
    item.add_argument("sort", metavar="KIND")
    item.add_argument("name")
    _answers(item).set_defaults(act="item")
    strips = acts.add_parser("strips", help="strips or lancets counted, bought, used or wasted")
    strips.add_argument("why", choices=tuple(_STRIPS_WHY))
    strips.add_argument("count", type=int, metavar="N")
    strips.add_argument("--vial", metavar="LOT", help="of this vial; else of the stock")
    strips.add_argument("--of", default="strips", help="strips unless said: lancets, ...")
    _timed(strips)
    _answers(strips).set_defaults(act="strips")
    remove = acts.add_parser("remove", help="put what nothing names into the bin")
    remove.add_argument("sort", choices=("meter", "vial", "solution", "item", "control", "use"))
    remove.add_argument("name", help="its name, or its number: #5")
    _answers(remove).set_defaults(act="remove")


def supply_why(word: str) -> str:
    """The code of why a supply was written down."""
    return _STRIPS_WHY[word]


def _answers(parser: argparse.ArgumentParser) -> argparse.ArgumentParser:
    parser.add_argument("--json", action="store_true")
    return parser


def _timed(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--at", metavar="WALL", help="when, if not now: 2026-03-12 07:10")
    _timed_zone(parser)


def _timed_zone(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--zone", help="the zone of the place, if not the person's own")
    parser.add_argument("--sure", action="store_true", help="keep an odd value or time as typed")
