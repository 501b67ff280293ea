"""The months with their rail, what is pointed at, the list beside, and the same in numbers."""

from __future__ import annotations

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.person import Person
from app.look.theme import follow_theme
from app.review.year import YearView
from app.ui.controls import Hairline, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.figures.helped import HelpedTitle
from app.ui.year.beside import BesideList
from app.ui.year.grid import YearGrid
from app.ui.year.legend import Legend
from app.ui.year.numbers import YearNumbers
from app.ui.year.places import columns_of
from app.ui.year.rail import YearRail
from app.ui.year.words import finding, tr


class YearBody(QWidget):
    """Months, rail and numbers, one below the other.

    Signals: `change_chosen(YearMark)`, `stepped(-1 or 1)` by as many months as are shown,
    `looked_at(QWidget, QRect)` what should be kept in sight, `said(text, is_about_something)` the
    line about what is pointed at, or how to point, `help_asked(key)`.
    """

    change_chosen = Signal(object)
    stepped = Signal(int)
    looked_at = Signal(QWidget, QRect)
    said = Signal(str, bool)
    help_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._found: YearView | None = None
        self._finding = TextColumn("", self)
        self.rail = YearRail(self)
        self.grid = YearGrid(self)
        self._legend = Legend(self)
        self._hint = tr(
            "Point at a cell or a mark, or walk with the arrow keys: it is told here. "
            "Enter goes to its numbers, on a change to before and after."
        )
        self._beside_rule = Hairline(self)
        self._beside_title = SectionTitle(
            tr("Beside the readings"), self, note=tr("what was written, with its days")
        )
        self.beside = BesideList(self)
        self._numbers_title = HelpedTitle(tr("The same in numbers"), "year", self)
        self.numbers = YearNumbers(self)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        parts: tuple[QWidget, ...] = (
            self._finding,
            self._legend,
            self.rail,
            self.grid,
            self._beside_rule,
            self._beside_title,
            self.beside,
            Hairline(self),
            self._numbers_title,
            self.numbers,
        )
        for part in parts:
            self._column.addWidget(part)
        self._numbers_title.help_asked.connect(self.help_asked)
        self.rail.pointed.connect(self._on_pointed)
        self.grid.pointed.connect(self._on_pointed)
        self.rail.chosen.connect(self.change_chosen)
        self.beside.chosen.connect(self.change_chosen)
        self.grid.chosen.connect(self.numbers.show_cell)
        self.grid.stepped.connect(self.stepped)
        self.numbers.looked_at.connect(self._on_looked_at)
        follow_theme(self._restyle)

    def show_year(self, found: YearView, person: Person) -> None:
        """Show these months."""
        self._found = found
        self._finding.setText(finding(found))
        self.rail.show_marks(found.beside, person.date_order)
        self.grid.show_year(found)
        self._legend.show_unit(found.unit)
        self.beside.show_marks(found.beside, person.date_order)
        for widget in (self._beside_rule, self._beside_title):
            widget.setVisible(bool(found.beside))
        self.numbers.show_year(found)
        self._fit_rail()
        self._say("")

    def set_room(self, room: float) -> None:
        """Take the px in sight below the head: the grid grows into what the rest leaves."""
        others = (self._finding, self.rail, self._legend)
        taken = sum(each.height() for each in others if each.isVisibleTo(self))
        self.grid.set_room(room - taken - 4 * self._column.spacing())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_rail()

    def _fit_rail(self) -> None:
        if self._found is not None:
            self.rail.set_columns(columns_of(self._found, self.width())[0])

    def _on_pointed(self, _what: object) -> None:
        at_rail = self.rail.pointed_at is not None
        words = self.rail.words() if at_rail else self.grid.words()
        self._say(words)
        places, at = self.grid.places, self.grid.pointed_at
        if self.grid.hasFocus() and places is not None and at is not None:
            row = next(row for row in places.rows if row.slot == at[1])
            self.looked_at.emit(self.grid, places.cell(row, at[0]).toAlignedRect())

    def _say(self, line: str) -> None:
        self.said.emit(line or self._hint, bool(line))
        for widget in (self.grid, self.rail):
            widget.setAccessibleDescription(line or self._hint)

    def _on_looked_at(self, area: QRect, words: str) -> None:
        self.said.emit(words, True)
        self.looked_at.emit(self.numbers, area)

    def _restyle(self) -> None:
        self._column.setSpacing(px(8))
