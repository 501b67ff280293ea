"""The line that folds and unfolds what follows it, with a quiet count."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from app.look.icons import Icon, paint_icon
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import RESERVE, leading, mirrored, paint_ring, px

_ICON, _GAP = 12, 8


class FoldLine(QPushButton):
    """A chevron, a title and a quiet count; checked while what follows is shown. Signals: toggled.

    `folds` off takes the chevron away: then it is a title only.
    """

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(title, parent)
        self._count = ""
        self._folds = True
        self.setCheckable(True)
        self.setAutoDefault(False)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def set_count(self, count: str) -> None:
        """Change the quiet words."""
        self._count = count
        self.setAccessibleName(f"{self.text()}, {count}")
        self.updateGeometry()
        self.update()

    def set_folds(self, folds: bool) -> None:
        """Whether it can be folded at all."""
        self._folds = folds
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if folds else Qt.FocusPolicy.NoFocus)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(px(240), self.fontMetrics().height() + px(12))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(100), self.sizeHint().height())

    def mousePressEvent(self, event: object) -> None:
        if self._folds:
            super().mousePressEvent(event)  # type: ignore[arg-type]

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        at = RESERVE
        if self._folds:
            side = px(_ICON)
            box = QRect(at, (self.height() - side) // 2, side, side)
            icon = Icon.DOWN if self.isChecked() else Icon.RIGHT
            if icon is Icon.RIGHT and self.layoutDirection() is Qt.LayoutDirection.RightToLeft:
                icon = Icon.LEFT
            paint_icon(painter, icon, QRectF(mirrored(self, box)), tokens.ink)
            at += side + px(_GAP)
        else:
            at = 0
        flags = leading(self) | Qt.AlignmentFlag.AlignVCenter
        painter.setFont(font(Role.SECTION))
        painter.setPen(QColor(tokens.ink))
        room = self.rect().adjusted(at, 0, -RESERVE, 0)
        painter.drawText(mirrored(self, room), flags, self.text())
        at += painter.fontMetrics().horizontalAdvance(self.text()) + px(_GAP)
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        rest = self.rect().adjusted(at, 0, -RESERVE, 0)
        count = painter.fontMetrics().elidedText(
            self._count, Qt.TextElideMode.ElideRight, rest.width()
        )
        painter.drawText(mirrored(self, rest), flags, count)
        if self.hasFocus() and self._folds:
            paint_ring(painter, self.rect(), tokens.ink)
        painter.end()

    def _restyle(self) -> None:
        self.setFont(font(Role.SECTION))
        self.updateGeometry()
        self.update()
