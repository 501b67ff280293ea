"""What belongs to a person's safety: the own low line, and the hours that are night."""

from __future__ import annotations

import json
import sqlite3
from typing import TYPE_CHECKING, Any

from app.domain.clock import Moment, diary_day
from app.domain.glucose import LimitPair
from app.domain.levels import VERY_HIGH_ABOVE, VERY_LOW_BELOW
from app.domain.person import Person
from app.domain.safety import USUAL, SafetyLine, line_on
from app.store import schema
from app.store.connection import rows_of
from app.store.diary import Diary

if TYPE_CHECKING:
    from app.store.journal import Change

NIGHT = "night"  # the key of the setting: {"from": minute, "to": minute} of the local day

_LINES = (
    "SELECT from_day, low_mg, low_mmol, why FROM safety_line WHERE person_id = ?"
    " AND deleted_at IS NULL AND low_mg IS NOT NULL ORDER BY from_day, id"
)
_NIGHT = (
    "SELECT value FROM person_setting WHERE person_id = ? AND key = ? AND deleted_at IS NULL"
    " ORDER BY from_day IS NOT NULL, from_day, id"
)
_DAY_MINUTES = 1440


def safety_lines(diary: Diary, person: Person) -> tuple[SafetyLine, ...]:
    """The person's own low lines, the oldest first; each holds until the next begins.

    One that another program wrote under 54 mg/dL (3.0 mmol/L) is read as that.
    """
    with diary.driver() as driver:
        rows = rows_of(driver, _LINES, (person.id,))
    found = []
    for row in rows:
        low = LimitPair(row["low_mg"], row["low_mmol"])
        is_safe = low.mg_dl >= VERY_LOW_BELOW.mg_dl and low.mmol_l >= VERY_LOW_BELOW.mmol_l
        found.append(SafetyLine(row["from_day"], low if is_safe else VERY_LOW_BELOW, row["why"]))
    return tuple(found)


def low_line_at(diary: Diary, person: Person, moment: Moment | None) -> SafetyLine:
    """The low line in force at a moment; the usual one where there is no moment."""
    if moment is None:
        return USUAL
    return line_on(safety_lines(diary, person), diary_day(moment, person.day_start))


def write_safety_line(change: Change, person: Person, line: SafetyLine) -> None:
    """Write a low line, with the usual lines for very low and very high beside it."""
    change.add(
        schema.safety_line,
        person_id=person.id,
        from_day=line.from_day,
        very_low_mg=VERY_LOW_BELOW.mg_dl,
        very_low_mmol=VERY_LOW_BELOW.mmol_l,
        low_mg=line.low.mg_dl,
        low_mmol=line.low.mmol_l,
        very_high_mg=VERY_HIGH_ABOVE.mg_dl,
        very_high_mmol=VERY_HIGH_ABOVE.mmol_l,
        why=line.why,
    )


def night_hours(diary: Diary, person: Person) -> tuple[int, int] | None:
    """The person's own night, from a minute of the local day up to another; None where not set."""
    with diary.driver() as driver:
        rows = rows_of(driver, _NIGHT, (person.id, NIGHT))
    return _hours(rows[-1]) if rows else None


def _hours(row: sqlite3.Row) -> tuple[int, int] | None:
    """The two minutes of a setting; a newer program's other form says nothing here."""
    try:
        held: Any = json.loads(row["value"])
        hours = (held["from"], held["to"])
    except (ValueError, TypeError, KeyError):
        return None
    whole = all(isinstance(each, int) and 0 <= each < _DAY_MINUTES for each in hours)
    return hours if whole and hours[0] != hours[1] else None
