"""The kit as the diary holds it: meters, vials and their use, solution, control tests, parts.

Days are date ordinals, instants UTC seconds, ids local to the file.
"""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from app.domain.clock import Moment
from app.domain.glucose import Glucose, LimitPair, Unit
from app.domain.good_days import last_good_day

GLUCOSE, KETONE = "glucose", "ketone"  # kinds of vials
LEVELS = ("low", "normal", "high")  # of control solution; open codes
# What can happen to the kit; open codes. The first five ask for a control test: see control_due.
EVENT_KINDS = ("battery", "dropped", "heat", "doubtful", "unit", "cleaned", "lancet")
ITEM_KINDS = ("lancing device", "lancets", "battery", "other")
SUPPLY_WHY = ("bought", "used", "wasted", "counted")
STRIPS = "strips"  # kind of a supply


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter; `low` and `high` are the ends of what it can show."""

    id: int
    uid: UUID
    name: str
    unit: Unit
    zone: str
    person_id: int | None = None
    serial: str | None = None
    low: LimitPair | None = None
    high: LimitPair | None = None
    capacity: int | None = None
    keep_memory: bool = False
    first_day: int | None = None
    last_day: int | None = None


@dataclass(frozen=True, slots=True)
class ControlRange:
    """The range printed for one level of solution on a vial, both ends included, as printed."""

    level: str
    low: str
    high: str
    unit: Unit


@dataclass(frozen=True, slots=True)
class Vial:
    """A vial of strips. `printed` is a month or a day, as printed."""

    id: int
    uid: UUID
    kind: str = GLUCOSE
    person_id: int | None = None
    lot: str | None = None
    strips: int | None = None
    printed: str | None = None
    opened_day: int | None = None
    days_open: int | None = None
    finished_day: int | None = None
    ranges: tuple[ControlRange, ...] = ()

    @property
    def last_good_day(self) -> int | None:
        """The last day on which its strips are in date; None where no date is known."""
        return last_good_day(self.printed, self.opened_day, self.days_open)

    @property
    def name(self) -> str:
        """What it is called: its lot, or its number here."""
        return self.lot or f"vial {self.id}"

    def range_for(self, level: str) -> ControlRange | None:
        """The printed range of a level."""
        return next((each for each in self.ranges if each.level == level), None)


@dataclass(frozen=True, slots=True)
class VialUse:
    """A stretch in which a meter used a vial: the start belongs to it, the end does not."""

    id: int
    vial: int
    meter: int
    start: int
    end: int | None = None


@dataclass(frozen=True, slots=True)
class Solution:
    """A bottle of control solution."""

    id: int
    uid: UUID
    level: str
    lot: str | None = None
    printed: str | None = None
    opened_day: int | None = None
    days_open: int | None = 90

    @property
    def last_good_day(self) -> int | None:
        """The last day on which it is in date; None where no date is known."""
        return last_good_day(self.printed, self.opened_day, self.days_open)

    @property
    def name(self) -> str:
        """What it is called: its lot, or its level and number here."""
        return self.lot or f"{self.level} {self.id}"


@dataclass(frozen=True, slots=True)
class ControlTest:
    """A test of the kit with control solution; `vial_said` only where it was said."""

    id: int
    uid: UUID
    meter: int
    level: str
    glucose: Glucose
    moment: Moment
    vial_said: int | None = None
    solution: int | None = None
    temperature: str | None = None
    person_id: int | None = None


@dataclass(frozen=True, slots=True)
class KitItem:
    """A part of the kit that is no meter and no vial."""

    id: int
    uid: UUID
    kind: str
    name: str
    person_id: int | None = None


@dataclass(frozen=True, slots=True)
class KitEvent:
    """Something that happened to a meter, a vial or a part."""

    id: int
    uid: UUID
    kind: str
    at: int
    meter: int | None = None
    vial: int | None = None
    item: int | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Supply:
    """So many pieces bought, used, wasted or counted; of one vial, or of the stock."""

    id: int
    uid: UUID
    kind: str
    at: int
    count: int
    why: str
    vial: int | None = None
    person_id: int | None = None


@dataclass(frozen=True, slots=True)
class Narrowed:
    """The person's word on a failed control test: its cause is the vial, the meter, or open still.

    `test` is the failed test, `verdict` vial, meter or keep, `passed` the test that is the reason.
    """

    test: UUID
    verdict: str
    passed: UUID | None = None


@dataclass(frozen=True, slots=True)
class ClockDoubt:
    """A repair of a meter's clock that is not settled: its records from one number to another."""

    repair: int
    meter: int
    first_order: int
    last_order: int | None


@dataclass(frozen=True, slots=True)
class Kit:
    """Everything of the kit in one state of the diary, of whomever."""

    meters: tuple[Meter, ...] = ()
    vials: tuple[Vial, ...] = ()
    uses: tuple[VialUse, ...] = ()
    solutions: tuple[Solution, ...] = ()
    tests: tuple[ControlTest, ...] = ()  # in the order of time
    items: tuple[KitItem, ...] = ()
    events: tuple[KitEvent, ...] = ()
    supplies: tuple[Supply, ...] = ()
    narrowed: tuple[Narrowed, ...] = ()
    clocks: tuple[ClockDoubt, ...] = ()
    rev: int = 0  # the newest change of any of these

    def meter(self, meter_id: int | None) -> Meter | None:
        """The meter of a local id."""
        return next((each for each in self.meters if each.id == meter_id), None)

    def vial(self, vial_id: int | None) -> Vial | None:
        """The vial of a local id."""
        return next((each for each in self.vials if each.id == vial_id), None)

    def solution(self, solution_id: int | None) -> Solution | None:
        """The bottle of a local id."""
        return next((each for each in self.solutions if each.id == solution_id), None)
