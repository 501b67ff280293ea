"""What is typed into the form of one reading, read and asked about as in the entry line."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from app.domain.entry import Entry, EntryContext, read_entry
from app.domain.glucose import Unit
from app.domain.person import Person

_OF_A_VALUE = frozenset(("value", "unit", "sure", "unclear"))
_ANY_VALUE = {Unit.MG_DL: "100", Unit.MMOL_L: "5.5"}  # stands beside a time, which is read alone


def typed_value(
    text: str, person: Person, unit: Unit, *, now: datetime, sure: bool = False
) -> Entry:
    """Read a result as the meter showed it: "7.2", "148 mg/dL", "HI", "<20".

    Parameters
    ----------
    text : str
        What was typed.
    unit : Unit
        The unit that is meant where none is typed.
    now : datetime
        The aware time.
    sure : bool, default False
        Keep an odd value as typed.

    Returns
    -------
    Entry
        Its `glucose` may be taken when it `is_ready`; else it has questions or problems.
    """
    entry = read_entry(text, _context(person, now, unit=unit), sure=sure)
    if any(piece.kind not in _OF_A_VALUE for piece in entry.pieces):
        asks = f'Only the result belongs here, as the meter showed it; "{text.strip()}" says more.'
        return replace(entry, problems=(*entry.problems, asks))
    return entry


def typed_time(
    text: str, person: Person, *, now: datetime, zone: str | None = None, sure: bool = False
) -> Entry:
    """Read a time with its day: "17 Jan 2026 21:14", "yesterday 22:10", "9:14 pm".

    Parameters
    ----------
    zone : str, optional
        Where the reading was taken; the person's own zone where that is not said.
    sure : bool, default False
        Keep a time that has not come yet as typed.

    Returns
    -------
    Entry
        Its `moment` may be taken when it `is_ready`; else it has questions or problems.
    """
    context = _context(person, now, unit=person.unit, zone=zone)
    return read_entry(_ANY_VALUE[person.unit], context, at=text, sure=sure)


def _context(person: Person, now: datetime, *, unit: Unit, zone: str | None = None) -> EntryContext:
    return EntryContext(
        now=now,
        zone=zone or person.zone,
        unit=unit,
        date_order=person.date_order,
        day_start=person.day_start,
    )
