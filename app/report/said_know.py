"""What there is to know about the readings: doubt, repairs, what was left out, what changed."""

from __future__ import annotations

from datetime import date

from app.report.dates import day_of, days_of
from app.report.words import listed, many, mean_both, plain, strong, tr
from app.review.figures import of_all
from app.review.visit import VisitPage

_MOST_LISTED = 4  # of what was written: the diary itself has the rest
_LEFT_OUT = {
    "set_aside": "{n} set aside",
    "not_mine": "{n} of another person",
    "no_value": "{n} without a value",
    "future": "{n} in the future",
    "undated": "{n} without a time",
}


def to_know(page: VisitPage) -> tuple[str, ...]:
    """Doubt, repairs, what was left out, gaps, what changed: all that the figures rest on."""
    left_out = page.figures.left_out
    out = [tr(_LEFT_OUT[why]).format(n=n) for why, n in left_out.items() if why in _LEFT_OUT]
    out_words = tr("Left out: {what}.").format(what=listed(out)) if out else tr("None left out.")
    said = [
        _retimed(page),
        f"{_doubt(page)} {out_words} {_aside(page)}".strip(),
        _days(page),
        _kit(page),
    ]
    for change in page.changes[-_MOST_LISTED:]:
        on = tr("Changed on {day}:").format(day=day_of(date.fromordinal(change.day), page))
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
    """Each repair by itself: how many readings of which days, and whose clock it was."""
    told = []
    for meter in dict.fromkeys(each.meter for each in page.repaired):
        of_it = sorted(
            (each for each in page.repaired if each.meter == meter), key=lambda each: -each.n
        )
        counts = [
            tr("{n} of {days}").format(
                n=many(each.n, "reading", "readings") if not at else each.n,
                days=days_of(
                    date.fromordinal(each.first_day), date.fromordinal(each.last_day), page
                ),
            )
            for at, each in enumerate(of_it)
        ]
        told.append(
            tr("{what} re-timed: the clock of the {meter} meter was wrong.").format(
                what=listed(counts), meter=plain(meter)
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
    told = []
    for each in page.spans:
        if each.kind in ("term", "own"):
            continue
        first = date.fromordinal(each.first_day)
        last = first if each.last_day is None else date.fromordinal(each.last_day)
        aside = tr(" (set aside)") if each.set_aside else ""
        days = days_of(first, last, page)
        told.append(f"{tr(each.kind.replace('_', ' '))} {days}{aside}")
    if not told:
        return ""
    more = len(told) - _MOST_LISTED
    tail = tr(" and {n} more").format(n=more) if more > 0 else ""
    return tr("Days written: {days}{more}.").format(days=listed(told[:_MOST_LISTED]), more=tail)


def _kit(page: VisitPage) -> str:
    vials = [each for each in page.kit if each.kind == "vial"]
    meters = [
        tr("{meter} meter from {day}").format(
            meter=plain(each.name),
            day=day_of(date.fromordinal(each.day), page),
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
