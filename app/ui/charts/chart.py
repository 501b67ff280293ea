"""The chart of glucose by time: every page that draws readings shows one of these."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QWidget

from app.look.theme import tokens_now
from app.review.density import Density
from app.review.marks_drawn import DrawnMarks
from app.store.columns import EXACT
from app.ui.charts.cursor import Cursor, nearest, stepped
from app.ui.charts.density import DensityImage
from app.ui.charts.frame import ChartFrame
from app.ui.charts.grid import DayLines
from app.ui.charts.marks import EdgeWords, ReadingMarks, at_edges

_HOVER_MS = 50
_STILL_PX = 4


class GlucoseChart(ChartFrame):
    """Ground, lane, limits, marks, and what stands round them. One Tab stop.

    Left and Right walk the marks in the order of the axis, Home and End go to the ends, Enter
    chooses, Esc lets go, Page Up and Page Down ask for the time before and after. Ctrl with the
    wheel, plus or minus zooms, Ctrl+0 shows all again.

    Signals: `pointed(id or None)` the mark pointed at changed, `hovered(x, value)` the pointer
    rests in the plot away from any mark, `chosen(id)`, `stepped(-1 or 1)`, `laid_out()` places in
    px are other than before.
    """

    pointed = Signal(object)
    hovered = Signal(float, float)
    chosen = Signal(int)
    stepped = Signal(int)

    def __init__(self, parent: QWidget | None = None, *, mark_scale: float = 1.0) -> None:
        self._mark_scale = mark_scale
        self._marks: DrawnMarks | None = None
        self._y = np.empty(0)
        self._density: Density | None = None
        self._with_days = False
        self._at: int | None = None
        self._pressed: QPointF | None = None
        self._pointer: QPointF | None = None
        self._readings, self._words, self._cursor = ReadingMarks(), EdgeWords(), Cursor()
        self._days, self._image = DayLines(), DensityImage()
        super().__init__(parent)
        for item in (self._image, self._readings.insides, self._readings):
            self._view.addItem(item, ignoreBounds=True)
        for item in (self._days, self._words, self._cursor):
            self.add(item)
        self._hover = QTimer(self)
        self._hover.setSingleShot(True)
        self._hover.setInterval(_HOVER_MS)
        self._hover.timeout.connect(self._on_hover)

    def show_marks(self, marks: DrawnMarks | None, density: Density | None = None) -> None:
        """Draw the readings, or their density where they are too many; nothing is pointed at."""
        self._marks, self._density = marks, density
        self._point(None)
        self._image.show_density(density, tokens_now())
        self._place_marks()

    def show_day_lines(self, on: bool) -> None:
        """Join the readings of each day, or no longer."""
        self._with_days = on
        self._place_days()

    def point_at(self, reading_id: int | None) -> None:
        """Ring the mark of a reading, without a signal; None, or one not shown, rings nothing."""
        found = None
        if reading_id is not None and self._marks is not None:
            places = np.flatnonzero(self._marks.id == reading_id)
            found = int(places[0]) if places.size else None
        self._at = found
        self._ring()

    @property
    def pointed_at(self) -> int | None:
        """The id of the reading pointed at."""
        if self._at is None or self._marks is None:
            return None
        return int(self._marks.id[self._at])

    def _place_all(self) -> None:
        super()._place_all()
        self._image.show_density(self._density, tokens_now())
        self._place_marks()

    def _place_marks(self) -> None:
        marks = self._marks
        if marks is None or self._density is not None:
            self._readings.setVisible(False)
            self._readings.insides.setVisible(False)
            self._words.setVisible(False)
            self._place_days()
            return
        self._y = at_edges(marks, self.sight())
        self._readings.show_marks(marks, self._y, tokens_now(), self._mark_scale)
        self._words.show_words(marks, self._y, self._mark_scale)
        self._limits.keep_clear(marks.x, self._y, self._boxes_drawn())
        for item in (self._readings, self._readings.insides, self._words):
            item.setVisible(True)
        self._place_days()
        self._ring()

    def _boxes_drawn(self) -> Sequence[QRectF]:
        """The boxes of a subclass, over which no name is written."""
        return ()

    def _place_days(self) -> None:
        drawn = self._with_days and self._marks is not None and self._density is None
        self._days.setVisible(drawn)
        self._days.show_days(self._marks if drawn else None, self._y)

    def _on_range_changed(self, *what: object) -> None:
        super()._on_range_changed(*what)
        if self._marks is not None and self._density is None and (self._marks.bound != EXACT).any():
            self._place_marks()  # those off the scale stay at the edge

    def _shown(self) -> bool:
        return self._marks is not None and self._density is None

    def _point(self, at: int | None) -> None:
        if at != self._at:
            self._at = at
            self._ring()
            self.pointed.emit(self.pointed_at)

    def _ring(self) -> None:
        marks = self._marks
        if self._at is None or marks is None or not self._shown():
            self._cursor.show_at(None)
            self._days.point_at_day(None)
            return
        self._cursor.show_at((float(marks.x[self._at]), float(self._y[self._at])), self._mark_scale)
        self._days.point_at_day(int(marks.day[self._at]))

    def _on_hover(self) -> None:
        if self._pointer is None:
            return
        sight = self.sight()
        at = None
        if self._shown() and self._marks is not None:
            at = nearest(self._marks.x, self._y, sight, self._pointer)
        self._point(at)
        if at is None and sight.plot.contains(self._pointer):
            x = sight.left + (self._pointer.x() - sight.plot.left()) / sight.per_x
            value = sight.bottom + (sight.plot.bottom() - self._pointer.y()) / sight.per_y
            self.hovered.emit(x, value)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        super().mouseMoveEvent(event)
        self._pointer = event.position()
        if not self._hover.isActive():
            self._hover.start()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self._pointer = None
        self._hover.stop()
        if not self.hasFocus():
            self._point(None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed = event.position()
        if not self._view.is_home:
            super().mousePressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        pressed, self._pressed = self._pressed, None
        if not self._view.is_home:
            super().mouseReleaseEvent(event)
        if pressed is None or (pressed - event.position()).manhattanLength() > _STILL_PX:
            return
        if self._shown() and self._marks is not None:
            at = nearest(self._marks.x, self._y, self.sight(), event.position())
            if at is not None:
                self._point(at)
                self.chosen.emit(int(self._marks.id[at]))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, count = event.key(), len(self._marks) if self._shown() and self._marks else 0
        walk = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}
        control = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if control and key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self._view.scaleBy((0.8, 0.8))
        elif control and key == Qt.Key.Key_Minus:
            self._view.scaleBy((1.25, 1.25))
        elif control and key == Qt.Key.Key_0:
            self._view.go_home()
        elif event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            event.ignore()  # Alt and Ctrl with arrows belong to the window
        elif key in walk:
            self._point(stepped(self._at, walk[Qt.Key(key)], count))
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            self._point(stepped(None, 1 if key == Qt.Key.Key_Home else -1, count))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.pointed_at is not None:
            self.chosen.emit(self.pointed_at)
        elif key == Qt.Key.Key_Escape and self._at is not None:
            self._point(None)
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self.stepped.emit(-1 if key == Qt.Key.Key_PageUp else 1)
        else:
            event.ignore()
