"""Verbs for a file that may be damaged: check, salvage."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from app.cli.progress import progress
from app.cli.words import plural
from app.domain.errors import StoreUnavailable
from app.store.checks import full_check
from app.store.damage import way_out
from app.store.installation import installation_id
from app.store.salvage import Salvaged, TableSaved, salvage
from app.store.spoiled import counted, days_in_words

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def _words_of_check(check: argparse.ArgumentParser) -> None:
    check.add_argument("--json", action="store_true")
    check.set_defaults(verb=_check)


def _words_of_salvage(salvaged: argparse.ArgumentParser) -> None:
    salvaged.add_argument("out", type=Path, metavar="OUT", help="the new diary file")
    salvaged.add_argument(
        "--from-backup", type=Path, metavar="FILE", help="a backup that fills in what is missing"
    )
    salvaged.add_argument("--json", action="store_true")
    salvaged.set_defaults(verb=_salvage)


WORDS = {"check": _words_of_check, "salvage": _words_of_salvage}


def _check(asked: Asked) -> int:
    around = asked.around
    with asked.diary(to_read=True, when_due=False) as diary:
        told = diary.damaged  # what to do then was said at the opening
        found = full_check(diary, around.state, now=around.now)
    if asked.options.json:
        around.say_json(
            {
                "persons": found.persons,
                "readings": found.readings,
                "changes": found.changes,
                "wrong": list(found.wrong),
            }
        )
    if found.wrong:
        after = f"Nothing was changed; {way_out(asked.diary_path)}."
        if not found.damage:
            after = "Nothing was changed; keep this file and bring back an earlier copy of it."
        what = f"Something is wrong with {asked.diary_path}: {'; '.join(found.wrong)}."
        raise StoreUnavailable(what if told else f"{what} {after}")
    if not asked.options.json:
        around.say(
            f"The file is sound: {plural(found.persons, 'person', 'persons')}, "
            f"{plural(found.readings, 'reading')}, "
            f"{plural(found.changes, 'change')} in the journal."
        )
    return 0


def _salvage(asked: Asked) -> int:
    options, around = asked.options, asked.around
    try:
        installation = installation_id(around.state)
    except StoreUnavailable:  # what has no id of its own is saved all the same
        installation = UUID(int=0)
    with progress(around.err, "Saving") as step:
        found = salvage(
            asked.diary_path,
            options.out,
            backup=options.from_backup,
            installation=installation,
            now=around.now,
            step=step,
        )
    if options.json:
        around.say_json(_as_json(found))
    else:
        _say(asked, found)
    return 0


def _say(asked: Asked, found: Salvaged) -> None:
    say = asked.around.say
    say(f"Saved into {found.out}; {asked.diary_path} was left untouched.")
    for each in found.tables:
        say(f"    {_line(each)}")
    if found.entries:
        say(f"{plural(found.entries, 'change')} of the journal can't be read any more.")
    if found.references:
        say(f"{plural(found.references, 'entry', 'entries')} lost a link to something missing.")
    if not found.verified:
        say("The old file kept no hash of its rows, so that none of them could be checked.")
    missing = sum(each.missing for each in found.tables)
    if missing:
        say("Look for what is missing in the meter and on paper before you clear either.")
    else:
        say("Nothing is known to be missing.")


def _line(each: TableSaved) -> str:
    parts = [
        f"{count} {how}"
        for count, how in (
            (each.kept, "as written"),
            (each.from_backup, "from the backup"),
            (each.rebuilt, "from the journal"),
        )
        if count
    ]
    saved = each.kept + each.from_backup + each.rebuilt
    line = f"{counted(saved, each.table)}: {', '.join(parts) or 'none'}"
    if not each.missing:
        return line
    when = days_in_words(each.days)
    return f"{line}; {each.missing} missing" + (f" ({when})" if when else "")


def _as_json(found: Salvaged) -> dict[str, object]:
    return {
        "out": str(found.out),
        "tables": {
            each.table: {
                "kept": each.kept,
                "from_backup": each.from_backup,
                "rebuilt": each.rebuilt,
                "missing": each.missing,
                "days": [[str(first), str(last)] for first, last in each.days],
            }
            for each in found.tables
        },
        "journal_entries_lost": found.entries,
        "links_dropped": found.references,
        "verified": found.verified,
    }
