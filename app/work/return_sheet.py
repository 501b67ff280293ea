"""A paper sheet comes back: looked at against the diary first, then saved in one transaction.

A box is probably one with a reading of the same value within ten minutes; where only one of both
has a time, within two hours and of no other mark. That is asked, never decided. What the diary has
from the same sheet already is passed over, so that a sheet can be typed again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

import numpy as np

from app.domain.errors import Refused
from app.domain.kit import Kit
from app.domain.marks import MARKS, SLOTS, Mark
from app.domain.person import Person
from app.domain.reading import NewReading, Stamp
from app.domain.return_sheet import (
    MOST_DAYS,
    ONE,
    TWO,
    CellReading,
    CellTrouble,
    ReturnSheet,
    State,
    Understood,
    checked_who,
    is_late,
)
from app.store.columns import Columns, columns_of
from app.store.diary import Diary, Reader
from app.store.kit_rows import kit_of
from app.store.readings import write_reading
from app.store.sheets import SHEET, There, fill_in, readings_there
from app.store.wishes import usual_times
from app.work.found_by_hand import SAME_SECONDS, SAME_SLOT_SECONDS
from app.work.kit_named import meter_meant, own_kit
from app.work.sheet_cells import read_box, words_of
from app.work.told import told

RETURN_SHEET = "return_sheet"
_FEWEST = 5  # readings of a slot before their middle is taken for its usual time (our own rule)
_NOON, _DAY = 720, 1440


@dataclass(frozen=True, slots=True)
class Looked:
    """One reading of the sheet and where it goes.

    `state` is new, one (with a reading that is there), already (there from this sheet) or asked;
    `there` is the reading that it meets, `why` the question in words.
    """

    reading: CellReading
    state: State
    there: There | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class SheetLook:
    """A sheet as it would be saved: its readings by row and slot, and what was not understood."""

    looked: tuple[Looked, ...]
    troubles: tuple[CellTrouble, ...]

    def count(self, state: State) -> int:
        """How many readings go one way."""
        return sum(each.state == state for each in self.looked)

    @property
    def seen(self) -> int:
        """How many readings stand on the sheet: new, one, already, asked and not understood."""
        return len(self.looked) + len(self.troubles)


@dataclass(frozen=True, slots=True)
class SheetSaved:
    """What was done, in a sentence, and the account of it."""

    sentence: str
    look: SheetLook
    written: bool


def usual_minutes(diary: Diary, person: Person) -> dict[Mark, int]:
    """The usual minute of the day of each slot: as the person said, else the middle of its tests.

    A slot with neither, or with fewer than five tests, has none.
    """
    return _seen_minutes(columns_of(diary, person)) | usual_times(diary, person)


def understood(
    sheet: ReturnSheet, person: Person, usual: Mapping[Mark, int], *, now: datetime
) -> tuple[Understood, ...]:
    """Every reading of the sheet, as far as it can be understood, in the order of its boxes."""
    return tuple(
        each
        for cell in sheet.cells
        for each in read_box(cell, person, sheet.unit, sheet.zone, usual, now=now)
    )


def look_at_sheet(
    diary: Diary,
    person: Person,
    sheet: ReturnSheet,
    *,
    now: datetime,
    answers: Mapping[str, str] | None = None,
    usual: Mapping[Mark, int] | None = None,
) -> SheetLook:
    """Say where each reading of a sheet would go; nothing is written.

    Parameters
    ----------
    answers : mapping of str to str, optional
        For keys of readings that are probably one with one of the diary: "one" or "two".
    usual : mapping of Mark to int, optional
        What `usual_minutes` gave; it is asked for where it is not in hand.

    Raises
    ------
    Refused
        A name can't be printed, the meter is not known, or the sheet has too many days.
    """
    sheet = _checked(sheet, own_kit(kit_of(diary), person))
    usual = usual_minutes(diary, person) if usual is None else usual
    read = understood(sheet, person, usual, now=now)
    with diary.reading() as connection:
        return _looked(connection, person, sheet, read, answers or {})


def save_sheet(
    diary: Diary,
    person: Person,
    sheet: ReturnSheet,
    *,
    now: datetime,
    answers: Mapping[str, str] | None = None,
    usual: Mapping[Mark, int] | None = None,
) -> SheetSaved:
    """Save what can be saved of a sheet, all of it in one transaction with one entry to undo.

    What is asked about and what was not understood waits: it stands in the look that comes back.

    Raises
    ------
    Refused
        No keeper is said, the meter is not known, the sheet has too many days, or the diary was
        changed meanwhile so that the sheet would go elsewhere. Nothing was saved.
    """
    said = answers or {}
    kit = own_kit(kit_of(diary), person)
    checked_who(sheet.keeper, "who wrote the sheet")
    sheet = _checked(sheet, kit)
    meter = None if sheet.meter is None else meter_meant(kit, sheet.meter).id
    look = look_at_sheet(diary, person, sheet, now=now, answers=said, usual=usual)
    new, one = look.count("new"), look.count("one")
    if not new and not one:
        return SheetSaved(_nothing(look), look, written=False)
    days = [each.reading.day.isoformat() for each in look.looked if each.state in ("new", "one")]
    words = {
        "count": new,
        "one": one,
        "keeper": sheet.keeper,
        "place": sheet.place or "",
        "first": min(days),
        "last": max(days),
    }
    read: tuple[Understood, ...] = (*(each.reading for each in look.looked), *look.troubles)
    with diary.change(RETURN_SHEET, words, now=now, person=person) as change:
        # Looked at anew: another program may have written since, and from here on none can.
        again = _looked(change.connection, person, sheet, read, said)
        if [each.state for each in again.looked] != [each.state for each in look.looked]:
            raise Refused(
                "The diary was changed meanwhile, so this sheet meets other readings. Nothing was "
                "saved; look at it again."
            )
        for each in again.looked:
            reading = each.reading
            if each.state == "new":
                write_reading(change, person, _as_new(reading, sheet, meter), origin=SHEET)
            elif each.state == "one" and each.there is not None:
                fill_in(
                    change,
                    each.there,
                    keeper=sheet.keeper,
                    place=sheet.place,
                    mark=reading.slot.value,
                    note=reading.note,
                    moment=reading.moment if reading.has_time else None,
                )
    return SheetSaved(told(RETURN_SHEET, words), look, written=True)


def _checked(sheet: ReturnSheet, kit: Kit) -> ReturnSheet:
    days = {cell.day for cell in sheet.cells}
    if len(days) > MOST_DAYS:
        raise Refused(
            f"A sheet has at most {MOST_DAYS} days; this one has {len(days)}. Nothing was saved; "
            "take it in parts."
        )
    if sheet.meter is not None:
        meter_meant(kit, sheet.meter)
    keeper, place = sheet.keeper.strip(), (sheet.place or "").strip()
    return replace(
        sheet,
        keeper=checked_who(keeper, "who wrote the sheet") if keeper else "",
        place=checked_who(place, "where it was") if place else None,
    )


def _looked(
    connection: Reader,
    person: Person,
    sheet: ReturnSheet,
    read: Iterable[Understood],
    answers: Mapping[str, str],
) -> SheetLook:
    readings = [each for each in read if isinstance(each, CellReading)]
    troubles = tuple(each for each in read if isinstance(each, CellTrouble))
    if not readings:
        return SheetLook((), troubles)
    reach = SAME_SLOT_SECONDS
    instants = [each.moment.instant for each in readings]
    free = list(readings_there(connection, person, min(instants) - reach, max(instants) + reach))
    looked: list[Looked | None] = [None] * len(readings)
    # What this sheet wrote before is recognised first: then nothing else can take its place.
    for at, each in enumerate(readings):
        same = next((one for one in free if _is_from_this(one, each, sheet)), None)
        if same is not None:
            free.remove(same)
            looked[at] = Looked(each, "already", same)
    for at, each in enumerate(readings):
        if looked[at] is not None:
            continue
        near = _nearest(each, free)
        if near is None:
            looked[at] = Looked(each, "new")
            continue
        free.remove(near)
        answer = answers.get(each.key)
        state: State = "one" if answer == ONE else "new" if answer == TWO else "asked"
        looked[at] = Looked(each, state, near, "" if answer else _why(each, near))
    return SheetLook(tuple(each for each in looked if each is not None), troubles)


def _is_from_this(there: There, reading: CellReading, sheet: ReturnSheet) -> bool:
    """Whether a reading came from this sheet: the same value of the same slot, by who and where."""
    by_whom = there.keeper == sheet.keeper and (sheet.place in (None, there.place))
    if not _is_same_result(there, reading) or not by_whom or there.mark != reading.slot.value:
        return False
    if there.origin == SHEET:
        return there.instant == reading.moment.instant
    return _is_near(there, reading)


def _nearest(reading: CellReading, free: Sequence[There]) -> There | None:
    near = [one for one in free if _is_same_result(one, reading) and _is_near(one, reading)]
    return min(near, key=lambda one: abs(one.instant - reading.moment.instant), default=None)


def _is_same_result(there: There, reading: CellReading) -> bool:
    glucose = reading.glucose
    number = None if there.value is None else float(there.value)
    return (there.bound, number, there.unit) == (
        glucose.bound.value,
        glucose.number,
        glucose.unit.value,
    )


def _is_near(there: There, reading: CellReading) -> bool:
    apart = abs(there.instant - reading.moment.instant)
    if there.has_time and reading.has_time:
        return apart <= SAME_SECONDS
    fits = there.mark in (Mark.NONE.value, reading.slot.value)
    return fits and apart <= SAME_SLOT_SECONDS


def _why(reading: CellReading, there: There) -> str:
    who = f" by {there.keeper}" if there.keeper else ""
    about = "" if there.has_time else "about "
    day = date.fromisoformat(there.wall[:10])
    return (
        f"{words_of(reading.glucose)} is probably one with the same value of {about}"
        f"{there.wall[11:16]} on {day:%a} {day.day} {day:%b} that is in the diary{who}."
    )


def _as_new(reading: CellReading, sheet: ReturnSheet, meter: int | None) -> NewReading:
    return NewReading(
        glucose=reading.glucose,
        moment=reading.moment,
        time_from="paper",
        time_state=reading.time_state,
        time_precision="minute" if reading.has_time else "slot",
        mark=reading.slot,
        mark_from="person",
        odd_ok=reading.odd_ok,
        stamp=Stamp(value=reading.typed),
        note=reading.note,
        keeper=sheet.keeper,
        place=sheet.place,
        meter_id=meter,
    )


def _nothing(look: SheetLook) -> str:
    if look.count("asked") or look.troubles:
        return "Nothing was saved: what is on the sheet waits for an answer."
    if look.looked:
        return "Nothing was saved: the diary has all of this sheet already."
    return "Nothing was saved: the sheet is empty."


def _seen_minutes(columns: Columns) -> dict[Mark, int]:
    found = {}
    for slot in SLOTS:
        minutes = columns.minute[columns.mark == MARKS.index(slot)]
        if minutes.size < _FEWEST:
            continue
        # Slots that reach past midnight are counted from noon, so that 00:20 comes after 23:50.
        shift = _NOON if is_late(slot) else 0
        middle = int(np.median((minutes - shift) % _DAY))
        found[slot] = (middle + shift) % _DAY
    return found
