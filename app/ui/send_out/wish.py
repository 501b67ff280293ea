"""What is wished to leave the diary: in which form, whose, of which days, and what of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from app.domain.clock import Period
from app.domain.person import Person
from app.work.csv_rows import Part


class Form(StrEnum):
    """The forms of files, named as the command names them."""

    CSV = "csv"
    PDF = "pdf"
    HTML = "html"
    ICS = "ics"
    LINES = "jsonl"
    SQLITE = "sqlite"

    @property
    def is_whole(self) -> bool:
        """Whether everybody and everything leaves."""
        return self in (Form.LINES, Form.SQLITE)

    @property
    def has_days(self) -> bool:
        """Whether days can be chosen."""
        return self in (Form.CSV, Form.PDF, Form.HTML)


@dataclass(frozen=True, slots=True)
class Wish:
    """One export as it is chosen; `period` None is every day there is.

    `without` are the parts of a table that stay behind · `paper` is that of a sheet · `quiet` and
    `zoned` are of a calendar: say "reminder" alone, and by the person's own zone.
    """

    form: Form
    person: Person
    period: Period | None
    without: frozenset[Part] = frozenset()
    paper: str = "A4"
    quiet: bool = False
    zoned: bool = False
