"""Old and new times of a stretch as a table, with the records around it; a line can be chosen."""

from __future__ import annotations

from datetime import date, datetime

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.domain.person import Person
from app.review.memories import Record
from app.ui.figures.cells import Cell, Head
from app.ui.kit.clocks_draft import Stretch
from app.ui.kit.clocks_words import DASH, held_words, stamp_words, wall_named
from app.ui.kit.table_area import TableArea
from app.ui.kit.words import tr
from app.ui.words import number_words
from app.work.clock_plan import RepairPlan

_HELD = 2  # goes where the room is narrow: most often it says what the stamp says


class ClockPreview(TableArea):
    """The records of a stretch between their neighbours. One Tab stop; the arrows walk the lines.

    Signals: record_chosen(Record) by Enter or a click on a line of the stretch itself.
    """

    record_chosen = Signal(object)

    def __init__(self, stretch: Stretch, person: Person, today: date, parent: QWidget) -> None:
        super().__init__(tr("Old and new times"), parent, may_go=(_HELD,))
        self._stretch, self._person, self._today = stretch, person, today
        memory, run = stretch.run.memory, stretch.run
        self._before = memory.records[run.first - 1 : run.first] if run.first else ()
        self._after = memory.records[run.last + 1 : run.last + 2]
        self.table.picked.connect(self._on_picked)

    def show_plan(self, plan: RepairPlan | None) -> None:
        """Show what a plan would do; without one, what the diary holds."""
        heads = [
            Head(tr("The clock showed"), at_end=False),
            Head(tr("Result")),
            Head(tr("In the diary"), at_end=False),
            *(Head(each, at_end=False) for each in _new_heads(plan)),
        ]
        records = self._stretch.run.records
        new = [self._new(plan, at) for at in range(len(records))]
        lines = [
            *(self._line(each, [tr("before them")], quiet=True) for each in self._before),
            *(self._line(each, words) for each, words in zip(records, new, strict=True)),
            *(self._line(each, [tr("after them")], quiet=True) for each in self._after),
        ]
        wide = len(heads)
        rows = [line + [Cell("")] * (wide - len(line)) for line in lines]
        rules = [len(self._before)] if self._before else []
        rules += [len(self._before) + len(records)] if self._after else []
        self.table.cells.set_cells(heads, rows, after_rule=rules)

    def _line(self, record: Record, new: list[str], *, quiet: bool = False) -> list[Cell]:
        strong, ink = ("ink3", "ink3") if quiet else ("ink", "ink2")
        return [
            Cell(stamp_words(record.shown), at_end=False, ink=ink),
            Cell(number_words(record.value), ink=strong),
            Cell(held_words(record, self._today, self._person), at_end=False, ink=ink),
            *(
                Cell(each, at_end=False, bold=not quiet, ink=ink if quiet else "ink")
                for each in new
            ),
        ]

    def _new(self, plan: RepairPlan | None, at: int) -> list[str]:
        if plan is None:
            return [DASH]
        if plan.disagrees:
            return [self._named(moments[at].local) for _, moments in plan.versions]
        return [self._named(plan.moments[at].local)]

    def _named(self, wall: datetime) -> str:
        return wall_named(wall, self._today, self._person)

    def _on_picked(self, _column: int) -> None:
        at = self.table.currentIndex().row() - len(self._before)
        if 0 <= at < len(self._stretch.run.records):
            self.record_chosen.emit(self._stretch.run.records[at])


def _new_heads(plan: RepairPlan | None) -> list[str]:
    if plan is None or not plan.disagrees:
        return [tr("New")]
    return [
        tr("If {stamp} is right").format(stamp=stamp_words(anchor.shown))
        for anchor, _ in plan.versions
    ]
