"""Fifty years of invented readings, eight a day, and a diary that holds them."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime
from pathlib import Path
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from app.domain.marks import SLOTS
from app.domain.person import Person
from app.store.diary import Diary
from app.store.diary_file import create_diary
from app.work.people import add_person

INSTALLATION = UUID("0f0e0d0c-0b0a-4009-8807-060504030201")
NOW = datetime(2026, 3, 12, 21, 30, tzinfo=UTC)
FIFTY_YEARS = 50 * 365 * 8 + 100
LAST_DAY = date(2026, 3, 12).toordinal()
_EPOCH = date(1970, 1, 1).toordinal()

Column = NDArray[np.int64]


def invented(n: int = FIFTY_YEARS, seed: int = 7) -> dict[str, Column]:
    """Day ordinal, minute of day, slot code and tenths of mmol/L, in the order of time."""
    draw = np.random.default_rng(seed)
    days = LAST_DAY - (n - 1) // 8 + np.arange(n) // 8
    slot = np.arange(n) % 8
    minute = np.clip(360 + slot * 127 + draw.integers(-40, 41, n), 0, 1439)
    tenths = np.round(np.clip(draw.lognormal(2.05, 0.33, n), 1.1, 33.3) * 10).astype(np.int64)
    order = np.lexsort((minute, days))
    return {"day": days[order], "minute": minute[order], "slot": slot[order], "tenths": tenths}


def filled_diary(folder: Path, n: int = FIFTY_YEARS) -> tuple[Diary, Person]:
    """A diary with `n` readings of one person, written past the journal in one transaction."""
    diary = create_diary(folder / "fifty.thimblebook", INSTALLATION, now=NOW)
    person = add_person(diary, "Tilde", unit="mmol/L", zone="UTC", now=NOW)
    made = invented(n)
    rows = [
        (
            os.urandom(16),
            f"{tenths / 10:.1f}",
            tenths / 10 * 18.0156,
            (day - _EPOCH) * 86400 + minute * 60,
            date.fromordinal(day).isoformat() + f"T{minute // 60:02}:{minute % 60:02}",
            day,
            minute,
            SLOTS[slot].value,
        )
        for day, minute, slot, tenths in zip(
            *(made[name].tolist() for name in ("day", "minute", "slot", "tenths")), strict=True
        )
    ]
    with diary.change("import", {}, now=NOW, person=person) as change:
        change.connection.exec_driver_sql(
            "INSERT INTO reading (uid, born, rev, person_id, value, unit, mg_dl, instant, wall,"
            " zone, offset_min, day, minute, origin, entered_at, time_from, mark, mark_from)"
            f" VALUES (?, {change.entry_id}, {change.entry_id}, {person.id}, ?, 'mmol/L', ?, ?, ?,"
            " 'UTC', 0, ?, ?, 'file', 0, 'file', ?, 'file')",
            rows,
        )
        change.bulk.add("reading")  # their hashes are worked out at the end, as an import's are
    return diary, person
