"""Corwin's household: who writes, the meter and its vials, the visits, the rides, the journey."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cache

from app.domain.glucose import Unit
from sample_db import corwin
from sample_db.corwin import BLACK
from sample_db.corwin_script import SCRIPT
from sample_db.generator import DAYS, FIRST_DAY
from sample_db.household import Household, Journey, Wishes
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
from sample_db.records import ChangeMark, Event, Span, Visit, local_moment
from sample_db.words import CORWINS_WORDS
from sample_db.year import lived, moment_in

ZONE = "America/Chicago"
AWAY = "Europe/Lisbon"
CAR_VIAL = "car"
_DAYS_OPEN = 90
_CONTROL_RANGE = ("96", "144")
_CAR_VIAL_OPENED = date(2025, 9, 20)

# He lands between the last test at home and the first one there; likewise on the way back.
_JOURNEY = Journey(
    start=local_moment("2026-06-27T05:00", AWAY),
    end=local_moment("2026-07-05T05:00", AWAY),
    zone=AWAY,
    place="Lisbon",
    meters_kept=ZONE,
)

HOME = Household(
    wishes=Wishes(
        name="Corwin",
        unit=Unit.MG_DL,
        zone=ZONE,
        clock=12,
        date_order="mdy",
        preset="ada-adults",
        usual_times=tuple((slot.mark, slot.minute) for slot in corwin.SLOT_TABLE),
        emergency_number="911",
        team_phone="555-0142",
    ),
    keepers=("Corwin", "Maude"),
    meters=(Meter(BLACK, Unit.MG_DL, ZONE, 100, "Corwin", "home"),),
    journeys=(_JOURNEY,),
    visits=tuple(
        Visit(day, percent, local_moment(f"{day}T10:30", ZONE), words=words)
        for day, percent, words in zip(
            corwin.VISITS,
            ("8.2", "8.4", "7.6", "7.3"),
            ("came without meter or paper", None, None, None),
            strict=True,
        )
    ),
    spans=(
        Span("steroid", *corwin.STEROID_COURSE, "steroid course"),
        Span("sick", *corwin.COLD, "cold"),
        Span("journey", *corwin.TRIP, "Lisbon"),
    ),
    change_marks=(
        # The new plan came in by steps until 16 February.
        ChangeMark(date(2026, 2, 9), "basal insulin plan changed by the team", settling_days=7),
    ),
    solutions=(Solution("normal", "K-22", "2027-04", date(2026, 5, 1)),),
)


@cache
def household() -> Household:
    """Corwin's household with its year, as it stood on the last day of August 2026.

    748 glucose results: 745 drawn, 3 on the ride of 16 May in place of 1 drawn, and the 8.2 of the
    borrowed meter. Of the 6 that the memory overwrote before it was copied, paper has 2 and 4 are
    lost, so 744 are held. Beside them stand 3 tests of Maude's and 3 control tests.
    """
    year = lived(HOME, corwin.truth(), (*SCRIPT, *CORWINS_WORDS))
    uses = tuple(_uses(year))
    year = replace(
        year,
        vials=tuple(_vials(uses)),
        vial_uses=uses,
        events=tuple(_rides()),
        controls=tuple(
            replace(each, vial=vial_at(uses, each.meter, each.moment)) for each in year.controls
        ),
    )
    return with_ids(year)


def _rides() -> Iterator[Event]:
    for day in (FIRST_DAY + timedelta(days=number) for number in range(DAYS)):
        if corwin.is_ride_day(day):
            # On 16 May the low at 17:20 ended the ride at the gate.
            start, end = (moment_in(HOME, f"{day}T{wall}") for wall in ("14:30", "17:15"))
            yield Event("exercise", start, "long bicycle ride", end=end, tags=("ride",))


def _uses(year: Household) -> Iterator[VialUse]:
    taken = tests_of(BLACK, year.results, year.controls)
    yield from uses_in_turn(BLACK, "K", [moment for moment in taken if moment.zone == ZONE])
    yield VialUse(CAR_VIAL, BLACK, _JOURNEY.start, _JOURNEY.end)


def _vials(uses: Sequence[VialUse]) -> Iterator[Vial]:
    for use in uses:
        vial = vial_of(use, days_open=_DAYS_OPEN, control=_CONTROL_RANGE, strips=50)
        is_car = use.vial == CAR_VIAL
        yield replace(vial, opened=_CAR_VIAL_OPENED) if is_car else vial
