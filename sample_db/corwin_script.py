"""What happened in Corwin's year beside the daily tests, and what went wrong with them."""

from __future__ import annotations

from app.domain.glucose import Unit
from sample_db.corwin import BLACK
from sample_db.records import Trace
from sample_db.script import (
    Added,
    ClockSet,
    ControlRun,
    Left,
    NeverHappened,
    SomeoneElse,
    Step,
    Tagged,
)

# Cleared by a slip on the first of October: the rounded paper of September is all there is.
MEMORY_BEGINS = "2025-10-01T00:00"

CLOCKS: tuple[Step, ...] = (
    ClockSet("2025-09-01T00:00", BLACK, "set at the start"),
    ClockSet("2025-11-02T06:00", BLACK, "winter time"),
    ClockSet("2026-03-08T09:00", BLACK, "summer time, set 12 hours ahead", "2026-03-08T21:00"),
    ClockSet("2026-03-15T09:00", BLACK, "set right"),
)

TRIED_BY_MAUDE: tuple[Step, ...] = (
    SomeoneElse("2025-11-27T18:40", "102", BLACK, "Maude"),
    SomeoneElse("2025-11-27T18:41", "99", BLACK, "Maude"),
    SomeoneElse("2025-12-25T19:05", "97", BLACK, "Maude"),
)

CONTROL_TESTS: tuple[Step, ...] = (
    ControlRun("2026-05-01T07:00", "112", BLACK, flagged=False),
    ControlRun("2026-06-01T07:00", "118", BLACK, flagged=False),
    ControlRun("2026-07-01T07:00", "109", BLACK, flagged=False),
)

LOW_ON_THE_RIDE: tuple[Step, ...] = (
    NeverHappened("2026-05-16T16:00", "2026-05-16T19:00"),
    Added("2026-05-16T17:20", "58", BLACK, note="shaky at the gate"),
    Added("2026-05-16T17:37", "66", BLACK, note="Maude brought juice"),
    Added("2026-05-16T17:55", "94", BLACK, note="better, walked the bicycle home"),
)

# The memory of 100 records had turned over before it was copied; paper has two of the six.
OVERWRITTEN: tuple[Step, ...] = (
    Left("2026-05-21T06:00", "2026-05-22T12:00", BLACK, Trace.LOST),
    Left("2026-05-22T12:00", "2026-05-23T00:00", BLACK, Trace.PAPER),
    Left("2026-05-23T00:00", "2026-05-23T22:00", BLACK, Trace.LOST),
)

BORROWED_METER: tuple[Step, ...] = (
    Added(
        "2026-06-30T12:30",
        "8.2",
        None,
        unit=Unit.MMOL_L,
        written_unit=Unit.MG_DL,
        note="borrowed meter, it shows mmol/L",
    ),
)

SCRIPT: tuple[Step, ...] = (
    *CLOCKS,
    Left("2025-09-01T00:00", MEMORY_BEGINS, BLACK, Trace.PAPER),
    *TRIED_BY_MAUDE,
    Tagged("2025-12-08T00:00", "2025-12-15T00:00", "steroid course"),
    *CONTROL_TESTS,
    *LOW_ON_THE_RIDE,
    *OVERWRITTEN,
    *BORROWED_METER,
)
