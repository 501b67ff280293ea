"""Records without a time, apart from all others and in no figure."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.review.memories import Record
from app.ui.controls import Button, FlowRow, Hairline, SectionTitle
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cell, Head
from app.ui.figures.table import FigureTable
from app.ui.kit.clocks_words import DASH, stamp_words
from app.ui.kit.words import many, tr
from app.ui.words import number_words

FEW_LINES = 5


class UndatedSection(QWidget):
    """The first few, all on demand. Signals: record_chosen(Record) by Enter or a click."""

    record_chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._records: Sequence[Record] = ()
        self._all = False
        self.title = SectionTitle(tr("Undated records"), self)
        self.table = FigureTable(
            self, name=tr("Records without a time"), strip_column=3, may_shorten=True
        )
        self.more = Button("", self, size="bar")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(10))
        for part in (Hairline(self), self.title, self.table, FlowRow((self.more,))):
            column.addWidget(part)
        self.table.picked.connect(self._on_picked)
        self.more.clicked.connect(self._on_more)

    def show_records(self, records: Sequence[Record]) -> None:
        """Show other records; without any there is nothing to see."""
        self._records = records
        self.setVisible(bool(records))
        self.title.set_note(
            tr("in no figure · n {n} · Enter on one says when it was").format(n=len(records))
        )
        shown = records if self._all else records[:FEW_LINES]
        heads = [
            Head(tr("The clock showed"), at_end=False),
            Head(tr("Result")),
            Head(tr("Meter"), at_end=False),
            Head(tr("Written in the memory as"), at_end=False),
        ]
        self.table.cells.set_cells(heads, [_cells(each) for each in shown])
        left = len(records) - len(shown)
        self.more.setText(many(left, "{n} more", "{n} more"))
        self.more.setAccessibleName(many(left, "{n} more undated", "{n} more undated"))
        self.more.setVisible(bool(left))

    def _on_more(self) -> None:
        self._all = True
        self.show_records(self._records)
        self.table.setFocus()

    def _on_picked(self, _column: int) -> None:
        at = self.table.currentIndex().row()
        if 0 <= at < len(self._records):
            self.record_chosen.emit(self._records[at])


def _cells(record: Record) -> list[Cell]:
    return [
        Cell(DASH if record.shown is None else stamp_words(record.shown), at_end=False),
        Cell(number_words(record.value)),
        Cell(record.meter or tr("no meter"), at_end=False),
        Cell(record.raw or DASH, said=record.raw or DASH, at_end=False, ink="ink2"),
    ]
