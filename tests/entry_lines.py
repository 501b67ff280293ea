"""What the tests of the entry line type against: Thursday 12 March 2026, 21:00, in Berlin."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from app.domain.entry import Entry, EntryContext, read_entry
from app.domain.glucose import Unit

BERLIN = "Europe/Berlin"


def context(
    now: str = "2026-03-12T21:00",
    zone: str = BERLIN,
    unit: Unit = Unit.MMOL_L,
    *,
    order: str = "dmy",
    tags: tuple[str, ...] = ("swim", "Sports day"),
    day_start: int = 0,
) -> EntryContext:
    at = datetime.fromisoformat(now).replace(tzinfo=ZoneInfo(zone))
    return EntryContext(at, zone, unit, order, tags, day_start)


def mmol(text: str, *, sure: bool = False, at: str | None = None) -> Entry:
    return read_entry(text, context(), sure=sure, at=at)


def mg(text: str, *, sure: bool = False, at: str | None = None) -> Entry:
    return read_entry(text, context(unit=Unit.MG_DL), sure=sure, at=at)


def kinds(entry: Entry) -> list[str]:
    return [question.kind for question in entry.questions]
