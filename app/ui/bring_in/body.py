"""What stands above the foot of the import, in the order of the eye; it scrolls where it must."""

from __future__ import annotations

from itertools import pairwise

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.ui.bring_in.account import Account
from app.ui.bring_in.choices import Choices
from app.ui.bring_in.columns import ColumnsPanel
from app.ui.bring_in.row_tools import RowTools
from app.ui.bring_in.rows import RowsModel
from app.ui.bring_in.table import RowsView
from app.ui.bring_in.words import tr
from app.ui.controls import Button, PageHead, ToAnswer
from app.ui.controls.drawing import px
from app.ui.now.trouble import Trouble


class Body(QScrollArea):
    """Title, choices, account, question and rows. With large letters all of it is moved."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        # In the order of the eye, which is that of the Tab key.
        inside = QWidget()
        self.another = Button(tr("Another file…"), inside)
        self.head = PageHead(tr("Bring in a file"), parent=inside, tools=[self.another])
        self.choices = Choices(inside)
        self.panel = ColumnsPanel(inside)
        self.trouble = Trouble(inside)
        self.account = Account(inside)
        self.box: ToAnswer | None = None
        self.model = RowsModel(self)
        self.view = RowsView(self.model, inside)
        self.tools = RowTools(self.view, inside)
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(0, 0, 0, 0)
        for part in (self.head, self.choices, self.panel, self.trouble, self.account):
            self._column.addWidget(part)
        self._column.addWidget(self.view, 1)
        self._column.addWidget(self.tools)
        self._soon = QTimer(self)  # once the box has its place
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._show_box)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidgetResizable(True)
        self.setWidget(inside)
        follow_theme(self._restyle)

    def take_focus(self) -> bool:
        """To what is asked first; False where nothing is."""
        if self.box is not None:
            self.box.setFocus()
            self._soon.start()
            return True
        if self.panel.isVisible() and self.panel.choices:
            self.panel.take_focus()
            return True
        return False

    def keeps(self, here: QWidget) -> bool:
        """Whether the focus is where somebody chooses, or walks through rows."""
        parts = (self.another, self.choices, self.panel, self.account, self.view, self.tools)
        return any(part is here or part.isAncestorOf(here) for part in parts)

    def put_box(self, box: ToAnswer | None) -> None:
        """Ask something else above the rows, or nothing."""
        if self.box is not None:
            self._column.removeWidget(self.box)
            self.box.hide()
            self.box.deleteLater()
        self.box = box
        if box is not None:
            self._column.insertWidget(self._column.indexOf(self.view), box)
            box.show()

    def set_tab_order(self, foot: QWidget) -> None:
        """Let Tab go as the eye does: what was made last would come last."""
        panel = (*self.panel.choices, self.panel.use)
        parts = (self.another, self.choices, *panel, self.account, self.box, self.view, self.tools)
        stops = [stop for part in (*parts, foot) if part is not None for stop in _stops(part)]
        for one, next_one in pairwise(stops):
            QWidget.setTabOrder(one, next_one)

    def clear(self) -> None:
        """Show no file."""
        self.trouble.say("")
        for part in (self.choices, self.panel, self.account):
            part.hide()
        self.put_box(None)
        self.tools.show_row(None, was_said=False, of_meter=False)

    def set_open(self, *, to_change: bool) -> None:
        """Let things be changed, or not while rows are being written."""
        for part in (self.choices, self.panel, self.another, self.box, self.tools):
            if part is not None:
                part.setEnabled(to_change)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        done = super().eventFilter(watched, event)
        moved = event.type() in (QEvent.Type.Resize, QEvent.Type.LayoutRequest)
        if moved and watched is self.widget() and self.box is not None and self.box.hasFocus():
            self._soon.start()
        return done

    def _show_box(self) -> None:
        if self.box is not None:
            self.ensureWidgetVisible(self.box, 0, px(8))

    def _restyle(self) -> None:
        self._column.setSpacing(px(8))


def _stops(part: QWidget) -> list[QWidget]:
    """A control, or all that is in it, that Tab could come to."""
    found = [part, *part.findChildren(QWidget)]
    here = part.window()  # the list that a choice drops down is a window of its own
    return [
        each
        for each in found
        if each.focusPolicy() & Qt.FocusPolicy.TabFocus and each.window() is here
    ]
