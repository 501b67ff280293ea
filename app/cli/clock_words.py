"""The words of the verb `clocks`: what can be asked and said about meters' clocks."""

from __future__ import annotations

import argparse


def words_of_clocks(clocks: argparse.ArgumentParser) -> None:
    """Add what can be done; each says in `act` which it is. Alone, the verb lists."""
    clocks.add_argument("--json", action="store_true")
    clocks.set_defaults(act="list", meter=None)
    acts = clocks.add_subparsers(
        title="what", metavar="list|repair|no|doubt|set|journey|history|undated", required=False
    )
    shown = acts.add_parser("list", help="stretches whose clock looks wrong; nothing is changed")
    _about(shown).set_defaults(act="list")
    repair = acts.add_parser("repair", help="new times for a stretch, shown first")
    repair.add_argument("number", nargs="?", type=int, metavar="N", help="of the list")
    repair.add_argument("--from", dest="first", metavar="RAW", help="the first stamp, as shown")
    repair.add_argument("--to", dest="last", metavar="RAW", help="the last stamp, as shown")
    repair.add_argument(
        "--anchor",
        action="append",
        default=[],
        metavar='"RAW = TRUE"',
        help='a known moment: "2026-01-01 00:20 = 2026-11-14 18:40"; RAW may be first or last',
    )
    repair.add_argument("--why", metavar="TEXT", help="how the moment is known")
    repair.add_argument("--zone", help="where the true times were, if not the meter's zone")
    repair.add_argument(
        "--instead", action="store_true", help="forget the known moments said before"
    )
    how = repair.add_mutually_exclusive_group()
    how.add_argument("--preview", action="store_true", help="old and new times (default)")
    how.add_argument("--sure", action="store_true", help="write it; one undo takes it back")
    _about(repair).set_defaults(act="repair")
    no = acts.add_parser("no", help="the clock was right: do not propose this again")
    no.add_argument("number", type=int, metavar="N", help="of the list")
    _about(no).set_defaults(act="no")
    doubt = acts.add_parser("doubt", help="cannot say: the times stay, their clock is in doubt")
    doubt.add_argument("number", type=int, metavar="N", help="of the list")
    _about(doubt).set_defaults(act="doubt")
    put = acts.add_parser("set", help="a clock was set, or began anew")
    put.add_argument("--at", required=True, metavar="WALL", help="when it truly was")
    put.add_argument("--shown-before", metavar="WALL", help="what the clock showed just before")
    put.add_argument("--shown-after", metavar="WALL", help="what it showed then, if not the truth")
    put.add_argument("--cause", metavar="TEXT", help="battery, summer time, ...")
    _about(put).set_defaults(act="set")
    stay = acts.add_parser("journey", help="a stay in another zone")
    stay.add_argument("--zone", required=True, metavar="REGION/CITY")
    stay.add_argument("--from", dest="first", required=True, metavar="WALL", help="there")
    stay.add_argument("--to", dest="last", required=True, metavar="WALL", help="there")
    stay.add_argument(
        "--meters", choices=("home", "local"), help="which time they showed, if it is known"
    )
    _about(stay).set_defaults(act="journey")
    told = acts.add_parser("history", help="settings, repairs and known moments")
    _about(told).set_defaults(act="history")
    undated = acts.add_parser("undated", help="readings without a time, in no figure")
    _about(undated).set_defaults(act="undated")


def _about(parser: argparse.ArgumentParser) -> argparse.ArgumentParser:
    parser.add_argument("--meter", metavar="NAME")
    # Said after the act or before it: what stands before is not undone by a default here.
    parser.add_argument("--json", action="store_true", default=argparse.SUPPRESS)
    return parser
