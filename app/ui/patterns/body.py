"""All parts of the Patterns page in their order, and how they stand side by side."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QApplication, QBoxLayout, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.review.patterns import Pattern
from app.review.patterns_shown import PatternsShown
from app.statistics.patterns import Step
from app.ui.controls import Hairline
from app.ui.controls.drawing import px
from app.ui.patterns.at_once_box import AtOnceBox
from app.ui.patterns.evidence import EvidencePanel, of_patterns, of_what_is_first
from app.ui.patterns.lines import StepLines
from app.ui.patterns.meals import MealRises
from app.ui.patterns.nights import NightStories
from app.ui.patterns.prose import Prose
from app.ui.patterns.questions import Questions
from app.ui.patterns.table import PatternTable
from app.ui.patterns.test_map import TestMap
from app.ui.patterns.words import tr
from app.ui.session import Session

_SIDE_BY_SIDE_PX, _GAP_PX = 860, 28


class PatternsBody(QWidget):
    """Signals: day_asked(date), looked_at(QWidget) when something below has opened."""

    day_asked = Signal(object)
    looked_at = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._shown: PatternsShown | None = None
        self._came_from: QWidget | None = None
        self.first = AtOnceBox(self)
        self.table = PatternTable(self)
        self._none = Prose("", self, ink="ink2")
        self.panel = EvidencePanel(self)
        self.lines = StepLines(self)
        self._note = Prose("", self, role=Role.SMALL, ink="ink3")
        self.tests = TestMap(self)
        self.questions = Questions(self)
        self.meals = MealRises(self)
        self.nights = NightStories(self)
        self._upper = _pair((self.tests, 11), (self.questions, 7))
        self._lower = _pair((self.meals, 1), (self.nights, 1))
        self._rules = [Hairline(self), Hairline(self)]
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        for part in (self.first, self.table, self._none, self.panel, self._note, self.lines):
            column.addWidget(part)
        column.addWidget(self._rules[0])
        column.addLayout(self._upper)
        column.addWidget(self._rules[1])
        column.addLayout(self._lower)
        column.addStretch(1)
        self.panel.hide()
        self._connect()
        follow_theme(self._restyle)

    def show_patterns(self, shown: PatternsShown) -> None:
        """Show what repeats, and the test map."""
        self._shown = shown
        found, n = shown.found, shown.found.n
        if self.panel.isAncestorOf(QApplication.focusWidget() or self):
            self.table.setFocus()
        self.panel.hide()
        self.first.show_listed(found.at_once, self._session)
        self.table.show_rows(shown)
        self.table.setVisible(bool(shown.rows))
        self._none.setVisible(bool(n) and not shown.rows)
        self._none.setText(
            tr("Nothing was seen again at one slot in these days. Gaps in the tests may hide it.")
        )
        self._note.setVisible(bool(shown.rows))
        self._note.setText(
            tr(
                "Each strip on the same scale; its lines are where lows end and highs begin. "
                "Enter on a row lists its readings and what was written before them."
            )
        )
        self.lines.show_lines(found)
        self.lines.setVisible(bool(n))
        self._rules[0].setVisible(bool(n))
        self.tests.show_map(shown.tests, found.person)

    def open_row(self, row: int) -> None:
        """Show the evidence for a row of the table; once more closes it."""
        if self._shown is None:
            return
        if self.table.open_row == row and self.panel.isVisible():
            self.close_panel()
            return
        self.table.mark_open(row)
        self._open([self.table.row(row).pattern], self.table)

    def close_panel(self) -> None:
        """Put the evidence away, and the focus where it was."""
        self.panel.hide()
        self.table.mark_open(None)
        if self._came_from is not None:
            self._came_from.setFocus()

    def fold(self, room: int) -> None:
        """Two parts side by side where both have room, else one below the other."""
        for pair, wanted in ((self._upper, 0), (self._lower, self.meals.table.sizeHint().width())):
            wide = room >= max(px(_SIDE_BY_SIDE_PX), 2 * wanted + px(_GAP_PX))
            pair.setDirection(
                QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
            )
            pair.setSpacing(px(_GAP_PX) if wide else px(16))

    def _open(self, patterns: list[Pattern], came_from: QWidget) -> None:
        if self._shown is None:
            return
        self._came_from = came_from
        self.panel.show_evidence(of_patterns(patterns, self._shown.found, self._session))
        self.panel.take_focus()
        self.looked_at.emit(self.panel)

    def _on_step(self, step: Step) -> None:
        if self._shown is None:
            return
        patterns = [each for each in self._shown.found.on_step(step) if each.hits]
        self.table.mark_open(None)
        self._open(patterns, self.lines.buttons[step])

    def _on_first(self) -> None:
        self.table.mark_open(None)
        self._came_from = self.first.button
        evidence = of_what_is_first(self.first.listed, self.first.title, self._session)
        self.panel.show_evidence(evidence)
        self.panel.take_focus()
        self.looked_at.emit(self.panel)

    def _connect(self) -> None:
        self.first.all_asked.connect(self._on_first)
        self.table.picked_row.connect(self.open_row)
        self.lines.readings_asked.connect(self._on_step)
        self.panel.closed.connect(self.close_panel)
        for part in (self.panel, self.meals, self.nights):
            part.day_asked.connect(self.day_asked)

    def _restyle(self) -> None:
        self._column.setSpacing(px(10))


def _pair(*parts: tuple[QWidget, int]) -> QBoxLayout:
    pair = QBoxLayout(QBoxLayout.Direction.LeftToRight)
    for part, share in parts:
        pair.addWidget(part, share)
    return pair
