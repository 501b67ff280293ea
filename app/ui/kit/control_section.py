"""Control tests on the Kit page: which is due and why, the chart, the list beside it."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime

from PySide6.QtCore import QModelIndex
from PySide6.QtWidgets import QWidget

from app.domain.control import Verdict
from app.domain.control_due import ControlDue
from app.look.type import Role
from app.review.kit import KitShown
from app.review.kit_tests import TestLine
from app.store.backup_facts import local
from app.ui.controls import Choice, TextColumn
from app.ui.figures.cells import Cell
from app.ui.kit.control_chart import ControlChart
from app.ui.kit.control_form import ControlForm
from app.ui.kit.control_words import range_text, said_test, standing_text, when_tested
from app.ui.kit.kit_section import KitSection, MoreButton, heads
from app.ui.kit.part_forms import EventForm, EveryForm
from app.ui.kit.words import day_named, level_name, many, tr
from app.ui.session import Session
from app.ui.words import count_words, number_words

FEW = 6


class ControlSection(KitSection):
    """Chart and list point at the same test; Enter on it opens it to be corrected."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Control tests"), parent)
        self._all = False
        self.due = TextColumn("", self)
        self.chart = ControlChart(self)
        self.beside = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self.level = Choice([], self, name=tr("Level that is drawn"))
        self.level.currentIndexChanged.connect(self._show_chart)
        for part in (self.due, self.level, self.chart, self.beside):
            self.column.addWidget(part)
        self.table = self.add_table(
            tr("Control tests, the newest first"), strip_column=5, may_go=(4, 1)
        )
        self.more = MoreButton(self)
        self.more.clicked.connect(self._on_more)
        self.happened = self.opener(tr("Something happened…"), self._event)
        self.every = self.opener(tr("How often…"), self._every)
        self.add_tools((self.happened, self.every, self.more))
        self.chart.walked.connect(self._on_walked)
        self.chart.chosen.connect(self._on_chosen)
        self.table.selectionModel().currentChanged.connect(self._on_current)
        self.table.picked.connect(self._on_picked)

    def show_kit(self, found: KitShown) -> None:
        if self.found is not None and self.found.person != found.person:
            self._all = False
        self.found = found
        self.setVisible(bool(found.meters))
        self.title.set_note(
            tr("kept apart, in no glucose figure · n {n} · Enter on one corrects it").format(
                n=count_words(len(found.tests))
            )
        )
        self.due.setText(_due(found))
        for part in (self.chart, self.beside):
            part.setVisible(bool(found.tests))
        self._offer_levels(found)
        self._show_chart()
        self._show_lines(found)

    def _offer_levels(self, found: KitShown) -> None:
        """Let a level be chosen where there are several: the usual one at first, or what failed."""
        counts = Counter(each.judged.test.level for each in found.tests)
        chosen = self.level.value()
        self.level.blockSignals(True)
        self.level.clear()
        for level, n in counts.most_common():
            self.level.addItem(
                tr("{level} level, n {n}").format(level=level_name(level), n=count_words(n)), level
            )
        if found.tests:
            newest = found.tests[0].judged
            usual = counts.most_common(1)[0][0]
            first = newest.test.level if newest.verdict is Verdict.FAILED else usual
            self.level.choose(chosen if chosen in counts else first)
        self.level.blockSignals(False)
        self.level.updateGeometry()
        self.level.setVisible(len(counts) > 1)

    def _show_chart(self) -> None:
        if self.found is not None and self.found.tests:
            self.chart.show_kit(self.found, str(self.level.value()))
            self.beside.setText(self.chart.said(self.chart.at))

    def _show_lines(self, found: KitShown) -> None:
        seen = found.tests if self._all else found.tests[:FEW]
        names = (tr("When"), tr("Meter"), tr("Vial"), tr("Result"), tr("Range"), tr("Standing"))
        self.table.cells.set_cells(
            heads(*names, at_end=(3, 4)), [_line(each, found) for each in seen]
        )
        self.table.setVisible(bool(seen))
        self.more.offer(len(found.tests) - len(seen))

    def _on_more(self) -> None:
        self._all = True
        if self.found is not None:
            self._show_lines(self.found)
            self.table.setFocus()

    def _on_walked(self, at: int) -> None:
        self.beside.setText(self.chart.said(at))
        assert self.found is not None
        row = self.found.tests.index(self.chart.tests[at].line)
        if row < self.table.cells.rowCount():
            column = max(0, self.table.currentIndex().column())
            self.table.setCurrentIndex(self.table.cells.index(row, column))

    def _on_current(self, current: QModelIndex, _before: QModelIndex) -> None:
        if not (current.isValid() and self.table.hasFocus()) or self.found is None:
            return
        test = self.found.tests[current.row()].judged.test
        if self.chart.place_of(test.id) is None:
            self.level.choose(test.level)
        place = self.chart.place_of(test.id)
        if place is not None:
            self.chart.point_at(place)

    def _on_chosen(self, at: int) -> None:
        self._correct(self.chart.tests[at].line)

    def _on_picked(self, _column: int) -> None:
        if self.found is not None:
            self._correct(self.found.tests[self.table.currentIndex().row()])

    def _correct(self, line: TestLine) -> None:
        if self.found is not None and self.may_write:
            self.open_form(ControlForm(self.session, self.found, self, line=line))

    def _event(self) -> EventForm:
        assert self.found is not None
        return EventForm(self.session, self.found, self)

    def _every(self) -> EveryForm:
        assert self.found is not None
        return EveryForm(self.session, self.found, self)


def _line(line: TestLine, found: KitShown) -> list[Cell]:
    judged = line.judged
    glucose, standing = judged.test.glucose, standing_text(line)
    return [
        Cell(when_tested(line, found), said=said_test(line, found), at_end=False),
        Cell(line.meter, at_end=False),
        Cell(line.vial or "–", at_end=False),
        Cell(number_words(glucose.shown(glucose.unit)), bold=True),
        Cell(range_text(judged)),
        Cell(standing, said=standing, at_end=False, ink="ink2"),
    ]


def _due(found: KitShown) -> str:
    """Each test that is due on a line, with its reason; else how it will come to be due."""
    lines = [_due_line(due, line.meter.name, found) for line in found.meters for due in line.due]
    if lines:
        return "\n".join(lines)
    if found.every_days is None:
        return tr(
            "None is due. One is due with a new vial, after a drop, heat or a new battery, and "
            "after a result that did not fit; say how often the label asks for one."
        )
    return many(
        found.every_days,
        "None is due. The label asks for one every day.",
        "None is due. The label asks for one every {n} days.",
    )


def _due_line(due: ControlDue, meter: str, found: KitShown) -> str:
    # A vial is begun at the midnight of its place, which may be the day before by UTC.
    day = local(datetime.fromtimestamp(due.since, UTC), found.person.zone).toordinal()
    said = tr("Due on {meter}: {why}, {day}").format(
        meter=meter, why=tr(due.words), day=day_named(day, found.today, found.person)
    )
    if due.vial is not None and not due.range_known:
        said += tr("; no range is written for vial {vial}, so it can neither pass nor fail").format(
            vial=due.vial.name
        )
    return f"{said}."
