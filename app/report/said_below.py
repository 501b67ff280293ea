"""The lower half of the page: meal rises, nights, averages, what to know, what to ask."""

from __future__ import annotations

from datetime import date

from app.domain.glucose import Unit, shown
from app.report.words import (
    both,
    day_words,
    difference_words,
    glucose_both,
    listed,
    many,
    mean_both,
    plain,
    strong,
    tr,
)
from app.review.figure import Missing
from app.review.figures import of_all
from app.review.one_night import Night
from app.review.visit import VisitPage

_MOST_NIGHTS = 4
_MOST_LISTED = 4  # of what was written: the diary itself has the rest
_LEFT_OUT = {
    "set_aside": "{n} set aside",
    "not_mine": "{n} of another person",
    "no_value": "{n} without a value",
    "future": "{n} in the future",
    "undated": "{n} without a time",
}


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
    return f"−{text}" if value < 0 and float(text) else text


def nights_said(page: VisitPage) -> tuple[tuple[tuple[str, str], ...], str]:
    """Nights with a value, from the night to waking, and bedtime to waking over all nights."""
    found = page.nights
    told = [each for each in found.nights if each.lowest is not None and each.waking is not None]
    rows = tuple(
        (day_words(_morning(each)), f"{_from_to(each, page)}") for each in told[-_MOST_NIGHTS:]
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


def to_know(page: VisitPage) -> tuple[str, ...]:
    """Doubt, repairs, what was left out, gaps, what changed: all that the figures rest on."""
    found = page.figures
    said = [_retimed(page), _doubt(page), _aside(page)]
    out = [tr(_LEFT_OUT[why]).format(n=n) for why, n in found.left_out.items() if why in _LEFT_OUT]
    said.append(tr("Left out: {what}.").format(what=listed(out)) if out else tr("None left out."))
    said.append(_days(page))
    said.append(_kit(page))
    for change in page.changes[-_MOST_LISTED:]:
        on = tr("Changed on {day}:").format(day=day_words(date.fromordinal(change.day)))
        said.append(f"{strong(on)} {plain(change.what)}.")
    return tuple(each for each in said if each)


def retimed_days(page: VisitPage) -> list[tuple[str, int, int]]:
    """Meters whose clock was repaired, with the first and last of days that hang together."""
    found: list[tuple[str, int, int]] = []
    for each in sorted(page.repaired, key=lambda each: (each.meter, each.first_day)):
        if found and found[-1][0] == each.meter and each.first_day - found[-1][2] <= 1:
            meter, since, until = found[-1]
            found[-1] = (meter, since, max(until, each.last_day))
        else:
            found.append((each.meter, each.first_day, each.last_day))
    return found


def _retimed(page: VisitPage) -> str:
    told = []
    for meter, since, until in retimed_days(page):
        counts = [
            str(each.n)
            for each in page.repaired
            if each.meter == meter and since <= each.first_day <= until
        ]
        first, last = (day_words(date.fromordinal(day)) for day in (since, until))
        told.append(
            tr("{n} readings of {days} re-timed: the clock of the {meter} meter was wrong.").format(
                n=listed(counts),
                days=first if since == until else f"{first} – {last}",
                meter=plain(meter),
            )
        )
    return " ".join(told)


def _doubt(page: VisitPage) -> str:
    whole, rest = page.figures, page.figures.without_doubt
    if not rest.left_out:
        return tr("None in doubt.")
    reasons = listed([f"{tr(reason.words)} {n}" for reason, n in whole.doubt.items()])
    return tr("{n} in doubt ({reasons}): average with {with_them}, without {without}.").format(
        n=strong(str(rest.left_out)),
        reasons=reasons,
        with_them=mean_both(of_all(whole).mean, page.unit, page.second),
        without=mean_both(rest.mean, page.unit, page.second),
    )


def _aside(page: VisitPage) -> str:
    rest = page.figures.without_set_aside_days
    if not rest.left_out:
        return ""
    return tr("Without set-aside days ({n}): average {mean}.").format(
        n=many(rest.left_out, "reading", "readings"),
        mean=mean_both(rest.mean, page.unit, page.second),
    )


def _days(page: VisitPage) -> str:
    told = [
        f"{tr(each.kind.replace('_', ' '))} {day_words(date.fromordinal(each.first_day))}"
        for each in page.spans
        if each.kind not in ("term", "own")
    ]
    if not told:
        return ""
    more = len(told) - _MOST_LISTED
    shown_ones = listed(told[:_MOST_LISTED])
    tail = tr(" and {n} more").format(n=more) if more > 0 else ""
    return tr("Days written: {days}{more}.").format(days=shown_ones, more=tail)


def _kit(page: VisitPage) -> str:
    vials = [each for each in page.kit if each.kind == "vial"]
    meters = [
        tr("{meter} meter from {day}").format(
            meter=plain(each.name), day=day_words(date.fromordinal(each.day))
        )
        for each in page.kit
        if each.kind == "meter"
    ]
    said = [tr("New: {what}.").format(what=listed(meters))] if meters else []
    if vials:
        said.append(
            tr("{n} opened.").format(n=many(len(vials), "vial of strips", "vials of strips"))
        )
    return " ".join(said)


def asks_said(page: VisitPage) -> tuple[str, ...]:
    """The questions as the person wrote them."""
    said = [plain(each.text) for each in page.asks]
    if page.more_asks:
        said.append(tr("{n} more in the diary").format(n=page.more_asks))
    return tuple(said)
