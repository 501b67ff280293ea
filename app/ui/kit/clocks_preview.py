"""Old and new times of a stretch as a table, with the records around it; a line can be chosen."""

from __future__ import annotations

from datetime import date

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
        self._lines_before = [self._line(each, quiet=True) for each in self._before]
        self._lines = [self._line(each) for each in run.records]
        self._lines_after = [self._line(each, quiet=True) for each in self._after]
        self._shown: tuple[object, ...] | None = None
        self.table.picked.connect(self._on_picked)

    def show_plan(self, plan: RepairPlan | None) -> None:
        """Show what a plan would do; without one, what the diary holds."""
        new = _new_times(plan)
        if new == self._shown:  # why a moment is known was typed: no time is another
            return
        self._shown = new
        names = _new_heads(plan)
        heads = [
            Head(tr("The clock showed"), at_end=False),
            Head(tr("Result")),
            Head(tr("In the diary"), at_end=False),
            *(Head(each, at_end=False) for each in names),
        ]
        more = [Cell("")] * (len(names) - 1)
        rows = [
            *([*line, _told(tr("before them")), *more] for line in self._lines_before),
            *(
                [*line, *new_cells]
                for line, new_cells in zip(self._lines, self._cells(plan), strict=True)
            ),
            *([*line, _told(tr("after them")), *more] for line in self._lines_after),
        ]
        rules = [len(self._before)] if self._before else []
        rules += [len(self._before) + len(self._lines)] if self._after else []
        self.table.cells.set_cells(heads, rows, after_rule=rules)

    def _cells(self, plan: RepairPlan | None) -> list[list[Cell]]:
        """The new times of each record, in one column or in one for each version."""
        if plan is None:
            return [[_new(DASH)]] * len(self._lines)
        versions = [m for _, m in plan.versions] if plan.disagrees else [plan.moments]
        return [
            [_new(wall_named(moments[at].local, self._today, self._person)) for moments in versions]
            for at in range(len(self._lines))
        ]

    def _line(self, record: Record, *, quiet: bool = False) -> list[Cell]:
        """What stays whatever is typed: the stamp, the result, what the diary holds."""
        strong, ink = ("ink3", "ink3") if quiet else ("ink", "ink2")
        return [
            Cell(stamp_words(record.shown), at_end=False, ink=ink),
            Cell(number_words(record.value), ink=strong),
            Cell(held_words(record, self._today, self._person), at_end=False, ink=ink),
        ]

    def _on_picked(self, _column: int) -> None:
        at = self.table.currentIndex().row() - len(self._before)
        if 0 <= at < len(self._stretch.run.records):
            self.record_chosen.emit(self._stretch.run.records[at])


def _new(text: str) -> Cell:
    return Cell(text, at_end=False, bold=True)


def _told(text: str) -> Cell:
    return Cell(text, at_end=False, ink="ink3")


def _new_times(plan: RepairPlan | None) -> tuple[object, ...]:
    """What the new times are, to tell whether they are others."""
    return () if plan is None else (plan.moments, plan.versions)


def _new_heads(plan: RepairPlan | None) -> list[str]:
    if plan is None or not plan.disagrees:
        return [tr("New")]
    return [
        tr("If {stamp} is right").format(stamp=stamp_words(anchor.shown))
        for anchor, _ in plan.versions
    ]
