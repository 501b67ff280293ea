"""What was written on a day: the table, which folds to one line where the window is low."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from app.look.type import Role
from app.review.day import DayView
from app.ui.controls import FoldLine, Label
from app.ui.controls.drawing import px
from app.ui.day.table import DayTable
from app.ui.day.words import tr
from app.ui.words import count_words

_LEAST_ROWS = 4


class Written(QWidget):
    """The table with a title where it folds or stands aside.

    Signals: `folded_by_hand()` the person opened or closed it.
    """

    folded_by_hand = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title = FoldLine(tr("What was written"), self)
        self.table = DayTable(self)
        hint = tr("newest first · Enter opens an entry")
        self._hint = Label(hint, self, role=Role.SMALL, ink="ink3", wrap=True)
        self._aside = False
        self._by_hand: bool | None = None
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.title, self.table, self._hint):
            column.addWidget(widget)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.title.clicked.connect(self._on_clicked)

    def show_day(self, view: DayView) -> None:
        """Show what was written on a day."""
        self.table.show_day(view)
        entries = len(view.rows)
        notes = sum(row.note is not None for row in view.rows)
        n = count_words(entries)
        said = tr("1 entry") if entries == 1 else tr("{n} entries").format(n=n)
        if notes:
            said += ", " + tr("{n} with a note").format(n=count_words(notes))
        self.title.set_count(said)
        self.setVisible(bool(entries))

    def height_shown(self) -> int:
        """The px that title and table take just now."""
        shown = [each for each in (self.title, self.table) if not each.isHidden()]
        return sum(each.sizeHint().height() for each in shown)

    def least_height(self) -> int:
        """The px below which it folds: its head and a few rows."""
        rows = min(_LEAST_ROWS, max(1, self.table.model().rowCount()))
        return self.table.height_of(rows)

    def arrange(self, *, aside: bool, room: int) -> None:
        """Stand aside under a title, or below the slots, folded where `room` is too little."""
        self._aside = aside
        low = room < self.least_height() and not aside
        opened = not low if self._by_hand is None else self._by_hand
        if not low and not aside:
            self._by_hand = None  # with room again, nothing is folded
            opened = True
        self.title.set_folds(low)
        self.title.setVisible(aside or low)
        self.title.setChecked(opened)
        self._show(aside or opened)
        self._hint.setVisible(aside)
        self._column.setSpacing(px(6) if aside else 0)

    @property
    def is_folded(self) -> bool:
        """Whether only its line is shown."""
        return self.table.isHidden()

    def _show(self, opened: bool) -> None:
        self.table.setVisible(opened)
        self._column.setContentsMargins(0, 0, 0, px(4) if opened else 0)

    def _on_clicked(self, opened: bool) -> None:
        self._by_hand = opened
        self._show(opened)
        self.folded_by_hand.emit()
