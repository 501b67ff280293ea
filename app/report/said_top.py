"""The head of the page and its first row: how much was tested, the lows, the highs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from app.domain.a1c import A1cUnit, shown_a1c
from app.domain.glucose import Bound
from app.domain.ketones import URINE, URINE_LEVELS, Ketones
from app.domain.levels import HIGH_ABOVE, VERY_HIGH_ABOVE, VERY_LOW_BELOW
from app.domain.marks import SLOTS, Mark
from app.domain.written import KetoneTest
from app.report.dates import day_of, day_words, days_of, moment_of, period_words
from app.report.said_goals import goals_said
from app.report.words import (
    figure_both,
    glucose_both,
    limit_words,
    listed,
    many,
    plain,
    strong,
    tr,
)
from app.review.day_spells import SpellEnd
from app.review.low_spells import ToldSpell
from app.review.marks_drawn import HIGH_LEVELS
from app.review.visit import VisitPage
from app.review.words import percent, percent_digits
from app.statistics.proportion import share_of

_MOST_SPELLS = 3  # told one by one; the second sheet and the diary have all
_MOST_LABS = 3  # the newest
_LEAST_SHOWN = 0.1  # readings a day, with the one digit that is printed
_MOST_SHARE = 0.34  # a slot with more of all readings is worth a word (a rule of this diary)


@dataclass(frozen=True, slots=True)
class Heads:
    """The words around the page."""

    name: str
    period: str
    subtitle: str
    lab: str
    low_line: str
    goals: str
    foot: str


def heads(page: VisitPage) -> Heads:
    """Who, which period, which unit, which visit; the goals and where the page comes from."""
    subtitle = tr("Finger-stick readings. {unit}, {second} in brackets.").format(
        unit=page.unit, second=page.second
    )
    if page.visit is not None:
        day = date.fromordinal(page.visit.day)
        subtitle += " " + tr("Visit of {day}.").format(day=day_words(day, page.person, year=True))
    line = page.lows.lines[0].low
    return Heads(
        name=plain(page.person.name),
        period=period_words(page.period, page.person),
        subtitle=subtitle,
        lab=_labs(page),
        low_line=tr("below {line}").format(line=limit_words(line, page.unit, page.second)),
        goals=goals_said(page),
        foot=tr("Thimblebook, {day} · recorded at home; for the care team to judge").format(
            day=day_words(page.made.date(), page.person, year=True)
        ),
    )


def _labs(page: VisitPage) -> str:
    said = []
    for each in page.labs[-_MOST_LABS:]:
        percents = shown_a1c(each.percent, A1cUnit.PERCENT)
        mmol = shown_a1c(each.mmol_mol, A1cUnit.MMOL_MOL)
        day = day_of(each.day, page)
        if page.visit is not None and each.day.toordinal() == page.visit.day:
            day = tr("{day}, the day of the visit").format(day=day)
        said.append(f"{strong(f'{percents} %')} ({mmol} mmol/mol), {day}")
    return tr("Lab A1C: {values}").format(values="; ".join(said)) if said else ""


def tested_said(page: VisitPage) -> tuple[str, ...]:
    """How many readings on how many days, which slot outweighs, what has no mark or no test."""
    found, days = page.figures, page.period.days
    if not found.n:
        return (strong(tr("Not tested: no readings in this period.")), *_beside_readings(page))
    # A reading in a month is not none a day, as 0.0 would say.
    rate = found.n / days
    a_day = f"{rate:.1f}" if rate >= _LEAST_SHOWN else tr("less than {n}").format(n=_LEAST_SHOWN)
    said = [
        tr("{n} {readings} on {tested} of {days}, {a_day} a day.").format(
            readings=tr("reading" if found.n == 1 else "readings"),
            n=strong(str(found.n)),
            tested=strong(str(found.days_with_readings)),
            days=many(days, "day", "days"),
            a_day=a_day,
        )
    ]
    most = max(found.by_mark, key=lambda each: each.n if each.mark in SLOTS else -1)
    if most.n > _MOST_SHARE * found.n and most.mark in SLOTS:
        said.append(
            tr("{count} of {n} at {slot}.").format(
                count=strong(str(most.n)), n=found.n, slot=tr(most.mark.words)
            )
        )
    if found.unmarked:
        said.append(tr("{n} had no mark and are in no slot.").format(n=strong(str(found.unmarked))))
    untested = [row.slot for row in page.tests.rows if not row.n]
    by_clock = Mark.NIGHT in untested and page.lows.nights_tested > 0  # said beside the lows
    never = [tr(slot.words) for slot in untested if slot is not Mark.NIGHT or not by_clock]
    if never:
        said.append(tr("Never tested: {slots}.").format(slots=listed(never)))
    if by_clock:
        said.append(tr("No reading is marked as night."))
    if page.gap is not None:
        said.append(
            tr("Longest without a test: {days}, {when}.").format(
                days=many(page.gap.days, "day", "days"),
                when=days_of(page.gap.first, page.gap.last, page),
            )
        )
    return tuple(filter(None, (said[0], " ".join(said[1:]), *_beside_readings(page))))


def _beside_readings(page: VisitPage) -> tuple[str, ...]:
    """The plan, and control tests, which are no readings."""
    said = [_plan(page)]
    if page.controls:
        said.append(
            tr("{n} of the kit, in no figure.").format(
                n=many(page.controls, "control test", "control tests")
            )
        )
    return tuple(filter(None, said))


def _plan(page: VisitPage) -> str:
    """What was done of what was planned, in plain counts, and where fewer were."""
    kept = page.kept
    if kept is None:
        return ""
    if not kept.all.planned:
        return tr("Plan: no test was expected in this period.")
    said = tr("Plan: {kept} of {planned} planned tests done.").format(
        kept=strong(str(kept.all.kept)), planned=kept.all.planned
    )
    fewer = [
        tr("{slot} {kept} of {planned}").format(
            slot=tr(mark.words) if mark else tr("any time"),
            kept=count.kept,
            planned=count.planned,
        )
        for mark, count in kept.slip_marks
    ]
    if fewer:
        said += " " + tr("Fewer: {slots}.").format(slots=listed(fewer))
    return said


def lows_said(page: VisitPage) -> tuple[str, ...]:
    """Help first, then how many lows in how many spells, the nights, the newest spells."""
    lows, unit, second = page.lows, page.unit, page.second
    if not lows.counts.n and not lows.helps:
        return (tr("Not tested."),)
    helped = (
        strong(tr("Help needed: {n}.").format(n=len(lows.helps)))
        if lows.helps
        else tr("Help needed: none written.")
    )
    if not lows.counts.lows:
        first = f"{strong(tr('none seen'))}, n {lows.counts.n}. {helped}"
    else:
        far = tr("{n} below {line}").format(
            n=strong(str(lows.counts.level_2)), line=limit_words(VERY_LOW_BELOW, unit, second)
        )
        first = tr("{n} of {all} readings in {spells}, {far}.").format(
            n=strong(str(lows.counts.lows)),
            all=lows.counts.n,
            spells=many(len(lows.spells), "spell", "spells"),
            far=far,
        )
        rechecks = lows.counts.n - lows.without_rechecks.n
        if rechecks:
            first += " " + tr("Without {rechecks}: {n} of {all}.").format(
                rechecks=many(rechecks, "recheck", "rechecks"),
                n=lows.without_rechecks.lows,
                all=lows.without_rechecks.n,
            )
        first += f" {helped}"
    said = [first, strong(_night(page))]
    if lows.spells:
        said.append(_spells(page))
    return tuple(said)


def _night(page: VisitPage) -> str:
    lows = page.lows
    tested = many(lows.nights_tested, "time", "times")
    nights = many(lows.nights, "night", "nights")
    said = tr("Night tested {tested} in {nights}").format(tested=tested, nights=nights)
    if lows.night_lows:
        return tr("{said}, {n} low.").format(said=said, n=lows.night_lows)
    if lows.nights_tested < lows.nights:
        return tr("{said}: lows at night would not be seen.").format(said=said)
    return f"{said}."


def _spells(page: VisitPage) -> str:
    newest = list(reversed(page.lows.spells))[:_MOST_SPELLS]
    told = "; ".join(_spell(each, page) for each in newest)
    rest = len(page.lows.spells) - len(newest)
    open_ones = page.lows.ended(SpellEnd.NO_RECHECK)
    said = tr("Newest: {told}.").format(told=told)
    if rest:
        said = tr("Newest of {all}: {told}.").format(all=len(page.lows.spells), told=told)
        lowest = min(page.lows.spells, key=_how_low)
        if lowest not in newest:
            said = tr("Lowest: {told}.").format(told=_spell(lowest, page)) + " " + said
    if open_ones:
        said += " " + tr("No recheck written after {n}.").format(n=open_ones)
    return said


def _how_low(spell: ToldSpell) -> tuple[bool, float]:
    lowest = spell.lowest.glucose
    return lowest.bound is not Bound.BELOW, lowest.mg_dl or 0.0


def _spell(spell: ToldSpell, page: VisitPage) -> str:
    lowest = glucose_both(spell.lowest.glucose, page.unit, page.second)
    doubt = tr(" (in doubt)") if spell.in_doubt else ""
    at = spell.readings[0].wall
    # One low stays on one line.
    return f"{moment_of(at, page)} {lowest}{doubt}".replace(" ", "\u00a0")


def highs_said(page: VisitPage) -> tuple[str, ...]:
    """How many readings lie above, the highest, and whether ketones were tested."""
    found, unit, second = page.figures, page.unit, page.second
    if not found.n:
        return tuple(filter(None, (tr("Not tested."), _ketones(page) if page.ketones else "")))
    high = share_of(sum(each.found.count for each in found.shares[HIGH_LEVELS:]), found.n)
    said = tr("{n} above {line}").format(
        n=strong(str(high.count)), line=limit_words(HIGH_ABOVE, unit, second)
    )
    if found.shares[-1].missing is None and high.share is not None:
        assert high.low is not None
        assert high.high is not None
        said += tr(": {share} of {n}, 95 % about {low} to {high} %").format(
            share=percent(high.share),
            n=found.n,
            low=percent_digits(high.low),
            high=percent_digits(high.high),
        )
    far = found.shares[-1].found.count
    ends = tr("{n} above {line}, highest {highest}.").format(
        n=strong(str(far)),
        line=limit_words(VERY_HIGH_ABOVE, unit, second),
        highest=figure_both(found.quartiles.highest, unit, second),
    )
    followed = len(page.lows.highs_after)
    after = (
        tr("{n} within 4 hours of a low.").format(n=many(followed, "high", "highs"))
        if page.lows.spells
        else ""
    )
    return (f"{said}.", " ".join(filter(None, (ends, _ketones(page), after))))


def _ketones(page: VisitPage) -> str:
    """How often ketones were tested; of blood the highest, of urine the furthest level."""
    if not page.ketones:
        return tr("Ketones: not tested.")
    most = max(page.ketones, key=_ketone_order)
    result = Ketones(most.method, most.bound, most.value, most.level)
    return tr("Ketones: {n}, highest {highest} on {day}.").format(
        n=many(len(page.ketones), "test", "tests"),
        highest=strong(result.shown),
        day=moment_of(datetime.fromisoformat(most.at.wall), page),
    )


def _ketone_order(test: KetoneTest) -> tuple[bool, float]:
    """Blood before urine; off the scale beyond every number."""
    if test.method == URINE:
        level = test.level or ""
        return False, URINE_LEVELS.index(level) if level in URINE_LEVELS else -1
    if test.value is None:
        return True, float("-inf") if test.bound is Bound.BELOW else float("inf")
    return True, float(test.value)
