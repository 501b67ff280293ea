"""Verbs about what was done: history, undo, redo."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from app.cli.words import one_line
from app.work.entry_line import State
from app.work.history import history, person_ever, whose_history, whose_turn
from app.work.take_back import EDITED, redo_last, undo_entry, undo_last

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.work.entry_line import Line

_SHOWN = 20


def _words_of_history(words: argparse.ArgumentParser) -> None:
    words.add_argument(
        "-n", type=int, default=_SHOWN, metavar="N", help="how many of the newest (0: all)"
    )
    words.add_argument("--json", action="store_true")
    words.set_defaults(verb=_history)


def _words_of_undo(words: argparse.ArgumentParser) -> None:
    words.add_argument("--entry", type=int, metavar="N", help="that change alone, by its number")
    words.add_argument(
        "--edited", choices=EDITED, help="what becomes of rows of an import edited since"
    )
    words.set_defaults(verb=_undo)


def _words_of_redo(words: argparse.ArgumentParser) -> None:
    words.set_defaults(verb=_redo)


WORDS = {"history": _words_of_history, "undo": _words_of_undo, "redo": _words_of_redo}


def _history(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.diary(to_read=True) as diary:
        person = whose_history(diary, asked.person_name)
        lines = history(diary, person, limit=options.n if options.n > 0 else None)
    if options.json:
        around.say_json(
            [
                {
                    "entry": line.entry,
                    "at": line.at.isoformat(),
                    "kind": line.kind,
                    "sentence": line.sentence,
                    "person": line.person,
                    "by": line.by,
                    "here": line.here,
                    "state": line.state,
                    "undoable": line.undoable,
                    "emptied": line.emptied,
                }
                for line in lines
            ]
        )
        return 0
    for line in lines:
        around.say(f"{line.entry:>5}  {line.when:>17}  {one_line(line.sentence)}{_beside(line)}")
    return 0


def _beside(line: Line) -> str:
    said = [line.state.value] if line.state is State.TAKEN_BACK else []
    said += ["emptied from the bin"] if line.emptied else []
    said += [] if line.by == "on this computer" else [line.by]
    return f"  ({'; '.join(said)})" if said else ""


def _undo(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.diary() as diary:
        if options.entry is None:
            person = whose_turn(diary, asked.person_name)
            done = undo_last(diary, person, now=around.now, edited=options.edited)
        else:
            named = person_ever(diary, asked.person_name) if asked.person_name else None
            done = undo_entry(
                diary, options.entry, now=around.now, person=named, edited=options.edited
            )
    around.say(done.sentence)
    return 0


def _redo(asked: Asked) -> int:
    with asked.diary() as diary:
        done = redo_last(
            diary, whose_turn(diary, asked.person_name, redo=True), now=asked.around.now
        )
    asked.around.say(done.sentence)
    return 0
