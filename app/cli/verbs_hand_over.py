"""Verbs for carers: hand-over writes the card, return-sheet takes their paper sheet in."""

from __future__ import annotations

import argparse
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.cli.verbs_window import screen_of
from app.cli.words import a_day, one_line, plural
from app.domain.errors import Problem, Refused
from app.domain.person import checked_unit, checked_zone, today_of
from app.domain.return_sheet import ONE, TWO, CellTrouble, ReturnSheet
from app.exchange.encodings import LARGEST_BYTES, too_large
from app.exchange.sheet_csv import blank_sheet, read_sheet
from app.review.hand_over import (
    MOST_DAYS,
    USUAL_DAYS,
    USUAL_PARTS,
    CardChoice,
    CardPart,
    hand_over_card,
    parts_named,
)
from app.review.record import record_of
from app.work.return_sheet import Looked, SheetLook, look_at_sheet, save_sheet
from app.work.send_out import sent_file
from app.work.sheet_cells import words_of

if TYPE_CHECKING:
    from app.cli.surroundings import Asked

_ALL = "all"


def _words_of_hand_over(card: argparse.ArgumentParser) -> None:
    card.add_argument("out", type=Path, metavar="OUT.pdf|OUT.html")
    card.add_argument(
        "--from", dest="first", type=a_day, metavar="DAY", help="first day to fill in"
    )
    card.add_argument(
        "--days", type=int, default=USUAL_DAYS, metavar="N", help=f"1 to {MOST_DAYS}, default 5"
    )
    card.add_argument("--unit", help="mg/dL or mmol/L; the person's own where it is not said")
    card.add_argument(
        "--part",
        action="append",
        default=[],
        metavar="PART",
        help=f"only these parts: {', '.join(CardPart)}",
    )
    card.add_argument("--paper", choices=["A4", "Letter"], default="A4", help="default A4")
    card.add_argument("--replace", action="store_true", help="write over a file that lies there")
    card.set_defaults(verb=_hand_over)


def _words_of_return_sheet(sheet: argparse.ArgumentParser) -> None:
    sheet.add_argument("file", type=Path, metavar="FILE.csv")
    sheet.add_argument("--keeper", default="", metavar="NAME", help="who wrote the sheet")
    sheet.add_argument("--place", metavar="NAME", help="where it was: school")
    sheet.add_argument("--unit", help="that of the sheet; the person's own where it is not said")
    sheet.add_argument("--zone", help="where it was kept; the person's own where it is not said")
    sheet.add_argument("--meter", metavar="NAME", help="the meter that was used, if it is known")
    sheet.add_argument(
        "--answer",
        action="append",
        default=[],
        metavar="KEY=one|two",
        help="for a reading that is probably one with one of the diary, or all=one",
    )
    sheet.add_argument("--dry-run", action="store_true", help="say what it would do, write nothing")
    sheet.add_argument("--json", action="store_true")
    sheet.add_argument(
        "--blank", action="store_true", help="write FILE.csv with its titles, to be filled in"
    )
    sheet.add_argument("--from", dest="first", type=a_day, metavar="DAY", help="with --blank")
    sheet.add_argument("--days", type=int, default=USUAL_DAYS, metavar="N", help="with --blank")
    sheet.set_defaults(verb=_return_sheet)


WORDS = {"hand-over": _words_of_hand_over, "return-sheet": _words_of_return_sheet}


def _hand_over(asked: Asked) -> int:
    options, around = asked.options, asked.around
    out: Path = options.out
    if out.suffix.lower() not in (".pdf", ".html", ".htm"):
        raise Refused(f"{out.name} should end in .pdf or .html. Nothing was written.")
    unit = None if options.unit is None else checked_unit(options.unit)
    parts = parts_named(options.part) if options.part else USUAL_PARTS
    with asked.person(to_read=True) as (diary, person):
        first = options.first or today_of(person, around.now)
        choice = CardChoice(first, options.days, unit, parts)
        card = hand_over_card(diary, record_of(diary, person), choice, now=around.now)
        if out.exists() and out.samefile(diary.path):
            raise Refused(f"{out} is the diary itself; it was left as it is. Name another file.")
    if out.exists() and not options.replace:
        raise Refused(f"Something lies at {out} already; it was left as it is. Say --replace.")
    screen_of(asked).write_card(card, out, options.paper)
    held = ", ".join(part.value for part in CardPart if part in parts)
    around.say(
        f"{out}: {person.name}, {plural(options.days, 'day')} to fill in from {first}, "
        f"{card.unit}; with {held}. Only you can read the file."
    )
    return 0


def _return_sheet(asked: Asked) -> int:
    options, around = asked.options, asked.around
    if options.blank:
        return _blank(asked)
    data = _content(options.file)
    with asked.person(to_read=options.dry_run) as (diary, person):
        file = read_sheet(data, date_order=person.date_order)
        sheet = ReturnSheet(
            cells=file.cells,
            keeper=options.keeper,
            place=options.place,
            unit=checked_unit(options.unit) if options.unit else person.unit,
            zone=checked_zone(options.zone) if options.zone else person.zone,
            meter=options.meter,
        )
        look = look_at_sheet(diary, person, sheet, now=around.now)
        answers = _answers(options.answer, look)
        if options.dry_run:
            look = look_at_sheet(diary, person, sheet, now=around.now, answers=answers)
            sentence = "Nothing was written."
        else:
            saved = save_sheet(diary, person, sheet, now=around.now, answers=answers)
            look, sentence = saved.look, saved.sentence
    if options.json:
        around.say_json(_as_json(look, file.problems, sentence))
    else:
        _say(asked, look, file.problems, sentence)
    if not look.looked:
        raise Refused(
            f"No reading of {options.file} could be taken, and nothing was changed. Look at the "
            "reasons, mend the file, then bring it in again."
        )
    return 0


def _blank(asked: Asked) -> int:
    options, around = asked.options, asked.around
    if not 1 <= options.days <= MOST_DAYS:
        raise Refused(f"A sheet to fill in has 1 to {MOST_DAYS} days. Nothing was written.")
    with asked.person(to_read=True) as (diary, person):
        first = options.first or today_of(person, around.now)
        days = [first + timedelta(days=at) for at in range(options.days)]
        with sent_file(diary, options.file, replace=False) as fresh:
            fresh.write_text(blank_sheet(days), encoding="utf-8", newline="")
    around.say(f"{options.file}: an empty sheet of {plural(options.days, 'day')} from {first}.")
    return 0


def _answers(given: list[str], look: SheetLook) -> dict[str, str]:
    """The answers by key; refuses words that answer nothing, and keys that are not asked about."""
    asked = {each.reading.key for each in look.looked if each.there is not None}
    found: dict[str, str] = {}
    for text in given:
        key, _, word = text.partition("=")
        key, word = key.strip(), word.strip().casefold()
        if word not in (ONE, TWO):
            raise Refused(f'"{text}" answers nothing; say KEY=one or KEY=two. Nothing was changed.')
        if key == _ALL:
            found = {**dict.fromkeys(asked, word), **found}
        elif key in asked:
            found[key] = word
        else:
            raise Refused(f'Nothing is asked about "{key}". Nothing was changed.')
    return found


def _content(path: Path) -> bytes:
    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise too_large(size)
        return path.read_bytes()
    except OSError as problem:
        raise Refused(
            f"{path} could not be read ({problem.strerror}). Nothing was changed."
        ) from problem


def _say(asked: Asked, look: SheetLook, problems: tuple[Problem, ...], sentence: str) -> None:
    say = asked.around.say
    refused = len(look.troubles) + len(problems)
    say(sentence)
    say(
        f"{look.seen + len(problems)} seen = {look.count('new')} new + {look.count('one')} one "
        f"with what was there + {look.count('already')} already there + "
        f"{look.count('asked')} asked about + {refused} refused"
    )
    if asked.options.dry_run:
        for each in look.looked:
            say(f"  {_reading_words(each)}")
    for problem in problems:
        say(f"  refused, line {problem.line}: {problem.why}   [{one_line(problem.text)}]")
    for trouble in look.troubles:
        say(f"  refused, {trouble.key}: {one_line(trouble.why)}")
    for each in look.looked:
        if each.state == "asked":
            key = each.reading.key
            say(f"  {each.why}   --answer {key}={ONE}   or   --answer {key}={TWO}")


def _reading_words(each: Looked) -> str:
    reading = each.reading
    time = reading.moment.wall.replace("T", " ")
    about = "" if reading.has_time else ", the usual time"
    note = f"; {one_line(reading.note)}" if reading.note else ""
    return f"{each.state}: {words_of(reading.glucose)} {reading.slot.words}, {time}{about}{note}"


def _as_json(look: SheetLook, problems: tuple[Problem, ...], sentence: str) -> dict[str, Any]:
    return {
        "seen": look.seen + len(problems),
        "new": look.count("new"),
        "one": look.count("one"),
        "already": look.count("already"),
        "asked": look.count("asked"),
        "refused": len(look.troubles) + len(problems),
        "sentence": sentence,
        "readings": [
            {
                "key": each.reading.key,
                "state": each.state,
                "value": each.reading.glucose.value,
                "limit": each.reading.glucose.bound.value,
                "unit": each.reading.glucose.unit.value,
                "mark": each.reading.slot.value,
                "wall": each.reading.moment.wall,
                "has_time": each.reading.has_time,
                "note": each.reading.note,
                "why": each.why or None,
            }
            for each in look.looked
        ],
        "problems": [
            *({"line": each.line, "text": each.text, "why": each.why} for each in problems),
            *(_trouble(each) for each in look.troubles),
        ],
    }


def _trouble(each: CellTrouble) -> dict[str, Any]:
    answers = [] if each.question is None else list(each.question.answers)
    return {"key": each.key, "text": each.typed, "why": each.why, "answers": answers}
