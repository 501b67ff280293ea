"""The head of the table: quiet titles over a rule, in line with the texts below them."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QHeaderView, QWidget

from app.look.theme import tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import px
from app.ui.readings.delegate import INSET
from app.ui.readings.model import Column


class TableHead(QHeaderView):
    """Titles as the columns stand; a click sorts."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setSectionsClickable(True)
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
        at_right = (section == Column.VALUE) != turned
        side = Qt.AlignmentFlag.AlignRight if at_right else Qt.AlignmentFlag.AlignLeft
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignAbsolute
        painter.drawText(area.adjusted(px(INSET), 0, -px(INSET), 0), side | middle, title or "")
        painter.restore()
