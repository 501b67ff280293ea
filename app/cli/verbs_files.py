"""The verb that brings files in: import."""

from __future__ import annotations

import argparse
import os
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.cli.progress import progress
from app.cli.whole import bring_whole_in
from app.cli.words import one_line, plural
from app.domain.errors import Refused
from app.domain.person import LONGEST_NAME, same_name
from app.exchange.answers import answered
from app.exchange.encodings import LARGEST_BYTES, too_large
from app.exchange.json_lines import is_whole_diary
from app.exchange.recipe import Recipe
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.review.clocks import clocks_of
from app.store.imports import recipe_named
from app.store.kit_rows import kit_of
from app.work.bring_in import BroughtIn, File, bring_in, try_file
from app.work.picked import kept_recipe
from app.work.row_answers import WORDS as WORDS_OF_ROWS
from app.work.row_answers import row_answers

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.store.diary import Diary

_MOST_SHOWN = 20
_NO_RECIPE = "none"


def _words_of_import(taken: argparse.ArgumentParser) -> None:
    taken.add_argument("file", type=Path)
    taken.add_argument(
        "--recipe", metavar="NAME|FILE.toml|none", help="how this source is to be read"
    )
    taken.add_argument("--meter", metavar="NAME", help="the meter whose memory this is a copy of")
    taken.add_argument("--dry-run", action="store_true", help="say what it would do, write nothing")
    taken.add_argument("--encoding", help="answer: utf-8, cp1252, ...")
    taken.add_argument("--delimiter", help="answer: comma, semicolon, tab, bar")
    taken.add_argument("--date-order", help="answer: dmy, mdy, ymd")
    taken.add_argument("--unit", help="answer: mg/dL or mmol/L")
    taken.add_argument("--unit-from", help="answer: 212=mg/dL for a unit that changes, or none")
    taken.add_argument(
        "--answer",
        action="append",
        default=[],
        metavar="LINE=WORD",
        help=f"answer about a row, or all=WORD: {', '.join(WORDS_OF_ROWS)}",
    )
    taken.add_argument("--json", action="store_true")
    taken.set_defaults(verb=_import)


WORDS = {"import": _words_of_import}


def _import(asked: Asked) -> int:
    options, around = asked.options, asked.around
    data = _content(options.file)
    if is_whole_diary(data) or options.file.suffix.lower() == ".jsonl":
        return bring_whole_in(asked, data)
    with asked.person(to_read=options.dry_run) as (diary, person):
        recipe, kept = _recipe(diary, options.recipe, data)
        known = recipe is not None and options.recipe is None
        recipe = answered(
            recipe,
            encoding=options.encoding,
            delimiter=options.delimiter,
            date_order=options.date_order,
            unit=options.unit,
            unit_from=options.unit_from,
        )
        read = read_table(data, recipe, unit_hint=person.unit)
        if known:
            read = replace(read, notes=(_known_words(recipe.name), *read.notes))
        name = os.fsencode(options.file.name).decode("utf-8", "replace")
        meter = None if options.meter is None else _meter(diary, options.meter)
        file = File(name, data, read, meter)
        said = row_answers(options.answer)
        if options.dry_run:
            found = try_file(diary, person, file, now=around.now, answers=said)
        else:
            with progress(around.err, "Bringing in") as step:
                found = bring_in(
                    diary, person, file, now=around.now, recipe=kept, answers=said, step=step
                )
        suspect = 0
        if meter is not None and not options.dry_run:
            proposals = clocks_of(diary, person).proposals
            suspect = sum(each.meter.name == meter for each in proposals)
    if not found.account.seen:
        raise Refused(f"{options.file} holds no rows to read; nothing was changed.")
    if options.json:
        around.say_json({**_as_json(found), "suspect_clocks": suspect})
    else:
        _say(asked, found, person.name)
        if suspect:
            stretches = plural(suspect, "stretch", "stretches")
            around.say(f"{stretches} of the memory may have a wrong clock; see: thimblebook clocks")
    if found.account.refused == found.account.seen:
        raise Refused(
            f"No row of {options.file} could be read, and nothing was changed. "
            "Look at the reasons, mend the file or give a recipe, then bring it in again."
        )
    return 0


def _meter(diary: Diary, text: str) -> str:
    """The name of a meter as the kit has it, or as it will be kept."""
    name = " ".join(text.split())
    if not name or not name.isprintable() or len(name) > LONGEST_NAME:
        raise Refused(
            f"A meter's name has 1 to {LONGEST_NAME} characters that can be printed. "
            "Nothing was changed."
        )
    there = (each.name for each in kit_of(diary).meters if same_name(each.name, name))
    return next(there, name)


def _content(path: Path) -> bytes:
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise too_large(path.stat().st_size)
        with path.open("rb") as stream:  # a device or a pipe says no size and may never end
            data = stream.read(LARGEST_BYTES + 1)
    except OSError as problem:
        raise Refused(
            f"{path} can't be read ({problem.strerror}). Nothing was changed."
        ) from problem
    if len(data) > LARGEST_BYTES:
        raise too_large(len(data))
    return data


def _known_words(name: str) -> str:
    return (
        f'Read by the recipe "{name}", kept for files like this; '
        f"--recipe {_NO_RECIPE} reads it without."
    )


def _recipe(
    diary: Diary, named: str | None, data: bytes
) -> tuple[Recipe | None, tuple[str, str] | None]:
    """The recipe, and its name and text where it is to be kept."""
    if named == _NO_RECIPE:
        return None, None
    if named is None:
        known = kept_recipe(diary, data)
        return (None if known is None else read_recipe(known[1], where=known[0])), None
    if named.endswith(".toml"):
        try:
            text = Path(named).read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as problem:
            raise Refused(f"The recipe {named} can't be read. Nothing was changed.") from problem
        recipe = read_recipe(text, where=named)
        return recipe, (recipe.name, text)
    with diary.reading() as connection:
        kept = recipe_named(connection, named)
    if kept is None:
        raise Refused(
            f'This diary keeps no recipe named "{named}". Give the recipe\'s file once: '
            "--recipe FILE.toml"
        )
    return read_recipe(kept, where=named), None


def _say(asked: Asked, found: BroughtIn, name: str) -> None:
    say, account = asked.around.say, found.account
    head = "Would be brought in" if asked.options.dry_run else "Brought in"
    kinds = ", ".join(
        plural(count, kind.replace("_", " ")) for kind, count in found.kinds.items() if count
    )
    say(f"{head} for {name}: {kinds or 'nothing new'}.")
    say(
        f"{account.seen} rows = {account.new} new + {account.already} already there "
        f"+ {account.refused} refused + {account.held} held"
    )
    for note in found.notes:
        say(note)
    if found.undated:
        say(f"{plural(found.undated, 'reading')} undated: the meter's clock said no possible time.")
        say("They are in no figure; see: thimblebook clocks")
    if found.flagged.get("gap"):
        say(f"{found.flagged['gap']} in an hour that the clocks skipped: kept as written, flagged")
    if found.flagged.get("overlap"):
        say(f"{found.flagged['overlap']} in an hour that came twice: the first taken, flagged")
    for verdict, problems in (("refused", found.refused), ("held", found.held)):
        for problem in problems[:_MOST_SHOWN]:
            text = one_line(problem.text.strip())
            say(f"  {verdict}, line {problem.line}: {problem.why}   [{text}]")
        if len(problems) > _MOST_SHOWN:
            say(f"  and {len(problems) - _MOST_SHOWN} more {verdict}; see them with --json")
    if found.linked:
        say(f"{plural(found.linked, 'row')} already there as written by hand")
    if found.asked:
        rows = plural(len(found.asked), "row")
        say(f"{rows} can be answered about; bring the file in again with the answer:")
        for question in found.asked[:_MOST_SHOWN]:
            say(f"  {'   or   '.join(question.words)}")


def _as_json(found: BroughtIn) -> dict[str, Any]:
    account = found.account
    problems = [
        {"line": each.line, "text": each.text, "why": each.why, "verdict": verdict}
        for verdict, some in (("refused", found.refused), ("held", found.held))
        for each in some
    ]
    return {
        "seen": account.seen,
        "new": account.new,
        "already": account.already,
        "refused": account.refused,
        "held": account.held,
        "kinds": found.kinds,
        "undated": found.undated,
        "flagged": found.flagged,
        "notes": list(found.notes),
        "linked": found.linked,
        "asked": [
            {
                "line": each.line,
                "kind": each.kind,
                "asks": each.asks,
                "answers": list(each.words),
            }
            for each in found.asked
        ],
        "problems": sorted(problems, key=lambda problem: problem["line"]),
    }
