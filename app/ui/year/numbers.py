"""The same year as a table: every slot of every month, one row each."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QWidget

from app.domain.glucose import Unit
from app.domain.levels import HIGH_ABOVE, LOW_BELOW
from app.review.figure import Missing
from app.review.year import YearMonth, YearView
from app.review.year_cells import YearCell
from app.ui.figures.cells import Cell, Head
from app.ui.figures.table import FigureTable
from app.ui.reading_words import DASH, mark_name
from app.ui.words import count_words, figure_text
from app.ui.year.words import cell_words, half_text, limit_words, month_words, tr

_Index = QModelIndex | QPersistentModelIndex

_HALF = 4  # the column that goes first where the room is narrow: the slot's words have it too


class YearNumbers(FigureTable):
    """Months in time order, in each the slots that were tested; a gap is a row of its own.

    Signals: `looked_at(QRect, words)` the cell that the keyboard is at, in the table's own px, and
    all that is known of its row.
    """

    looked_at = Signal(QRect, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(
            parent, name=tr("Months by slot in numbers"), may_go=(_HALF,), may_shorten=True
        )
        self.column_help = ("year", "year", "n", "year", "year", "year", "year")
        self._where: list[tuple[int, int]] = []
        self._said: list[str] = []

    def show_year(self, found: YearView) -> None:
        """Show these months."""
        unit = found.unit
        low, high = limit_words(LOW_BELOW, unit), limit_words(HIGH_ABOVE, unit)
        heads = [
            Head(tr("Month"), at_end=False),
            Head(tr("Slot"), at_end=False),
            Head("n", tr("number of readings, n")),
            Head(tr("median, {unit}").format(unit=unit)),
            Head(tr("middle half")),
            Head(tr("L, below {limit}").format(limit=low)),
            Head(tr("H, above {limit}").format(limit=high)),
        ]
        rows: list[list[Cell]] = []
        where: list[tuple[int, int]] = []
        rules: list[int] = []
        for at, month in enumerate(found.months):
            rules.append(len(rows))
            tested = [slot for slot, cell in enumerate(month.cells) if cell.n]
            for place, slot in enumerate(tested):
                rows.append(_row(month, month.cells[slot], unit, first=not place))
                where.append((at, slot))
            if not tested:
                rows.append(_empty(month))
                where.append((at, 0))
        self._where = where
        self._said = [
            cell_words(found.months[month], found.months[month].cells[slot], unit)
            for month, slot in where
        ]
        self.cells.set_cells(heads, rows, after_rule=rules[1:])

    def show_cell(self, month: int, slot: int) -> None:
        """Go to the row of a cell, with the keyboard too."""
        for at, where in enumerate(self._where):
            if where == (month, slot) or (where[0] == month and slot <= where[1]):
                self.setFocus()
                self.setCurrentIndex(self.cells.index(at, 0))
                self._tell()
                return

    def currentChanged(self, current: _Index, previous: _Index) -> None:
        super().currentChanged(current, previous)
        self._tell()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._tell()

    def _tell(self) -> None:
        at = self.currentIndex()
        if at.isValid() and self.hasFocus():
            area = self.visualRect(at).translated(self.viewport().pos())
            self.looked_at.emit(area, self._said[at.row()])


def _row(month: YearMonth, cell: YearCell, unit: Unit, *, first: bool) -> list[Cell]:
    few = isinstance(cell.median, Missing)
    name = month_words(month.first)
    return [
        Cell(name if first else "", said=name, at_end=False),
        Cell(mark_name(cell.mark), said=cell_words(month, cell, unit), at_end=False),
        Cell(count_words(cell.n)),
        Cell(tr("too few"), ink="ink2")
        if few
        else Cell(figure_text(cell.median, unit, missing=DASH), bold=True),
        Cell(DASH, said=tr("too few for a middle half"), ink="ink3")
        if cell.box is None
        else Cell(half_text(cell, unit)),
        Cell(count_words(cell.lows), ink="low_text" if cell.lows else "ink2"),
        Cell(count_words(cell.highs), ink="high_text" if cell.highs else "ink2"),
    ]


def _empty(month: YearMonth) -> list[Cell]:
    """A month of which no slot was tested: a gap, or readings that are in no slot."""
    said = tr("nothing written") if month.is_gap else tr("no slot tested")
    dash = Cell(DASH, said=said, ink="ink3")
    return [
        Cell(month_words(month.first), at_end=False),
        Cell(said, ink="ink2", at_end=False),
        Cell(count_words(0)),
        *[dash] * 4,
    ]
