"""A private note on what was written by hand: for the person alone, on no page for others."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.review.hints import ADDED_LATER, FOR_YOU_ALONE, NOT_IN_MEMORY, Hints
from app.store.memory_cover import WrittenByHand
from app.ui.controls import TextColumn
from app.ui.kit.kit_box import KitBox
from app.ui.kit.kit_section import cells, heads
from app.ui.kit.words import day_named, many, tr
from app.ui.session import Session
from app.ui.words import clock_words, count_words, joined, value_words

_SIZE, _EMPTY = (600, 480), (560, 280)  # px at a text size of 13 px


class PrivateNote(KitBox):
    """Enter on a line goes to that reading, Esc leaves. Signals: reading_chosen(int), its id."""

    reading_chosen = Signal(int)

    def __init__(self, session: Session, found: Hints, parent: QWidget | None = None) -> None:
        self._rows = _rows(found)
        super().__init__(tr("Private note"), _SIZE if self._rows else _EMPTY, parent)
        self.said = TextColumn("\n".join(_sentences(found)), self)
        for part in (TextColumn(tr(FOR_YOU_ALONE), self, ink="ink2"), self.said):
            self.column.addWidget(part)
        self.table = self.add_table(tr("Results to look at again"), strip_column=2)
        self.table.picked.connect(self._on_picked)
        self.table.cells.set_cells(
            heads(tr("When"), tr("Result"), tr("What")),
            [
                cells(_when(each, session), value_words(each.glucose), what, quiet=(2,))
                for each, what in self._rows
            ],
        )
        self.table.setVisible(bool(self._rows))
        self.close_up()
        first: QWidget = self.table if self._rows else self.leave
        first.setFocus()

    def _on_picked(self, _column: int) -> None:
        chosen = self._rows[self.table.currentIndex().row()][0].id
        self.accept()
        self.reading_chosen.emit(chosen)


def _rows(found: Hints) -> list[tuple[WrittenByHand, str]]:
    """Each result once, with all that is said of it, in the order of time."""
    said: dict[int, list[str]] = {}
    rows = {each.id: each for each in (*found.not_in_memory, *found.later)}
    for each in found.not_in_memory:
        said.setdefault(each.id, []).append(tr(NOT_IN_MEMORY))
    for each in found.later:
        said.setdefault(each.id, []).append(tr(ADDED_LATER))
    order = sorted(rows.values(), key=lambda each: each.instant)
    return [(each, joined(said[each.id])) for each in order]


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
