"""What the page of a day says in words; numbers, dates and times as the person reads them."""

from __future__ import annotations

from datetime import date, datetime

from PySide6.QtCore import QCoreApplication, QDate, QLocale

from app.domain.glucose import Bound
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Doubt, Standing
from app.look.marks import MarkLook
from app.look.shapes import tail_of
from app.review.day import DayView, Happening
from app.review.day_rows import DayRow
from app.review.day_spells import LowSpell, SpellEnd
from app.ui.now.words import clock_words, date_words, number_words

_TITLES = {"dmy": "dddd d MMMM yyyy", "mdy": "dddd, MMMM d, yyyy", "ymd": "dddd, yyyy MMMM d"}
DOT = " · "
# Where a translation breaks the line is for the translator to say.
_IN_TWO_LINES = {
    Mark.AFTER_BREAKFAST: "after\nbreakfast",
    Mark.BEFORE_LUNCH: "before\nlunch",
    Mark.AFTER_LUNCH: "after\nlunch",
    Mark.BEFORE_EVENING_MEAL: "before\nevening meal",
    Mark.AFTER_EVENING_MEAL: "after\nevening meal",
}


def tr(text: str) -> str:
    """Translate a text of the page of a day."""
    return QCoreApplication.translate("Day", text)


def title_words(day: date, person: Person) -> str:
    """The day in full, in the person's order: "Thursday 7 May 2026"."""
    pattern = _TITLES.get(person.date_order, _TITLES["dmy"])
    return QLocale().toString(QDate(day.year, day.month, day.day), pattern)


def subtitle_words(view: DayView) -> str:
    """How much was written, low spells, and what the day was like, in one line."""
    said = [_count_words(view)]
    said += _spell_count(view)
    said += [happening_words(each, view.person) for each in view.happenings]
    said += list(view.spans)
    if view.hours != 24:
        hours = number_words(str(view.hours))
        changed = (
            tr("a day of {hours} hours: the clocks went forward")
            if view.hours < 24
            else tr("a day of {hours} hours: the clocks went back")
        )
        said.append(changed.format(hours=hours))
    return DOT.join(said)


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


def row_words(row: DayRow, person: Person) -> str:
    """One reading in one line: "Thu 7 May 18:07 · 2.4 mmol/L · LL · before evening meal ..."."""
    said = [
        f"{date_words(row.wall.date(), row.wall.date(), person)} {time_words(row, person)}",
        f"{number_words(row.glucose.shown(person.unit))} {person.unit}",
        letters_of(row),
        tr("no mark") if row.mark is Mark.NONE and row.code is None else mark_words(row),
        *differences(row),
        row.note or "",
        meter_words(row),
        row.keeper or "",
    ]
    return DOT.join(part for part in said if part)


def time_words(row: DayRow, person: Person) -> str:
    """The time of a reading; which of the two it is where the clocks went back over it."""
    time = clock_words(row.wall, person)
    turns = {1: tr("{time} (first)"), 2: tr("{time} (second)")}
    return turns.get(row.turn, "{time}").format(time=time)


def mark_words(row: DayRow) -> str:
    """The mark with the minutes after the meal; a dash where there is none."""
    if row.code is not None:
        return row.code
    if row.mark is Mark.NONE:
        return "–"
    if row.after_min is None:
        return tr(row.mark.words)
    return tr("{mark}, {minutes} min after it began").format(
        mark=tr(row.mark.words), minutes=number_words(str(row.after_min))
    )


def differences(row: DayRow) -> list[str]:
    """What is not as usual: the standing with its reason, doubt, and that it was added later."""
    said = []
    if row.standing is not Standing.COUNTED:
        words = tr(row.standing.words)
        said.append(f"{words}: {row.why}" if row.why else words)
    said += [
        tr("in doubt: {why}").format(why=tr(bit.words))
        for bit in Doubt
        if bit is not Doubt.NONE and row.doubt & bit
    ]
    if row.later:
        said.append(tr("added later"))
    return said


def meter_words(row: DayRow) -> str:
    """Meter and vial: "blue B7"."""
    return " ".join(part for part in (row.meter, row.vial) if part)


def look_of(row: DayRow) -> MarkLook | None:
    """What the mark of a reading has to tell; None where the meter gave no value."""
    if row.level is None:
        return None
    bound = row.glucose.bound
    return MarkLook(
        row.level,
        tail_of(row.mark),
        bool(row.doubt),
        row.standing,
        bound if bound in (Bound.BELOW, Bound.ABOVE) else Bound.EXACT,
    )


def letters_of(row: DayRow) -> str:
    """The letters beside a number; where that is "LO" or "HI" already, those of its level."""
    look = look_of(row)
    if look is None:
        return ""
    if look.is_apart or row.glucose.number is not None or row.level is None:
        return look.letters
    return f"{row.level.letter} ?" if look.doubt else row.level.letter


def slot_name(mark: Mark) -> tuple[str, str]:
    """A slot in two lines, a quiet one and a strong one: "before", "lunch"."""
    first, _, rest = tr(_IN_TWO_LINES.get(mark, mark.words)).partition("\n")
    return (first, rest) if rest else ("", first)


def chart_words(view: DayView) -> str:
    """What the chart finds: "Day, 4 readings, 1 below 3.9"."""
    low = sum(row.level is not None and row.level.value in ("low", "very_low") for row in view.rows)
    said = [tr("Day"), _readings(view.n)]
    if low:
        said.append(tr("{n} below the low line").format(n=number_words(str(low))))
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
        reasons[reason].format(n=number_words(str(count)))
        for reason, count in view.left_out.items()
        if reason in reasons
    ]
    n = number_words(str(view.n))
    inside = tr("n {n}").format(n=n) if not apart else f"n {n}; {', '.join(apart)}"
    so_far = tr("{readings} so far ({n})") if view.is_today else tr("{readings} ({n})")
    return so_far.format(readings=_readings(view.n), n=inside)


def _spell_count(view: DayView) -> list[str]:
    spells = view.spells
    if not spells:
        return []
    if len(spells) > 1:
        bare = sum(each.ended is SpellEnd.NO_RECHECK for each in spells)
        n, without = number_words(str(len(spells))), number_words(str(bare))
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
    return tr("1 reading") if n == 1 else tr("{n} readings").format(n=number_words(str(n)))


def _minutes(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    if not hours:
        return tr("{m} min").format(m=number_words(str(rest)))
    if not rest:
        return tr("{h} h").format(h=number_words(str(hours)))
    return tr("{h} h {m} min").format(h=number_words(str(hours)), m=number_words(str(rest)))
