"""A drop-down list in the look of the fields."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QSizePolicy, QWidget

from app.look.icons import Icon, paint_icon
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import mirrored, px

_ICON = 14


class Choice(QComboBox):
    """One of several, each with the value it stands for. Signals: activated, currentIndexChanged.

    `activated` comes when the person chooses, `currentIndexChanged` also from code.
    """

    def __init__(
        self,
        choices: Iterable[tuple[str, object]] = (),
        parent: QWidget | None = None,
        *,
        name: str = "",
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        for text, value in choices:
            self.addItem(text, value)
        follow_theme(self._restyle)

    def value(self) -> object:
        """What the chosen line stands for."""
        return self.currentData()

    def choose(self, value: object) -> None:
        """Choose the line that stands for `value`.

        Raises
        ------
        ValueError
            If none does.
        """
        for at in range(self.count()):
            if self.itemData(at) == value:
                self.setCurrentIndex(at)
                return
        raise ValueError(f"no line stands for it: value={value!r}")

    def sizeHint(self) -> QSize:
        metrics = self.fontMetrics()
        widest = max(
            (metrics.horizontalAdvance(self.itemText(at)) for at in range(self.count())), default=0
        )
        return QSize(widest + px(44) + 4, metrics.height() + px(14))

    def minimumSizeHint(self) -> QSize:
        return QSize(self.fontMetrics().averageCharWidth() * 8, self.sizeHint().height())

    def wheelEvent(self, event: QWheelEvent) -> None:
        # Scrolling a page must not change what the pointer happens to pass.
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        tokens, side = tokens_now(), px(_ICON)
        painter = QPainter(self)
        at = QRect(self.width() - side - 10, (self.height() - side) // 2, side, side)
        ink = tokens.ink if self.isEnabled() else tokens.ink3
        paint_icon(painter, Icon.DOWN, QRectF(mirrored(self, at)), ink)
        painter.end()

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.view().setTextElideMode(Qt.TextElideMode.ElideRight)
        self.updateGeometry()
