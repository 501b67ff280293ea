"""The head of a table: quiet titles over a rule, in line with the texts below them."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QHeaderView, QWidget

from app.look.theme import tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import px


class TableHead(QHeaderView):
    """Titles as the columns stand.

    Parameters
    ----------
    numbers : collection of int
        Columns whose texts stand at their far side.
    inset : int
        What is left free beside a text, in px at a text size of 13 px.
    sorts : bool
        Whether a click on a title sorts.
    """

    def __init__(
        self, parent: QWidget, *, numbers: Collection[int], inset: int, sorts: bool = False
    ) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._numbers, self._inset = frozenset(numbers), inset
        self.setSectionsClickable(sorts)
        self.setHighlightSections(False)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setMinimumSectionSize(px(20))

    def paintSection(self, painter: QPainter, area: QRect, section: int) -> None:
        tokens = tokens_now()
        title = self.model().headerData(section, Qt.Orientation.Horizontal)
        painter.save()
        painter.fillRect(area, QColor(tokens.page))
        edge = QRect(area.left(), area.bottom(), area.width(), 1)
        painter.fillRect(edge, QColor(tokens.edge))
        painter.setFont(font(Role.BODY))
        painter.setPen(QColor(tokens.ink3))
        turned = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        at_right = (section in self._numbers) != turned
        side = Qt.AlignmentFlag.AlignRight if at_right else Qt.AlignmentFlag.AlignLeft
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignAbsolute
        room = area.adjusted(px(self._inset), 0, -px(self._inset), 0)
        shown = painter.fontMetrics().elidedText(
            title or "", Qt.TextElideMode.ElideRight, room.width() + 1
        )
        painter.drawText(room, side | middle, shown)
        painter.restore()
