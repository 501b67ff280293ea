"""What the Appointment page does off the GUI thread: each gives back what there is to say."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from app.domain.clock import Period
from app.report.out import write_page
from app.review.record import Record
from app.review.second_sheet import SecondSheet, second_sheet
from app.review.visit import VisitPage, visit_page
from app.store.asks import Ask, asks_of
from app.store.diary import Diary
from app.ui.appointment.words import tr
from app.work.visits import keep_visit, tick_off, write_ask


@dataclass(frozen=True, slots=True)
class Found:
    """The sheet, the second one where it was asked for, and all questions of the person."""

    page: VisitPage
    second: SecondSheet | None
    asks: tuple[Ask, ...]


def found_for(
    diary: Diary, record: Record, period: Period, now: datetime, *, with_second: bool
) -> Found:
    """Work out what the page shows."""
    second = second_sheet(diary, record, period, now=now) if with_second else None
    page = visit_page(diary, record, period, now=now)
    return Found(page, second, asks_of(diary, record.person))


def written(found: Found, out: Path, paper: str) -> tuple[str, bool]:
    """Write the sheet into a file; what to say, and that the diary did not change."""
    write_page(found.page, out, paper, found.second)
    return tr("The sheet was saved as {name}. Only you can read it.").format(name=out.name), False


def asked(diary: Diary, record: Record, text: str, now: datetime) -> str:
    """Keep a question for the visit."""
    kept = write_ask(diary, record.person, text, now=now)
    return tr("Kept for the visit: {text}").format(text=kept.text)


def ticked(diary: Diary, record: Record, number: int, now: datetime) -> str:
    """Tick off an open question."""
    done = tick_off(diary, record.person, number, now=now)
    return tr("Ticked off: {text}").format(text=done.text)


def visited(diary: Diary, record: Record, day: date, outcome: str, now: datetime) -> str:
    """Write a visit down."""
    keep_visit(diary, record.person, day, outcome=outcome or None, now=now)
    return tr("The visit of {day} was written down.").format(day=day.isoformat())
