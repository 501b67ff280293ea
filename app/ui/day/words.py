"""What the page of a day says in words: how much was written, low spells, what else was."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import QCoreApplication

from app.domain.person import Person
from app.review.day import DayView, Happening
from app.review.day_spells import LowSpell, SpellEnd
from app.review.written import WrittenDown
from app.ui.words import clock_words, count_words, joined


def tr(text: str) -> str:
    """Translate a text of the page of a day."""
    return QCoreApplication.translate("Day", text)


def subtitle_words(view: DayView) -> str:
    """How much was written, low spells, and what the day was like, in one line."""
    said = [_count_words(view)]
    said += _spell_count(view)
    said += [happening_words(each, view.person) for each in view.happenings]
    said += list(view.spans)
    if view.hours != 24:
        hours = count_words(view.hours)
        changed = (
            tr("a day of {hours} hours: the clocks went forward")
            if view.hours < 24
            else tr("a day of {hours} hours: the clocks went back")
        )
        said.append(changed.format(hours=hours))
    return joined(said)


def spell_words(spell: LowSpell) -> str:
    """A low spell beside its bracket: "low spell, 16 min so far"."""
    minutes = _minutes(spell.minutes)
    if spell.ended is SpellEnd.OPEN:
        return tr("low spell, {time} so far").format(time=minutes)
    if spell.ended is SpellEnd.CLOSED:
        return tr("low spell, {time}").format(time=minutes)
    if spell.next_min is None:
        return tr("no recheck written, no value after it")
    return tr("no recheck written, next value {time} later").format(time=_minutes(spell.next_min))


def happening_words(happening: Happening, person: Person) -> str:
    """An event with its time: "swimming 16:30–17:30"."""
    began = clock_words(happening.began, person)
    if happening.ended is None:
        return f"{happening.text} {began}"
    return f"{happening.text} {began}–{clock_words(happening.ended, person)}"


def told_words(each: WrittenDown, person: Person) -> str:
    """What was written beside readings, with its time: "10:15 · ketones 0.8 mmol/L"."""
    words = {
        "help": "{words}",
        "ketone": tr("ketones {words}"),
        "lab": tr("laboratory: {words}"),
        "change": tr("from this day on: {words}"),
    }[each.what].format(words=each.words)
    when = "" if each.at is None or each.what == "lab" else clock_words(each.at.local, person)
    return joined([when, words, *(f"#{tag}" for tag in each.tags)])


def chart_words(view: DayView) -> str:
    """What the chart finds: "Day, 4 readings, 1 below 3.9"."""
    low = sum(row.level is not None and row.level.value in ("low", "very_low") for row in view.rows)
    said = [tr("Day"), _readings(view.n)]
    if low:
        said.append(tr("{n} below the low line").format(n=count_words(low)))
    return ", ".join(said)


def at_words(wall: datetime, person: Person) -> str:
    """The time that it is: "now 18:23"."""
    return tr("now {time}").format(time=clock_words(wall, person))


def _count_words(view: DayView) -> str:
    if not view.n and not view.left_out:
        if view.is_empty_diary:
            return tr("No readings yet (n 0)")
        return tr("Nothing written yet (n 0)") if view.is_today else tr("Nothing written (n 0)")
    reasons = {
        "set_aside": tr("{n} set aside"),
        "not_mine": tr("{n} not mine"),
        "no_value": tr("{n} without a value"),
        "future": tr("{n} still to come by the clock"),
    }
    apart = [
        reasons[reason].format(n=count_words(count))
        for reason, count in view.left_out.items()
        if reason in reasons
    ]
    n = count_words(view.n)
    inside = tr("n {n}").format(n=n) if not apart else f"n {n}; {', '.join(apart)}"
    so_far = tr("{readings} so far ({n})") if view.is_today else tr("{readings} ({n})")
    return so_far.format(readings=_readings(view.n), n=inside)


def _spell_count(view: DayView) -> list[str]:
    spells = view.spells
    if not spells:
        return []
    if len(spells) > 1:
        bare = sum(each.ended is SpellEnd.NO_RECHECK for each in spells)
        n, without = count_words(len(spells)), count_words(bare)
        if bare:
            return [tr("{n} low spells, {k} with no recheck written").format(n=n, k=without)]
        return [tr("{n} low spells").format(n=n)]
    only = spells[0]
    if only.ended is SpellEnd.OPEN:
        began = datetime.combine(view.day, datetime.min.time()).replace(
            hour=only.began // 60, minute=only.began % 60
        )
        return [tr("one low spell, open since {time}").format(time=clock_words(began, view.person))]
    if only.ended is SpellEnd.CLOSED:
        return [tr("one low spell, {time}").format(time=_minutes(only.minutes))]
    return [tr("one low spell, no recheck written")]


def _readings(n: int) -> str:
    return tr("1 reading") if n == 1 else tr("{n} readings").format(n=count_words(n))


def _minutes(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    if not hours:
        return tr("{m} min").format(m=count_words(rest))
    if not rest:
        return tr("{h} h").format(h=count_words(hours))
    return tr("{h} h {m} min").format(h=count_words(hours), m=count_words(rest))
