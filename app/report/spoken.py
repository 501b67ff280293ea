"""The sheet in parts for a screen that others see: nobody else's name, no private note."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QRectF

from app.report.charts import paint_slots, paint_waking
from app.report.paper import Paper
from app.report.said import Part, Said, page_said
from app.report.words import tr, without_names
from app.review.visit import VisitPage

Chart = Callable[[Paper, QRectF], None]


@dataclass(frozen=True, slots=True)
class ShownPart:
    """A part with its words, and the chart that is painted in their place."""

    part: Part
    chart: Chart | None = None

    @property
    def heading(self) -> str:
        """Its title with the note beside it."""
        return " ".join(filter(None, (self.part.title, self.part.note)))


def shown_parts(page: VisitPage) -> tuple[ShownPart, ...]:
    """The parts in the order in which a clinician looks; empty ones are left out."""
    said = page_said(page)
    parts = [ShownPart(part) for part in _words_before(said)]
    if page.figures.n:
        parts += _charts(page, said)
    parts += [ShownPart(part) for part in _words_after(said)]
    return tuple(
        ShownPart(_discreet(each.part, page.others), each.chart)
        for each in parts
        if each.part.paragraphs
    )


def _words_before(said: Said) -> tuple[Part, ...]:
    who = tuple(filter(None, (said.subtitle, said.lab, said.goals)))
    return (
        Part(f"{said.name} · {said.period}", "", who),
        said.tested,
        said.lows,
        said.highs,
    )


def _charts(page: VisitPage, said: Said) -> list[ShownPart]:
    def slots(paper: Paper, area: QRectF) -> None:
        paint_slots(paper, page, said.slots, area)

    def waking(paper: Paper, area: QRectF) -> None:
        paint_waking(paper, page, area)

    rows = tuple(
        f"{f'{each.over} {each.name}'.strip()}: {each.median}, {each.n}" for each in said.slots
    )
    found = [ShownPart(Part(tr("By slot"), "", rows), slots)]
    if len(page.waking) and not any(_names_in(each.what, page.others) for each in page.changes):
        found.append(ShownPart(Part(tr("Waking"), said.waking_note, (said.waking_note,)), waking))
    elif len(page.waking):
        found.append(ShownPart(Part(tr("Waking"), "", (said.waking_note,))))
    return found


def _names_in(text: str, names: tuple[str, ...]) -> bool:
    return without_names(text, names) != text


def _words_after(said: Said) -> tuple[Part, ...]:
    rises = tuple(f"{name}: {words}" for name, words in said.rises)
    nights = tuple(f"{name}: {words}" for name, words in said.nights)
    averages = tuple(f"{name}: <b>{value}</b> {note}" for name, value, note in said.averages)
    return (
        Part(tr("Rise over the meal"), "", (*rises, said.rises_note)),
        Part(tr("Night to waking"), "", (*nights, said.nights_note)),
        Part(tr("Averages, side by side"), "", (*averages, said.trust)),
        said.know,
        said.asks,
    )


def _discreet(part: Part, names: tuple[str, ...]) -> Part:
    return Part(
        part.title,
        part.note,
        tuple(without_names(each, names) for each in part.paragraphs if each),
    )
