"""Setting a person's own low line; the goals never touch it."""

from __future__ import annotations

from datetime import date, datetime

from app.domain.errors import Refused
from app.domain.glucose import Unit, shown
from app.domain.person import Person
from app.domain.safety import SafetyLine, checked_line
from app.store.diary import Diary
from app.store.safety import safety_lines, write_safety_line

LINE = "safety_line"


def set_low_line(
    diary: Diary,
    person: Person,
    text: str,
    unit: Unit,
    *,
    from_day: date,
    why: str | None,
    now: datetime,
) -> SafetyLine:
    """Put a low line in force from a day on; what was listed before it stays by the old line.

    Raises
    ------
    Refused
        It lies too low or too high, lacks a reason, or is in force already. Nothing was changed.
    """
    line = checked_line(text, unit, from_day=from_day.toordinal(), why=why)
    if line in safety_lines(diary, person):
        raise Refused("This line is in force from that day already; nothing was changed.")
    words = {"low": f"{shown(line.low.in_unit(unit), unit)} {unit}", "day": from_day.isoformat()}
    with diary.change(LINE, words, now=now, person=person) as change:
        write_safety_line(change, person, line)
    return line
