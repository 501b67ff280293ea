"""What the Modal day says in words: the period, the finding, each slot."""

from __future__ import annotations

import math

from PySide6.QtCore import QCoreApplication

from app.domain.glucose import Unit, shown
from app.domain.levels import LOW_BELOW, VERY_LOW_BELOW
from app.review.figure import Figure, OffScale
from app.review.modal_day import ModalDay
from app.review.modal_day_slots import SlotBox
from app.ui.reading_words import DASH, mark_name
from app.ui.words import count_words, figure_text, joined, minute_words, number_words, period_words

_CONTEXT = "ModalDay"


def tr(text: str, count: int | None = None) -> str:
    """Translate a text of this page; with a count, in the form that the number asks for."""
    if count is None:
        return QCoreApplication.translate(_CONTEXT, text)
    return QCoreApplication.translate(_CONTEXT, text, "", count)


def subtitle(found: ModalDay, date_order: str) -> str:
    """The line below the title: period, n, and which of them are outside the slots."""
    said = [
        period_words(found.period, date_order),
        _how_many(found),
    ]
    if found.weekdays == "weekdays":
        said.append(tr("Monday to Friday only"))
    elif found.weekdays == "weekends":
        said.append(tr("Saturdays and Sundays only"))
    if found.unmarked:
        said.append(tr("{n} unmarked, in no slot").format(n=count_words(found.unmarked)))
    if found.elsewhere:
        said.append(tr("{n} with another mark, in no slot").format(n=count_words(found.elsewhere)))
    apart = found.left_out.get("set_aside", 0) + found.left_out.get("not_mine", 0)
    if apart:
        said.append(tr("{n} set apart, not counted").format(n=count_words(apart)))
    return joined(said)


def brief(found: ModalDay) -> str:
    """What matters first, for the line above the chart: the lows and where they are."""
    if not found.n:
        return tr("No reading is counted in these days.")
    most = found.most_lows
    if most is None or found.lows < 2:
        return _lows(found)
    said = tr("Most in a slot: {slot}, {count} of {n}.")
    there = said.format(
        slot=mark_name(most.mark), count=count_words(most.lows), n=count_words(most.n)
    )
    return f"{_lows(found)} {there}"


def finding(found: ModalDay) -> str:
    """The one sentence or two that say what the chart shows."""
    parts = [brief(found)]
    highest = found.highest
    if highest is not None:
        parts.append(
            tr("The highest median is {slot}: {value} {unit}, n {n}.").format(
                slot=mark_name(highest.mark),
                value=figure_text(highest.median, found.unit, missing=DASH),
                unit=found.unit,
                n=count_words(highest.n),
            )
        )
    never = [mark_name(slot.mark) for slot in found.slots if not slot.n]
    if never:
        parts.append(tr("Never tested: {slots}.").format(slots=", ".join(never)))
    return " ".join(parts)


def chart_name(found: ModalDay) -> str:
    """What a screen reader says of the chart: how much is in it and what it shows."""
    return f"{tr('Modal day')}, {_how_many(found)}. {finding(found)}"


def slot_sentence(slot: SlotBox, unit: Unit) -> str:
    """All numbers of a slot as text."""
    name = mark_name(slot.mark)
    if not slot.n:
        return tr("{slot}: never tested, n 0").format(slot=name)
    if not slot.has_box:
        said = [
            tr("{slot}: n {n}, too few for a median, {more} more would do").format(
                slot=name, n=count_words(slot.n), more=count_words(slot.short_of)
            )
        ]
    else:
        said = [
            tr("{slot}: median {median} {unit}, middle half {q1} to {q3}, n {n}").format(
                slot=name,
                median=figure_text(slot.median, unit, missing=DASH),
                unit=unit,
                q1=figure_text(slot.q1, unit, missing=DASH),
                q3=figure_text(slot.q3, unit, missing=DASH),
                n=count_words(slot.n),
            )
        ]
    low = number_words(shown(LOW_BELOW.in_unit(unit), unit))
    if slot.lows:
        said.append(tr("{n} below {low}").format(n=count_words(slot.lows), low=low))
    if goal := goal_text(slot):
        said.append(goal)
    return ", ".join(said)


def range_text(slot: SlotBox, unit: Unit) -> str:
    """The middle half: "5.7 – 8.6", from left to right in every language."""
    low, high = (figure_text(end, unit, missing=DASH) for end in (slot.q1, slot.q3))
    return f"\u2066{low} – {high}\u2069"


def goal_text(slot: SlotBox) -> str:
    """How many lie outside the goal of the slot: "8 above target"; empty without a goal."""
    if not slot.judged:
        return ""
    if slot.below_goal and slot.above_goal:
        said = tr("{below} below, {above} above target").format(
            below=count_words(slot.below_goal), above=count_words(slot.above_goal)
        )
    elif slot.below_goal:
        said = tr("{n} below target").format(n=count_words(slot.below_goal))
    elif slot.above_goal:
        said = tr("{n} above target").format(n=count_words(slot.above_goal))
    else:
        said = tr("all within target")
    if slot.judged < slot.n:  # the rest are from before any target was agreed
        return tr("{said}, of {n} that had one").format(said=said, n=count_words(slot.judged))
    return said


def drawn(figure: Figure) -> float | None:
    """A figure as a place on the chart: infinite where it is off the scale, None where missing."""
    if isinstance(figure, OffScale):
        return -math.inf if figure.side == "below" else math.inf
    return figure if isinstance(figure, float) else None


def cell_words(found: ModalDay, x: float, value: float, clock: int) -> str:
    """What a cell of the density holds: "38 readings, 07:00 – 07:10, 6.0 – 6.3 mmol/L"."""
    cell = found.density.cell_at(x, value) if found.density else None
    if cell is None or not cell[0]:
        return ""
    count, left, right, *values = cell
    if found.view == "slots":
        slot = found.slots[min(int(left), len(found.slots) - 1)]
        return tr("{n} readings {slot}, {low} – {high} {unit}").format(
            n=count_words(count),
            slot=mark_name(slot.mark),
            low=number_words(shown(values[0], found.unit)),
            high=number_words(shown(values[1], found.unit)),
            unit=found.unit,
        )
    ends = [minute_words(at + found.start_hour * 60, clock) for at in (left, right)]
    return tr("{n} readings, {start} – {end}, {low} – {high} {unit}").format(
        n=count_words(count),
        start=ends[0],
        end=ends[1],
        low=number_words(shown(values[0], found.unit)),
        high=number_words(shown(values[1], found.unit)),
        unit=found.unit,
    )


def empty_words(period: str, *, has_any: bool) -> tuple[str, str]:
    """The title and the sentence of a page without readings."""
    title = tr("No readings in {period}").format(period=period)
    if not has_any:
        return title, tr(
            "A modal day lays the readings of many days over one, so that what repeats at an hour "
            "is seen. It draws every reading from the first on, and a median from 5 in a slot."
        )
    return title, tr("The newest reading is older, or the days of the week leave all of them out.")


def _how_many(found: ModalDay) -> str:
    if found.n == 1:
        return tr("n 1, one reading")
    if found.days == 1:
        return tr("n {n} readings on one day").format(n=count_words(found.n))
    return tr("n {n} readings on {days} days").format(
        n=count_words(found.n), days=count_words(found.days)
    )


def _lows(found: ModalDay) -> str:
    low = number_words(shown(LOW_BELOW.in_unit(found.unit), found.unit))
    far = number_words(shown(VERY_LOW_BELOW.in_unit(found.unit), found.unit))
    if not found.lows:
        return tr("None of {n} below {low}.").format(n=count_words(found.n), low=low)
    if not found.far_lows:
        return tr("{count} of {n} below {low}.").format(
            count=count_words(found.lows), n=count_words(found.n), low=low
        )
    return tr("{count} of {n} below {low}, {few} of them below {far}.").format(
        count=count_words(found.lows),
        n=count_words(found.n),
        low=low,
        few=count_words(found.far_lows),
        far=far,
    )
