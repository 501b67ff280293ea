"""From the words of a command line to its verb, and from trouble to one sentence and a code."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path

from app.cli import verbs_diary, verbs_files, verbs_read, verbs_write
from app.cli.surroundings import Asked, Surroundings
from app.domain.errors import DiaryError, NeedsAnswer

DONE, REFUSED = 0, 1

Verb = Callable[[Asked], int]


def main(words: Sequence[str], around: Surroundings) -> int:
    """Run one command.

    Returns
    -------
    int
        0 done, 1 refused or a question to answer (one plain sentence on stderr). Wrong usage leaves
        with 2 by way of argparse.
    """
    options = _parser().parse_args(words)
    asked = Asked(
        around=around,
        diary_path=options.diary or around.diary,
        person_name=options.person,
        options=options,
    )
    verb: Verb = options.verb
    try:
        return verb(asked)
    except NeedsAnswer as trouble:
        for question in trouble.questions:
            around.tell(question.asks)
            if question.answers:
                around.tell("Answer with: " + "   or   ".join(question.answers))
        return REFUSED
    except DiaryError as trouble:
        around.tell(str(trouble))
        return REFUSED
    except BrokenPipeError:  # whoever read our output has seen enough
        return DONE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="thimblebook",
        description="A diary of blood glucose tests on this computer: no account, no network.",
        epilog="It records, counts and shows. It never suggests a dose; "
        "your care team's advice comes first.",
    )
    parser.add_argument("--diary", type=Path, metavar="FILE", help="the diary file")
    parser.add_argument("--person", metavar="NAME", help="whose readings")
    parser.set_defaults(verb=verbs_diary.open_window, sample=False, out=None)
    verbs = parser.add_subparsers(title="verbs", metavar="VERB")
    for module in (verbs_diary, verbs_write, verbs_read, verbs_files):
        module.add_to(verbs)
    return parser
