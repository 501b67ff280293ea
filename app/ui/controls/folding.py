"""Two things side by side that stand one below the other where the room is narrow."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QWidget

from app.ui.controls.drawing import px


class FoldingRow(QWidget):
    """A main part that takes the room, and a part at its far end that drops below it when narrow.

    Parameters
    ----------
    main, side : QWidget
        Become children. `side` keeps its own width.
    main_px : int
        The narrowest that `main` is left beside `side`, at a text size of 13 px.
    """

    def __init__(
        self, main: QWidget, side: QWidget, parent: QWidget | None = None, *, main_px: int = 240
    ) -> None:
        super().__init__(parent)
        self._side, self._main_px = side, main_px
        self._box = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(12)
        self._box.addWidget(main, 1)
        self._box.addWidget(side, 0, Qt.AlignmentFlag.AlignVCenter)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def is_folded(self) -> bool:
        """Whether the second part stands below."""
        return self._box.direction() is QBoxLayout.Direction.TopToBottom

    def hasHeightForWidth(self) -> bool:
        # Qt asks the layout, which has no height for a width where nothing wraps (an empty label).
        return self._box.hasHeightForWidth()

    def heightForWidth(self, width: int) -> int:
        self._fold(width)
        return self._box.totalHeightForWidth(width)

    def minimumSizeHint(self) -> QSize:
        # Narrow enough for either arrangement: the layout's own would hold the row side by side.
        return QSize(self._side.minimumSizeHint().width(), self._side.minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._fold(event.size().width()):
            self._box.activate()  # at once: a picture may be taken before the next event

    def _fold(self, width: int) -> bool:
        beside = width - self._side.sizeHint().width() - self._box.spacing()
        narrow = beside < px(self._main_px) and self._side.sizeHint().width() > 0
        wanted = QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        if self._box.direction() is wanted:
            return False
        self._box.setDirection(wanted)
        self._box.setAlignment(
            self._side,
            Qt.AlignmentFlag.AlignLeading if narrow else Qt.AlignmentFlag.AlignVCenter,
        )
        return True
