"""One line of text that ends in an ellipsis where it does not fit, and then says all in a tip."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.look.type import Role
from app.ui.controls.drawing import leading
from app.ui.controls.labels import Label


class ElidedLabel(Label):
    """A label that may be narrower than its text; a screen reader still gets the whole."""

    def __init__(
        self,
        text: str = "",
        parent: QWidget | None = None,
        *,
        role: Role = Role.BODY,
        ink: str = "ink",
    ) -> None:
        super().__init__(text, parent, role=role, ink=ink)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def setText(self, text: str) -> None:
        super().setText(text)
        self.setAccessibleName(text)
        self._tell()

    def is_elided(self) -> bool:
        """Whether a part of the text is not shown."""
        return self.fontMetrics().horizontalAdvance(self.text()) > self._room().width()

    def sizeHint(self) -> QSize:
        metrics = self.fontMetrics()
        return QSize(metrics.horizontalAdvance(self.text()) + 1, metrics.height())

    def minimumSizeHint(self) -> QSize:
        return QSize(self.fontMetrics().averageCharWidth() * 4, self.fontMetrics().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._tell()

    def paintEvent(self, _event: QPaintEvent) -> None:
        room, painter = self._room(), QPainter(self)
        painter.setPen(self.palette().color(QPalette.ColorRole.WindowText))
        shown = self.fontMetrics().elidedText(
            self.text(), Qt.TextElideMode.ElideRight, room.width()
        )
        painter.drawText(room, leading(self) | Qt.AlignmentFlag.AlignVCenter, shown)
        painter.end()

    def _room(self) -> QRect:
        return self.contentsRect()

    def _tell(self) -> None:
        self.setToolTip(self.text() if self.is_elided() else "")
