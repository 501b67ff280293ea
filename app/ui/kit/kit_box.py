"""A dialog to look something through; it scrolls where there is no room for all of it."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from app.ui.controls import Button, FlowRow, SectionTitle
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled
from app.ui.figures.table import FigureTable
from app.ui.kit.words import tr

_AIR = 48  # px left free of the window round it


class KitBox(QDialog):
    """A title over what is added to `column`, and Close below. Esc leaves."""

    def __init__(self, title: str, size: tuple[int, int], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._wanted = size
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        inside = self._inside = QWidget()
        inside.setObjectName("scrolled")
        self.column = QVBoxLayout(inside)
        self.column.setContentsMargins(2, 2, 2, 2)
        self.column.setSpacing(px(8))
        self.scrolled = scrolled(inside, self)
        self.scrolled.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.leave = Button(tr("Close"), self)
        self.leave.setDefault(True)
        self.leave.clicked.connect(self.reject)
        self._outer = QVBoxLayout(self)
        self._outer.setContentsMargins(px(24), px(16), px(24), px(12))
        self._outer.setSpacing(px(8))
        self._outer.addWidget(SectionTitle(title, self))
        self._outer.addWidget(self.scrolled, 1)

    def close_up(self, *tools: Button) -> None:
        """Put Close below, after other buttons."""
        self.column.addStretch(1)
        self._outer.addWidget(FlowRow((*tools, self.leave)))

    def add_table(self, name: str, *, strip_column: int) -> FigureTable:
        """Add a table; the line that is walked to stays in sight."""
        table = FigureTable(self, name=name, strip_column=strip_column, may_shorten=True)
        table.selectionModel().currentChanged.connect(
            lambda current, _before: self._keep_in_sight(table, current)
        )
        self.column.addWidget(table)
        return table

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        parent = self.parentWidget()
        room = parent.window().size() if parent is not None else self.screen().availableSize()
        wide, high = (px(each) for each in self._wanted)
        self.resize(min(wide, room.width() - _AIR), min(high, room.height() - _AIR))

    def _keep_in_sight(self, table: FigureTable, current: QModelIndex) -> None:
        place = table.visualRect(current)
        place.translate(0, table.head_height())
        middle = table.mapTo(self._inside, place.center())
        self.scrolled.ensureVisible(middle.x(), middle.y(), px(24), px(42))
