"""What of the kit wants to be seen to: now, or by a day that is told before a weekend."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.review.kit import KitShown
from app.review.kit_warnings import KitWarning
from app.ui.figures.cells import Cell
from app.ui.kit.kit_section import KitSection, cells, heads
from app.ui.kit.words import day_named, tr
from app.ui.session import Session


class WarningsSection(KitSection):
    """A line each, what holds now first; it is gone where there is nothing."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("To see to"), parent)
        self.table = self.add_table(tr("To see to"), strip_column=2)

    def show_kit(self, found: KitShown) -> None:
        self.found = found
        self.setVisible(bool(found.warnings))
        self.table.cells.set_cells(
            heads(tr("When"), tr("What"), tr("More")),
            [_line(each, found) for each in found.warnings],
        )


def _line(warning: KitWarning, found: KitShown) -> list[Cell]:
    when = tr("now") if warning.now else day_named(warning.day, found.today, found.person)
    return cells(when, warning.what, warning.more, quiet=(2,))
