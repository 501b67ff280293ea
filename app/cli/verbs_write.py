"""The verb that writes a reading: add."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from app.cli.words import value_words, when
from app.domain.cautions import Caution, caution_for
from app.domain.clock import zone_named
from app.domain.errors import DiaryError
from app.domain.marks import Mark
from app.domain.safety import USUAL
from app.store.kit_rows import kit_of
from app.store.people import care_texts
from app.store.safety import low_line_at
from app.work.enter import Entered, enter, understand
from app.work.kit_named import meter_meant, own_kit, vial_meant

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.domain.person import Person
    from app.store.diary import Diary


def _words_of_add(add: argparse.ArgumentParser) -> None:
    add.add_argument("line", nargs="+", help="value, and if you like unit, mark, time, note, #tag")
    add.add_argument("--at", metavar="WALL", help="when, if not now: 2026-03-12 07:10")
    add.add_argument("--zone", help="the zone of the place, if not the person's own")
    add.add_argument("--sure", action="store_true", help="keep an odd value or time as typed")
    add.add_argument(
        "--private-note",
        action="store_true",
        help="the note stays in this copy: not brought together with others, on no sheet",
    )
    add.add_argument("--keeper", metavar="NAME", help="who wrote it")
    add.add_argument("--meter", metavar="NAME", help="the meter; not needed with one alone")
    add.add_argument("--vial", metavar="LOT", help="the vial, if not the one its meter uses")
    add.add_argument("--json", action="store_true")
    add.set_defaults(verb=_add)


WORDS = {"add": _words_of_add}


def _add(asked: Asked) -> int:
    options, around = asked.options, asked.around
    if options.zone:
        zone_named(options.zone)
    with asked.person() as (diary, person):
        entry = understand(
            diary,
            person,
            " ".join(options.line),
            now=around.now,
            zone=options.zone,
            at=options.at,
            sure=options.sure,
        )
        meter, vial = _kit_said(diary, person, options.meter, options.vial)
        entered = enter(
            diary,
            person,
            entry,
            now=around.now,
            sure=options.sure,
            keeper=options.keeper or diary.writer,
            private_note=options.private_note,
            meter=meter,
            vial=vial,
        )
        caution = _caution(diary, person, entered)
    if options.json:
        around.say_json(
            {
                "uid": str(entered.uid),
                "person": person.name,
                "value": entered.glucose.value,
                "unit": entered.glucose.unit,
                "bound": entered.glucose.bound,
                "at": entry.moment.wall if entry.moment else None,
                "zone": entry.moment.zone if entry.moment else None,
                "mark": entry.mark,
                "note": entry.note,
                "tags": list(entry.tags),
                "caution": list(caution.lines) if caution else None,
                "understood": [
                    {"text": piece.text, "kind": piece.kind, "means": piece.means}
                    for piece in entry.pieces
                ],
            }
        )
        return 0
    parts = [value_words(entered.glucose), when(entry.moment, person.clock)]
    parts += [] if entry.mark is Mark.NONE else [entry.mark.words]
    around.say(f"Saved for {person.name}: {', '.join(parts)}.")
    for piece in entry.pieces:
        around.say(f"    {piece.text:<20} {piece.kind.replace('_', ' ')}: {piece.means}")
    for line in caution.lines if caution else ():
        around.say(line)
    return 0


def _kit_said(
    diary: Diary, person: Person, meter: str | None, vial: str | None
) -> tuple[int | None, int | None]:
    """The local ids of the meter and the vial that were named."""
    if meter is None and vial is None:
        return None, None
    kit = own_kit(kit_of(diary), person)
    return (
        None if meter is None else meter_meant(kit, meter).id,
        None if vial is None else vial_meant(kit, vial).id,
    )


def _caution(diary: Diary, person: Person, entered: Entered) -> Caution | None:
    """The caution that belongs to what was saved; the save stands whatever becomes of it."""
    care, line = None, USUAL
    try:
        care = care_texts(diary, person)
        line = low_line_at(diary, person, entered.entry.moment)
    except DiaryError:
        pass
    return caution_for(entered.glucose, care=care, line=line)
