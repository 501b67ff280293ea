"""May this memory be cleared? Every record of its last copy, and where it is now."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtWidgets import QWidget

from app.look.type import Role
from app.review.memory_check import NOT_COPIED, MemoryChecked, kind_of
from app.ui.controls import Button, CheckBox, Choice, Label, TextColumn
from app.ui.gate import writes
from app.ui.kit.kit_box import KitBox
from app.ui.kit.kit_section import cells, heads
from app.ui.kit.memory_words import (
    KINDS,
    answer_text,
    copy_text,
    counts_text,
    gap_text,
    kind_name,
    room_text,
)
from app.ui.kit.words import tr
from app.ui.session import Session
from app.ui.words import count_words

_SIZE, _EMPTY = (760, 620), (560, 340)  # px at a text size of 13 px
_ALL = "all"


class MemoryBox(KitBox):
    """Signals: keep_said(bool) its memory must be kept or need not, backup_asked()."""

    keep_said = Signal(bool)
    backup_asked = Signal()

    def __init__(
        self, session: Session, found: MemoryChecked, parent: QWidget | None = None
    ) -> None:
        title = tr("Memory of {meter}: may it be cleared?").format(meter=found.meter.name)
        super().__init__(title, _SIZE if found.counts is not None else _EMPTY, parent)
        self.session = session
        self.found = found
        self.answer = Label("", self, role=Role.STRONG, wrap=True)
        self.counts = TextColumn("", self)
        self.more = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self.kind = Choice([], self, name=tr("Which records"))
        self.why = TextColumn("", self, role=Role.SMALL)
        self.keep = writes(
            CheckBox(
                tr("Its memory must be kept, as by drivers who have to show it"),
                self,
                checked=found.meter.keep_memory,
            )
        )
        self.backup = Button(tr("Make a backup now"), self)
        for part in (self.answer, self.counts, self.more, self.keep, self.kind, self.why):
            self.column.addWidget(part)
        self.table = self.add_table(tr("Records of the last copy"), strip_column=3)
        self.table.selectionModel().currentChanged.connect(self._on_current)
        self.close_up(self.backup)
        self.kind.currentIndexChanged.connect(self._show_lines)
        self.keep.clicked.connect(self.keep_said)
        self.backup.clicked.connect(self.backup_asked)
        self.show_found(found)
        first: QWidget = self.table if found.counts is not None else self.leave
        first.setFocus()

    def show_found(self, found: MemoryChecked) -> None:
        """Show what a check found."""
        self.found = found
        person, today = self.session.person, self.session.today()
        self.answer.setText(answer_text(found, person, today))
        self.answer.setAccessibleName(self.answer.text())
        self.counts.setText(counts_text(found))
        said = (
            copy_text(found, person, today),
            gap_text(found, person, today),
            room_text(found.room, person, today),
        )
        self.more.setText("\n".join(each for each in said if each))
        self.keep.setChecked(found.meter.keep_memory)
        listed = found.counts is not None
        for part in (self.counts, self.kind, self.table):
            part.setVisible(listed)
        if listed:
            self._offer_kinds()
            self._show_lines()

    def _offer_kinds(self) -> None:
        assert self.found.counts is not None
        counts = self.found.counts
        numbers = (counts.mine, counts.control, counts.not_mine, counts.not_copied)
        chosen = self.kind.value() or (NOT_COPIED if counts.not_copied else _ALL)
        self.kind.blockSignals(True)
        self.kind.clear()
        self.kind.addItem(tr("all records ({n})").format(n=count_words(counts.total)), _ALL)
        for kind, n in zip(KINDS, numbers, strict=True):
            self.kind.addItem(f"{kind_name(kind)} ({count_words(n)})", kind)
        self.kind.choose(chosen)
        self.kind.blockSignals(False)
        self.kind.updateGeometry()

    def _show_lines(self) -> None:
        copy, chosen = self.found.copy, self.kind.value()
        assert copy is not None
        why = {each.line: each.why for each in self.found.missing}
        rows = [(each, kind_of(each)) for each in copy.rows]
        self.table.cells.set_cells(
            heads(tr("Line"), tr("Record"), tr("Where it is"), tr("Why")),
            [
                cells(count_words(row.line), row.text, kind_name(kind), why.get(row.line, ""))
                for row, kind in rows
                if chosen in (_ALL, kind)
            ],
        )
        if self.table.cells.rowCount():
            self.table.setCurrentIndex(self.table.cells.index(0, 0))
        self._on_current(self.table.currentIndex(), QModelIndex())

    def _on_current(self, current: QModelIndex, _before: QModelIndex) -> None:
        """Say in full why the record that is walked to is not in the diary."""
        why = self.table.cells.cell(current.siblingAtColumn(3)).text if current.isValid() else ""
        self.why.setText(why)
        self.why.setVisible(bool(why))
