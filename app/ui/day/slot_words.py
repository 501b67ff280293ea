"""What one slot of the day says: short beside its picture, in full for a tip and a reader."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.domain.reading import Standing
from app.look.marks import MarkLook
from app.review.day import DayView
from app.review.day_rows import DayRow
from app.review.day_slots import SlotOfDay
from app.review.figure import Missing
from app.ui.day.words import tr
from app.ui.reading_words import letters_of, look_of, mark_name, slot_name, time_words
from app.ui.words import count_words, date_words, figure_text, joined, number_words


@dataclass(frozen=True, slots=True)
class SlotWords:
    """The texts of a slot; `number` is None where nothing was written, then `nothing` says so.

    `more` counts further readings of the day: "+1".
    """

    title: str
    before: str
    name: str
    time: str
    number: str | None
    look: MarkLook | None
    letters: str
    more: str
    nothing: str
    middle: str
    middle_short: str
    n: str
    told: str


def slot_words(slot: SlotOfDay, view: DayView) -> SlotWords:
    """Say what a slot of a day holds."""
    before, name = slot_name(slot.mark)
    rows = [row for row in view.rows if row.mark is slot.mark and row.code is None]
    counted = [row for row in rows if row.standing is Standing.COUNTED]
    last = next(iter(counted or rows), None)
    look = None if last is None else look_of(last)
    times = "" if last is None else time_words(last, view.person)
    middle, short, n = _middle(slot, view)
    return SlotWords(
        title=mark_name(slot.mark),
        before=before,
        name=name,
        time=times,
        number=None if last is None else number_words(last.glucose.shown(view.unit)),
        look=look,
        letters="" if last is None else letters_of(last),
        more="" if len(rows) < 2 else f"+{count_words(len(rows) - 1)}",
        nothing=tr("not written"),
        middle=middle,
        middle_short=short,
        n=n,
        told=_told(slot, view, rows),
    )


def _middle(slot: SlotOfDay, view: DayView) -> tuple[str, str, str]:
    """Median in full and in short, and n: a number alone only beside its n."""
    n = tr("n {n}").format(n=count_words(slot.n))
    if slot.is_untested:
        return tr("none in 14 days"), tr("none"), ""
    if isinstance(slot.median, Missing):
        return tr("{n}: too few").format(n=n), tr("{n}: too few").format(n=n), ""
    number = figure_text(slot.median, view.unit)
    return tr("median {value}").format(value=number), number, n


def _told(slot: SlotOfDay, view: DayView, rows: list[DayRow]) -> str:
    """Everything that the picture shows, in words and numbers."""
    unit = view.unit
    here = [
        f"{time_words(row, view.person)} {number_words(row.glucose.shown(unit))}"
        for row in reversed(rows)
    ]
    said = [mark_name(slot.mark), joined(here) if here else tr("not written")]
    if slot.is_untested:
        said.append(tr("none in the 14 days before"))
        return "\n".join(said)
    median = (
        tr("median not shown: {why}").format(why=slot.median.why)
        if isinstance(slot.median, Missing)
        else tr("median {value}").format(value=figure_text(slot.median, unit))
    )
    half = ""
    if slot.box is not None:
        low, high = (figure_text(end, unit) for end in slot.box)
        half = tr("middle half {low} – {high}").format(low=low, high=high)
    n = tr("14 days before, {unit}: n {n}").format(unit=unit.value, n=count_words(slot.n))
    said += [joined([n, median, half]), joined(_days_before(slot, view))]
    return "\n".join(said)


def _days_before(slot: SlotOfDay, view: DayView) -> list[str]:
    marks, found = slot.before, []
    for at in range(len(marks)):
        on = date.fromordinal(int(marks.day[at]))
        value = {-1: tr("LO"), 1: tr("HI")}.get(
            int(marks.bound[at]), figure_text(float(marks.value[at]), view.unit)
        )
        found.append(f"{date_words(on, view.day, view.person)} {value}")
    return found
