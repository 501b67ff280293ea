"""The sections of the Now column below the slip: Due, Follow-up, Kit, each with its count."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QPoint, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.icons import Icon
from app.look.theme import follow_theme
from app.ui.controls import FlatButton, FlowRow, Hairline, SectionTitle
from app.ui.controls.drawing import px
from app.ui.due.now_rows import NowRows
from app.ui.due.rows import Row, RowList
from app.ui.due.words import tr
from app.ui.words import count_words

INSET = 16
_NARROW_PX = 262  # the Now column of the smallest window


class DueSection(QWidget):
    """A title with its count over a list; hidden while there is nothing in it.

    Signals: opened(Row), menu_wanted(Row, QPoint).
    """

    opened = Signal(object)
    menu_wanted = Signal(object, QPoint)

    def __init__(self, title: str, parent: QWidget | None = None, *, folds: bool = False) -> None:
        super().__init__(parent)
        self._name, self._folds, self._narrow, self._unfolded = title, folds, False, False
        self._all: tuple[Row, ...] = ()
        self._title = SectionTitle(title)
        self.unfold = FlatButton("", size="bar", icon=Icon.DOWN, name=title)
        self._head = FlowRow([self._title, self.unfold], last_far=True)
        self._rule = Hairline()
        self.list = RowList(self, name=title, inset=INSET)
        self._upper = QVBoxLayout()
        for part in (self._head, self._rule):
            self._upper.addWidget(part)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(self._upper)
        column.addWidget(self.list)
        self._column = column
        self.list.opened.connect(self.opened)
        self.list.menu_wanted.connect(self.menu_wanted)
        self.unfold.clicked.connect(self._on_unfold)
        self.hide()
        follow_theme(self._restyle)

    @property
    def rows(self) -> tuple[Row, ...]:
        """What stands in it, folded or not."""
        return self._all

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show other rows."""
        self._all = tuple(rows)
        self._show()

    def fit(self, width: int) -> None:
        """Give way where the column is narrow: second lines go, and what folds is folded."""
        narrow = width < px(_NARROW_PX)
        if narrow is not self._narrow:
            self._narrow = narrow
            self._show()

    def _show(self) -> None:
        is_folded = self._folds and self._narrow and not self._unfolded
        rows = self._all
        if self._narrow:
            rows = tuple(row if row.late else replace(row, note=row.short) for row in rows)
        self.setVisible(bool(rows))
        self._title.set_count(len(rows) if self._folds or len(rows) > 1 else None)
        self.unfold.setVisible(self._folds and self._narrow)
        said = tr("Show {what}, {n}") if is_folded else tr("Fold {what}, {n}")
        self.unfold.setAccessibleName(said.format(what=self._name, n=count_words(len(rows))))
        self.list.setVisible(not is_folded)
        self._rule.setVisible(not is_folded)
        self.list.show_rows(rows)
        self._head.settle()

    def _on_unfold(self) -> None:
        self._unfolded = not self._unfolded
        self._show()

    def _restyle(self) -> None:
        self._upper.setContentsMargins(px(INSET), 0, px(INSET), 0)
        self._upper.setSpacing(px(4))
        self._column.setSpacing(px(2))


class DueSections(QWidget):
    """Due, Follow-up and Kit. Signals: opened(Row), menu_wanted(Row, QPoint)."""

    opened = Signal(object)
    menu_wanted = Signal(object, QPoint)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.due = DueSection(tr("Due"), self)
        self.follow_up = DueSection(tr("Follow-up"), self, folds=True)
        self.kit = DueSection(tr("Kit"), self, folds=True)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        for section in self.parts:
            self._column.addWidget(section)
            section.opened.connect(self.opened)
            section.menu_wanted.connect(self.menu_wanted)
        follow_theme(self._restyle)

    @property
    def parts(self) -> tuple[DueSection, ...]:
        """The sections, from above."""
        return (self.due, self.follow_up, self.kit)

    def show_rows(self, rows: NowRows) -> None:
        """Show what is due now."""
        for section, those in zip(self.parts, (rows.due, rows.follow_up, rows.kit), strict=True):
            section.show_rows(those)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        for section in self.parts:
            section.fit(event.size().width())

    def _restyle(self) -> None:
        self._column.setSpacing(px(12))
