"""Control tests ready to draw: each with its printed range, all in the unit that is shown."""

from __future__ import annotations

from dataclasses import dataclass

from app.domain.control import Verdict
from app.domain.glucose import Bound, Unit, converted
from app.review.kit_tests import TestLine


@dataclass(frozen=True, slots=True)
class DrawnTest:
    """One control test.

    `value`, `low` and `high` only place it: what is said stays as typed and as printed · `value`
    None where it was off the scale, at the side `off` · `low` and `high` None without a range ·
    `joins` whether the test before it was held against the same printed range.
    """

    line: TestLine
    value: float | None
    off: str | None
    low: float | None
    high: float | None
    joins: bool

    @property
    def verdict(self) -> Verdict:
        """What came of it."""
        return self.line.judged.verdict


def drawn_tests(tests: tuple[TestLine, ...], unit: Unit) -> tuple[DrawnTest, ...]:
    """The tests in the order of time, the oldest first.

    Parameters
    ----------
    tests : tuple of TestLine
        The newest first, as they are listed.
    unit : Unit
        The unit of the axis.
    """
    found: list[DrawnTest] = []
    for line in reversed(tests):
        judged = line.judged
        glucose, printed = judged.test.glucose, judged.printed
        value = off = None
        if glucose.bound is Bound.EXACT and glucose.value is not None:
            value = converted(float(glucose.value), glucose.unit, unit)
        elif glucose.bound is not Bound.NO_VALUE:
            off = "below" if glucose.bound is Bound.BELOW else "above"
        ends = (None, None)
        if printed is not None:
            low, high = (
                converted(float(each), printed.unit, unit) for each in (printed.low, printed.high)
            )
            ends = (low, high)
        before = found[-1].line.judged if found else None
        same = before is not None and printed is not None
        joins = same and (before.vial, before.printed) == (judged.vial, printed)
        found.append(DrawnTest(line, value, off, *ends, joins))
    return tuple(found)
