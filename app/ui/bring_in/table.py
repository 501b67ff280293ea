"""The table of a file's rows: painted quietly, what is not taken on a wash, folded when narrow."""

from __future__ import annotations

from PySide6.QtCore import (
    QItemSelection,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFont, QFontDatabase, QFontMetrics, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.bring_in.rows import Column, RowsModel, is_number
from app.ui.bring_in.words import tr, value_words
from app.ui.controls.drawing import paint_ring, px
from app.ui.controls.table_head import TableHead
from app.ui.reading_words import DASH
from app.work.picked import RowLine

_INSET = 8
_LEAST_ROWS = 5
_LOOKED_AT = 120  # rows whose texts tell how wide a column is
# What gives way first, and how much of texts of any length is seen, px at a text size of 13 px.
_FOLDS = (Column.MARK, Column.WRITTEN)
_LEAST = {Column.WRITTEN: 130.0, Column.WHY: 170.0}
_MOST = {Column.WRITTEN: 330.0, Column.MARK: 150.0}
_WHY_FIRST = 250.0  # of it before the line itself is seen whole
_MIDDLE = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignAbsolute


class RowsView(QTableView):
    """The rows, to be walked with the arrows. Signals: selected()."""

    selected = Signal()

    def __init__(self, model: RowsModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows = model
        self._delegate = _Delegate(model, self)
        self.setItemDelegate(self._delegate)
        self.setModel(model)
        self.setAccessibleName(tr("Rows of the file"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        numbers = [column for column in Column if is_number(column)]
        self.setHorizontalHeader(TableHead(self, numbers=numbers, inset=_INSET))
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        model.modelReset.connect(self.fit)
        follow_theme(self._restyle)

    def selected_line(self) -> RowLine | None:
        """The row of the file that is selected."""
        rows = self.selectionModel().selectedRows()
        return self._rows.line(rows[0].row()) if rows else None

    def selectionChanged(self, now: QItemSelection, before: QItemSelection) -> None:
        super().selectionChanged(now, before)
        self.selected.emit()

    def sizeHint(self) -> QSize:
        """Wide as it is, and room for a few rows: with more room it grows."""
        return QSize(px(300), self._delegate.row_height * (1 + _LEAST_ROWS))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(120), self.sizeHint().height())

    def show_line(self, line: int) -> None:
        """Select the row of a line of the file and bring it into view."""
        row = self._rows.row_of(line)
        if row is not None:
            self.selectRow(row)
            index = self._rows.index(row, Column.RESULT)
            self.scrollTo(index, QAbstractItemView.ScrollHint.EnsureVisible)

    def fit(self) -> None:
        """Give each column the room that its texts want, as far as there is any."""
        self._delegate.forget()
        wide = {column: self._wanted(column) for column in Column}
        room = self.viewport().width()
        least = {c: min(wide[c], px(_LEAST[c])) if c in _LEAST else wide[c] for c in Column}
        shown = [*Column]
        if self._rows.is_raw:
            shown = [Column.LINE, Column.WRITTEN]
            wide[Column.WRITTEN] = room
        for fold in _FOLDS:
            if fold in shown and sum(least[column] for column in shown) > room:
                shown.remove(fold)
        spare = room - sum(least[column] for column in shown)
        for column, most in ((Column.WHY, px(_WHY_FIRST)), (Column.WRITTEN, room)):
            if column in shown:
                more = max(0, min(spare, min(wide[column], most) - least[column]))
                least[column] += more
                spare -= more
        least[shown[-1]] += max(0, spare)  # the last one fills the line
        for column in Column:
            self.setColumnHidden(column, column not in shown)
            if column in shown:
                self.setColumnWidth(column, max(px(40), least[column]))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit()

    def _wanted(self, column: Column) -> int:
        metrics = self._delegate.metrics(column)
        texts = [self._rows.head(column)]
        count = self._rows.rowCount()
        texts += [self._rows.cell(row, column) for row in range(min(count, _LOOKED_AT))]
        if column is Column.LINE and count:
            texts.append(self._rows.cell(count - 1, column))
        wide = max(metrics.horizontalAdvance(text) for text in texts) + px(2 * _INSET) + 2
        most = _MOST.get(column)
        return wide if most is None else min(wide, px(most))

    def _restyle(self) -> None:
        self.verticalHeader().setDefaultSectionSize(self._delegate.row_height)
        self.horizontalHeader().setFixedHeight(self._delegate.row_height)
        self.fit()


class _Delegate(QStyledItemDelegate):
    """Paints a cell from the model, without asking it role by role."""

    def __init__(self, model: RowsModel, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self._unit_width: int | None = None
        follow_theme(self._restyle)

    @property
    def row_height(self) -> int:
        """The height of a row: 28 px at a text size of 13 px."""
        return max(px(28), self._metrics.height() + px(8))

    def metrics(self, column: Column) -> QFontMetrics:
        """How wide texts of a column are."""
        return QFontMetrics(self._font_of(column, strong=column is Column.RESULT))

    def forget(self) -> None:
        """Other rows are shown: their units may be wider."""
        self._unit_width = None

    def sizeHint(
        self, _option: QStyleOptionViewItem, _index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        return QSize(px(40), self.row_height)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        row, column, area = index.row(), Column(index.column()), option.rect
        tokens, model = tokens_now(), self._model
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(tokens.sel))
        elif model.is_trouble(row):
            painter.fillRect(area, QColor(tokens.wash))
        painter.fillRect(area.left(), area.bottom(), area.width(), 1, QColor(tokens.grid))
        turned = option.direction is Qt.LayoutDirection.RightToLeft
        room = area.adjusted(px(_INSET), 0, -px(_INSET), 0)
        text = model.cell(row, column)
        if column is Column.VALUE and text and text != DASH:
            self._paint_value(painter, room, row, turned=turned)
        else:
            trouble = column is Column.RESULT and model.is_trouble(row)
            painter.setFont(self._font_of(column, strong=trouble))
            painter.setPen(QColor(self._ink(row, column, text)))
            shown = painter.fontMetrics().elidedText(
                text, Qt.TextElideMode.ElideRight, room.width()
            )
            painter.drawText(room, _side(column, turned=turned) | _MIDDLE, shown)
        if option.state & QStyle.StateFlag.State_HasFocus:
            paint_ring(painter, area.adjusted(1, 2, -1, -1), tokens.ink)

    def _paint_value(self, painter: QPainter, room: QRect, row: int, *, turned: bool) -> None:
        """The number in the heavier weight, its unit quiet: the numbers stand in line."""
        number, unit = value_words(self._model.line(row).row)
        tokens = tokens_now()
        side = Qt.AlignmentFlag.AlignLeft if turned else Qt.AlignmentFlag.AlignRight
        away = self._units_wide()
        painter.setFont(self._font)
        painter.setPen(QColor(tokens.ink2))
        unit_room = QRect(room)
        if turned:
            unit_room.setRight(room.left() + away)
        else:
            unit_room.setLeft(room.right() - away)
        begin = Qt.AlignmentFlag.AlignRight if turned else Qt.AlignmentFlag.AlignLeft
        painter.drawText(unit_room, begin | _MIDDLE, unit)
        painter.setFont(self._strong)
        painter.setPen(QColor(tokens.ink3 if self._model.is_quiet(row) else tokens.ink))
        gap = away + px(5)
        room = room.adjusted(gap, 0, 0, 0) if turned else room.adjusted(0, 0, -gap, 0)
        painter.drawText(room, side | _MIDDLE, number)

    def _units_wide(self) -> int:
        if self._unit_width is None:
            rows = range(min(self._model.rowCount(), _LOOKED_AT))
            units = {value_words(self._model.line(row).row)[1] for row in rows} | {"mg/dL"}
            self._unit_width = max(self._metrics.horizontalAdvance(unit) for unit in units) + 2
        return self._unit_width

    def _ink(self, row: int, column: Column, text: str) -> str:
        tokens = tokens_now()
        if column is Column.LINE or text == DASH:
            return tokens.ink3
        if column is Column.WRITTEN:
            return tokens.ink2
        if self._model.is_quiet(row) and column is not Column.WHY:
            return tokens.ink3
        return tokens.ink2 if column is Column.WHY else tokens.ink

    def _font_of(self, column: Column, *, strong: bool) -> QFont:
        if column is Column.WRITTEN:
            return self._written
        if column is Column.WHY:
            return self._small
        return self._strong if strong or column is Column.VALUE else self._font

    def _restyle(self) -> None:
        self._font, self._strong = QFont(font(Role.BODY)), QFont(font(Role.STRONG))
        self._small = QFont(font(Role.SMALL))
        self._metrics = QFontMetrics(self._font)
        # The system's own font with letters of one width: what stands in a file is told apart.
        self._written = QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont)
        self._written.setPointSizeF(self._small.pointSizeF())
        self._unit_width = None


def _side(column: Column, *, turned: bool) -> Qt.AlignmentFlag:
    at_right = is_number(column) != turned
    return Qt.AlignmentFlag.AlignRight if at_right else Qt.AlignmentFlag.AlignLeft
