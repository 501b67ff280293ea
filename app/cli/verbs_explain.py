"""The verb that says what a figure means, how it is worked out and what it needs: explain."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import asdict
from textwrap import wrap
from typing import TYPE_CHECKING

from app.review.help import FigureHelp, all_help, help_for

if TYPE_CHECKING:
    from app.cli.surroundings import Asked

_WIDE = 88


def _words_of_explain(shown: argparse.ArgumentParser) -> None:
    shown.add_argument("figure", nargs="*", metavar="FIGURE", help="its name; alone, all of them")
    shown.add_argument("--json", action="store_true")
    shown.set_defaults(verb=_explain)


WORDS = {"explain": _words_of_explain}


def _explain(asked: Asked) -> int:
    named = " ".join(asked.options.figure)
    found = [help_for(named)] if named else list(all_help().values())
    if asked.options.json:
        asked.around.say_json([asdict(each) for each in found])
        return 0
    for each in found:
        for line in _lines(each) if named else _listed(each):
            asked.around.say(line)
    return 0


def _listed(each: FigureHelp) -> Iterator[str]:
    yield f"{each.key:<24} {each.title}"


def _lines(each: FigureHelp) -> Iterator[str]:
    yield each.title
    yield from wrap(each.meaning, _WIDE)
    for name, text in (
        ("How", each.formula),
        ("Needs", each.minimum),
        ("Source", f"{each.source.rstrip('.')} ({each.sure})"),
        ("Caution", each.caution),
    ):
        lead = f"{name:<9}"
        yield from wrap(text, _WIDE, initial_indent=lead, subsequent_indent=" " * len(lead))
