"""What the Year page says in words: months, the finding, each cell, what lies beside."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QCoreApplication, QLocale, Qt
from PySide6.QtGui import QGuiApplication

from app.domain.clock import Period
from app.domain.glucose import LimitPair, Unit, shown
from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_HIGH_ABOVE, VERY_LOW_BELOW
from app.review.figure import Missing
from app.review.year import YearMark, YearMonth, YearView
from app.review.year_cells import YearCell
from app.ui.reading_words import DASH, mark_name
from app.ui.words import count_words, figure_text, joined, number_words, period_words

_LEFT_OUT = {
    "set_aside": "{n} set aside, not counted",
    "not_mine": "{n} not mine, not counted",
    "no_value": "{n} without a value",
    "future": "{n} in the future, not counted",
}


def tr(text: str) -> str:
    """Translate a text of this page."""
    return QCoreApplication.translate("Year", text)


def many(count: int, one: str, more: str, **rest: str) -> str:
    """A sentence for one or for more, its `{n}` and the other places filled."""
    return tr(one if count == 1 else more).format(n=count_words(count), **rest)


def month_name(day: date) -> str:
    """A month in short: "Sep"."""
    return QLocale().standaloneMonthName(day.month, QLocale.FormatType.ShortFormat)


def month_words(day: date) -> str:
    """A month with its year: "September 2025"."""
    name = QLocale().standaloneMonthName(day.month, QLocale.FormatType.LongFormat)
    return f"{name} {count_words(day.year)}"


def months_words(found: YearView) -> str:
    """The months shown: "September 2025 – May 2026"."""
    first, last = found.months[0].first, found.months[-1].first
    return month_words(last) if first == last else f"{month_words(first)} – {month_words(last)}"


def limit_words(limit: LimitPair, unit: Unit) -> str:
    """One of the four limits of the levels, in the person's unit."""
    return number_words(shown(limit.in_unit(unit), unit))


def subtitle(found: YearView) -> str:
    """The line below the title: which months, how many readings, what is in no cell."""
    said = [
        months_words(found),
        many(
            found.n,
            "n {n} reading in {months}",
            "n {n} readings in {months}",
            months=many(len(found.months), "{n} month", "{n} months"),
        ),
    ]
    if found.unmarked:
        said.append(tr("{n} unmarked, in no slot").format(n=count_words(found.unmarked)))
    if found.elsewhere:
        said.append(tr("{n} with another mark, in no slot").format(n=count_words(found.elsewhere)))
    for reason, words in _LEFT_OUT.items():
        if reason in found.left_out:
            said.append(tr(words).format(n=count_words(found.left_out[reason])))
    return joined(said)


def finding(found: YearView) -> str:
    """Lows first, then highs, then the months in which nothing was written."""
    low, high = limit_words(LOW_BELOW, found.unit), limit_words(HIGH_ABOVE, found.unit)
    said = [
        tr("{lows} of {n} below {low}, {highs} above {high} {unit}.").format(
            lows=count_words(found.lows),
            n=count_words(found.n),
            low=low,
            highs=count_words(found.highs),
            high=high,
            unit=found.unit,
        )
    ]
    most = max(found.months, key=lambda month: month.lows)
    if found.lows > 1 and len(found.months) > 1:
        said.append(
            tr("Most below: {month}, {lows} of {n}.").format(
                month=month_words(most.first),
                lows=count_words(most.lows),
                n=count_words(most.n),
            )
        )
    gaps = [month_words(month.first) for month in found.months if month.is_gap]
    if gaps:
        said.append(tr("Nothing written in {months}.").format(months=", ".join(gaps)))
    return " ".join(said)


def chart_name(found: YearView) -> str:
    """What a screen reader says of the chart."""
    return f"{tr('Months by slot')}, {months_words(found)}. {finding(found)}"


def cell_words(month: YearMonth, cell: YearCell, unit: Unit) -> str:
    """All that is known of one slot in one month, in one line."""
    said = [month_words(month.first), mark_name(cell.mark)]
    if month.is_gap:
        return joined([*said, tr("nothing written in this month, n 0")])
    if not cell.n:
        return joined([*said, tr("not tested in this month, n 0")])
    said.append(
        many(
            cell.n,
            "n {n} on {days}",
            "n {n} on {days}",
            days=many(cell.days, "{n} day", "{n} days"),
        )
    )
    said += [_middle_words(cell, unit), *beyond_words(cell, unit), goal_words(cell, unit)]
    if cell.in_doubt:
        said.append(tr("{n} in doubt").format(n=count_words(cell.in_doubt)))
    return joined(said)


def beyond_words(cell: YearCell, unit: Unit) -> list[str]:
    """How many are below and above, and how many of them far."""
    said = []
    if cell.lows:
        said.append(
            tr("{n} below {limit}").format(
                n=count_words(cell.lows), limit=limit_words(LOW_BELOW, unit)
            )
        )
    if cell.far_lows:
        said.append(
            tr("{n} of them below {limit}").format(
                n=count_words(cell.far_lows), limit=limit_words(VERY_LOW_BELOW, unit)
            )
        )
    if cell.highs:
        said.append(
            tr("{n} above {limit}").format(
                n=count_words(cell.highs), limit=limit_words(HIGH_ABOVE, unit)
            )
        )
    if cell.far_highs:
        said.append(
            tr("{n} of them above {limit}").format(
                n=count_words(cell.far_highs), limit=limit_words(VERY_HIGH_ABOVE, unit)
            )
        )
    return said


def goal_words(cell: YearCell, unit: Unit) -> str:
    """The target of a cell: "target 4.0 – 8.0"; empty without one."""
    low = None if cell.goal_low is None else number_words(shown(cell.goal_low, unit))
    high = None if cell.goal_high is None else number_words(shown(cell.goal_high, unit))
    if low and high:
        return tr("target {range}").format(range=_range(low, high))
    if high:
        return tr("target to {high}").format(high=high)
    return tr("target from {low}").format(low=low) if low else ""


def half_text(cell: YearCell, unit: Unit) -> str:
    """The middle half: "5.7 – 8.6"; a dash where an end is off the scale."""
    if cell.box is None:
        return DASH
    return _range(*(number_words(shown(end, unit)) for end in cell.box))


def from_the_left(text: str) -> str:
    """A text of numbers that is read from left to right in every language.

    Only where that has to be said: most fonts lack the signs for it, and another font that steps in
    sets the line lower.
    """
    right = QGuiApplication.layoutDirection() is Qt.LayoutDirection.RightToLeft
    return f"\u2066{text}\u2069" if right else text


def mark_days(mark: YearMark, date_order: str) -> str:
    """The days of something beside the readings: "9 – 12 Feb 2026"."""
    return period_words(Period(mark.other.first, mark.other.last), date_order)


def mark_words(mark: YearMark, date_order: str) -> str:
    """Something beside the readings in one line, with what Enter does."""
    said = [mark_days(mark, date_order), mark.other.words]
    if mark.change is not None:
        said.append(tr("Enter shows before and after"))
    return joined(said)


def _middle_words(cell: YearCell, unit: Unit) -> str:
    if isinstance(cell.median, Missing):
        return tr("too few for a median")
    median = figure_text(cell.median, unit, missing=DASH)
    if cell.box is None:
        return tr("median {median} {unit}").format(median=median, unit=unit)
    return tr("median {median} {unit}, middle half {half}").format(
        median=median, unit=unit, half=half_text(cell, unit)
    )


def _range(low: str, high: str) -> str:
    return from_the_left(f"{low}\u00a0–\u00a0{high}")
