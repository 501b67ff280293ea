"""Whether a control test passed, what is worth a note about it, and what to do after a fail."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from app.domain.glucose import Bound, Glucose, Unit, converted
from app.domain.kit import ControlRange, ControlTest, Kit, Solution, Vial
from app.domain.numerals import half_up, plain_number
from app.domain.vials_used import stretches_of, vial_at

# Home strips are tested at about 10 to 40 C: common practice, labels differ.
COLDEST_C, HOTTEST_C = 10.0, 40.0
_TEMPERATURE = re.compile(r"(-?)\s*([\d.,]+)\s*°?\s*([cf]?)", re.IGNORECASE)


class Verdict(StrEnum):
    """What came of a control test: in or out of the printed range, or no range to go by."""

    PASSED = "passed"
    FAILED = "failed"
    NO_RANGE = "no_range"


@dataclass(frozen=True, slots=True)
class Judged:
    """A control test beside the range of its vial.

    `vial` its local id, said or by use, None where unknown · `printed` the range as printed ·
    `side` below or above where it failed · `notes` codes: solution_lapsed, vial_lapsed,
    temperature.
    """

    test: ControlTest
    vial: int | None
    printed: ControlRange | None
    verdict: Verdict
    side: str | None = None
    notes: tuple[str, ...] = ()

    @property
    def at(self) -> int:
        """When it was, in UTC seconds."""
        return self.test.moment.instant


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do after a control test failed; `done` where the diary shows that it was."""

    code: str
    words: str
    done: bool = False


STEPS_SOURCE = "common practice; the leaflet of your strips comes first"
_STEPS = (
    ("dates", "Look at the dates of the strips and of the solution."),
    ("lot", "Look whether level, lot and code are those of the printed range."),
    ("warmth", "Let meter, strips and solution come to the warmth of the room."),
    ("mix", "Mix the bottle, wipe its tip and do not use the first drop."),
    ("again", "Test again with a fresh strip of the same vial."),
    ("new_vial", "Still outside: test with a strip of a new vial and the range printed on that."),
    ("stop", "Still outside: do not use the results; ask the maker and your care team."),
)


def judge(kit: Kit) -> tuple[Judged, ...]:
    """All control tests beside the ranges of their vials, in the order of time."""
    vials = {each.id: each for each in kit.vials}
    bottles = {each.id: each for each in kit.solutions}
    stretches = stretches_of(kit.uses)
    found = []
    for test in kit.tests:
        vial_id = test.vial_said or vial_at(stretches, test.meter, test.moment.instant)
        vial = vials.get(vial_id) if vial_id else None
        bottle = bottles.get(test.solution) if test.solution else None
        found.append(judge_one(test, vial, bottle))
    return tuple(sorted(found, key=lambda each: (each.at, each.test.id)))


def judge_one(test: ControlTest, vial: Vial | None, bottle: Solution | None) -> Judged:
    """One control test beside the range printed on a vial."""
    printed = vial.range_for(test.level) if vial else None
    side = None if printed is None else side_of(test.glucose, printed)
    notes, day = [], test.moment.day
    if bottle is not None and _over(bottle.last_good_day, day):
        notes.append("solution_lapsed")
    if vial is not None and _over(vial.last_good_day, day):
        notes.append("vial_lapsed")
    if is_odd_temperature(test.temperature):
        notes.append("temperature")
    known = printed is not None and test.glucose.bound is not Bound.NO_VALUE
    verdict = (Verdict.FAILED if side else Verdict.PASSED) if known else Verdict.NO_RANGE
    vial_id = vial.id if vial else None
    return Judged(test, vial_id, printed, verdict, side if known else None, tuple(notes))


def side_of(glucose: Glucose, printed: ControlRange) -> str | None:
    """Where a result lies outside a printed range: below, above, or None inside it.

    Both ends are inside. The range is compared in the unit that the test was entered in, its ends
    rounded as a label would print them. A result off the meter's scale is outside.
    """
    if glucose.bound is Bound.BELOW:
        return "below"
    if glucose.bound is Bound.ABOVE:
        return "above"
    if glucose.value is None:
        return None
    value = Decimal(glucose.value)
    if value < _end(printed.low, printed.unit, glucose.unit):
        return "below"
    return "above" if value > _end(printed.high, printed.unit, glucose.unit) else None


def is_odd_temperature(text: str | None) -> bool:
    """Whether a temperature lies outside what strips are tested at; without a unit it is Celsius.

    >>> is_odd_temperature("8 C"), is_odd_temperature("72 F"), is_odd_temperature("in the car")
    (True, False, False)
    """
    found = _TEMPERATURE.fullmatch((text or "").strip())
    plain = plain_number(found[2]) if found else None
    if found is None or plain is None:
        return False
    degrees = float(plain) * (-1 if found[1] else 1)
    celsius = (degrees - 32) / 1.8 if found[3].casefold() == "f" else degrees
    return not COLDEST_C <= celsius <= HOTTEST_C


def steps_after(failed: Judged, judged: Sequence[Judged]) -> tuple[Step, ...]:
    """What to do after a failed test, in order; tests that followed on its meter count as done."""
    later = [
        each for each in judged if each.at > failed.at and each.test.meter == failed.test.meter
    ]
    done = set()
    if any(each.vial == failed.vial for each in later):
        done.add("again")
    if any(each.vial != failed.vial for each in later):
        done.add("new_vial")
    return tuple(Step(code, words, code in done) for code, words in _STEPS)


def _end(text: str, unit: Unit, to: Unit) -> Decimal:
    if unit is to:
        return Decimal(text)
    return half_up(converted(float(text), unit, to), to.places)


def _over(last: int | None, day: int) -> bool:
    return last is not None and day > last
