"""The chance behind an invented year: readings drawn day by day and slot by slot from one seed."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from hashlib import sha256

from app.domain.glucose import Unit
from app.domain.marks import Mark

FIRST_DAY = date(2025, 9, 1)
DAYS = 365
METER_SPREAD = 0.05  # standard deviation of a meter around the body's value, as a share of it


@dataclass(frozen=True, slots=True)
class Slot:
    """One row of a household's table: when it tests, how often, and what the body does then."""

    mark: Mark
    minute: int
    jitter: int
    present: float
    base: float
    sd: float
    next_day: bool = False


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What holds for one slot of one day: chance of a test, meter, and what moves the value."""

    present: float
    meter: str
    unmarked: float
    later_min: int = 0
    effect: float = 0.0
    bias: float = 1.0
    steps_per_unit: float = 1.0


@dataclass(frozen=True, slots=True)
class Scale:
    """The meter's unit and what it can show at least, and the body's floor in the same unit."""

    unit: Unit
    floor: float
    least: float


@dataclass(frozen=True, slots=True)
class Truth:
    """A test as it really was: wall time of the place, the number shown, meter and written mark.

    `day` and `slot` are those it was meant for: a night test belongs to the day before.
    """

    taken_at: datetime
    value: str
    meter: str
    mark: Mark
    day: date
    slot: Mark
    is_recheck: bool = False

    @property
    def number(self) -> float:
        """The number shown, in the household's unit."""
        return float(self.value)


def generate(
    seed: int,
    slots: Sequence[Slot],
    scale: Scale,
    circumstances: Callable[[date, Slot], Circumstances],
) -> list[Truth]:
    """Draw a year of tests; the same seed gives the same year on every version of Python.

    For each slot of each day the draws come in one fixed order, whether or not the test takes
    place: presence, time, mark, body, meter.
    """
    draw = random.Random(seed).random
    found = []
    for day in (FIRST_DAY + timedelta(days=number) for number in range(DAYS)):
        for slot in slots:
            here = circumstances(day, slot)
            present, when, marked = draw(), draw(), draw()
            body, meter = _bell(draw), _bell(draw)
            if present >= here.present:
                continue
            true = max(scale.floor, slot.base + here.effect + slot.sd * body)
            raw = true * here.bias * (1 + METER_SPREAD * meter)
            number = max(scale.least, half_up_steps(raw, here.steps_per_unit))
            minute = slot.minute + here.later_min + round((2 * when - 1) * slot.jitter)
            midnight = datetime.combine(day, time()) + timedelta(days=slot.next_day)
            found.append(
                Truth(
                    taken_at=midnight + timedelta(minutes=minute),
                    value=f"{number:.{scale.unit.places}f}",
                    meter=here.meter,
                    mark=Mark.NONE if marked < here.unmarked else slot.mark,
                    day=day,
                    slot=slot.mark,
                )
            )
    return found


def half_up_steps(value: float, per_unit: float) -> float:
    """Round half up to steps of which `per_unit` make one: 10 for tenths, 0.2 for fives.

    >>> half_up_steps(7.25, 10), half_up_steps(152.5, 0.2)
    (7.3, 155.0)
    """
    return math.floor(value * per_unit + 0.5) / per_unit


def year_in_order(tests: Iterable[Truth]) -> tuple[Truth, ...]:
    """The tests by time, meter and value: the order in which a year is written down."""
    return tuple(sorted(tests, key=lambda test: (test.taken_at, test.meter, test.number)))


def checksum(tests: Iterable[Truth]) -> str:
    """SHA-256 over one line for each test in order: time, value, meter, mark in words."""
    lines = (
        f"{test.taken_at:%Y-%m-%dT%H:%M},{test.value},{test.meter},"
        f"{'' if test.mark is Mark.NONE else test.mark.words}\n"
        for test in year_in_order(tests)
    )
    return sha256("".join(lines).encode()).hexdigest()


def _bell(draw: Callable[[], float]) -> float:
    """A draw with mean 0 and standard deviation 1: twelve uniform ones added, less six."""
    total = 0.0
    for _ in range(12):
        # sum() compensates from Python 3.12 on and can differ in the last bit.
        total += draw()
    return total - 6
