"""A table that may be longer than its room: the line that is walked to stays in sight."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QRect, Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from app.ui.controls.drawing import px
from app.ui.figures.table import FigureTable


class TableArea(QScrollArea):
    """One Tab stop, the table itself; the arrows walk its cells."""

    def __init__(
        self,
        name: str,
        parent: QWidget | None = None,
        *,
        strip_column: int = -1,
        may_go: Sequence[int] = (),
    ) -> None:
        super().__init__(parent)
        self.table = FigureTable(
            self, name=name, strip_column=strip_column, may_go=may_go, may_shorten=True
        )
        self.table.selectionModel().currentChanged.connect(self._on_current)
        self.setWidget(self.table)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFocusProxy(self.table)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def _on_current(self, current: QModelIndex, _before: QModelIndex) -> None:
        area: QRect = self.table.visualRect(current).translated(0, self.table.head_height())
        # With the head of the table over the first line.
        self.ensureVisible(area.left(), area.center().y(), px(24), px(42))
