"""The readings that a failed control test puts in doubt, to be looked through."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from app.domain.marks import MARKS
from app.review.kit import KitShown
from app.review.kit_tests import FailLine
from app.review.one_reading import glucose_at, wall_at
from app.ui.controls import Button, SectionTitle
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cell, Head
from app.ui.kit.table_area import TableArea
from app.ui.kit.words import day_named, many, tr
from app.ui.reading_words import mark_name
from app.ui.session import Session
from app.ui.words import clock_words, number_words

_RESULT = 1  # the column of numbers
_WIDE, _HIGH = 560, 420  # at a text size of 13 px


class DoubtList(QDialog):
    """Enter on a line goes to that reading, Esc leaves. Signals: reading_chosen(int), its id."""

    reading_chosen = Signal(int)

    def __init__(
        self, session: Session, shown: KitShown, fail: FailLine, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._ids = fail.ids
        title = many(len(fail.ids), "{n} reading in doubt", "{n} readings in doubt")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        note = tr("Enter on a line goes to the reading")
        self.area = TableArea(title, self, strip_column=4)
        self.area.table.picked.connect(self._on_picked)
        names = (tr("When"), tr("Result"), tr("Mark"), tr("Meter"), tr("Vial"))
        heads = [Head(each, at_end=at == _RESULT) for at, each in enumerate(names)]
        self.area.table.cells.set_cells(heads, _rows(session, shown, fail))
        leave = Button(tr("Close"), self)
        leave.clicked.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(px(24), px(16), px(24), px(12))
        column.setSpacing(px(8))
        column.addWidget(SectionTitle(title, self, note=note))
        column.addWidget(self.area, 1)
        column.addWidget(leave, 0, Qt.AlignmentFlag.AlignRight)
        self.resize(px(_WIDE), px(_HIGH))
        self.area.table.setFocus()

    def _on_picked(self, _column: int) -> None:
        chosen = self._ids[self.area.table.currentIndex().row()]
        self.accept()
        self.reading_chosen.emit(chosen)


def _rows(session: Session, shown: KitShown, fail: FailLine) -> list[list[Cell]]:
    columns, person = session.record.columns, session.person
    places = {int(row): at for at, row in enumerate(columns.id)}
    meters = {each.meter.id: each.meter.name for each in shown.meters}
    vials = {each.vial.id: each.vial.name for each in shown.vials}
    rows = []
    for row in fail.ids:
        at = places.get(row)
        if at is None:  # it went while this was opened
            rows.append([Cell("–", at_end=False)] * 5)
            continue
        wall = wall_at(columns, at, person.day_start)
        day = day_named(wall.toordinal(), shown.today, person)
        said = [
            f"{day} {clock_words(wall, person)}",
            f"{number_words(glucose_at(columns, at).shown(person.unit))} {person.unit}",
            mark_name(MARKS[columns.mark[at]]),
            meters.get(int(columns.meter[at]), "–"),
            vials.get(int(columns.vial[at]), "–"),
        ]
        rows.append([Cell(each, at_end=column == _RESULT) for column, each in enumerate(said)])
    return rows
