"""What scrolls between the title and the buttons: what came of it, what is open, both versions."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.ui.changes.table import ListModel, ListTable, Row
from app.ui.controls import Button, FlowRow, WrapLabel
from app.ui.controls.drawing import RESERVE, px
from app.ui.together.words import tr

WHAT = 2  # the column of the list that takes the room there is
_HEAD, _ROW, _MOST_ROWS = 34, 28, 4  # px at a text size of 13 px; how many rows are always in sight


class TogetherBody(QScrollArea):
    """A list of what is open, with both versions of the selected one and the answers below it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        inside = QWidget(self)
        self.account = WrapLabel("", inside)
        titles = (tr("Day"), tr("Time"), tr("What"), tr("Whose"), tr("How it stands"))
        self.model = ListModel(titles, self)
        self.view = ListTable(self.model, tr("What is open"), inside, wide=WHAT)
        self.first, self.second = WrapLabel("", inside), WrapLabel("", inside)
        self.one = Button(tr("They are &one"), inside)
        self.two = Button(tr("They are &two"), inside)
        self.all_one = Button(tr("&All are one"), inside)
        self.shown_one = Button(tr("&Keep what is shown"), inside)
        self.other_one = Button(tr("Keep the &other"), inside)
        self.undoes = Button(tr("U&ndo"), inside, hint=tr("Ctrl+Z"))
        self.says = (self.one, self.two, self.all_one, self.shown_one, self.other_one)
        self._column = QVBoxLayout(inside)
        self._column.addLayout(_inset(self.account))
        self._column.addWidget(self.view, 1)
        self._column.addLayout(_inset(self.first, self.second))
        self._column.addWidget(FlowRow([*self.says, self.undoes], inside, gap=4))
        self._column.addStretch()
        for each in (self.account, self.view, self.first, self.second, *self.says, self.undoes):
            each.hide()
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidget(inside)
        follow_theme(self._restyle)

    def show_account(self, words: str) -> None:
        """Say what came of a look or of bringing in; no words take no room."""
        self.account.setText(words)
        self.account.setVisible(bool(words))

    def show_rows(self, rows: Sequence[Row]) -> None:
        """List what is open, the selection where it was or where it would be."""
        at = self.view.currentIndex().row()
        self.model.show_rows(rows)
        for each in (self.view, self.first, self.second):
            each.setVisible(bool(rows))
        self.view.fit()
        self._restyle()
        if rows:
            self.view.select(rows[min(max(at, 0), len(rows) - 1)].key)

    def show_versions(self, first: str, second: str) -> None:
        """Show both versions of what is selected."""
        self.first.setText(first)
        self.second.setText(second)
        self.view.setAccessibleDescription(f"{first}. {second}.")

    def _restyle(self) -> None:
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(px(8))
        rows = min(self.model.rowCount(), _MOST_ROWS)
        self.view.setMinimumHeight(px(_HEAD + _ROW * rows))


def _inset(*words: QWidget) -> QVBoxLayout:
    """Texts in line with the edges of the buttons."""
    column = QVBoxLayout()
    column.setContentsMargins(RESERVE, 0, RESERVE, 0)
    column.setSpacing(px(2))
    for each in words:
        column.addWidget(each)
    return column
