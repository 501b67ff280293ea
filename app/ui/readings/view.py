"""The table itself: columns as wide as their texts, folded where the page is narrow; its keys."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from PySide6.QtCore import QItemSelection, QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetrics, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from app.look.theme import follow_theme
from app.look.type import Role, font
from app.ui.controls.drawing import px
from app.ui.controls.sign_cell import sign_width
from app.ui.controls.table_head import TableHead
from app.ui.readings.delegate import INSET, ReadingsDelegate
from app.ui.readings.model import Column, ReadingsModel
from app.ui.readings.widths import fitted

# Texts of any length: how much of them is seen at least, px at a text size of 13 px.
_LEAST = {
    Column.MARK: 92.0,
    Column.ODD: 130.0,
    Column.NOTE: 110.0,
    Column.KIT: 72.0,
    Column.KEEPER: 72.0,
}
_KEPT_SELECTED = 2000  # a larger selection is dropped by a sort: scattered, it would be slow
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class ReadingsView(QTableView):
    """The readings. Signals: edit_asked(row), selected()."""

    edit_asked = Signal(int)
    selected = Signal()

    def __init__(self, model: ReadingsModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._readings = model
        self._texts: Mapping[Column, Sequence[str]] = {}
        self._needed: dict[Column, tuple[int, int]] = {}
        self._delegate = ReadingsDelegate(model, self)
        self.setItemDelegate(self._delegate)
        self.setModel(model)
        self.setAccessibleName(self.tr("Readings"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.setMouseTracking(True)
        self.setHorizontalHeader(TableHead(self, numbers=(Column.VALUE,), inset=INSET, sorts=True))
        rows, columns = self.verticalHeader(), self.horizontalHeader()
        rows.hide()
        rows.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        columns.sectionClicked.connect(self._on_head_clicked)
        self.doubleClicked.connect(self._on_double_clicked)
        self.selectionModel().selectionChanged.connect(self._on_selection_changed)
        model.modelReset.connect(self._fit)
        follow_theme(self._restyle)

    def selected_rows(self) -> list[int]:
        """The rows that are selected, from the top."""
        ranges = self.selectionModel().selection()
        rows: set[int] = set()
        for at in range(ranges.count()):
            rows.update(range(ranges.at(at).top(), ranges.at(at).bottom() + 1))
        return sorted(rows)

    def selected_ids(self) -> list[int]:
        """The local ids of the readings that are selected."""
        return self._readings.ids_at(self.selected_rows())

    def select_ids(self, ids: list[int], *, current: int | None = None) -> None:
        """Select those of some readings that are shown; `current` gets the focus of the table."""
        rows = np.flatnonzero(np.isin(self._readings.ids(), np.array(ids, dtype=np.int64)))
        chosen = QItemSelection()
        breaks = np.flatnonzero(np.diff(rows) != 1) + 1
        for run in np.split(rows, breaks) if rows.size else ():
            first, last = self._readings.index(int(run[0]), 0), int(run[-1])
            chosen.select(first, self._readings.index(last, len(Column) - 1))
        models = QItemSelectionModel.SelectionFlag
        row = None if current is None else self._readings.row_of(current)
        if row is not None:
            index = self._readings.index(row, self._column_kept())
            self.selectionModel().setCurrentIndex(index, models.NoUpdate)
        self.selectionModel().select(chosen, models.ClearAndSelect)

    def show_id(self, row_id: int) -> bool:
        """Scroll to a reading, select it alone; whether it is shown at all."""
        row = self._readings.row_of(row_id)
        if row is None:
            return False
        index = self._readings.index(row, Column.VALUE)
        self.selectRow(row)  # puts the focus of the table on the first column
        self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.NoUpdate)
        self.scrollTo(index, QAbstractItemView.ScrollHint.PositionAtCenter)
        return True

    def put_focus_on(self, row: int) -> None:
        """Give a row the focus of the table, selecting nothing."""
        index = self._readings.index(row, self._column_kept())
        no_update = QItemSelectionModel.SelectionFlag.NoUpdate
        self.selectionModel().setCurrentIndex(index, no_update)

    def current_row(self) -> int | None:
        """The row with the focus of the table."""
        index = self.currentIndex()
        return index.row() if index.isValid() else None

    def sort_by_current(self) -> None:
        """Sort by the column with the focus; the other way round the second time."""
        index = self.currentIndex()
        self._sort(Column(index.column()) if index.isValid() else Column.DAY)

    def shown_columns(self) -> list[Column]:
        """The columns that are not folded away."""
        return [column for column in Column if not self.isColumnHidden(column)]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        row = self.current_row()
        if event.key() in _ENTER and row is not None:
            self.edit_asked.emit(row)
        elif event.key() == Qt.Key.Key_Escape:
            if not self.selectionModel().hasSelection():
                event.ignore()  # two of these go back to the entry line
            self.clearSelection()
        elif event.text().strip() and event.text().isprintable():
            event.ignore()  # no jumping to rows by letters: there is a field to find by
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        if not self.currentIndex().isValid() and self._readings.rowCount():
            self.put_focus_on(0)
        super().focusInEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def fit(self, texts: Mapping[Column, Sequence[str]]) -> None:
        """Give the columns widths for these texts; those with none are not shown."""
        self._texts = texts
        self._needed = {}
        self._fit()

    def _fit(self) -> None:
        if not self._texts:
            return
        if not self._needed:
            self._needed = self._measured()
        widths = fitted(self.viewport().width(), self._needed)
        for column in Column:
            self.setColumnHidden(column, column not in widths)
            if column in widths:
                self.setColumnWidth(column, widths[column])

    def _measured(self) -> dict[Column, tuple[int, int]]:
        heads, around = QFontMetrics(font(Role.BODY)), 2 * px(INSET) + 1
        found = {}
        for column, texts in self._texts.items():
            if not texts:
                continue
            metrics = self._delegate.metrics(column)
            wide = max(metrics.horizontalAdvance(text) for text in texts)
            if column is Column.SIGN:
                wide = sign_width(wide)
            head = self._readings.head(column)
            title = heads.horizontalAdvance(f"{head} ↓") if head else 0
            least = min(wide, px(_LEAST.get(column, 1 << 20)))
            found[column] = (max(least, title) + around, max(wide, title) + around)
        return found

    def _sort(self, column: Column) -> None:
        ids = self.selected_ids()
        current = self.current_row()
        kept = None if current is None else self._readings.ids_at([current])[0]
        self.clearSelection()
        self._readings.sort_next(column)
        if len(ids) <= _KEPT_SELECTED:
            self.select_ids(ids, current=kept)
        self.scrollToTop()

    def _column_kept(self) -> int:
        index = self.currentIndex()
        return index.column() if index.isValid() else Column.VALUE

    def _on_head_clicked(self, section: int) -> None:
        self._sort(Column(section))

    def _on_double_clicked(self, index: QModelIndex) -> None:
        self.edit_asked.emit(index.row())

    def _on_selection_changed(self, _new: QItemSelection, _old: QItemSelection) -> None:
        self.selected.emit()

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        head = self.horizontalHeader()
        head.setFixedHeight(max(px(28), QFontMetrics(font(Role.BODY)).height() + px(10)))
        self.verticalHeader().setDefaultSectionSize(self._delegate.row_height)
        self._needed = {}
        self._fit()
