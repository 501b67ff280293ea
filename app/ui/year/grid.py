"""The months of a year as columns and the slots as rows, every cell on one scale."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QPointF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.look.theme import follow_theme, tokens_now
from app.review.year import YearMonth, YearView
from app.review.year_cells import YearCell
from app.ui.controls.drawing import px
from app.ui.year.grid_painting import GridPainter
from app.ui.year.places import Places, places_of
from app.ui.year.pointed import Pointed
from app.ui.year.words import cell_words, chart_name, tr

_STEPS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class YearGrid(Pointed):
    """One Tab stop: the arrows walk the cells, Home and End go to the first and last month.

    Signals: `pointed((month, slot) or None)` another cell is pointed at, `chosen(month, slot)` by
    a click or Enter, `stepped(-1 or 1)` by Page Up and Page Down.
    """

    help_key = "year"
    chosen = Signal(int, int)
    stepped = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._found: YearView | None = None
        self._places: Places | None = None
        self._room = 0.0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Months by slot"))
        follow_theme(self._arrange)

    def show_year(self, found: YearView) -> None:
        """Show these months; nothing is pointed at."""
        self._found = found
        self.point(None)
        self.setAccessibleName(chart_name(found))
        self._arrange()

    def set_room(self, room: float) -> None:
        """Take the px that are in sight: the rows grow into them as far as they are allowed."""
        if room != self._room:
            self._room = room
            self._arrange()

    @property
    def places(self) -> Places | None:
        """Where everything stands."""
        return self._places

    @property
    def pointed_at(self) -> tuple[int, int] | None:
        """The month and slot that are pointed at."""
        if self._at is None or self._places is None:
            return None
        return self._at[0], self._places.rows[self._at[1]].slot

    def words(self) -> str:
        """What is known of the cell pointed at; empty where none is."""
        cell = self._cell()
        if cell is None or self._found is None:
            return ""
        return cell_words(*cell, self._found.unit)

    def sizeHint(self) -> QSize:
        tall = round(self._places.height) if self._places else px(300)
        return QSize(px(600), tall)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(300), self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._arrange()

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._found is None or self._places is None:
            return
        painter = QPainter(self)
        drawing = GridPainter(painter, self._found, self._places, tokens_now())
        drawing.paint()
        if self._at is not None:
            drawing.paint_cursor(*self._at)
        elif self.hasFocus():
            drawing.paint_focus()
        painter.end()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self._at is None and event.reason() is not Qt.FocusReason.MouseFocusReason:
            self._step(0, 0)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier or self._places is None:
            event.ignore()  # Alt and Ctrl with arrows belong to the window
            return
        months, row = self._places.columns.count, self._at[1] if self._at else 0
        does: dict[Qt.Key, Callable[[], None]] = {
            Qt.Key.Key_Home: partial(self.point, (0, row)),
            Qt.Key.Key_End: partial(self.point, (months - 1, row)),
            Qt.Key.Key_PageUp: partial(self.stepped.emit, -1),
            Qt.Key.Key_PageDown: partial(self.stepped.emit, 1),
            Qt.Key.Key_Return: self.choose,
            Qt.Key.Key_Enter: self.choose,
        }
        if key in _STEPS:
            self._step(*_STEPS[key])
        elif key == Qt.Key.Key_Escape and self._at is not None:
            self.point(None)
        elif key in does:
            does[key]()
        else:
            event.ignore()

    def _step(self, months: int, rows: int) -> None:
        if self._places is None:
            return
        last_month, last_row = self._places.columns.count - 1, len(self._places.rows) - 1
        if self._at is None:  # the newest month is what one begins with
            self.point((last_month, 0))
            return
        month = min(max(self._at[0] + months, 0), last_month)
        self.point((month, min(max(self._at[1] + rows, 0), last_row)))

    def under(self, at: QPointF) -> tuple[int, int] | None:
        """The month and the place of the row under a point."""
        return self._places.at(at) if self._places else None

    def choose(self) -> None:
        """Tell of what is pointed at."""
        at = self.pointed_at
        if at is not None:
            self.chosen.emit(*at)

    def _cell(self) -> tuple[YearMonth, YearCell] | None:
        at = self.pointed_at
        if at is None or self._found is None:
            return None
        month = self._found.months[at[0]]
        return month, month.cells[at[1]]

    def _arrange(self) -> None:
        if self._found is None:
            return
        self._places = places_of(self._found, self.width(), self._room)
        if self.height() != round(self._places.height):
            self.setFixedHeight(round(self._places.height))
        self.updateGeometry()
        self.update()
