"""From the words of a command line to its verb, and from trouble to one sentence and a code."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable, Sequence
from importlib import import_module
from pathlib import Path
from typing import NamedTuple

from app.cli.surroundings import Asked, Surroundings
from app.domain.errors import DiaryError, NeedsAnswer, Refused

DONE, REFUSED = 0, 1

BEFORE_THE_VERB = ("--diary", "--person", "--writer")  # each with a value of its own

Verb = Callable[[Asked], int]


class Kind(NamedTuple):
    """A verb before its module is imported: the window must not wait for what figures need."""

    name: str
    help: str
    module: str


VERBS = (
    Kind("open", "the window", "verbs_window"),
    Kind("draw", "a page into a PNG file", "verbs_window"),
    Kind("person", "add a person, list them, set goals, remove one", "verbs_diary"),
    Kind("add", 'a reading as you would say it: add "7.2 before lunch"', "verbs_write"),
    Kind("note", "help, ketones, a lab result, a change, days, an event, a tag", "verbs_note"),
    Kind("list", "the readings", "verbs_read"),
    Kind("lows", "lows first: levels, spells, nights, what followed them", "verbs_lows"),
    Kind("figures", "averages, spread, shares, and how far to trust them", "verbs_read"),
    Kind("patterns", "what repeats, how sure that is, and what went before", "verbs_patterns"),
    Kind("test-map", "tests by slot and weekday, and the blind spots", "verbs_patterns"),
    Kind("pairs", "readings before and after the same meal, and the rise", "verbs_pairs"),
    Kind("nights", "bedtime, night and waking told together", "verbs_pairs"),
    Kind("before-after", "the same slots before and after a change", "verbs_compare"),
    Kind("compare", "weekdays, meters, keepers, places, or days with a name", "verbs_ask"),
    Kind("ask", "days with something against the others: ask swim --slot night", "verbs_ask"),
    Kind("year", "months by slot, with changes, sick days and gaps", "verbs_year"),
    Kind("bands", "share of readings in each level, by slot, weekday or month", "verbs_bands"),
    Kind("lab", "laboratory values beside the readings before them", "verbs_lab"),
    Kind("kit", "meters, strip vials, control tests, supplies, and what is due", "verbs_kit"),
    Kind("rounding", "whether values typed by hand look rounded, for you alone", "verbs_rounding"),
    Kind("clocks", "which meter's clock looks wrong, and its repair", "verbs_clocks"),
    Kind("memory", "may a meter's memory be cleared, and when it runs over", "verbs_memory"),
    Kind("hints", "what was written by hand and could be looked at again", "verbs_hints"),
    Kind("plan", "which tests are meant to happen, what was kept, a calendar file", "verbs_plan"),
    Kind("due", "what is due and to come", "verbs_due"),
    Kind("begin", "say that a meal begins: the test after it becomes due", "verbs_due"),
    Kind(
        "follow-ups",
        "rechecks, ketones, kit: switch, snooze, put away; quiet hours",
        "verbs_follow",
    ),
    Kind("care", "plans and numbers of the care team, as you type them", "verbs_follow"),
    Kind("sick", "sick days: start, stop, show with ketones and gaps", "verbs_sick"),
    Kind("journeys", "tests before and during journeys, beside your own rule", "verbs_sick"),
    Kind("explain", "what a figure means, needs and warns of", "verbs_explain"),
    Kind("page", "the page for an appointment, as PDF or web page", "verbs_page"),
    Kind("hand-over", "the card for a carer or a school, as PDF or web page", "verbs_hand_over"),
    Kind("return-sheet", "a carer's or a school's paper sheet, typed as CSV", "verbs_hand_over"),
    Kind("to-ask", "what to ask at the next visit: write, list, tick off", "verbs_page"),
    Kind("visit", "a visit, and what came of it", "verbs_page"),
    Kind("import", "bring a file of readings in", "verbs_files"),
    Kind("export", "readings, the page, the plan or the whole diary as a file", "verbs_export"),
    Kind("together", "bring another copy of this diary in: two homes, one diary", "verbs_together"),
    Kind("to-settle", "what is open since: readings probably one, two versions", "verbs_together"),
    Kind("check", "look whether the whole file is sound", "verbs_safety"),
    Kind("salvage", "what can be read of a damaged diary, into a new file", "verbs_safety"),
    Kind("history", "what was done, the newest first", "verbs_history"),
    Kind("undo", "take back the last change, or an older one alone", "verbs_history"),
    Kind("redo", "do again what was taken back last", "verbs_history"),
    Kind("bin", "what was deleted: list it, restore it, empty it for good", "verbs_bin"),
    Kind("backup", "a checked copy of the diary, beside it or in another folder", "verbs_backup"),
    Kind("backups", "the copies there are, the newest first", "verbs_backup"),
    Kind("restore", "put a copy in the place of the diary; that can be undone", "verbs_backup"),
)


def main(words: Sequence[str], around: Surroundings) -> int:
    """Run one command.

    Returns
    -------
    int
        0 done, 1 refused or a question to answer (one plain sentence on stderr). Wrong usage leaves
        with 2 by way of argparse.
    """
    options = _parser(words).parse_args(words)
    asked = Asked(
        around=around,
        diary_path=options.diary or around.diary,
        person_name=options.person,
        options=options,
    )
    verb: Verb = options.verb
    try:
        _must_be_text(vars(options).values())
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
    except OSError as trouble:
        around.tell(
            f"The answer could not be written out ({trouble.strerror or trouble}). The diary is "
            "safe, and a change that was asked for may be in it: look with list before you repeat."
        )
        return REFUSED


def _must_be_text(given: Iterable[object]) -> None:
    """Refuse words with bytes that are no text here; the name of a file may have any."""
    for value in given:
        for word in value if isinstance(value, list) else [value]:
            if isinstance(word, str) and not word.isascii():
                try:
                    word.encode()
                except UnicodeEncodeError:
                    raise Refused(
                        "A word of the command holds bytes that are no text. "
                        "Nothing was changed; type it again."
                    ) from None


def _parser(words: Sequence[str]) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="thimblebook",
        allow_abbrev=False,  # the verb is found by full words before argparse looks
        description="A diary of blood glucose tests on this computer: no account, no network.",
        epilog="It records, counts and shows. It never suggests a dose; "
        "your care team's advice comes first.",
    )
    parser.add_argument("--diary", type=Path, metavar="FILE", help="the diary file")
    parser.add_argument("--person", metavar="NAME", help="whose readings")
    parser.add_argument("--writer", metavar="NAME", help="who makes the change")
    parser.set_defaults(verb=None, sample=False, out=None)
    verbs = parser.add_subparsers(title="verbs", metavar="VERB")
    named = _verb_in(words)
    wanted = next((kind for kind in VERBS if kind.name == named), VERBS[0])
    module = import_module(f"app.cli.{wanted.module}")
    for kind in VERBS:
        if kind.module == wanted.module:
            module.WORDS[kind.name](verbs.add_parser(kind.name, help=kind.help))
        else:
            verbs.add_parser(kind.name, help=kind.help, add_help=False)
    if wanted is VERBS[0]:
        parser.set_defaults(verb=module.open_window)
    return parser


def _verb_in(words: Sequence[str]) -> str | None:
    """The first word that is neither an option nor the value of one of those before the verb."""
    rest = iter(words)
    for word in rest:
        if word in BEFORE_THE_VERB:
            next(rest, None)
        elif not word.startswith("-"):
            return word
    return None
