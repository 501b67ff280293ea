"""What happened in Tilde's year beside the daily tests, and what went wrong with them."""

from __future__ import annotations

from sample_db.records import Trace
from sample_db.script import (
    Added,
    ClockSet,
    ControlRun,
    KetoneRun,
    Left,
    Noted,
    PaperOnly,
    SomeoneElse,
    Step,
)
from sample_db.tilde import BLUE, GREY, SPARE

FIRST_MORNING = "2025-09-01T00:00"
SCHOOL_CLEARED = "2026-06-19T15:00"
FRESH_SPARE_VIALS = ("2026-02-27T18:55", "2026-03-13T19:10")

CLOCKS: tuple[Step, ...] = (
    *(ClockSet(FIRST_MORNING, meter, "set at the start") for meter in (BLUE, GREY, SPARE)),
    ClockSet("2025-10-26T06:30", BLUE, "winter time"),
    ClockSet("2025-10-26T06:30", SPARE, "winter time"),
    ClockSet("2025-11-07T09:00", GREY, "winter time, late"),
    ClockSet("2025-11-22T09:40", BLUE, "battery changed, clock restarted", "2024-01-01T00:00"),
    ClockSet("2025-12-03T20:15", BLUE, "set right after the battery change"),
    ClockSet("2026-03-29T07:00", BLUE, "summer time"),
    ClockSet("2026-04-11T12:00", SPARE, "summer time, late"),
    ClockSet("2026-04-13T08:30", GREY, "summer time"),
)

TRIED_BY_BRAM: tuple[Step, ...] = (
    SomeoneElse("2026-01-17T20:31", "5.3", SPARE, "Bram"),
    SomeoneElse("2026-01-17T20:33", "5.1", SPARE, "Bram"),
)

INFLUENZA: tuple[Step, ...] = (
    KetoneRun("2026-02-09T15:00", "0.4"),
    KetoneRun("2026-02-09T21:00", "0.8"),
    KetoneRun("2026-02-10T01:00", "1.1"),
    KetoneRun("2026-02-10T05:00", "1.7"),
    KetoneRun("2026-02-10T09:00", "1.4"),
    KetoneRun("2026-02-10T14:00", "0.9"),
    KetoneRun("2026-02-11T08:00", "0.6"),
    KetoneRun("2026-02-12T08:00", "0.3"),
    Added("2026-02-10T01:00", "16.2", BLUE, note="39.1, drinks a little"),
    Added("2026-02-10T05:00", "15.4", BLUE, note="rang the team at twenty past five"),
    Added("2026-02-10T09:00", "14.8", BLUE, note="asleep again, fever down"),
)

CONTROL_TESTS: tuple[Step, ...] = (
    ControlRun("2026-02-27T19:00", "6.4", SPARE),
    ControlRun("2026-03-13T19:00", "8.9", SPARE),
    ControlRun("2026-03-13T19:15", "6.5", SPARE),
)

BRAMS_SHEET: tuple[Step, ...] = (
    PaperOnly("2026-03-21T10:00", "6.0", "Bram", "Bram's home"),
    PaperOnly("2026-03-21T16:00", "7.0", "Bram", "Bram's home"),
    PaperOnly("2026-03-22T10:00", "8.0", "Bram", "Bram's home"),
    PaperOnly("2026-03-22T12:00", "7.0", "Bram", "Bram's home"),
)

ORANGE: tuple[Step, ...] = (
    Added("2026-04-18T15:40", "14.9", SPARE, hands="not", note="had peeled an orange"),
    Added("2026-04-18T15:46", "7.2", SPARE, hands="washed", note="after washing her hands"),
)

STOMACH_UPSET: tuple[Step, ...] = (
    KetoneRun("2026-05-19T20:00", "0.9"),
    KetoneRun("2026-05-20T07:00", "1.2"),
    Added("2026-05-19T20:00", "4.4", BLUE, note="kept down half a cup of broth"),
    Added("2026-05-20T07:00", "3.8", BLUE, note="pale, sips of apple juice"),
)

# The sheet of 8 to 12 June never came home; grey's memory was cleared before anybody copied it.
SCHOOL_FORTNIGHT: tuple[Step, ...] = (
    Left("2026-06-08T00:00", "2026-06-13T00:00", GREY, Trace.LOST),
    Left("2026-06-15T00:00", "2026-06-20T00:00", GREY, Trace.PAPER),
)

PICNIC: tuple[Step, ...] = (Noted("2026-06-28T18:23", "picnic"),)

SCRIPT: tuple[Step, ...] = (
    *CLOCKS,
    *TRIED_BY_BRAM,
    *INFLUENZA,
    *CONTROL_TESTS,
    *BRAMS_SHEET,
    *ORANGE,
    *STOMACH_UPSET,
    *SCHOOL_FORTNIGHT,
    *PICNIC,
)
