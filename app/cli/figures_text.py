"""Figures as lines of text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from app.cli.rarer_text import rarer_lines
from app.cli.words import plural
from app.domain.glucose import Unit
from app.domain.numerals import half_up
from app.domain.targets import CARE_TEAM_LINE
from app.review.figure import Figure, Missing, OffScale
from app.review.figures import Figures
from app.review.parts import Evened
from app.review.rarer import Rarer
from app.review.words import (
    evened_words,
    figure_words,
    level_words,
    mean_words,
    share_words,
)

_LEFT_OUT = {
    "set_aside": "set aside",
    "not_mine": "not mine",
    "no_value": "without a value",
    "future": "in the future",
    "undated": "without a time",
}


def figures_lines(found: Figures, rarer: Rarer | None = None) -> Iterator[str]:
    """Say every figure in turn: what it rests on first, then averages, spread, shares, the rest."""
    unit = found.unit
    yield from _head(found)
    if not found.n:
        yield "There are no readings to count in this period, so there are no figures."
        return
    yield ""
    yield _line("Plain average", mean_words(found.mean, unit))
    yield _line("Evened average", evened_words(found.evened, unit))
    yield _line("Median", figure_words(found.quartiles.median, unit))
    yield _line("Middle half", _middle_half(found, unit))
    yield _line("Lowest, highest", _ends(found, unit))
    yield _line("SD", figure_words(found.spread.sd, unit))
    yield _line("CV, all readings", _percent(found.spread.cv))
    yield _line("CV within days", _percent(found.spread.within_day_cv))
    yield _line("MAGE", _excursions(found, unit))
    yield ""
    yield f"Share of readings, {unit}"
    for share in found.shares:
        yield _line(level_words(share.level, unit), share_words(share))
    if found.shares[0].missing:
        yield f"  shares in percent not shown: {found.shares[0].missing.why}"
    rest = found.without_rechecks
    if rest.left_out:
        lows = sum(share.found.count for share in rest.shares[:2])
        yield (
            f"  without {plural(rest.left_out, 'recheck')}: {lows} of {rest.n} below, "
            f"average {mean_words(rest.mean, unit)}"
        )
    yield from _doubts(found, unit)
    yield from _set_aside_days(found, unit)
    yield from _marks(found, unit)
    yield from _goals(found)
    if rarer is not None:
        yield from rarer_lines(rarer, unit)


def _head(found: Figures) -> Iterator[str]:
    period = found.period
    yield (
        f"{found.person.name}, {period.first} to {period.last} "
        f"({plural(period.days, 'day')}), {found.unit}"
    )
    on = plural(found.days_with_readings, "day")
    yield f"n {found.n} on {on}; {found.unmarked} without a mark"
    if found.left_out:
        parts = [f"{count} {_LEFT_OUT[reason]}" for reason, count in found.left_out.items()]
        yield f"Left out: {', '.join(parts)}"
    why = f" – {'; '.join(found.trust.reasons)}" if found.trust.reasons else ""
    yield f"How far to trust the average: {found.trust.verdict}{why}"


def _doubts(found: Figures, unit: Unit) -> Iterator[str]:
    if not found.doubt:
        return
    reasons = ", ".join(f"{count} {reason.words}" for reason, count in found.doubt.items())
    rest = found.without_doubt
    yield ""
    yield f"In doubt: {reasons}"
    yield _line("  without them", f"n {rest.n}, average {mean_words(rest.mean, unit)}")


def _set_aside_days(found: Figures, unit: Unit) -> Iterator[str]:
    rest = found.without_set_aside_days
    if not rest.left_out:
        return
    yield ""
    days = plural(found.days_with_readings - rest.days, "set-aside day")
    yield (
        f"Without {days} ({plural(rest.left_out, 'reading')}): n {rest.n} on "
        f"{plural(rest.days, 'day')}, average {mean_words(rest.mean, unit)}, "
        f"evened {_evened_short(rest.evened, unit)}, SD {figure_words(rest.sd, unit)}"
    )


def _evened_short(evened: Evened | Missing, unit: Unit) -> str:
    return evened_words(evened, unit).partition(" (")[0]


def _marks(found: Figures, unit: Unit) -> Iterator[str]:
    yield ""
    yield f"{'By mark':<22} {'n':>5}  {'mean':>8}  {'median':>8}"
    for each in found.by_mark:
        mean = _short(None if isinstance(each.mean, Missing) else each.mean.value, unit)
        median = "–" if isinstance(each.median, Missing) else figure_words(each.median, unit)
        yield f"{each.mark.words:<22} {each.n:>5}  {mean:>8}  {median:>8}"


def _goals(found: Figures) -> Iterator[str]:
    if not found.judgement.marks:
        return
    yield ""
    yield f"Against the goals: {'; '.join(found.judgement.goals)}"
    if len(found.judgement.goals) > 1:
        yield "There are two limits in this period; each reading is judged by those of its day."
    for each in found.judgement.marks:
        yield _line(
            each.mark.words,
            f"{each.within} of {each.n} within, {each.below} below, {each.above} above",
        )
    yield CARE_TEAM_LINE


def _line(name: str, text: str) -> str:
    return f"{name:<22} {text}"


def _short(value: float | None, unit: Unit) -> str:
    return "–" if value is None else figure_words(value, unit)


def _percent(figure: Figure) -> str:
    if isinstance(figure, Missing):
        return f"not shown: {figure.why}"
    if isinstance(figure, OffScale):
        raise TypeError("a CV is never off the scale")
    return f"{half_up(figure, 1)} %"


def _middle_half(found: Figures, unit: Unit) -> str:
    low, high = found.quartiles.q1, found.quartiles.q3
    if isinstance(low, Missing):
        return figure_words(low, unit)
    return f"{figure_words(low, unit)} – {figure_words(high, unit)}"


def _ends(found: Figures, unit: Unit) -> str:
    ends = found.quartiles
    return f"{figure_words(ends.lowest, unit)}, {figure_words(ends.highest, unit)}"


def _excursions(found: Figures, unit: Unit) -> str:
    words = figure_words(found.excursions.value, unit)
    if isinstance(found.excursions.value, Missing):
        return words
    return (
        f"{words} (mean of {found.excursions.days} days; made for continuous recording, "
        "a rough figure from finger-sticks)"
    )
