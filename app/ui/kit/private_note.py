"""A private note on what was written by hand: for the person alone, on no page for others."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from app.review.hints import ADDED_LATER, FOR_YOU_ALONE, NOT_IN_MEMORY, Hints
from app.store.memory_cover import WrittenByHand
from app.ui.controls import Button, FlowRow, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.kit.kit_section import cells, heads
from app.ui.kit.table_area import TableArea
from app.ui.kit.words import day_named, many, tr
from app.ui.session import Session
from app.ui.words import clock_words, count_words, value_words

_WIDE, _HIGH = 560, 460  # at a text size of 13 px


class PrivateNote(QDialog):
    """Enter on a line goes to that reading, Esc leaves. Signals: reading_chosen(int), its id."""

    reading_chosen = Signal(int)

    def __init__(self, session: Session, found: Hints, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        title = tr("Private note")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self._rows = [
            *((each, tr(NOT_IN_MEMORY)) for each in found.not_in_memory),
            *((each, tr(ADDED_LATER)) for each in found.later),
        ]
        self.said = TextColumn("\n".join(_sentences(found)), self)
        self.area = TableArea(tr("Results to look at again"), self, strip_column=2)
        self.area.table.picked.connect(self._on_picked)
        self.area.table.cells.set_cells(
            heads(tr("When"), tr("Result"), tr("What")),
            [
                cells(_when(each, session), value_words(each.glucose), what, quiet=(2,))
                for each, what in self._rows
            ],
        )
        self.area.setVisible(bool(self._rows))
        self.leave = Button(tr("Close"), self)
        self.leave.clicked.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(px(24), px(16), px(24), px(12))
        column.setSpacing(px(8))
        column.addWidget(SectionTitle(title, self))
        column.addWidget(TextColumn(tr(FOR_YOU_ALONE), self, ink="ink2"))
        column.addWidget(self.said)
        column.addWidget(self.area, 1)
        column.addWidget(FlowRow((self.leave,)))
        self.resize(px(_WIDE), px(_HIGH if self._rows else 240))
        first: QWidget = self.area.table if self._rows else self.leave
        first.setFocus()

    def _on_picked(self, _column: int) -> None:
        chosen = self._rows[self.area.table.currentIndex().row()][0].id
        self.accept()
        self.reading_chosen.emit(chosen)


def _sentences(found: Hints) -> list[str]:
    said = [many(found.written, "{n} result written by hand.", "{n} results written by hand.")]
    if found.covered:
        said.append(
            tr("{n} of {covered} in the time of a copied memory are {what}.").format(
                n=count_words(len(found.not_in_memory)),
                covered=count_words(found.covered),
                what=tr(NOT_IN_MEMORY),
            )
        )
    else:
        said.append(tr("No copied memory covers the time of one of them."))
    said.append(
        many(
            len(found.later),
            "{n} was added later, more than two hours after its time.",
            "{n} were added later, more than two hours after their time.",
        )
    )
    said += [
        tr("Typed in {unit}, n {n}: {hint}").format(
            unit=each.unit, n=count_words(each.n), hint=tr(each.hint)
        )
        for each in found.rounding.units
        if each.hint
    ]
    return said


def _when(each: WrittenByHand, session: Session) -> str:
    wall = datetime.fromisoformat(each.wall)
    day = day_named(wall.toordinal(), session.today().toordinal(), session.person)
    return f"{day} {clock_words(wall, session.person)}"
