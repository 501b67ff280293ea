"""The table of backups: one Tab stop, rows of one line over hairlines."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor, QPainter
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
from app.ui.controls.drawing import paint_ring, px
from app.ui.safety.backups_model import BackupsModel, Column
from app.ui.safety.words import tr

_INSET, _ROW = 8, 28  # px at a text size of 13 px


class _Cells(QStyledItemDelegate):
    """A text in line with its title, a rule under it."""

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        area, tokens = option.rect, tokens_now()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(tokens.sel))
        painter.fillRect(area.left(), area.bottom(), area.width(), 1, QColor(tokens.grid))
        side = Qt.AlignmentFlag(index.data(Qt.ItemDataRole.TextAlignmentRole))
        room = area.adjusted(px(_INSET), 0, -px(_INSET), 0)
        painter.setFont(font(Role.BODY))
        painter.setPen(QColor(tokens.ink))
        painter.drawText(room, int(QStyle.visualAlignment(option.direction, side)), index.data())
        if option.state & QStyle.StateFlag.State_HasFocus:
            paint_ring(painter, area.adjusted(1, 1, -1, -1), tokens.ink)


class BackupsTable(QTableView):
    """Up and Down go through the backups."""

    def __init__(self, model: BackupsModel, parent: QWidget) -> None:
        super().__init__(parent)
        self.setModel(model)
        self.setItemDelegate(_Cells(self))
        self.setAccessibleName(tr("Backups, the newest first"))
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.verticalHeader().hide()
        head = self.horizontalHeader()
        head.setHighlightSections(False)
        head.setSectionsClickable(False)
        head.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        follow_theme(self._restyle)

    def fit(self) -> None:
        """Give each column what it needs, and the last one what is left."""
        head = self.horizontalHeader()
        head.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        for column in Column:
            self.setColumnWidth(column, self.sizeHintForColumn(column) + px(2 * _INSET))
            least = head.sectionSizeHint(column)
            self.setColumnWidth(column, max(self.columnWidth(column), least))
        head.setSectionResizeMode(Column.STATE, QHeaderView.ResizeMode.Stretch)

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.horizontalHeader().setFont(font(Role.BODY))
        self.verticalHeader().setDefaultSectionSize(px(_ROW))
        self.viewport().update()
