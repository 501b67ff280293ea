"""The chart of one day: its readings by wall time, with the goals, now, and what happened."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from app.look.marks import DAY
from app.review.day import DayView
from app.review.day_pending import Pending
from app.review.scale import glucose_scale
from app.store.columns import EXACT
from app.ui.charts.axes import HourAxis
from app.ui.charts.chart import GlucoseChart
from app.ui.charts.goal_names import end_names, step_names
from app.ui.charts.strips import AxisLabels
from app.ui.day.chart_items import NowLine, NowName, PendingMark, Values
from app.ui.day.rail import DayRail, Piece
from app.ui.day.words import at_words, chart_words, spell_words, subtitle_words, tr
from app.ui.words import number_words


class DayChart(GlucoseChart):
    """Left and Right walk the readings; past the first and the last they ask for another day."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, mark_scale=DAY)
        self._view_shown: DayView | None = None
        self._pending: Pending | None = None
        self._pending_mark, self._now_name = PendingMark(), NowName()
        self._values, self._now_line = Values(self._pending_mark), NowLine()
        self._rail = DayRail()
        for item in (self._now_line, self._values, self._pending_mark):
            self.add(item)
        self.scene().addItem(self._now_name)
        self._limits.keep_clear_of(self._values.areas)
        self.laid_out.connect(self._on_laid_out)

    def show_day(self, view: DayView) -> None:
        """Draw another day, or the same one anew; the reading pointed at stays so."""
        kept = self.pointed_at
        self._view_shown = view
        self._now_line.at = view.now
        self._now_name.show_now(view.now, at_words(view.now_wall, view.person))
        self._rail.show_pieces(_pieces(view))
        hours = HourAxis(view.person.day_start, view.person.clock)
        self.set_strips([AxisLabels(hours), self._rail])
        lanes, order = view.lanes, view.person.date_order
        self.show_lanes(lanes, end_names(lanes, view.unit), step_names(lanes, view.unit, order))
        self._set_scale()
        self.show_marks(view.marks)
        self._write_values()
        self.point_at(kept)
        self.setAccessibleName(chart_words(view))
        self.setAccessibleDescription(subtitle_words(view))

    def show_pending(self, pending: Pending | None) -> None:
        """Show what is being typed, if it is of this day; None takes it away."""
        before = self._seen_pending()
        self._pending = pending
        seen = self._seen_pending()
        if seen is None and before is None:
            return
        number = number_words(seen.text) if seen else ""
        self._pending_mark.show_pending(seen, number, tr("not saved yet"))
        self._set_scale()
        self._write_values()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk on to the neighbouring day where there is no further reading."""
        view, key = self._view_shown, event.key()
        steps = {Qt.Key.Key_Left.value: -1, Qt.Key.Key_Right.value: 1}
        if view is not None and key in steps and not event.modifiers():
            ids = view.marks.id.tolist()
            end = None if not ids else ids[0 if steps[key] < 0 else -1]
            if end is None or self.pointed_at == end:
                self.stepped.emit(steps[key])
                return
        super().keyPressEvent(event)

    def _seen_pending(self) -> Pending | None:
        view, pending = self._view_shown, self._pending
        return pending if view and pending and pending.day == view.day else None

    def _set_scale(self) -> None:
        view, pending = self._view_shown, self._seen_pending()
        if view is None:
            return
        marks = view.marks
        values = marks.value[marks.bound == EXACT].tolist()
        if pending is not None:
            values += pending.marks.value[pending.marks.bound == EXACT].tolist()
        limits = view.lanes.limits
        hours = HourAxis(view.person.day_start, view.person.clock)
        self.set_axes(hours, glucose_scale(values, limits, view.unit))

    def _write_values(self) -> None:
        view = self._view_shown
        if view is None:
            return
        texts = {row.id: number_words(row.glucose.shown(view.unit)) for row in view.rows}
        self._values.show_values(view.marks, [texts[each] for each in view.marks.id.tolist()])
        self._limits.update()  # its names make way for the numbers

    def _on_laid_out(self) -> None:
        sight = self.sight()
        self._now_name.lay_out(sight)
        if self._rail.lay_out(sight, self.width()):
            self.arrange()


def _pieces(view: DayView) -> list[Piece]:
    spells = [Piece(each.start, each.end, spell_words(each), True) for each in view.spells]
    done = [
        Piece(each.start, each.start if each.end is None else each.end, each.text, False)
        for each in view.happenings
    ]
    return spells + done
