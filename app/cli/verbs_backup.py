"""Verbs about copies of the diary: backup, backups, restore."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.cli.progress import progress
from app.cli.words import plural
from app.domain.errors import Refused
from app.store.backup import rows_in
from app.store.backup_facts import BackupFacts, default_folder, list_backups, local, newest_verified
from app.work.backup import age_words, backup_now, shrank_words, why_words
from app.work.restore import restore

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def _words_of_backup(backup: argparse.ArgumentParser) -> None:
    backup.add_argument(
        "folder", nargs="?", type=Path, metavar="DIR", help="a second place, another disk perhaps"
    )
    backup.add_argument(
        "--sure", action="store_true", help="the diary really holds fewer rows than before"
    )
    backup.add_argument("--json", action="store_true")
    backup.set_defaults(verb=_backup)


def _words_of_backups(backups: argparse.ArgumentParser) -> None:
    backups.add_argument("folder", nargs="?", type=Path, metavar="DIR", help="the second place")
    backups.add_argument("--json", action="store_true")
    backups.set_defaults(verb=_backups)


def _words_of_restore(restored: argparse.ArgumentParser) -> None:
    restored.add_argument(
        "file", type=Path, help="a backup by its path, or by its name where backups lists it"
    )
    restored.set_defaults(verb=_restore)


WORDS = {"backup": _words_of_backup, "backups": _words_of_backups, "restore": _words_of_restore}


def _backup(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.diary(to_read=True) as diary:
        made = backup_now(
            diary, now=around.now, folder=options.folder, smaller_is_right=options.sure
        )
    if options.json:
        around.say_json(_as_json(made))
    else:
        around.say(f"Backed up and checked: {plural(made.readings, 'reading')} in {made.path}")
    if made.apart:
        raise Refused(shrank_words(made, rows_in(made)))
    return 0


def _backups(asked: Asked) -> int:
    options, around = asked.options, asked.around
    found = list_backups(asked.diary_path, options.folder)
    newest = newest_verified(asked.diary_path, options.folder)
    age = age_words(newest, around.now)
    if options.json:
        around.say_json(
            {
                "newest_checked": str(newest.path) if newest else None,
                "backups": [_as_json(each) for each in reversed(found)],
            }
        )
        return 0
    around.say(f"{age[0].upper()}{age[1:]}.")
    for each in reversed(found):
        around.say(f"{_line(each)}\n    {each.path}")
    return 0


def _restore(asked: Asked) -> int:
    around = asked.around
    file = _named(asked)
    with progress(around.err, "Restoring") as step:
        done = restore(asked.diary_path, file, now=around.now, state=around.state, step=step)
    asked.around.say(done.sentence)
    if done.before is not None:
        asked.around.say(f"A backup of it is in {done.before.path}")
    return 0


def _named(asked: Asked) -> Path:
    """The file of a path; of a bare name, also the one beside the diary or among its backups."""
    file: Path = asked.options.file
    if not file.exists() and file.name == str(file):
        for folder in (asked.diary_path.resolve().parent, default_folder(asked.diary_path)):
            if (folder / file).is_file():
                return folder / file
    return file


def _line(facts: BackupFacts) -> str:
    if facts.verified_at is None:
        return f"{facts.at:%Y-%m-%d %H:%M}  not known to be checked  {why_words(facts.why)}"
    at = local(facts.at, facts.zone)
    words = f"{at:%Y-%m-%d %H:%M}  {plural(facts.readings, 'reading')}  {why_words(facts.why)}"
    return f"{words}, kept apart: it shrank" if facts.apart else words


def _as_json(facts: BackupFacts) -> dict[str, Any]:
    return {
        "file": str(facts.path),
        "at": facts.at.isoformat(),
        "why": facts.why,
        "version": facts.version,
        "changes": facts.counter,
        "readings": facts.readings,
        "rows": facts.rows,
        "bytes": facts.size,
        "sha256": facts.sha256,
        "verified_at": facts.verified_at.isoformat() if facts.verified_at else None,
        "apart": facts.apart,
        "rows_before": facts.rows_before,
    }
