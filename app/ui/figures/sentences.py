"""The sentences of the Figures page: what it rests on, the trust in it, shares, doubt, rechecks."""

from __future__ import annotations

from app.domain.glucose import Unit
from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_LOW_BELOW
from app.domain.marks import EVENED_SLOTS
from app.review.figures import Figures
from app.review.figures_shown import FiguresShown
from app.review.marks_drawn import HIGH_LEVELS, LOW_LEVELS
from app.review.parts import Share
from app.review.words import figure_words, level_words, percent, percent_digits
from app.ui.figures.level_column import LevelShare
from app.ui.figures.words import many, mean_text, tr
from app.ui.words import count_words, number_words, period_words

_LEFT_OUT = {
    "set_aside": ("{n} set aside", "{n} set aside"),
    "not_mine": ("{n} not mine", "{n} not mine"),
    "no_value": ("{n} without a value", "{n} without a value"),
    "future": ("{n} in the future", "{n} in the future"),
    "undated": ("{n} without a time", "{n} without a time"),
}
_MOST_NAMED = 4  # slots in one sentence


def subtitle(shown: FiguresShown) -> str:
    """The line below the title: period, n, days, rechecks, doubt, and what was left out."""
    found, whole = shown.figures, shown.whole
    parts = [period_words(found.period, found.person.date_order)]
    on = many(found.days_with_readings, "{n} day", "{n} days")
    parts.append(many(found.n, "n {n} reading on {days}", "n {n} readings on {days}", days=on))
    rechecks = found.without_rechecks.left_out
    if rechecks:
        parts.append(many(rechecks, "{n} recheck after a low", "{n} rechecks after lows"))
    if found.unmarked:
        parts.append(many(found.unmarked, "{n} unmarked", "{n} unmarked"))
    doubt = whole.without_doubt.left_out
    if not doubt:
        parts.append(tr("none in doubt"))
    elif shown.doubtful:
        parts.append(many(doubt, "{n} in doubt", "{n} in doubt"))
    else:
        parts.append(many(doubt, "{n} in doubt left out", "{n} in doubt left out"))
    aside = left_out_words(shown)
    return " · ".join([*parts, aside] if aside else parts)


def left_out_words(shown: FiguresShown) -> str:
    """What counts in no figure, by reason: "left out: 4 set aside, 2 not mine"."""
    counts = [many(count, *_LEFT_OUT[reason]) for reason, count in shown.whole.left_out.items()]
    if not shown.doubtful and not shown.figures.n and shown.whole.n:
        counts.append(many(shown.whole.n, "{n} in doubt", "{n} in doubt"))
    return tr("left out: {counts}").format(counts=", ".join(counts)) if counts else ""


def trust_words(shown: FiguresShown) -> tuple[str, str]:
    """The verdict on the average, and the sentences on why and on what was hardly tested."""
    found = shown.figures
    verdict = tr("How far to trust it: {verdict}.").format(verdict=tr(found.trust.verdict))
    said = []
    if found.trust.reasons:
        reasons = "; ".join(found.trust.reasons)
        said.append(f"{reasons[:1].upper()}{reasons[1:]}.")
    else:
        tested = sum(1 for row in shown.marks.rows if row.mark in EVENED_SLOTS and row.n)
        said.append(
            tr("{n} readings on {days} days, {slots} of 7 slots tested.").format(
                n=found.n, days=found.days_with_readings, slots=tested
            )
        )
    thin = [
        tr("{slot} n\u00a0{n}").format(slot=tr(row.mark.words), n=count_words(row.n))
        for row in shown.marks.thin_slots
    ]
    if len(thin) > _MOST_NAMED and found.n:
        said.append(
            tr(
                "{count} of 8 slots have fewer than 5 readings: what happens there would not be "
                "seen."
            ).format(count=count_words(len(thin)))
        )
    elif thin and found.n:
        slots = ", ".join(thin)
        said.append(
            tr("{slots}: what happens there would not be seen.").format(
                slots=slots[:1].upper() + slots[1:]
            )
        )
    return verdict, " ".join(said)


def without_rechecks(found: Figures) -> str:
    """The low count and the average without the rechecks, beside the shares that hold them."""
    rest, unit = found.without_rechecks, found.unit
    if not rest.left_out:
        return ""
    low = number_words(figure_words(LOW_BELOW.in_unit(unit), unit))
    far = number_words(figure_words(VERY_LOW_BELOW.in_unit(unit), unit))
    said = [
        tr("{count} of {n} below {low}, {far_count} of them below {far}").format(
            count=_count(rest.shares[:LOW_LEVELS]),
            n=count_words(rest.n),
            low=low,
            far=far,
            far_count=_count(rest.shares[:1]),
        )
    ]
    average = mean_text(rest.mean, unit)
    if average:
        said.append(tr("plain average {average} {unit}").format(average=average, unit=unit))
    intro = many(rest.left_out, "Without {n} recheck:", "Without {n} rechecks:")
    return f"{intro} {'; '.join(said)}."


def level_shares(found: Figures) -> list[LevelShare]:
    """What stands below the bar for each level."""
    return [_level_share(share, found.unit) for share in found.shares]


def shares_finding(found: Figures) -> str:
    """What the bar says, in one sentence."""
    unit = found.unit
    return tr(
        "Of {n} readings {low} lie below {low_limit}, {within} within, "
        "{high} above {high_limit} {unit}"
    ).format(
        n=count_words(found.n),
        low=_count(found.shares[:LOW_LEVELS]),
        within=_count(found.shares[LOW_LEVELS:HIGH_LEVELS]),
        high=_count(found.shares[HIGH_LEVELS:]),
        low_limit=number_words(figure_words(LOW_BELOW.in_unit(unit), unit)),
        high_limit=number_words(figure_words(HIGH_ABOVE.in_unit(unit), unit)),
        unit=unit,
    )


def _level_share(share: Share, unit: Unit) -> LevelShare:
    found = share.found
    span = number_words(level_words(share.level, unit))
    counted = tr("{count} of {n}").format(count=count_words(found.count), n=count_words(found.n))
    if share.missing or found.share is None or found.low is None or found.high is None:
        return LevelShare(share.level, span, counted, "", f"{span} {unit}: {counted}", None)
    ends = [number_words(percent_digits(end)) for end in (found.low, found.high)]
    interval = tr("{interval}\u00a0%").format(interval="–".join(dict.fromkeys(ends)))
    strong = number_words(percent(found.share))
    said = tr("{span} {unit}: {strong}, {counted}, 95 % interval {interval}").format(
        span=span, unit=unit, strong=strong, counted=counted, interval=interval
    )
    quiet = f"{counted} · {interval}"
    return LevelShare(share.level, span, strong, quiet, said, found.share)


def _count(shares: tuple[Share, ...]) -> str:
    return count_words(sum(share.found.count for share in shares))
