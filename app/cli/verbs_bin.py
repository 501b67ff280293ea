"""The verb about the bin: what lies in it, out of it again, emptied for good."""

from __future__ import annotations

import argparse
from itertools import groupby
from typing import TYPE_CHECKING

from app.cli.words import one_line
from app.work.bin import KEPT_DAYS, Contents, empty_bin, in_bin, restore_from_bin
from app.work.history import person_ever

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.domain.person import Person
    from app.store.diary import Diary

_SHOWN = 5  # things of one change in the list


def _words_of_bin(words: argparse.ArgumentParser) -> None:
    words.add_argument("--json", action="store_true")
    words.set_defaults(verb=_list)
    kinds = words.add_subparsers(title="what", metavar="restore|empty")
    out = kinds.add_parser("restore", help="take things out of the bin: one change")
    out.add_argument("code", nargs="*", help="as the list has it: reading/12")
    out.add_argument("--entry", type=int, metavar="N", help="all that change N put there")
    out.set_defaults(verb=_restore)
    empty = kinds.add_parser("empty", help="for good, after a backup")
    empty.add_argument(
        "--old", action="store_true", help=f"only what has been there for {KEPT_DAYS} days"
    )
    empty.add_argument("--sure", action="store_true", help="answers the question")
    empty.set_defaults(verb=_empty)


WORDS = {"bin": _words_of_bin}


def _list(asked: Asked) -> int:
    with asked.diary(to_read=True) as diary:
        found = in_bin(diary, _whose(asked, diary), now=asked.around.now)
    if asked.options.json:
        asked.around.say_json(
            [
                {
                    "code": item.code,
                    "what": item.what,
                    "along": item.along,
                    "person": item.person,
                    "at": item.at.isoformat(),
                    "by": item.by,
                    "entry": item.entry,
                    "how": item.how,
                    "old": item.is_old,
                }
                for item in found.items
            ]
        )
        return 0
    _say(asked, found)
    return 0


def _say(asked: Asked, found: Contents) -> None:
    for entry, group in groupby(found.items, key=lambda item: item.entry):
        items = list(group)
        first = items[0]
        asked.around.say(f"{entry:>5}  {first.when:>17}  {one_line(first.how)}  ({first.by})")
        for item in items[:_SHOWN]:
            along = f", with {item.along}" if item.along else ""
            asked.around.say(f"       {item.code:<14} {one_line(item.what)}{along}")
        if len(items) > _SHOWN:
            asked.around.say(
                f"       and {len(items) - _SHOWN:,} more; all of them: bin restore --entry {entry}"
            )
    asked.around.say(found.sentence)


def _restore(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.diary() as diary:
        person = _whose(asked, diary)
        codes = list(options.code)
        if options.entry is not None:
            there = in_bin(diary, person, now=now).items
            codes += [item.code for item in there if item.entry == options.entry]
        done = restore_from_bin(diary, codes, person, now=now)
    asked.around.say(done.sentence)
    return 0


def _empty(asked: Asked) -> int:
    options = asked.options
    with asked.diary() as diary:
        done = empty_bin(
            diary,
            _whose(asked, diary),
            now=asked.around.now,
            old_only=options.old,
            sure=options.sure,
        )
    asked.around.say(done.sentence)
    return 0


def _whose(asked: Asked, diary: Diary) -> Person | None:
    return person_ever(diary, asked.person_name) if asked.person_name else None
