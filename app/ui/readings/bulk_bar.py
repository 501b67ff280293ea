"""What can be done to the rows that are selected; a quiet line while none is."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QMenu, QStackedLayout, QVBoxLayout, QWidget

from app.domain.marks import Mark
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.ui.controls import Button, FlatButton, FoldingRow, Label, LineField
from app.ui.controls.drawing import paint_box, px
from app.ui.controls.flow import FlowRow
from app.ui.controls.wrapping import hfw_policy
from app.ui.gate import writes
from app.ui.reading_words import mark_name
from app.ui.words import count_words

_QUIET, _ACTS, _REASON = range(3)


class BulkBar(QWidget):
    """The bar over the table; its height stays, so that no row moves when one is selected.

    Signals: mark_asked(Mark), aside_asked(str) with the reason, not_mine_asked(),
    counted_asked(), bin_asked(), left() when the focus is to go back to the table.
    """

    mark_asked = Signal(object)
    aside_asked = Signal(str)
    not_mine_asked = Signal()
    counted_asked = Signal()
    bin_asked = Signal()
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pages = QStackedLayout(self)
        self.quiet = Label("", role=Role.SMALL, ink="ink3")
        self._count = Label("", role=Role.STRONG)
        self._of = Label("", ink="ink2")
        self.set_mark = Button(self.tr("Set mark…"), size="bar")
        self.set_aside = Button(self.tr("Set aside…"), size="bar")
        self.not_mine = Button(self.tr("Not mine"), size="bar")
        self.counted = Button(self.tr("Counted again"), size="bar")
        self.to_bin = Button(self.tr("To the bin"), size="bar")
        self.reason = LineField("", placeholder=self.tr("why, for instance: the strips lay open"))
        self._aside = Button(self.tr("Set aside"), size="bar")
        self._back = FlatButton(self.tr("Back"), size="bar")
        for acts in (self.set_mark, self.set_aside, self.not_mine, self.counted, self.to_bin):
            writes(acts)
        writes(self._aside)
        self.marks = QMenu(self)
        for page in (_page(self.quiet), self._act_page(), self._reason_page()):
            self._pages.addWidget(page)
        self.setSizePolicy(hfw_policy())
        self._connect()
        follow_theme(self._restyle)

    def show_selected(self, selected: int, of: int) -> None:
        """Say how many of how many rows are selected; none takes the bar away."""
        self._count.setText(self.tr("{n} selected").format(n=count_words(selected)))
        self._of.setText(self.tr("of {n}").format(n=count_words(of)))
        if not selected:
            self._turn(_QUIET)
        elif self._pages.currentIndex() == _QUIET:
            self._turn(_ACTS)

    def say(self, words: str) -> None:
        """The quiet line while no row is selected."""
        self.quiet.setText(words)

    def offer(self, *, counted: bool) -> None:
        """Whether some of the selected are set aside or not mine, so that they can count again."""
        self.counted.setVisible(counted)

    def set_busy(self, busy: bool) -> None:
        """Nothing more can be asked while something is being written."""
        for button in (self.set_mark, self.set_aside, self.not_mine, self.counted, self.to_bin):
            button.setEnabled(not busy)

    def ask_reason(self) -> None:
        """Ask why the selected readings are set aside."""
        self._turn(_REASON)
        self.reason.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.reason.selectAll()

    def ask_mark(self) -> None:
        """Open the list of marks."""
        self.marks.popup(self.set_mark.mapToGlobal(self.set_mark.rect().bottomLeft()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._on_back()
            return
        super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._pages.currentIndex() != _QUIET:
            painter = QPainter(self)
            paint_box(painter, self.rect(), fill=tokens_now().sel, edge=None)
            painter.end()

    def _act_page(self) -> QWidget:
        said = QWidget()
        row = QHBoxLayout(said)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        row.addWidget(self._count)
        row.addWidget(self._of, 1)
        acts = FlowRow(
            [self.set_mark, self.set_aside, self.not_mine, self.counted, self.to_bin], gap=0
        )
        return _page(FoldingRow(said, acts, main_px=130))

    def _reason_page(self) -> QWidget:
        self.reason.setAccessibleName(self.tr("Why they are set aside"))
        buttons = FlowRow([self._aside, self._back], gap=0)
        return _page(FoldingRow(self.reason, buttons, main_px=200))

    def _connect(self) -> None:
        for mark in Mark:
            action = self.marks.addAction(mark_name(mark).capitalize())
            action.setData(mark.value)
        self.marks.triggered.connect(self._on_mark)
        self.set_mark.setMenu(self.marks)
        self.set_aside.clicked.connect(self.ask_reason)
        self.not_mine.clicked.connect(self.not_mine_asked)
        self.counted.clicked.connect(self.counted_asked)
        self.to_bin.clicked.connect(self.bin_asked)
        self._aside.clicked.connect(self._on_reason)
        self.reason.returnPressed.connect(self._on_reason)
        self._back.clicked.connect(self._on_back)

    def _on_mark(self, action: QAction) -> None:
        self.mark_asked.emit(Mark(action.data()))

    def _on_reason(self) -> None:
        if not self.reason.text().strip():
            self.reason.setFocus()
            return
        self.aside_asked.emit(self.reason.text())
        self._on_back()

    def _on_back(self) -> None:
        self._turn(_ACTS if self._pages.currentIndex() == _REASON else self._pages.currentIndex())
        self.left.emit()

    def _turn(self, page: int) -> None:
        if self._pages.currentIndex() != page:
            self._pages.setCurrentIndex(page)
            self.update()

    def _restyle(self) -> None:
        for at in range(self._pages.count()):
            page = self._pages.widget(at)
            layout = None if page is None else page.layout()
            if layout is not None:
                side = 0 if at == _QUIET else px(8)
                layout.setContentsMargins(side, px(2), side, px(2))
        self.updateGeometry()
        self.update()


def _page(content: QWidget) -> QWidget:
    page = QWidget()
    column = QVBoxLayout(page)
    column.addWidget(content)
    return page
