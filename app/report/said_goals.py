"""The goals that readings were judged by, in numbers, and whether others held before."""

from __future__ import annotations

from app.domain.marks import Mark
from app.domain.targets import Limit
from app.report.words import limit_words, plain, tr
from app.review.lanes import goal_of
from app.review.visit import VisitPage

# One mark for each group that a set of goals tells apart.
_GROUPS = (
    (Mark.WAKING, "waking"),
    (Mark.BEFORE_LUNCH, "before meals"),
    (Mark.AFTER_LUNCH, "after meals"),
    (Mark.BEDTIME, "bedtime"),
)


def goals_said(page: VisitPage) -> str:
    """Whose goals, their limits in both units, and whether they changed in the period."""
    if page.targets is None:
        return tr("No goals are written down.")
    told: dict[str, list[str]] = {}
    for mark, name in _GROUPS:
        limit = goal_of(page.targets, mark)
        if limit is not None:
            told.setdefault(_limits(limit, page), []).append(tr(name))
    numbers = "; ".join(f"{', '.join(names)} {limits}" for limits, names in told.items())
    said = tr("Goals: {name}: {numbers}.").format(name=plain(page.targets.name), numbers=numbers)
    if page.period.first.toordinal() < page.targets.from_day <= page.period.last.toordinal():
        said += " " + tr("Two limits in this period: each reading by that of its own day.")
    return said


def _limits(limit: Limit, page: VisitPage) -> str:
    low, high = (
        None if each is None else limit_words(each, page.unit, page.second)
        for each in (limit.low, limit.high)
    )
    if low is None:
        word = tr("under {high}") if limit.high_open else tr("up to {high}")
        return word.format(high=high)
    if high is None:
        return tr("from {low}").format(low=low)
    if limit.high_open:
        return tr("from {low} to under {high}").format(low=low, high=high)
    return tr("{low} to {high}").format(low=low, high=high)
