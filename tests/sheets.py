"""Sheets for an appointment, made from small invented diaries and from the two households."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from html.parser import HTMLParser
from pathlib import Path

from app.domain.clock import Period
from app.report.out import write_pdf
from app.review.record import record_of
from app.review.second_sheet import SecondSheet, second_sheet
from app.review.visit import VisitPage, visit_page
from app.store.diary import Diary
from app.store.people import persons
from tests.households import NOW, sample_of

# Ninety days before the visit of 8 May, and the evening before it by his own clock.
SPRING = Period(date(2026, 2, 7), date(2026, 5, 7))
EVENING = datetime(2026, 5, 8, 4, 0, tzinfo=UTC)
MARCH = Period(date(2026, 3, 1), date(2026, 3, 12))


def page_of(diary: Diary, period: Period = MARCH, *, now: datetime = NOW) -> VisitPage:
    """The page of the first person of a diary."""
    person = persons(diary)[0]
    return visit_page(diary, record_of(diary, person), period, now=now)


def second_of(diary: Diary, period: Period = MARCH, *, now: datetime = NOW) -> SecondSheet:
    """The second sheet of the first person of a diary."""
    person = persons(diary)[0]
    return second_sheet(diary, record_of(diary, person), period, now=now)


@contextmanager
def spring_of(
    folder: Path, name: str, *, period: Period = SPRING, now: datetime = EVENING
) -> Iterator[tuple[VisitPage, SecondSheet]]:
    """Both sheets of one of the households."""
    with sample_of(folder, name) as (diary, person):
        record = record_of(diary, person)
        yield (
            visit_page(diary, record, period, now=now),
            second_sheet(diary, record, period, now=now),
        )


def saved(
    page: VisitPage, folder: Path, *, size: str = "A4", second: SecondSheet | None = None
) -> Path:
    """The sheet as a PDF file."""
    out = folder / "sheet.pdf"
    write_pdf(page, out, size=size, second=second)
    return out


class Web(HTMLParser):
    """What a reader of the web page meets: its text, its tables cell by cell, its tags."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.rows: list[list[str]] = []
        self._in_cell = False
        self.feed(text)

    @property
    def text(self) -> str:
        return tidy(" ".join(self.words))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
            self._in_cell = True

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th"):
            self._in_cell = False

    def handle_data(self, data: str) -> None:
        self.words.append(data)
        if self._in_cell:
            self.rows[-1][-1] = tidy(f"{self.rows[-1][-1]} {data}")

    def row(self, head: str) -> list[str]:
        """The cells of the first row with a head."""
        return next(row for row in self.rows if row and row[0] == head)


def tidy(text: str) -> str:
    """A text with single spaces, and none before a stop."""
    joined = " ".join(text.split())
    for stop in ".,:;":
        joined = joined.replace(f" {stop}", stop)
    return joined.replace("( ", "(").replace(" )", ")")
