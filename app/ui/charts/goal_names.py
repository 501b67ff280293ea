"""The words of limits on a chart: at the right end for what holds there, at the line elsewhere."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.review.lanes import Lanes, Step
from app.ui.charts.furniture import EndName
from app.ui.charts.lane import StepName
from app.ui.reading_words import mark_name
from app.ui.words import day_words, figure_text


def _tr(text: str) -> str:
    return QCoreApplication.translate("GoalNames", text)


def end_names(lanes: Lanes, unit: Unit) -> list[EndName]:
    """The names at the right end: the goal of the last part of the day, and the low line."""
    names = []
    last = lanes.steps[-1] if lanes.steps else None
    if last is not None and last.high is not None:
        names.append(
            EndName(last.high, _tr("target to {value}").format(value=figure_text(last.high, unit)))
        )
    if last is not None and last.low is not None:
        names.append(
            EndName(last.low, _tr("target from {value}").format(value=figure_text(last.low, unit)))
        )
    if lanes.low_line is not None:
        text = _tr("low line {value}").format(value=figure_text(lanes.low_line, unit))
        names.append(EndName(lanes.low_line, text, "low_text"))
    return names


def step_names(lanes: Lanes, unit: Unit, date_order: str = "dmy") -> list[StepName]:
    """The names inside: each limit that the right end does not have, once."""
    last = lanes.steps[-1] if lanes.steps else None
    known = (None, None) if last is None else (last.low, last.high)
    names = []
    for value in _values(lanes.steps, high=True):
        if value != known[1]:
            steps = [step for step in lanes.steps if step.high == value]
            words = _tr("{mark} to {value}"), _tr("to {value}")
            names.append(_name(steps, value, unit, words, above=True))
    for value in _values(lanes.steps, high=False):
        if value != known[0]:
            steps = [step for step in lanes.steps if step.low == value]
            words = _tr("{mark} from {value}"), _tr("from {value}")
            names.append(_name(steps, value, unit, words, above=False))
    for earlier in lanes.earlier:
        until = day_words(earlier.until, date_order, year=False, short=True)
        words = (
            _tr("until {date}: {mark} to {value}").replace("{date}", until),
            _tr("until {date}").replace("{date}", until),
        )
        for value in set(_values(earlier.steps, high=True)) - set(_values(lanes.steps, high=True)):
            steps = [step for step in earlier.steps if step.high == value]
            names.append(_name(steps, value, unit, words, above=True))
    return names


def group_words(marks: Sequence[Mark]) -> str:
    """Slots in one or two words."""
    if len(marks) == 1:
        return mark_name(marks[0])
    if all(mark.is_before_meal for mark in marks):
        return _tr("before meals")
    if all(mark.is_after_meal for mark in marks):
        return _tr("after meals")
    return _tr("target")


def _name(
    steps: Sequence[Step], value: float, unit: Unit, words: tuple[str, str], *, above: bool
) -> StepName:
    marks = tuple(dict.fromkeys(mark for step in steps for mark in step.marks))
    text, short = (
        each.format(mark=group_words(marks), value=figure_text(value, unit)) for each in words
    )
    widest_first = sorted(steps, key=lambda step: step.start - step.end)
    places = tuple((step.start, step.end) for step in widest_first)
    return StepName(places, value, text, short, above)


def _values(steps: Sequence[Step], *, high: bool) -> list[float]:
    """Every upper or lower limit, once, in the order of the axis."""
    found = dict.fromkeys(step.high if high else step.low for step in steps)
    return [value for value in found if value is not None]
