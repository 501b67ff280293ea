"""The whole diary out of the program and back into an empty one, as export and import say it."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from app.cli.progress import progress
from app.cli.words import plural
from app.domain.errors import Refused
from app.store.diary_file import open_diary
from app.store.installation import installation_id
from app.work.whole_diary import (
    WholeSent,
    bring_whole,
    bring_whole_anew,
    export_lines,
    export_sqlite,
    lines_of,
    must_take,
    read_whole,
    whole_summary,
)

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.exchange.json_lines import Lines


def send_whole(asked: Asked) -> int:
    """Write the whole diary as JSON Lines or as one SQLite file."""
    options, around = asked.options, asked.around
    if asked.person_name or options.first or options.last:
        raise Refused(
            f"--as {options.form} is the whole diary: everybody in it and every day. --person, "
            "--from and --to go with csv. Nothing was written."
        )
    to_terminal = str(options.out) == "-"
    if to_terminal and options.form == "sqlite":
        raise Refused("A SQLite file can't be put on the terminal; name a file for it.")
    with asked.diary(to_read=True) as diary:
        if options.dry_run:
            for line in _told(whole_summary(diary), journal=options.form == "sqlite"):
                around.say(line)
            return 0
        if to_terminal:
            around.send(lines_of(diary, now=around.now).decode())
            return 0
        out, replace = options.out, options.replace
        with progress(around.err, "Writing") as step:
            if options.form == "sqlite":
                sent = export_sqlite(diary, out, replace=replace, step=step)
            else:
                sent = export_lines(diary, out, now=around.now, replace=replace, step=step)
    around.say(
        f"Written to {options.out}: the whole diary, {plural(len(sent.persons), 'person')}, "
        f"{plural(sent.count, 'row')}. Only you can read the file."
    )
    return 0


def bring_whole_in(asked: Asked, data: bytes) -> int:
    """Bring a whole diary of JSON Lines into an empty one, or into a new one where none is."""
    options, around = asked.options, asked.around
    if options.recipe or options.meter:
        raise Refused(
            "A whole diary is read in one way: --recipe and --meter go with other files. "
            "Nothing was changed."
        )
    lines = read_whole(data)
    name = os.fsencode(options.file.name).decode("utf-8", "replace")
    count = _brought(asked, lines, name)
    said = {"rows": count, "tables": lines.header.rows}
    if options.json:
        around.say_json(said)
        return 0
    head = "Would be brought in" if options.dry_run else "Brought in"
    around.say(
        f"{head}: a whole diary of {plural(count, 'row')}, made {lines.header.made_at}, "
        f"into {asked.diary_path}."
    )
    return 0


def _brought(asked: Asked, lines: Lines, name: str) -> int:
    around, path = asked.around, asked.diary_path
    installation = installation_id(around.state)
    if not path.exists():
        if asked.options.dry_run:
            return sum(1 for _ in lines.rows())
        with progress(around.err, "Bringing in") as step:
            return bring_whole_anew(
                path, installation, lines, name=name, now=around.now, state=around.state, step=step
            )
    with open_diary(path, installation, now=around.now, state=around.state) as diary:
        if asked.options.dry_run:
            must_take(diary)
            return sum(1 for _ in lines.rows())
        with progress(around.err, "Bringing in") as step:
            return bring_whole(diary, lines, name=name, now=around.now, step=step)


def _told(sent: WholeSent, *, journal: bool) -> list[str]:
    who = ", ".join(sent.persons) or "nobody"
    tables = ", ".join(f"{name} {count}" for name, count in sorted(sent.rows.items()))
    return [
        f"People: {who}. Period: all of it.",
        f"Rows: {sent.count} ({tables or 'none'}).",
        "With the journal of every change and the bin." if journal else "Without the journal.",
        "Names, notes and private notes are in it. Nothing was written.",
    ]
