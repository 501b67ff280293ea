"""Tilde's household: who writes, which meters and vials, the visits, the terms and the swims."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from functools import cache

from app.domain.glucose import Unit
from sample_db import tilde
from sample_db.household import Household, Wishes
from sample_db.ids import with_ids
from sample_db.kit import (
    Meter,
    Solution,
    Vial,
    VialUse,
    tests_of,
    uses_in_turn,
    vial_at,
    vial_of,
)
from sample_db.records import (
    ChangeMark,
    Edit,
    Event,
    Result,
    Span,
    Visit,
    local_moment,
)
from sample_db.tilde import BLUE, GREY, SPARE
from sample_db.tilde_script import FRESH_SPARE_VIALS, SCRIPT
from sample_db.words import TILDES_WORDS
from sample_db.year import lived

ZONE = "Europe/Lisbon"
_DAYS_OPEN = 180
_CONTROL_RANGE = ("5.2", "7.8")
_SCHOOL_VIALS = (  # G2 is the one whose printed date passed unnoticed over Christmas
    ("G1", "2025-09-08T08:30", "2025-11-20T08:30", "2026-08"),
    ("G2", "2025-11-20T08:30", "2026-01-23T16:00", "2025-12-31"),
    ("G3", "2026-01-26T08:30", "2026-04-13T08:30", "2027-01"),
    ("G4", "2026-04-13T08:30", None, "2027-03"),
)

HOME = Household(
    wishes=Wishes(
        name="Tilde",
        unit=Unit.MMOL_L,
        zone=ZONE,
        clock=24,
        date_order="dmy",
        preset="ispad-2022",
        usual_times=tuple((slot.mark, slot.minute) for slot in tilde.SLOT_TABLE),
        emergency_number="112",
        team_phone="555-0100",
        sick_plan="Test glucose and ketones every 4 hours, day and night. Ring the team at 1.5.",
        low_plan=(
            "Below 3.9 she sits down and has what is in the blue tin. Test again after 15 min.\n"
            "Still below 3.9: the same again, and ring Odalys."
        ),
        to_watch=(
            "Quiet, pale or cross: test.\n"
            "She swims on Tuesday and Thursday at 16:30: test before and after."
        ),
        hand_over=(
            "Say what she ate, and the last value with its time.\n"
            "The kit goes in the red bag and never stays in the car."
        ),
        contacts="Odalys, mother: 555-0101, any time\nBram, father: 555-0102, after 16:00",
    ),
    keepers=("Odalys", "Bram", "school"),
    meters=(
        Meter(BLUE, Unit.MMOL_L, ZONE, 500, "Odalys", "Odalys's home"),
        Meter(GREY, Unit.MMOL_L, ZONE, 250, "school", "school"),
        Meter(SPARE, Unit.MMOL_L, ZONE, 250, "Bram", "Bram's home"),
    ),
    visits=tuple(
        Visit(day, percent, local_moment(f"{day}T15:30", ZONE), mmol_mol)
        for day, percent, mmol_mol in (
            (date(2025, 10, 15), "7.9", "63"),
            (date(2026, 1, 21), "8.1", "65"),
            (date(2026, 4, 22), "7.8", "62"),
            (date(2026, 7, 15), "7.4", "57"),
        )
    ),
    spans=(
        *(Span("term", first, last, "school term") for first, last in tilde.TERMS),
        Span("sick", *tilde.INFLUENZA, "influenza"),
        Span("sick", *tilde.STOMACH_UPSET, "stomach upset"),
    ),
    change_marks=(ChangeMark(date(2026, 4, 27), "long-acting plan changed by the team"),),
    events=(
        *(
            Event(
                "exercise",
                local_moment(f"{day}T16:30", ZONE),
                "swimming",
                end=local_moment(f"{day}T17:30", ZONE),
                tags=("swim",),
            )
            for day in tilde.swim_days()
        ),
        Event("other", local_moment("2026-02-10T05:20", ZONE), "phoned the team"),
        Event("other", local_moment("2025-11-22T09:40", ZONE), "new battery in blue"),
    ),
    solutions=(Solution("normal", "S-14", "2027-02", date(2026, 2, 27)),),
)


@cache
def household() -> Household:
    """Tilde's household with its year, as it stood on the last day of August 2026.

    1,765 glucose results: 1,758 drawn, 3 added in the influenza, 2 with the orange, 2 in the
    stomach upset. 5 of them are lost (8 to 12 June at school), so 1,760 are held; 5 more of school
    (15 to 19 June) are held from paper. Beside them stand 2 tests of Bram's, 4 rows of his sheet
    that no memory has, 8 and 2 ketone tests, and 3 control tests on spare.
    """
    year = lived(HOME, tilde.truth(), (*SCRIPT, *TILDES_WORDS))
    uses = tuple(_uses(year))
    year = replace(
        year,
        vials=tuple(_vials(uses)),
        vial_uses=uses,
        controls=tuple(
            replace(each, vial=vial_at(uses, each.meter, each.moment)) for each in year.controls
        ),
        events=tuple(sorted(year.events, key=lambda each: each.start.instant)),
    )
    year = with_ids(year)
    return replace(year, edits=tuple(_edits(year.results)))


def _uses(year: Household) -> Iterator[VialUse]:
    fresh = [local_moment(wall, ZONE) for wall in FRESH_SPARE_VIALS]
    yield from uses_in_turn(BLUE, "B", tests_of(BLUE, year.results, year.controls))
    yield from uses_in_turn(SPARE, "S", tests_of(SPARE, year.results, year.controls), fresh)
    for name, start, end, _ in _SCHOOL_VIALS:
        until = local_moment(end, ZONE) if end else None
        yield VialUse(name, GREY, local_moment(start, ZONE), until)


def _vials(uses: Sequence[VialUse]) -> Iterator[Vial]:
    printed = {name: expiry for name, _, _, expiry in _SCHOOL_VIALS}
    for use in uses:
        control = _CONTROL_RANGE if use.meter == SPARE else None
        if use.vial in printed:
            vial = vial_of(use, days_open=_DAYS_OPEN, strips=None)
            yield replace(vial, printed_expiry=printed[use.vial])
        else:
            yield vial_of(use, days_open=_DAYS_OPEN, control=control, strips=50)


def _edits(results: Sequence[Result]) -> Iterator[Edit]:
    """Two keepers change one reading on one day, each in a copy of their own.

    The household's diary holds the meter's number and her note: his number is not settled.
    """
    picnic = next(each for each in results if each.moment.wall == "2026-06-28T18:23")
    day = date(2026, 6, 30)
    yield Edit("Odalys", day, picnic.uid, "note", None, "picnic")
    yield Edit("Bram", day, picnic.uid, "value", picnic.glucose.value, "5.4")
