"""A carer's or a school's paper sheet: days down, slots across, and what stands in its boxes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from app.domain.clock import Moment
from app.domain.errors import Question, Refused
from app.domain.glucose import Glucose, Unit
from app.domain.marks import Mark
from app.domain.person import LONGEST_NAME

ONE, TWO = "one", "two"
LONGEST_CELL = 300
MOST_DAYS = 62

# The end of a day reaches into the next date, as a row of the sheet does: a rule of this diary.
_LATE = {
    Mark.AFTER_EVENING_MEAL: 5 * 60,
    Mark.BEDTIME: 5 * 60,
    Mark.NIGHT: 12 * 60,
}


@dataclass(frozen=True, slots=True)
class SheetCell:
    """A box of the sheet: the day of its row, the slot of its column, and what is typed of it.

    `line` is that of the file it was read from, where there is one.
    """

    day: date
    slot: Mark
    text: str
    line: int | None = None


@dataclass(frozen=True, slots=True)
class ReturnSheet:
    """A sheet as typed: who wrote it and where, its unit, and its boxes.

    `meter` is the name or "#2" of the meter that was used, where it is known.
    """

    cells: tuple[SheetCell, ...]
    keeper: str
    place: str | None
    unit: Unit
    zone: str
    meter: str | None = None


@dataclass(frozen=True, slots=True)
class CellReading:
    """One reading of a box as it was understood.

    `key` names it: "2026-05-04/before_lunch", a second one of the box ends in "/2". Without
    `has_time` its moment is the usual time of the slot.
    """

    key: str
    day: date
    slot: Mark
    glucose: Glucose
    moment: Moment
    has_time: bool
    note: str | None
    odd_ok: bool
    typed: str
    time_state: str = "sure"


@dataclass(frozen=True, slots=True)
class CellTrouble:
    """What stands in the way of one reading of a box: a sentence, or a question with answers."""

    key: str
    day: date
    slot: Mark
    typed: str
    why: str
    question: Question | None = None


Understood = CellReading | CellTrouble
State = Literal["new", "one", "already", "asked"]


def date_of(day: date, slot: Mark, minute: int) -> date:
    """The date of a time of day in a row of the sheet.

    After the evening meal and at bedtime, 00:00 to 04:59 are of the next date; the night follows
    bedtime, so all its times before noon are.

    >>> date_of(date(2026, 5, 4), Mark.NIGHT, 150), date_of(date(2026, 5, 4), Mark.WAKING, 270)
    (datetime.date(2026, 5, 5), datetime.date(2026, 5, 4))
    """
    return day + timedelta(days=1) if minute < _LATE.get(slot, 0) else day


def is_late(slot: Mark) -> bool:
    """Whether a slot may reach past midnight."""
    return slot in _LATE


def key_of(day: date, slot: Mark, number: int = 1) -> str:
    """The name of the n-th reading of a box.

    >>> key_of(date(2026, 5, 4), Mark.BEFORE_LUNCH), key_of(date(2026, 5, 4), Mark.NIGHT, 2)
    ('2026-05-04/before_lunch', '2026-05-04/night/2')
    """
    return f"{day.isoformat()}/{slot.value}" + (f"/{number}" if number > 1 else "")


def checked_who(name: str, what: str) -> str:
    """The name of a keeper or a place as it will be kept: one line that can be printed."""
    kept = " ".join(name.split())
    if not kept:
        raise Refused(f"Say {what}. Nothing was saved.")
    if not kept.isprintable() or len(kept) > LONGEST_NAME:
        raise Refused(
            f"A name has at most {LONGEST_NAME} characters that can be printed. Nothing was saved."
        )
    return kept
