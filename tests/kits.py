"""Small kits for tests: meters and vials by number, control tests as "+" passed and "-" failed."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import numpy as np

from app.domain.clock import moment_at
from app.domain.doubt import ReadingFacts
from app.domain.glucose import Glucose, Unit
from app.domain.kit import ControlRange, ControlTest, Kit, Meter, Narrowed, Vial, VialUse
from tests.commands import Terminal

BEGIN = datetime(2026, 6, 1, tzinfo=UTC)
RANGE = ControlRange("normal", "5.2", "7.8", Unit.MMOL_L)


def uid(kind: int, number: int) -> UUID:
    return UUID(int=kind << 32 | number)


def instant(hour: int) -> int:
    return int(BEGIN.timestamp()) + hour * 3600


def control(number: int, hour: int, meter: int, vial: int | None, value: str) -> ControlTest:
    wall = (BEGIN + timedelta(hours=hour)).replace(tzinfo=None)
    return ControlTest(
        id=number,
        uid=uid(3, number),
        meter=meter,
        level="normal",
        glucose=Glucose(value, Unit.MMOL_L),
        moment=moment_at(wall, "UTC", 0),
        vial_said=vial,
    )


def kit_of_tests(
    tests: Iterable[ControlTest] = (),
    *,
    uses: Iterable[tuple[int, int, int, int | None]] = (),
    vials: Iterable[Vial] | None = None,
    narrowed: Iterable[Narrowed] = (),
) -> Kit:
    """Three meters, three vials with ranges; `uses` are (vial, meter, first hour, last hour)."""
    usual = tuple(Vial(n, uid(2, n), lot=f"V{n}", ranges=(RANGE,)) for n in (1, 2, 3))
    return Kit(
        meters=tuple(Meter(n, uid(1, n), f"M{n}", Unit.MMOL_L, "UTC") for n in (1, 2, 3)),
        vials=usual if vials is None else tuple(vials),
        uses=tuple(
            VialUse(n, vial, meter, instant(start), None if end is None else instant(end))
            for n, (vial, meter, start, end) in enumerate(uses, start=1)
        ),
        tests=tuple(tests),
        narrowed=tuple(narrowed),
    )


def facts(rows: Iterable[tuple[int, int, int]]) -> ReadingFacts:
    """Readings from (hour, meter, vial), sorted by hour."""
    found = sorted(rows)
    n = len(found)
    hours, meters, vials = np.array(found, dtype=np.int64).reshape(n, 3).T
    at = hours * 3600 + int(BEGIN.timestamp())
    nothing = np.zeros(n, dtype=np.bool_)
    return ReadingFacts(
        instant=at,
        day=(BEGIN.date().toordinal() + hours // 24).astype(np.int32),
        meter=meters.astype(np.int32),
        vial=vials.astype(np.int32),
        mmol=np.ones(n, dtype=np.bool_),
        told=np.zeros(n, dtype=np.int32),
        is_low=nothing,
        is_after=nothing,
    )


JULY = datetime(2026, 7, 24, 9, tzinfo=UTC)


def three_vials(folder: Path) -> Terminal:
    """A diary with readings, and vials A, B and C of one meter; the control test of A passed."""
    there = Terminal(folder, now=JULY)
    there.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    there.ok("kit", "meter", "add", "blue")
    for lot, opened, at in (
        ("A", "2026-06-01", "2026-06-01 06:00"),
        ("B", "2026-07-15", "2026-07-15 06:00"),
        ("C", "2026-07-24", "2026-07-24 07:20"),
    ):
        there.ok(
            *("kit", "vial", "add", lot, "--opened", opened, "--range", "5.2-7.8"),
            *("--meter", "blue", "--at", at),
        )
    for at in (
        *("2026-06-30 07:00", "2026-07-03 07:00", "2026-07-10 07:00"),
        *("2026-07-23 22:00", "2026-07-24 07:05"),
    ):
        there.ok("add", "7.0", "--at", at)
    there.ok("kit", "control", "6.4", "--at", "2026-07-01 07:00")
    return there
