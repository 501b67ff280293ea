"""The meter beside the laboratory: each pair with its difference and limit, and the cautions."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtWidgets import QWidget

from app.look.type import Role
from app.review.meter_against_lab import CAUTIONS, LabPair, MeterAgainstLab
from app.ui.controls import Label, TextColumn
from app.ui.figures.cells import Cell
from app.ui.kit.difference_chart import DifferenceChart
from app.ui.kit.kit_box import KitBox
from app.ui.kit.kit_section import cells, heads
from app.ui.kit.lab_words import (
    apart_text,
    limit_text,
    meter_text,
    signed,
    standing_text,
    together_text,
    when_taken,
)
from app.ui.kit.words import tr
from app.ui.session import Session
from app.ui.words import value_words

_SIZE, _EMPTY = (800, 660), (560, 260)  # px at a text size of 13 px


class LabBox(KitBox):
    """Chart and list point at the same pair. Signals: reading_chosen(int) by Enter on one."""

    reading_chosen = Signal(int)

    def __init__(
        self,
        session: Session,
        found: MeterAgainstLab,
        meters: dict[int, str],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(tr("Meter against laboratory"), _SIZE if found.pairs else _EMPTY, parent)
        person = session.person
        self.chart = DifferenceChart(self)
        self.chart.show_pairs(found.pairs, person, meters)
        self._order = [each.pair for each in self.chart.pairs]
        self.together = Label(together_text(found), self, role=Role.STRONG, wrap=True)
        self.beside = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self.limits = TextColumn(
            tr(
                "Shaded: the limits of ISO 15197:2013, 15 mg/dL (0.83 mmol/L) below 100 mg/dL "
                "(5.55 mmol/L) and 15 % from there on; both ends are within."
            ),
            self,
            role=Role.SMALL,
            ink="ink3",
        )
        cautions = TextColumn(" ".join(tr(each) for each in CAUTIONS), self, role=Role.SMALL)
        for part in (self.together, cautions, self.chart, self.beside, self.limits):
            self.column.addWidget(part)
        self.table = self.add_table(tr("Pairs, in the order of the chart"), strip_column=6)
        names = (
            *(tr("When"), tr("Laboratory"), tr("Meter"), tr("Apart")),
            *(tr("Difference"), tr("Limit"), tr("Standing")),
        )
        self.table.cells.set_cells(
            heads(*names, at_end=(4, 5)), [_line(each, session) for each in self._order]
        )
        self.close_up()
        has_pairs = bool(self._order)
        for one in (self.chart, self.beside, self.limits, self.table):
            one.setVisible(has_pairs)
        if has_pairs:
            self.beside.setText(self.chart.said(0))
        self.chart.walked.connect(self._on_walked)
        self.chart.chosen.connect(self._on_chosen)
        self.table.selectionModel().currentChanged.connect(self._on_current)
        self.table.picked.connect(self._on_picked)
        first: QWidget = self.chart if has_pairs else self.leave
        first.setFocus()

    def _on_walked(self, at: int) -> None:
        self.beside.setText(self.chart.said(at))
        column = max(0, self.table.currentIndex().column())
        self.table.setCurrentIndex(self.table.cells.index(at, column))

    def _on_current(self, current: QModelIndex, _before: QModelIndex) -> None:
        if current.isValid():
            self.chart.point_at(current.row())

    def _on_picked(self, _column: int) -> None:
        self._on_chosen(self.table.currentIndex().row())

    def _on_chosen(self, at: int) -> None:
        reading = self._order[at].reading
        self.accept()
        self.reading_chosen.emit(reading)


def _line(pair: LabPair, session: Session) -> list[Cell]:
    return cells(
        when_taken(pair, session.person),
        value_words(pair.lab),
        meter_text(pair),
        apart_text(pair),
        signed(pair.held.difference, pair.unit),
        limit_text(pair),
        standing_text(pair),
        at_end=(4, 5),
        quiet=(3, 6),
    )
