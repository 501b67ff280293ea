"""The verb that lets files out: export."""

from __future__ import annotations

import argparse
import io
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.cli.progress import progress
from app.cli.whole import send_whole
from app.cli.words import a_day, plural
from app.domain.clock import Period
from app.domain.errors import Refused
from app.work.csv_rows import Part
from app.work.send_out import export_csv, summary, write_csv

if TYPE_CHECKING:
    from app.cli.surroundings import Asked

_DAYS_OF_PAGE = 90  # what an appointment usually looks back on (common practice, no source)
FORMS = ("csv", "jsonl", "sqlite", "html", "pdf", "ics")


def _words_of_export(sent: argparse.ArgumentParser) -> None:
    sent.add_argument(
        "--as",
        dest="form",
        required=True,
        choices=FORMS,
        help="csv: readings; jsonl, sqlite: the whole diary; html, pdf: the page; ics: the plan",
    )
    sent.add_argument(
        "out", type=Path, metavar="OUT", help="the file to write, or - for the terminal"
    )
    sent.add_argument("--from", dest="first", type=a_day, metavar="DAY")
    sent.add_argument("--to", dest="last", type=a_day, metavar="DAY")
    sent.add_argument(
        "--dry-run", action="store_true", help="say what would be in the file, write nothing"
    )
    sent.add_argument("--replace", action="store_true", help="write over a file that is there")
    sent.add_argument(
        "--without",
        action="append",
        default=[],
        choices=[part.value for part in Part],
        help="csv: what stays behind; may be said more than once",
    )
    sent.set_defaults(verb=_export)
    # What the page for an appointment may be asked for besides, as `page` has it without words.
    sent.set_defaults(days=None, default_days=_DAYS_OF_PAGE, all_time=False, ending=None)
    sent.set_defaults(paper="A4", second_sheet=False)


WORDS = {"export": _words_of_export}


def _export(asked: Asked) -> int:
    options, around = asked.options, asked.around
    if options.form == "ics":
        from app.cli.verbs_plan import send_plan

        _must_be_csv(options)
        if options.first or options.last:
            raise Refused("A plan has its own days: --from and --to go with readings.")
        if options.dry_run:
            raise Refused("To see a plan before it leaves: thimblebook plan show")
        return send_plan(asked, options.out)
    if options.form in ("html", "pdf"):
        _must_be_csv(options)
        return _send_page(asked)
    if options.form != "csv":
        _must_be_csv(options)
        return send_whole(asked)
    without = frozenset(Part(each) for each in options.without)
    with asked.person(to_read=True) as (diary, person):
        period = None
        if options.first or options.last:
            period = Period(options.first or date.min, options.last or date.max)
        if options.dry_run:
            for line in summary(diary, person, period, without):
                around.say(line)
            return 0
        if str(options.out) == "-":
            text = io.StringIO(newline="")
            write_csv(diary, person, text, period=period, without=without)
            around.send(text.getvalue())
            return 0
        with progress(around.err, "Writing") as step:
            count = export_csv(
                diary,
                person,
                options.out,
                period=period,
                without=without,
                replace=options.replace,
                step=step,
            )
    around.say(f"Written for {person.name}: {plural(count, 'reading')} to {options.out}.")
    return 0


def _must_be_csv(options: Any) -> None:
    if options.without:
        raise Refused(
            f"--without goes with --as csv; what leaves as {options.form} can't be chosen in "
            "parts. Nothing was written."
        )


def _send_page(asked: Asked) -> int:
    from app.cli.verbs_page import send_page

    options = asked.options
    if options.out.suffix.lower() != f".{options.form}":
        raise Refused(f"{options.out.name} should end in .{options.form}. Nothing was written.")
    return send_page(asked)
