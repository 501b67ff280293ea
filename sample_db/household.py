"""A household: its people, habits, kit and year, and the totals by which a year is checked."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from app.domain.clock import Moment
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.reading import Standing
from sample_db.clocks import ClockRepair, ClockSetting
from sample_db.kit import Meter, Solution, Vial, VialUse
from sample_db.records import (
    NO_UID,
    ChangeMark,
    ControlTest,
    Edit,
    Event,
    Ketone,
    Result,
    Span,
    Trace,
    Visit,
)


@dataclass(frozen=True, slots=True)
class Wishes:
    """The person, and how that person's diary is set up; `preset` names published goals."""

    name: str
    unit: Unit
    zone: str
    clock: int
    date_order: str
    preset: str
    usual_times: tuple[tuple[Mark, int], ...]
    emergency_number: str
    team_phone: str
    sick_plan: str | None = None
    low_plan: str | None = None
    to_watch: str | None = None
    hand_over: str | None = None
    contacts: str | None = None
    uid: UUID = NO_UID


@dataclass(frozen=True, slots=True)
class Journey:
    """A stretch in another zone, and where; `meters_kept` is the zone their clocks stayed in."""

    start: Moment
    end: Moment
    zone: str
    place: str
    meters_kept: str


@dataclass(frozen=True, slots=True)
class Household:
    """Everything that a careful family knows at the end of its year, and what it lost."""

    wishes: Wishes
    keepers: tuple[str, ...]
    meters: tuple[Meter, ...]
    journeys: tuple[Journey, ...] = ()
    visits: tuple[Visit, ...] = ()
    spans: tuple[Span, ...] = ()
    change_marks: tuple[ChangeMark, ...] = ()
    events: tuple[Event, ...] = ()
    solutions: tuple[Solution, ...] = ()
    vials: tuple[Vial, ...] = ()
    vial_uses: tuple[VialUse, ...] = ()
    clock_settings: tuple[ClockSetting, ...] = ()
    clock_repairs: tuple[ClockRepair, ...] = ()
    results: tuple[Result, ...] = ()
    controls: tuple[ControlTest, ...] = ()
    ketones: tuple[Ketone, ...] = ()
    edits: tuple[Edit, ...] = ()

    def meter(self, name: str) -> Meter:
        """The meter of a name."""
        return next(each for each in self.meters if each.name == name)

    def between(self, first: str, end: str, meter: str | None = None) -> list[Result]:
        """The results from one wall time (included) up to another (not), of one meter or all."""
        return [
            each
            for each in self.results
            if first <= each.moment.wall < end and meter in (None, each.meter)
        ]

    @property
    def places(self) -> tuple[str, ...]:
        """The places where tests were done, in the order in which they first appear."""
        return tuple(dict.fromkeys(result.place for result in self.results))


@dataclass(frozen=True, slots=True)
class Totals:
    """How many things of each sort a year holds.

    `glucose` counts the person's own results that a meter showed or that were written down from
    one, the lost ones among them; `paper_only` results are written on paper although the memory
    that covers their time has none of them, and stand apart; `held` is `glucose` without `lost`.
    """

    glucose: int
    lost: int
    not_mine: int
    paper_only: int
    ketones: int
    controls: int

    @property
    def held(self) -> int:
        """The person's own results that the family's diary can hold."""
        return self.glucose - self.lost


def totals(household: Household) -> Totals:
    """Count a year; each result falls into exactly one of glucose, not mine and paper-only."""
    mine = [each for each in household.results if each.standing is not Standing.NOT_MINE]
    own = [each for each in mine if each.trace is not Trace.UNCONFIRMED]
    return Totals(
        glucose=len(own),
        lost=sum(not each.is_held for each in own),
        not_mine=len(household.results) - len(mine),
        paper_only=len(mine) - len(own),
        ketones=len(household.ketones),
        controls=len(household.controls),
    )
