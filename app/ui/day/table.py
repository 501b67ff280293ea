"""The table of a day: as high as its rows, with the columns that its width has room for."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QItemSelection,
    QModelIndex,
    QSignalBlocker,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QFontMetrics, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QSizePolicy,
    QTableView,
    QWidget,
)

from app.look.theme import follow_theme
from app.look.type import Role, font
from app.review.day import DayView
from app.ui.controls.drawing import px
from app.ui.controls.sign_cell import sign_width
from app.ui.day.table_delegate import INSET, QUIET, ROW, WRAPS, DayDelegate
from app.ui.day.table_model import Column, DayTableModel
from app.ui.day.words import tr

_NARROW = 560  # px at a text size of 13 px: below that it is a list beside the chart
# What goes first where the table is narrow: its texts stay in the tip of the row.
_GIVE_WAY = (Column.KEEPER, Column.NOTE, Column.METER)
_GIVE_WAY_IN_A_LIST = (Column.KEEPER, Column.METER, Column.NOTE)


class DayTable(QTableView):
    """One Tab stop; Up and Down go through the rows, Enter opens one.

    Signals: `opened(int)` the id of a reading, `looked_at(int or None)` the row that is current.
    """

    opened = Signal(int)
    looked_at = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows = DayTableModel(self)
        self.setModel(self._rows)
        self._delegate = DayDelegate(self._rows, self)
        self.setItemDelegate(self._delegate)
        self.setAccessibleName(tr("What was written"))
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.verticalHeader().hide()
        head = self.horizontalHeader()
        head.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        head.setHighlightSections(False)
        head.setSectionsClickable(False)
        head.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.activated.connect(self._on_activated)
        follow_theme(self._restyle)

    def show_day(self, view: DayView) -> None:
        """Show the readings of a day; the row that was current stays so."""
        current = self.current_id()
        with QSignalBlocker(self):
            self._rows.show_day(view)
            self._fit()
            self.look_at(current)

    def current_id(self) -> int | None:
        """The id of the current row's reading."""
        index = self.currentIndex()
        return self._rows.row(index.row()).id if index.isValid() else None

    def look_at(self, reading_id: int | None) -> None:
        """Make the row of a reading the current one, without a signal."""
        row = None if reading_id is None else self._rows.row_of(reading_id)
        with QSignalBlocker(self):
            if row is None:
                self.clearSelection()
                self.setCurrentIndex(QModelIndex())
            else:
                self.selectRow(row)
        self.viewport().update()

    def shown_columns(self) -> list[Column]:
        """The columns that there is room for."""
        return [column for column in Column if not self.isColumnHidden(column)]

    def height_of(self, rows: int) -> int:
        """The px that the head and so many rows of one line take."""
        return self._head_height() + rows * self._delegate.row_height

    def selectionChanged(self, now: QItemSelection, before: QItemSelection) -> None:
        super().selectionChanged(now, before)
        self.looked_at.emit(self.current_id())

    def sizeHint(self) -> QSize:
        return QSize(px(300), self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._fit()

    def _on_activated(self, index: QModelIndex) -> None:
        self.opened.emit(self._rows.row(index.row()).id)

    def _restyle(self) -> None:
        self._delegate.restyle()
        self.setFont(font(Role.BODY))
        self.horizontalHeader().setFont(font(Role.BODY))
        self._fit()

    def _head_height(self) -> int:
        return max(px(ROW), QFontMetrics(font(Role.BODY)).height() + px(8))

    def _fit(self) -> None:
        """Choose the columns, share the width out, and be as high as the rows."""
        wide = self.width()
        hidden = self._too_many(wide)
        for column in Column:
            self.setColumnHidden(column, column in hidden)
        shown = [column for column in Column if column not in hidden]
        for column, width in zip(shown, self._widths(shown, wide), strict=True):
            self.setColumnWidth(column, width)
        self.horizontalHeader().setFixedHeight(self._head_height())
        total = self._head_height()
        for at in range(self._rows.rowCount()):
            tall = self._delegate.height_of(at, shown, [self.columnWidth(each) for each in shown])
            self.setRowHeight(at, tall)
            total += tall
        self.setFixedHeight(total + 1)

    def _too_many(self, wide: int) -> set[Column]:
        narrow = wide < px(_NARROW)
        empty = {
            column
            for column in (Column.NOTE, *QUIET)
            if not any(self._rows.text(at, column) for at in range(self._rows.rowCount()))
        }
        hidden = empty - {Column.NOTE} if not narrow else set(empty)
        for column in _GIVE_WAY_IN_A_LIST if narrow else _GIVE_WAY:
            shown = [each for each in Column if each not in hidden]
            if sum(self._needed(each, narrow=narrow) for each in shown) <= wide:
                break
            hidden.add(column)
        return hidden

    def _needed(self, column: Column, *, narrow: bool) -> int:
        natural = self._natural(column)
        # Marks and notes may go over several lines, but not be cut to single letters.
        if column is Column.NOTE:
            return min(natural, px(110 if narrow else 160))
        return min(natural, px(110)) if column is Column.MARK and narrow else natural

    def _natural(self, column: Column) -> int:
        texts = [self._rows.text(at, column) for at in range(self._rows.rowCount())]
        head = self._rows.headerData(column, Qt.Orientation.Horizontal)
        metrics = self._delegate.metrics(column)
        widest = max((metrics.horizontalAdvance(text) for text in texts), default=0)
        if column is Column.SIGN:
            widest = sign_width(widest)
        head_px = QFontMetrics(font(Role.BODY)).horizontalAdvance(str(head))
        return max(widest, head_px) + 2 * px(INSET) + 2

    def _widths(self, shown: Sequence[Column], wide: int) -> list[int]:
        """Natural widths; what is left or missing goes to the mark and the note."""
        narrow = wide < px(_NARROW)
        widths = {column: self._natural(column) for column in shown}
        others = sum(width for column, width in widths.items() if column not in WRAPS)
        room = wide - others
        if Column.NOTE not in widths:
            widths[Column.MARK] = max(px(60), room)
            return [widths[column] for column in shown]
        least = self._needed(Column.NOTE, narrow=narrow)
        mark = min(widths[Column.MARK], max(room - least, round(room / 2)))
        widths[Column.MARK] = max(px(60), mark)
        widths[Column.NOTE] = max(px(60), room - widths[Column.MARK])
        return [widths[column] for column in shown]
