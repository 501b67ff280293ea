"""The shell of the window: Now column, tabs, pages and notice, painted before anything else."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLayout,
    QMainWindow,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.look.theme import tokens_now
from app.ui.controls import PageTabs
from app.ui.controls.drawing import px
from app.ui.page_stack import PageStack, take_out
from app.ui.pages import PAGES

if TYPE_CHECKING:
    from app.ui.controls import Notice
    from app.ui.safety.band import NoteBand

SMALLEST = (1000, 700)
# Width of the Now column by the width of the window, at the usual text size.
_NOW_WIDTHS = ((1700, 320), (1150, 292), (0, 252))


class Shell(QMainWindow):
    """Places without a diary in them.

    `furnish` adds what it is first seen without; the first start stands in place of everything.

    Signals: painted(), once, after it was first seen; undo_asked() from the notice.
    """

    painted = Signal()
    undo_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setWindowTitle("Thimblebook")
        self.setMinimumSize(*SMALLEST)
        self._painted = self._furnished = False

    def build(self) -> None:
        """Make the places, in the theme that holds now."""
        ground = QWidget(self)
        ground.setObjectName("page")
        self._whole = QVBoxLayout(ground)
        self._whole.setContentsMargins(0, 0, 0, 0)
        self._whole.setSpacing(0)
        row = QHBoxLayout()
        row.setSpacing(0)
        self._whole.addLayout(row, 1)
        self.now_place = QFrame(ground)
        self.now_place.setObjectName("now")
        self.now_row = QVBoxLayout(self.now_place)
        self.now_row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.now_place)
        self._right = right = QVBoxLayout()
        right.setSpacing(0)
        self.tabs = PageTabs([self.tr(kind.title) for kind in PAGES], ground, name=self.tr("Pages"))
        right.addWidget(self.tabs)
        self.stack = PageStack(ground)
        right.addWidget(self.stack, 1)
        right.addStretch()  # in its place while nobody is in the diary
        self._notice_row = QHBoxLayout()
        self._notice_row.setContentsMargins(px(24), 0, px(24), px(12))
        right.addLayout(self._notice_row)
        row.addLayout(right, 1)
        self._root = QStackedWidget(self)
        self._root.addWidget(ground)
        self.setCentralWidget(self._root)
        ground.installEventFilter(self)
        self._fit_now()

    def furnish(self) -> None:
        """Add what is not there at first: its icon, and the notice below the pages."""
        if self._furnished:
            return
        from app.look.icons import program_icon
        from app.ui.controls import Notice

        self._furnished = True
        self.setWindowIcon(program_icon(tokens_now()))
        self.notice: Notice = Notice(self)
        self._notice_row.addWidget(self.notice)
        self.notice.undo_asked.connect(self.undo_asked)

    @cached_property
    def band(self) -> NoteBand:
        """The notes about the file, above everything; made when there is something to note."""
        from app.ui.safety.band import NoteBand

        band = NoteBand(self)
        self._whole.insertWidget(0, band)
        return band

    def show_first_start(self, first: QWidget) -> None:
        """Show the questions of the first start in place of everything else."""
        self.end_first_start()
        self._root.addWidget(first)
        self._root.setCurrentWidget(first)
        self.menuBar().setVisible(False)

    def end_first_start(self) -> None:
        """Show the window as it is meant to be."""
        if self._root.currentIndex():
            take_out(self._root, self._root.currentWidget())
            self._root.setCurrentIndex(0)
        self.menuBar().setVisible(True)

    def add_above_notice(self, row: QLayout) -> None:
        """Put something below the page."""
        self._right.insertLayout(self._right.indexOf(self._notice_row), row)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        # The window itself is never painted under an opaque child: the child tells of the paint.
        if event.type() is QEvent.Type.Paint and not self._painted:
            self._painted = True
            QTimer.singleShot(0, self.painted.emit)
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_now()

    def _fit_now(self) -> None:
        width = next(wide for from_, wide in _NOW_WIDTHS if self.width() >= px(from_) or not from_)
        self.now_place.setFixedWidth(px(width))
