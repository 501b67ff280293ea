"""The lower half of the page: meal rises, nights, averages, what to know, what to ask."""

from __future__ import annotations

from datetime import date

from app.domain.glucose import Unit, shown
from app.report.dates import day_of
from app.report.words import (
    both,
    difference_words,
    glucose_both,
    many,
    mean_both,
    plain,
    signed,
    strong,
    tr,
)
from app.review.figure import Missing
from app.review.one_night import Night
from app.review.visit import VisitPage

_MOST_NIGHTS = 4


def rises_said(page: VisitPage) -> tuple[tuple[tuple[str, str], ...], str]:
    """A row for each meal with its median rise and n, and what a difference may be worth."""
    rows = []
    for each in page.pairs.by_meal[:-1]:
        rise = each.rise
        name = tr(each.meal.replace("_", " "))
        if each.missing is not None or rise.median is None:
            rows.append((name, tr("n {n}: too few").format(n=rise.n)))
            continue
        assert rise.lowest is not None
        assert rise.highest is not None
        ends = f"{_number(rise.lowest, page.unit)} … {_number(rise.highest, page.unit)}"
        median = strong(difference_words(rise.median, page.unit, page.second))
        rows.append((name, f"{median} · n {rise.n} · {ends}"))
    paired, rest = page.pairs.all_meals.rise.n, sum(page.pairs.all_meals.not_paired.values())
    if not paired and not rest:
        return (), tr("Not tested: no readings before and after a meal.")
    within = page.pairs.all_meals.within_error
    note = tr("{paired} of readings before and after one meal; {rest} not paired.").format(
        paired=many(paired, "pair", "pairs"), rest=rest
    )
    if within:
        note += " " + tr("{n} within the permitted error of meters.").format(n=within)
    return tuple(rows), note


def _number(value: float, unit: Unit) -> str:
    text = shown(abs(value), unit)
    return signed(text, above=False) if value < 0 and float(text) else text


def nights_said(page: VisitPage) -> tuple[tuple[tuple[str, str], ...], str]:
    """Nights with a value, from the night to waking, and bedtime to waking over all nights."""
    found = page.nights
    told = [each for each in found.nights if each.lowest is not None and each.waking is not None]
    rows = tuple(
        (day_of(_morning(each), page), f"{_from_to(each, page)}") for each in told[-_MOST_NIGHTS:]
    )
    said = []
    if not told:
        said.append(tr("Not tested: no night with a value in it and at waking."))
    else:
        said.append(
            tr("{shown} of {all} with a value in the night and at waking.").format(
                shown=len(rows), all=many(len(told), "night", "nights")
            )
        )
    if found.missing is None and found.change.median is not None:
        said.append(
            tr("Bedtime to waking: {change}, n {n}.").format(
                change=difference_words(found.change.median, page.unit, page.second),
                n=found.change.n,
            )
        )
    return rows, " ".join(said)


def _morning(night: Night) -> date:
    assert night.waking is not None
    return night.waking.wall.date()


def _from_to(night: Night, page: VisitPage) -> str:
    assert night.lowest is not None
    assert night.waking is not None
    first = glucose_both(night.lowest.glucose, page.unit, page.second)
    last = glucose_both(night.waking.glucose, page.unit, page.second)
    return f"{first} → {strong(last)}"


def averages_said(page: VisitPage) -> tuple[tuple[tuple[str, str, str], ...], str]:
    """Plain and evened side by side, spread, the lab value as an average; how far to trust it."""
    found, unit, second = page.figures, page.unit, page.second
    if not found.n:
        return (), tr("Not tested.")
    rows = [
        (tr("Plain"), mean_both(found.mean, unit, second), f"n {found.n}"),
        (tr("Evened"), mean_both(found.evened, unit, second), _evened_note(page)),
    ]
    spread = found.spread
    if not isinstance(spread.sd, Missing) and isinstance(spread.sd, float):
        cv = f"CV {round(spread.cv)} %" if isinstance(spread.cv, float) else ""
        rows.append((tr("Spread (SD)"), both(spread.sd, unit, second), cv))
    for each in page.labs[-1:]:
        if not isinstance(each.average, Missing):
            value = float(each.average.value)
            rows.append(
                (
                    tr("Lab, as eAG"),
                    both(value, unit, second),
                    tr("translated from the lab's {value}").format(
                        value=f"{each.value} {each.unit.value}"
                    ),
                )
            )
    trust = strong(
        tr("How far to trust the plain one: {verdict}.").format(verdict=tr(found.trust.verdict))
    )
    if found.trust.reasons:
        reasons = "; ".join(plain(each) for each in found.trust.reasons)
        trust += f" {reasons[:1].upper()}{reasons[1:]}."
    return tuple(rows), trust


def _evened_note(page: VisitPage) -> str:
    evened = page.figures.evened
    if isinstance(evened, Missing):
        return ""
    return tr("{slots} of 7 slots, thinnest n {n}").format(
        slots=len(evened.slots), n=evened.smallest_n
    )


def asks_said(page: VisitPage) -> tuple[str, ...]:
    """The questions as the person wrote them."""
    said = [plain(each.text) for each in page.asks]
    if page.more_asks:
        said.append(tr("{n} more in the diary").format(n=page.more_asks))
    return tuple(said)
