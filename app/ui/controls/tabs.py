"""The tabs of the pages: words over a rule, the shown one bold and underlined."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QTabBar, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import mnemonic_flag, paint_ring, px, text_size

_PADDING = 12
_AROUND = 24


class PageTabs(QTabBar):
    """One tab a page. Signals: currentChanged(index), as of every QTabBar."""

    def __init__(self, names: Sequence[str], parent: QWidget | None = None, *, name: str) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setDocumentMode(True)
        self.setDrawBase(False)
        self.setExpanding(False)
        self.setUsesScrollButtons(True)
        self.setElideMode(Qt.TextElideMode.ElideNone)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        for text in names:
            self.addTab(text)
        follow_theme(self._restyle)

    def tabSizeHint(self, index: int) -> QSize:
        # Always the width of the heavier weight: else the tabs jump when one is chosen.
        metrics = QFontMetrics(font(Role.STRONG))
        width = text_size(metrics, self.tabText(index)).width()
        return QSize(width + 2 * px(_PADDING), metrics.height() + px(_AROUND))

    def minimumTabSizeHint(self, index: int) -> QSize:
        return self.tabSizeHint(index)

    def sizeHint(self) -> QSize:
        sizes = [self.tabSizeHint(at) for at in range(self.count())]
        height = max((size.height() for size in sizes), default=px(_AROUND))
        return QSize(sum(size.width() for size in sizes), height)

    def minimumSizeHint(self) -> QSize:
        widest = max((self.tabSizeHint(at).width() for at in range(self.count())), default=0)
        return QSize(widest + 3 * px(_AROUND), self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        rule = QRect(0, self.height() - 1, self.width(), 1)
        painter.fillRect(rule, QColor(tokens.line))
        for at in range(self.count()):
            if self.isTabVisible(at):
                self._paint_tab(painter, at)
        painter.end()

    def _paint_tab(self, painter: QPainter, at: int) -> None:
        tokens, area, on = tokens_now(), self.tabRect(at), at == self.currentIndex()
        painter.setFont(font(Role.STRONG if on else Role.BODY))
        enabled = self.isTabEnabled(at)
        painter.setPen(QColor(tokens.ink if on else tokens.ink2 if enabled else tokens.ink3))
        flags = int(Qt.AlignmentFlag.AlignCenter)
        if "&" in self.tabText(at):
            flags |= mnemonic_flag(self)
        painter.drawText(area, flags, self.tabText(at))
        if on:
            under = QRect(area.left(), self.height() - 2, area.width(), 2)
            painter.fillRect(under, QColor(tokens.ink))
            if self.hasFocus():
                paint_ring(painter, area.adjusted(3, 5, -3, -6), tokens.ink)

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        # Setting the texts anew lets the bar measure its tabs again.
        for at in range(self.count()):
            self.setTabText(at, self.tabText(at))
        self.updateGeometry()
        self.update()
