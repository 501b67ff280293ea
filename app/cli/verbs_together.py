"""Verbs about two homes' copies of one diary: together, to-settle."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.cli.progress import progress
from app.cli.words import one_line, plural
from app.domain.errors import Refused
from app.store.probably_one import ONE, TWO
from app.work.leftovers import (
    OTHER,
    SHOWN,
    Leftover,
    Leftovers,
    OpenPair,
    Written,
    leftovers,
    say_of_pairs,
    settle_it,
)
from app.work.together import back_words, bring_together, look_at

if TYPE_CHECKING:
    from app.cli.surroundings import Asked

_ALL = "all"


def _words_of_together(together: argparse.ArgumentParser) -> None:
    together.add_argument("file", type=Path, help="the other copy of this diary; it is only read")
    together.add_argument("--look", action="store_true", help="say what would come, change nothing")
    together.add_argument("--json", action="store_true")
    together.set_defaults(verb=_together)


def _words_of_to_settle(words: argparse.ArgumentParser) -> None:
    words.add_argument("--json", action="store_true")
    words.set_defaults(verb=_list)
    acts = words.add_subparsers(metavar="ACT")
    keep = acts.add_parser("keep", help="which of two versions holds: keep 6 shown")
    keep.add_argument("number", type=int, metavar="N")
    keep.add_argument("version", choices=(SHOWN, OTHER))
    keep.set_defaults(verb=_keep)
    for verdict, told in (
        (ONE, "two readings are one: the one typed later goes into the bin"),
        (TWO, "two readings are two, and not asked about again"),
    ):
        act = acts.add_parser(verdict, help=told)
        act.add_argument("number", metavar="N|all", type=_number)
        act.set_defaults(verb=_rule, verdict=verdict)


WORDS = {"together": _words_of_together, "to-settle": _words_of_to_settle}


def _number(text: str) -> int | str:
    if text == _ALL:
        return text
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f'"{text}" is no number of the list, nor all') from None


def _together(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with (
        asked.diary(to_read=options.look) as diary,
        progress(around.err, "Bringing together") as step,
    ):
        act = look_at if options.look else bring_together
        done = act(diary, options.file, now=around.now, step=step)
    if options.json:
        around.say_json(done.told())
        return 0
    for sentence in done.sentences:
        around.say(one_line(sentence))
    if done.backup is not None:
        around.say(back_words(done.backup.path.name))
    if (done.probably_one or done.to_settle) and not options.look:
        around.say("To see what is open: thimblebook to-settle")
    return 0


def _list(asked: Asked) -> int:
    around = asked.around
    with asked.diary(to_read=True) as diary:
        found = leftovers(diary)
    if asked.options.json:
        around.say_json(_as_json(found))
        return 0
    listed: tuple[OpenPair | Leftover, ...] = (*found.pairs, *found.to_settle)
    for number, each in enumerate(listed, 1):
        whose = f"{each.person}: " if each.person else ""
        around.say(f"{number:>3}  {one_line(f'{whose}{each.sentence}')}")
    if not found.count:
        around.say("Nothing is open.")
        return 0
    if found.pairs:
        around.say("Say of a pair: to-settle one N, or to-settle two N; of all: to-settle one all.")
    if found.to_settle:
        around.say("Settle one: to-settle keep N shown, or to-settle keep N other.")
    return 0


def _keep(asked: Asked) -> int:
    options = asked.options
    with asked.diary() as diary:
        item = leftovers(diary).leftover(options.number)
        said = settle_it(diary, item, options.version, now=asked.around.now)
    asked.around.say(f"{said.sentence} Undo takes it back.")
    return 0


def _rule(asked: Asked) -> int:
    options = asked.options
    with asked.diary() as diary:
        found = leftovers(diary)
        pairs = found.pairs if options.number == _ALL else (found.pair(options.number),)
        if not pairs:
            raise Refused("No pair of readings is open. Nothing was changed.")
        said = say_of_pairs(diary, pairs, options.verdict, now=asked.around.now)
        left = leftovers(diary).count
    asked.around.say(f"{said.sentence} Undo takes it back; {plural(left, 'thing')} left open.")
    return 0


def _as_json(found: Leftovers) -> dict[str, Any]:
    pairs = [_pair_as_json(number, each) for number, each in enumerate(found.pairs, 1)]
    begin = len(pairs) + 1
    rest = [_leftover_as_json(number, each) for number, each in enumerate(found.to_settle, begin)]
    return {"probably_one": pairs, "to_settle": rest}


def _pair_as_json(number: int, each: OpenPair) -> dict[str, Any]:
    return {
        "number": number,
        "person": each.person,
        "minutes": each.minutes,
        "stays": _written_as_json(each.stays),
        "goes": _written_as_json(each.goes),
    }


def _leftover_as_json(number: int, each: Leftover) -> dict[str, Any]:
    return {
        "number": number,
        "person": each.person,
        "what": each.what,
        "field": each.item.field,
        "shown": _written_as_json(each.shown),
        "other": _written_as_json(each.other),
    }


def _written_as_json(written: Written) -> dict[str, Any]:
    return {"says": written.says, "at": written.at.isoformat(), "by": written.by}
