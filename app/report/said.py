"""What the page for an appointment says, part by part, in the order in which a clinician looks."""

from __future__ import annotations

from dataclasses import dataclass

from app.report.said_below import asks_said, averages_said, nights_said, rises_said
from app.report.said_know import to_know
from app.report.said_slots import SlotSaid, slots_said, waking_note
from app.report.said_top import heads, highs_said, lows_said, tested_said
from app.report.words import tr
from app.review.visit import VisitPage


@dataclass(frozen=True, slots=True)
class Part:
    """A part: its title, the quiet words beside it, and its paragraphs; `<b>` is the one markup."""

    title: str
    note: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """The words of the whole page; `rises`, `nights` and `averages` are rows of cells."""

    name: str
    period: str
    subtitle: str
    lab: str
    tested: Part
    lows: Part
    highs: Part
    slots: tuple[SlotSaid, ...]
    slots_note: str
    waking_note: str
    rises: tuple[tuple[str, str], ...]
    rises_note: str
    nights: tuple[tuple[str, str], ...]
    nights_note: str
    averages: tuple[tuple[str, str, str], ...]
    trust: str
    know: Part
    asks: Part
    goals: str
    foot: str
    page_of: str


def page_of(at: int, pages: int) -> str:
    """Which page of how many."""
    return tr("page {at} of {all}").format(at=at, all=pages)


def page_said(page: VisitPage, *, pages: int = 1) -> Said:
    """Put the page of a period into words; `pages` there are with the second sheet."""
    head = heads(page)
    rises, rises_note = rises_said(page)
    nights, nights_note = nights_said(page)
    averages, trust = averages_said(page)
    return Said(
        name=head.name,
        period=head.period,
        subtitle=head.subtitle,
        lab=head.lab,
        tested=Part(tr("How much was tested"), "", tested_said(page)),
        lows=Part(tr("Lows"), head.low_line, lows_said(page)),
        highs=Part(tr("Highs"), "", highs_said(page)),
        slots=slots_said(page),
        slots_note=tr(
            "each shape one reading, oldest at left · white: the goal · line: median · "
            "box: middle half · ▼ ▲ n: outside the goal of its slot"
        ),
        waking_note=waking_note(page),
        rises=rises,
        rises_note=rises_note,
        nights=nights,
        nights_note=nights_note,
        averages=averages,
        trust=trust,
        know=Part(tr("To know about these readings"), "", to_know(page)),
        asks=Part(tr("To ask"), tr("{name}'s own list").format(name=head.name), asks_said(page)),
        goals=head.goals,
        foot=head.foot,
        page_of=page_of(1, pages),
    )
