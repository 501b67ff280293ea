"""What is said of a reading, in words, letters and its sign: one way of saying it on every page."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QCoreApplication

from app.domain.glucose import Bound
from app.domain.levels import Level
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Doubt, Standing
from app.look.marks import MarkLook
from app.look.shapes import tail_of
from app.review.day_rows import DayRow
from app.ui.words import clock_words, count_words, date_words, joined, number_words

DASH = "–"  # stands where nothing was said
_LEVELS = {
    Level.VERY_LOW: "far below",
    Level.LOW: "below",
    Level.IN_RANGE: "within",
    Level.HIGH: "above",
    Level.VERY_HIGH: "far above",
}
# Where a translation breaks the line is for the translator to say.
_IN_TWO_LINES = {
    Mark.AFTER_BREAKFAST: "after\nbreakfast",
    Mark.BEFORE_LUNCH: "before\nlunch",
    Mark.AFTER_LUNCH: "after\nlunch",
    Mark.BEFORE_EVENING_MEAL: "before\nevening meal",
    Mark.AFTER_EVENING_MEAL: "after\nevening meal",
}


def _tr(text: str) -> str:
    return QCoreApplication.translate("Reading", text)


def mark_name(mark: Mark) -> str:
    """A mark in words."""
    return _tr(mark.words)


def mark_words(mark: Mark, after_min: int | None = None, *, short: bool = False) -> str:
    """A mark with the minutes after the meal began, where they were said; short for a table."""
    if after_min is None:
        return mark_name(mark)
    words = _tr("{mark}, {minutes} min") if short else _tr("{mark}, {minutes} min after it began")
    return words.format(mark=mark_name(mark), minutes=count_words(after_min))


def slot_name(mark: Mark) -> tuple[str, str]:
    """A slot in two lines, a quiet one and a strong one: "before", "lunch"."""
    first, _, rest = _tr(_IN_TWO_LINES.get(mark, mark.words)).partition("\n")
    return (first, rest) if rest else ("", first)


def standing_name(standing: Standing) -> str:
    """Whether it counts, in words."""
    return _tr(standing.words)


def level_name(level: Level) -> str:
    """A level in words, for ears and tips: "far below"."""
    return _tr(_LEVELS[level])


def doubt_reasons(doubt: int) -> list[str]:
    """Why it is in doubt, each reason in words."""
    return [_tr(bit.words) for bit in Doubt if bit is not Doubt.NONE and doubt & bit]


def time_words(row: DayRow, person: Person) -> str:
    """The time of a reading; which of the two it is where the clocks went back over it."""
    time = clock_words(row.wall, person)
    turns = {1: _tr("{time} (first)"), 2: _tr("{time} (second)")}
    return turns.get(row.turn, "{time}").format(time=time)


def differences(row: DayRow) -> list[str]:
    """What is not as usual: the standing with its reason, doubt, and that it was added later."""
    said = []
    if row.standing is not Standing.COUNTED:
        words = standing_name(row.standing)
        said.append(f"{words}: {row.why}" if row.why else words)
    said += [_tr("in doubt: {why}").format(why=why) for why in doubt_reasons(row.doubt)]
    if row.later:
        said.append(_tr("added later"))
    return said


def kit_words(row: DayRow) -> str:
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


def row_mark_words(row: DayRow) -> str:
    """Its mark: one of a newer list as written, a dash where there is none."""
    if row.code is not None:
        return row.code.replace("_", " ")
    return DASH if row.mark is Mark.NONE else mark_words(row.mark, row.after_min)


def reading_line(row: DayRow, person: Person, today: date) -> str:
    """One reading in one line: "Thu 7 May 18:07 · 2.4 mmol/L · LL · before evening meal ..."."""
    mark = row_mark_words(row)
    return joined(
        [
            f"{date_words(row.wall.date(), today, person)} {time_words(row, person)}",
            f"{number_words(row.glucose.shown(person.unit))} {person.unit}",
            letters_of(row),
            mark_name(Mark.NONE) if mark == DASH else mark,
            *differences(row),
            row.note or "",
            kit_words(row),
            row.keeper or "",
        ]
    )
