"""What the lows of a period say in words: their sum, slots, spells, what followed."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from app.domain.levels import Level
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Doubt
from app.review.day_spells import SpellEnd
from app.review.low_spells import LowReading, ToldSpell
from app.review.lows import HelpNeeded, Lows, VeryHigh
from app.review.words import level_words
from app.statistics.around_lows import KETONE_SECONDS
from app.ui.figures.low_tiles import line_of
from app.ui.figures.words import many, tr
from app.ui.words import (
    clock_words,
    count_words,
    date_words,
    number_words,
    value_words,
)

_KETONE_HOURS = KETONE_SECONDS // 3600
FEW = 3  # what is told one by one before somebody asks for all
_FULL_CHAIN = 5  # readings of a spell that are told one by one


def summed_words(found: Lows) -> str:
    """The sum of it in a sentence: how many lows of how many readings, in how many spells."""
    counts, line = found.counts, number_words(line_of(found))
    if not counts.n:
        return tr("No readings in these days, which says nothing about lows.")
    if not counts.lows:
        return many(
            counts.n,
            "None below {line} seen in {n} reading.",
            "None below {line} seen in {n} readings.",
            line=line,
        )
    said = [
        tr("{lows} of {n} readings below {line}, in {spells}.").format(
            lows=count_words(counts.lows),
            n=count_words(counts.n),
            line=line,
            spells=many(found.sums.n, "{n} spell", "{n} spells"),
        )
    ]
    if len(found.lines) > 1:
        said.append(tr("The low line changed in this period; each reading goes by its day's."))
    return " ".join(said)


def slots_words(found: Lows) -> str:
    """Which slots the lows were found in, and which slots were never tested."""
    if not found.counts.n:
        return ""
    low = [
        tr("{mark} {lows} of {n}").format(
            mark=tr("no mark") if each.mark is Mark.NONE else tr(each.mark.words),
            lows=count_words(each.lows),
            n=count_words(each.n),
        )
        for each in found.by_mark
        if each.lows
    ]
    said = [tr("Lows by slot: {slots}.").format(slots=", ".join(low))] if low else []
    untested = [each.mark for each in found.by_mark if not each.n]
    by_clock = Mark.NIGHT in untested and found.nights_tested > 0
    never = [tr(mark.words) for mark in untested if mark is not Mark.NIGHT or not by_clock]
    if never:
        slots = ", ".join(never)
        said.append(tr("Never tested: {slots}; a low there would not be seen.").format(slots=slots))
    if by_clock:
        said.append(
            tr(
                "No reading is marked as night; nights tested by the clock: {tested} of {nights}."
            ).format(tested=count_words(found.nights_tested), nights=count_words(found.nights))
        )
    return " ".join(said)


def when_words(wall: datetime, found: Lows) -> str:
    """The day and time of a reading: "Mon 4 May 02:12"; with the year where it is another one."""
    day = date_words(wall.date(), found.period.last, found.person)
    return f"{day} {clock_words(wall, found.person)}"


def chain_words(spell: ToldSpell, person: Person) -> str:
    """The values of a spell one after the other; of a long one its ends and its length."""
    values = [_bare(each, person) for each in spell.readings]
    if len(values) > _FULL_CHAIN:
        rest = len(values) - 3
        values = [*values[:2], tr("{n} more").format(n=count_words(rest)), values[-1]]
    chain = " → ".join(values)
    if QGuiApplication.layoutDirection() is Qt.LayoutDirection.RightToLeft:
        return f"\u2066{chain}\u2069"  # its arrows point right: a piece that reads that way
    return chain


def end_words(spell: ToldSpell) -> str:
    """How a spell ended."""
    if spell.ended is SpellEnd.CLOSED:
        return many(spell.back_min or 0, "back above in {n} min", "back above in {n} min")
    if spell.ended is SpellEnd.OPEN:
        return tr("no recheck yet")
    if spell.next_min:
        return tr("no recheck written; next value {later} later").format(
            later=_lasting(spell.next_min)
        )
    return tr("no recheck written; no value since")


def _lasting(minutes: int) -> str:
    """Minutes up to three hours, beyond them whole hours; days from two on."""
    if minutes <= 3 * 60:
        return many(minutes, "{n} min", "{n} min")
    hours = round(minutes / 60)
    if hours < 48:
        return many(hours, "{n} h", "{n} h")
    days = round(hours / 24)
    return many(days, "{n} day", "{n} days")


def known_words(each: LowReading) -> list[str]:
    """What is to be known of a low: the night, doubt with its reasons, days set aside."""
    if not each.is_low:
        return []
    said = [tr("night")] if each.in_night else []
    said += [tr(reason.words) for reason in Doubt if reason in each.doubt]
    return [*said, tr("on set-aside days")] if each.set_aside_day else said


def help_words(each: HelpNeeded, found: Lows) -> str:
    """Level 3: when, the reading tied to it, and what was written."""
    said = [
        when_words(each.help.at.local, found),
        value_words(each.reading.glucose, found.unit)
        if each.reading
        else tr("no reading tied to it"),
    ]
    return " · ".join([*said, each.help.what] if each.help.what else said)


def highs_words(found: Lows) -> str:
    """How many lows a high followed within four hours, and how many were tested in that time."""
    if not found.sums.n:
        return ""
    said = tr("Highs within 4 hours of a low: {n}").format(n=count_words(found.highs_after_count))
    said += "; " + tr("{tested} of {spells} have a value in that time.").format(
        tested=count_words(found.sums.tested_after),
        spells=many(found.sums.n, "{n} spell", "{n} spells"),
    )
    told = [
        tr("{when}: {low}, {minutes} min later {high}").format(
            when=when_words(each.low.wall, found),
            low=_bare(each.low, found.person),
            high=_bare(each.high, found.person),
            minutes=count_words(each.minutes),
        )
        for each in found.highs_after[-FEW:]
    ]
    return " ".join([said, "; ".join(reversed(told)) + "." if told else ""]).strip()


def very_highs_words(found: Lows) -> str:
    """The very highs with the ketone test nearest to each."""
    if not found.very_highs_count:
        return ""
    above = number_words(level_words(Level.VERY_HIGH, found.unit))
    said = tr("Very high, {above} {unit}: {n}.").format(
        above=above, unit=found.unit, n=count_words(found.very_highs_count)
    )
    newest = list(reversed(found.very_highs[-FEW:]))
    told = "; ".join(
        f"{when_words(each.reading.wall, found)} {_bare(each.reading, found.person)}, "
        f"{_ketones(each)}"
        for each in newest
    )
    return f"{said} {told}."


def _ketones(each: VeryHigh) -> str:
    if each.ketones is None or each.minutes is None:
        return tr("no ketone test within {hours} hours").format(hours=count_words(_KETONE_HOURS))
    shown = number_words(each.ketones.shown)
    if each.minutes == 0:
        return tr("ketones {shown} at the same time").format(shown=shown)
    later, before = tr("ketones {shown}, {n} min later"), tr("ketones {shown}, {n} min before")
    return (later if each.minutes > 0 else before).format(
        shown=shown, n=count_words(abs(each.minutes))
    )


def _bare(each: LowReading, person: Person) -> str:
    return number_words(each.glucose.shown(person.unit))
