"""What a person does with vials of strips: add them, correct their dates, say what is in use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any
from uuid import UUID

from app.domain.clock import Moment
from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.kit import GLUCOSE, ControlRange, Kit, Meter, Vial, VialUse
from app.domain.numerals import plain_number
from app.domain.person import Person
from app.domain.vials_used import stretches_of, vial_at
from app.store.diary import Diary
from app.store.journal import Change
from app.store.kit_rows import kit_of
from app.store.kit_writes import add_row, bin_row, edit_row, write_ranges
from app.work.kit_things import (
    MOST_DAYS_OPEN,
    MOST_STRIPS,
    NOT_SAVED,
    PARTS,
    KitDone,
    must_be,
)
from app.work.note_down import kept_text, wall_words
from app.work.told import told


def add_vial(
    diary: Diary,
    person: Person,
    *,
    now: datetime,
    lot: str | None = None,
    kind: str = GLUCOSE,
    printed: str | None = None,
    opened: date | None = None,
    days_open: int | None = None,
    strips: int | None = None,
    ranges: Sequence[ControlRange] = (),
    meter: Meter | None = None,
    since: int | None = None,
) -> KitDone:
    """Add a vial; with a meter, and `since` when (UTC seconds), it is that meter's vial from then.

    Raises
    ------
    Refused
        A number is impossible, or a vial is used before it is opened. Nothing was saved.
    """
    must_be(strips, MOST_STRIPS, "strips")
    must_be(days_open, MOST_DAYS_OPEN, "days after opening")
    name = kept_text(lot)
    words = {"vial": name, "meter": meter.name if meter else None}
    with diary.change("kit_vial_add", words, now=now, person=person) as change:
        row_id, uid = add_row(
            change,
            "vial",
            kind=kind,
            person_id=person.id,
            lot=name,
            strips=strips,
            printed_expiry=printed,
            opened_day=opened.toordinal() if opened else None,
            days_open=days_open,
        )
        write_ranges(change, row_id, ranges)
        if meter is not None and since is not None:
            _take_over(change, kit_of(diary), row_id, meter, since)
    return KitDone("vial", row_id, uid, told("kit_vial_add", words))


def edit_vial(
    diary: Diary,
    person: Person,
    vial: Vial,
    fields: Mapping[str, Any],
    *,
    now: datetime,
    ranges: Sequence[ControlRange] = (),
) -> KitDone:
    """Correct what is known of a vial: dates, lot, strips, ranges; doubt follows at once.

    Raises
    ------
    Refused
        Nothing would be different, or a number is impossible. Nothing was changed.
    """
    must_be(fields.get("strips"), MOST_STRIPS, "strips")
    must_be(fields.get("days_open"), MOST_DAYS_OPEN, "days after opening")
    parts = [PARTS.get(each, each) for each in fields] + (["range"] if ranges else [])
    words = {"vial": vial.lot, "parts": parts}
    with diary.change("kit_vial_edit", words, now=now, person=person) as change:
        different = edit_row(change, "vial", vial.id, **fields)
        different |= write_ranges(change, vial.id, ranges)
        if not different:
            raise Refused("That is what stands there already; nothing was changed.")
    return KitDone("vial", vial.id, vial.uid, told("kit_vial_edit", words))


def use_vial(
    diary: Diary,
    person: Person,
    vial: Vial,
    meter: Meter,
    start: Moment,
    *,
    now: datetime,
    end: Moment | None = None,
    beside: bool = False,
) -> KitDone:
    """Say that a meter uses a vial from a moment on, or between two.

    Without an end the meter's vial until then is used no more, unless `beside` says that both are.

    Raises
    ------
    Refused
        It would end before it begins, or is in use already. Nothing was saved.
    """
    if end is not None and end.instant <= start.instant:
        raise Refused(f"The use would end before it begins. {NOT_SAVED}")
    kit = kit_of(diary)
    if vial_at(stretches_of(kit.uses), meter.id, start.instant) == vial.id:
        raise Refused(f"{vial.name} is used with {meter.name} then already; nothing was changed.")
    words = {"vial": vial.name, "meter": meter.name, "at": wall_words(start)}
    with diary.change("kit_use", words, now=now, person=person) as change:
        if end is None and not beside:
            row_id, uid = _take_over(change, kit, vial.id, meter, start.instant)
        else:
            row_id, uid = add_row(
                change,
                "vial_use",
                vial_id=vial.id,
                meter_id=meter.id,
                from_instant=start.instant,
                to_instant=end.instant if end else None,
            )
    return KitDone("vial_use", row_id, uid, told("kit_use", words))


def end_use(diary: Diary, person: Person, vial: Vial, at: Moment, *, now: datetime) -> KitDone:
    """Say that a vial is used no more from a moment on: its open uses end, and it is finished.

    Raises
    ------
    Refused
        It is in no use then. Nothing was changed.
    """
    running = [
        use
        for use in kit_of(diary).uses
        if use.vial == vial.id and use.end is None and use.start < at.instant
    ]
    words = {"vial": vial.name, "at": wall_words(at)}
    with diary.change("kit_use_end", words, now=now, person=person) as change:
        for use in running:
            edit_row(change, "vial_use", use.id, to_instant=at.instant)
        different = edit_row(change, "vial", vial.id, finished_day=at.day)
        if not (running or different):
            raise Refused(f"{vial.name} is in no use then; nothing was changed.")
    return KitDone("vial", vial.id, vial.uid, told("kit_use_end", words))


def forget_use(
    diary: Diary, person: Person, vial: Vial, use: VialUse, name: str, *, now: datetime
) -> KitDone:
    """Put a use of a vial that never was into the bin, told by a name; doubt follows at once."""
    words = {"sort": "use of a vial", "named": name}
    with diary.change("kit_remove", words, now=now, person=person) as change:
        bin_row(change, "vial_use", use.id)
    return KitDone("vial", vial.id, vial.uid, told("kit_remove", words))


def read_range(text: str, level: str, unit: Unit) -> ControlRange:
    """A printed range: "5.2-7.8", "96 - 144".

    Raises
    ------
    Refused
        It is no range, or upside down.
    """
    ends = [plain_number(each) for each in text.replace("–", "-").split("-")]
    low, high = ends if len(ends) == 2 else (None, None)
    if low is None or high is None or not float(low) < float(high):
        raise Refused(f'"{text}" is no range; write it as printed, 5.2-7.8. {NOT_SAVED}')
    return ControlRange(level, low, high, unit)


def _take_over(
    change: Change, kit: Kit, vial_id: int, meter: Meter, start: int
) -> tuple[int, UUID]:
    """Let a meter use a vial from an instant on: what it used then ends, what came later stays."""
    own = [use for use in kit.uses if use.meter == meter.id]
    for use in own:
        if use.start < start and use.end is None:
            edit_row(change, "vial_use", use.id, to_instant=start)
    later = [use.start for use in own if use.start > start]
    return add_row(
        change,
        "vial_use",
        vial_id=vial_id,
        meter_id=meter.id,
        from_instant=start,
        to_instant=min(later) if later else None,
    )
