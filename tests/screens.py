"""Screens for commands of tests: nothing is shown, and nothing else than expected is written."""

from __future__ import annotations

from pathlib import Path

from app.report.out import write_card, write_page
from app.review.hand_over import HandOverCard
from app.review.second_sheet import SecondSheet
from app.review.visit import VisitPage


class NoScreen:
    """Nothing is asked of it: everything is an error."""

    def is_there(self) -> bool:
        return False

    def open(self, diary: Path, person: str | None) -> int:
        raise AssertionError((diary, person))

    def draw(self, pictures: object) -> list[Path]:
        raise AssertionError(pictures)

    def write_page(
        self, page: VisitPage, out: Path, paper: str, second: SecondSheet | None = None
    ) -> None:
        raise AssertionError((page, out, paper, second))

    def write_card(self, card: HandOverCard, out: Path, paper: str) -> None:
        raise AssertionError((card, out, paper))


class CardScreen(NoScreen):
    """Writes the hand-over card as the composition root does."""

    def write_card(self, card: HandOverCard, out: Path, paper: str) -> None:
        write_card(card, out, paper)


class SheetScreen(NoScreen):
    """Writes the sheet for an appointment as the composition root does."""

    def write_page(
        self, page: VisitPage, out: Path, paper: str, second: SecondSheet | None = None
    ) -> None:
        write_page(page, out, paper, second)
