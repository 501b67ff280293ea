"""The words below the chart by slot, one column each, and those above the waking readings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from app.domain.marks import SLOTS, Mark
from app.report.dates import day_of
from app.report.words import both_fine, figure_both, mean_both, plain, tr
from app.review.figure import Missing
from app.review.modal_day import ModalDay
from app.review.modal_day_slots import SlotBox
from app.review.visit import VisitPage

SHORT = {
    Mark.WAKING: ("", "waking"),
    Mark.AFTER_BREAKFAST: ("after", "breakfast"),
    Mark.BEFORE_LUNCH: ("before", "lunch"),
    Mark.AFTER_LUNCH: ("after", "lunch"),
    Mark.BEFORE_EVENING_MEAL: ("before", "evening meal"),
    Mark.AFTER_EVENING_MEAL: ("after", "evening meal"),
    Mark.BEDTIME: ("", "bedtime"),
    Mark.NIGHT: ("", "night"),
}


@dataclass(frozen=True, slots=True)
class SlotSaid:
    """One slot: its name over two lines, median, n with what lies outside its goal, mean."""

    over: str
    name: str
    median: str
    has_median: bool
    n: str
    below: int
    above: int
    mean: str


def slots_said(page: VisitPage) -> tuple[SlotSaid, ...]:
    """The eight slots in the order of the day."""
    means = {each.mark: each.mean for each in page.figures.by_mark}
    return tuple(
        _slot(box, means.get(mark, Missing(tr("not tested"))), page)
        for mark, box in zip(SLOTS, _in_order(page.by_slot), strict=True)
    )


def _in_order(found: ModalDay) -> list[SlotBox]:
    by_mark = {box.mark: box for box in found.slots}
    return [by_mark[mark] for mark in SLOTS]


def _slot(box: SlotBox, mean: object, page: VisitPage) -> SlotSaid:
    over, name = SHORT[box.mark]
    median = tr("too few") if box.n else tr("not tested")
    if box.has_box:
        median = figure_both(box.median, page.unit, page.second)
    mean_text = ""
    if box.n and not isinstance(mean, Missing):
        mean_text = mean_both(mean, page.unit, page.second)  # type: ignore[arg-type]
    below, above = (box.below_goal, box.above_goal) if box.judged else (box.lows, box.highs)
    return SlotSaid(
        over=tr(over) if over else "",
        name=tr(name),
        median=median,
        has_median=box.has_box,
        n=f"n {box.n}",
        below=below,
        above=above,
        mean=mean_text,
    )


def waking_note(page: VisitPage) -> str:
    """How many waking readings, their mean, the goal, and what was changed in the period."""
    n = page.of_mark(Mark.WAKING)
    if not n:
        return tr("not tested")
    mean = next(each.mean for each in page.figures.by_mark if each.mark is Mark.WAKING)
    said = [f"n {n}"]
    if not isinstance(mean, Missing) and mean.value is not None:
        said.append(
            tr("mean {mean} {unit}").format(
                mean=both_fine(mean.value, page.unit, page.second),
                unit=f"{page.unit} ({page.second})",
            )
        )
    return ", ".join(said)


def change_words(page: VisitPage, at: int) -> str:
    """A change as it is named over the chart: "9 February: plan changed; settling to 12 Feb"."""
    change = page.changes[at]
    begins = date.fromordinal(change.day)
    said = f"{day_of(begins, page)}: {plain(change.what)}"
    if change.settling_days:
        until = begins + timedelta(days=change.settling_days)
        said += tr("; settling to {day}").format(day=day_of(until, page))
    return said
