"""The words of limits on a chart: at the right end for what holds there, at the line elsewhere."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QCoreApplication, QDate, QLocale

from app.domain.glucose import Unit
from app.domain.numerals import half_up
from app.review.lanes import Lanes, Step
from app.ui.charts.furniture import EndName
from app.ui.charts.lane import StepName


def _tr(text: str) -> str:
    return QCoreApplication.translate("GoalNames", text)


def end_names(lanes: Lanes, unit: Unit) -> list[EndName]:
    """The names at the right end: the goal of the last part of the day, and the low line."""
    names = []
    last = lanes.steps[-1] if lanes.steps else None
    if last is not None and last.high is not None:
        names.append(
            EndName(last.high, _tr("target to {value}").format(value=_at(last.high, unit)))
        )
    if last is not None and last.low is not None:
        names.append(
            EndName(last.low, _tr("target from {value}").format(value=_at(last.low, unit)))
        )
    if lanes.low_line is not None:
        text = _tr("low line {value}").format(value=_at(lanes.low_line, unit))
        names.append(EndName(lanes.low_line, text, "low_text"))
    return names


def step_names(lanes: Lanes, unit: Unit) -> list[StepName]:
    """The names inside: each limit that the right end does not have, where it first stands."""
    last = lanes.steps[-1] if lanes.steps else None
    told = {("high", last.high), ("low", last.low)} if last else set()
    names = []
    for step in lanes.steps:
        # Never in a part of a slot that the edge of the axis cut off, if there is a wider one.
        if step.high is not None and ("high", step.high) not in told:
            wide = _widest(lanes, high=step.high)
            told.add(("high", step.high))
            text = _tr("{mark} to {value}").format(
                mark=group_words(wide), value=_at(step.high, unit)
            )
            names.append(StepName(wide.start, wide.end, step.high, text, True))
        if step.low is not None and ("low", step.low) not in told:
            wide = _widest(lanes, low=step.low)
            told.add(("low", step.low))
            text = _tr("{mark} from {value}").format(
                mark=group_words(wide), value=_at(step.low, unit)
            )
            names.append(StepName(wide.start, wide.end, step.low, text, False))
    for earlier in lanes.earlier:
        names += _of_earlier(lanes, earlier.steps, _day(earlier.until), unit)
    return names


def group_words(step: Step) -> str:
    """The slots of a step in one or two words."""
    marks = step.marks
    if len(marks) == 1:
        return _tr(marks[0].words)
    if all(mark.is_before_meal for mark in marks):
        return _tr("before meals")
    if all(mark.is_after_meal for mark in marks):
        return _tr("after meals")
    return _tr("target")


def _of_earlier(lanes: Lanes, steps: tuple[Step, ...], until: str, unit: Unit) -> list[StepName]:
    now = {step.high for step in lanes.steps}
    told: set[float] = set()
    names = []
    for step in steps:
        if step.high is not None and step.high not in now and step.high not in told:
            told.add(step.high)
            text = _tr("until {date}: {mark} to {value}").format(
                date=until, mark=group_words(step), value=_at(step.high, unit)
            )
            names.append(StepName(step.start, step.end, step.high, text, True))
    return names


def _widest(lanes: Lanes, *, high: float | None = None, low: float | None = None) -> Step:
    fitting = [
        step
        for step in lanes.steps
        if (high is None or step.high == high) and (low is None or step.low == low)
    ]
    return max(fitting, key=lambda step: step.end - step.start)


def _at(value: float, unit: Unit) -> str:
    """A limit with the decimals of its unit, in the digits of the language."""
    return QLocale().toString(float(half_up(value, unit.places)), "f", unit.places)


def _day(day: date) -> str:
    return QLocale().toString(QDate(day.year, day.month, day.day), "d MMM")
