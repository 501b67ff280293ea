"""A unit that changes in the middle of a file: runs of values that only the other unit can have."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from app.domain.errors import Question
from app.domain.glucose import Unit
from app.domain.numerals import plain_number
from app.exchange.units import TOO_HIGH_FOR_MMOL, TOO_LOW_FOR_MG

FEWEST = 3  # values in a row that make a run; fewer are slips. A rule of this diary.


@dataclass(frozen=True, slots=True)
class UnitRun:
    """Rows one after the other whose values fit one unit: first and last line, least and most."""

    unit: Unit
    first: int
    last: int
    low: float
    high: float


def unit_runs(values: Iterable[tuple[int, str]]) -> list[UnitRun]:
    """The stretches of a column of which each can have one unit alone; one or none is no flip.

    Parameters
    ----------
    values : iterable of (line, text)
        The value texts in the order of the file. Those that fit both units belong to the run that
        they follow; a stretch of fewer than three values is passed over.

    Examples
    --------
    >>> texts = ["5.6", "7.1", "6.0", "101", "30", "126", "98"]
    >>> [(run.unit.value, run.first, run.last) for run in unit_runs(enumerate(texts, 2))]
    [('mmol/L', 2, 4), ('mg/dL', 5, 8)]
    """
    known: dict[str, tuple[Unit | None, float]] = {}
    found: list[_Stretch] = []
    for line, text in values:
        told = known.get(text)
        if told is None:
            known[text] = told = _told(text)
        unit, number = told
        if unit is None:
            if found and number:
                found[-1].last = line
        elif found and found[-1].unit is unit:
            found[-1].take(line, number)
        else:
            found.append(_Stretch(unit, line, number))
    merged: list[_Stretch] = []
    for each in found:
        if each.count < FEWEST:
            continue
        if merged and merged[-1].unit is each.unit:
            merged[-1].join(each)
        else:
            merged.append(each)
    return [UnitRun(each.unit, each.first, each.last, each.low, each.high) for each in merged]


def flip_question(runs: list[UnitRun]) -> Question:
    """Ask about a file whose unit seems to change, with the lines and the exact answers."""
    told = "; ".join(
        f"lines {run.first} to {run.last} ({run.low:g} to {run.high:g}) look like {run.unit}"
        for run in runs[:4]
    )
    more = f"; and {len(runs) - 4} stretches more" if len(runs) > 4 else ""
    turns = ",".join(f"{run.first}={run.unit}" for run in runs[1:])
    return Question(
        "unit_from",
        f"The unit seems to change in the middle of the file: {told}{more}. Was the meter's unit "
        "changed there? With none, the whole file is of one unit. Nothing was read.",
        (f"--unit-from {turns}", "--unit-from none"),
    )


class _Stretch:
    """A run in the making."""

    __slots__ = ("count", "first", "high", "last", "low", "unit")

    def __init__(self, unit: Unit, line: int, number: float) -> None:
        self.unit, self.first, self.last, self.count = unit, line, line, 1
        self.low = self.high = number

    def take(self, line: int, number: float) -> None:
        self.last, self.count = line, self.count + 1
        self.low, self.high = min(self.low, number), max(self.high, number)

    def join(self, other: _Stretch) -> None:
        self.last, self.count = other.last, self.count + other.count
        self.low, self.high = min(self.low, other.low), max(self.high, other.high)


def _told(text: str) -> tuple[Unit | None, float]:
    """The only unit that a value text can have, None where both can; 0 for a text of no number.

    Meters print whole mg/dL, and mmol/L with a decimal.
    """
    plain = plain_number(text.strip().lstrip("<>"))
    number = 0.0 if plain is None else float(plain)
    has_parts = plain is not None and "." in plain
    if number > TOO_HIGH_FOR_MMOL and not has_parts:
        return Unit.MG_DL, number
    return (Unit.MMOL_L if 0 < number < TOO_LOW_FOR_MG and has_parts else None), number
