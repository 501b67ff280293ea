"""The chart of the Modal day: islands, marks and lanes by wall time, or slot beside slot."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QWidget

from app.domain.person import Person
from app.look.hatch import paint_hatch
from app.look.tokens import Tokens
from app.look.type import Role, font
from app.review.day_axis import DAY_MINUTES
from app.review.modal_day import ModalDay
from app.review.modal_day_slots import SlotBox
from app.ui.charts.axes import ColumnAxis, HourAxis
from app.ui.charts.boxes import Boxes, Island, name_tops
from app.ui.charts.chart import GlucoseChart
from app.ui.charts.goal_names import end_names, step_names
from app.ui.charts.layers import Layer
from app.ui.charts.pixel_item import PixelItem
from app.ui.charts.sight import Sight
from app.ui.charts.strips import AxisLabels, UntestedRail
from app.ui.controls.drawing import px
from app.ui.modal_day.words import chart_name, drawn, tr
from app.ui.words import period_words

_EDGE_MIN = 10.0  # so that a reading at the very start is seen whole
_LEAST = 172  # px of its height at a text size of 13 px


class ModalDayChart(GlucoseChart):
    """Shows a `ModalDay`; what of it is drawn is chosen by `choose`."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._found: ModalDay | None = None
        self._boxes = Boxes(turns=DAY_MINUTES)
        self._windows = Boxes(edged=False)
        self._hatched = _HatchedColumns()
        self._drawn: list[Island] = []
        self._rail = UntestedRail(tr("never tested"))
        self._with_readings = self._with_boxes = True
        super().__init__(parent)
        for item in (self._hatched, self._windows, self._windows.bars):
            self.add(item)
        for item in (self._boxes, self._boxes.bars):
            self.add(item)

    def sizeHint(self) -> QSize:
        return QSize(px(560), px(280))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(280), px(_LEAST))

    def show_day(self, found: ModalDay, person: Person) -> None:
        """Draw it, hours and dates as the person has them."""
        self._found = found
        self._marks = self._density = None  # so that nothing old is placed on the new axes
        slots = found.view == "slots"
        dates = period_words(found.period, person.date_order, short=True)
        axis = (
            ColumnAxis((dates, *("" for _ in found.slots[1:])))
            if slots
            else HourAxis(found.start_hour, person.clock, -_EDGE_MIN, DAY_MINUTES + _EDGE_MIN)
        )
        self._rail.stretches = tuple((each.start, each.end) for each in found.untested)
        self._hatched.columns = (
            tuple(at for at, slot in enumerate(found.slots) if not slot.n) if slots else ()
        )
        self.set_strips([AxisLabels(axis)] if slots else [self._rail, AxisLabels(axis)])
        self.set_axes(axis, found.scale)
        # Slot beside slot, the boxes leave no room for names, and the columns below have them.
        names = [] if slots else step_names(found.lanes, found.unit, person.date_order)
        self.show_lanes(found.lanes, end_names(found.lanes, found.unit), names)
        self._show_chosen()
        self.setAccessibleName(chart_name(found))

    def choose(self, *, readings: bool, boxes: bool, day_lines: bool) -> None:
        """What is drawn of it."""
        if (readings, boxes) != (self._with_readings, self._with_boxes):
            self._with_readings, self._with_boxes = readings, boxes
            self._show_chosen()
        if day_lines != self._with_days:
            self.show_day_lines(day_lines)

    @property
    def is_by_slot(self) -> bool:
        """Whether it shows slot beside slot."""
        return self._found is not None and self._found.view == "slots"

    def leaders(self) -> list[float | None]:
        """The px of the middle of each slot, None where it was never tested."""
        if self._found is None:
            return []
        sight = self.sight()
        return [
            None if slot.centre is None else sight.x(slot.centre % DAY_MINUTES)
            for slot in self._found.slots_along
        ]

    def _show_chosen(self) -> None:
        found = self._found
        if found is None:
            return
        self._drawn = self._islands(found) if self._with_boxes else []
        self._boxes.show_islands(self._drawn, filled=found.density is None)
        self._windows.show_islands(
            [Island(w.start, w.end, w.q1, w.median, w.q3) for w in found.windows]
        )
        if self._with_readings:
            self.show_marks(found.marks, found.density)
        else:
            self.show_marks(None)
        self._hatched.update()

    def _boxes_drawn(self) -> Sequence[QRectF]:
        return [
            QRectF(island.start, island.low, island.end - island.start, island.high - island.low)
            for island in self._drawn
            if island.low is not None and island.high is not None
        ] + self._words_drawn()

    def _words_drawn(self) -> list[QRectF]:
        """Where "median" and "middle half" stand, in the chart's own numbers."""
        wide, tall = self._word_size()
        sight = self.sight()
        return [
            QRectF(
                island.start - wide,
                sight.bottom + (sight.plot.bottom() - top) / sight.per_y - tall,
                wide,
                tall,
            )
            for island in self._drawn
            if island.median_name
            for top in name_tops(island, sight)
            if top is not None
        ]

    def _islands(self, found: ModalDay) -> list[Island]:
        boxed = [slot for slot in found.slots if slot.has_box]
        named = self._best_named(found, boxed) if found.view == "clock" else None
        return [
            Island(
                slot.start,
                slot.end,
                drawn(slot.q1),
                drawn(slot.median),
                drawn(slot.q3),
                tr("median") if slot is named else "",
                tr("middle half") if slot is named else "",
            )
            for slot in boxed
        ]

    def _best_named(self, found: ModalDay, boxed: list[SlotBox]) -> SlotBox | None:
        """The island at whose left the two words stand freest, if at any."""
        wide, tall = self._word_size()
        free = [slot for slot in boxed if _free_left(slot, boxed) >= wide]

        def in_the_way(slot: SlotBox) -> int:
            median, high = drawn(slot.median), drawn(slot.q3)
            if median is None or high is None:
                return len(found.marks)
            edges = np.array(found.lanes.limits)
            crossed = sum(int((abs(edges - value) < tall).sum()) for value in (median, high))
            # Where the goal changes within the words, its upright edge would cross them.
            crossed += 2 * sum(
                slot.start - wide < step.start < slot.start for step in found.lanes.steps[1:]
            )
            if found.density is not None:
                return crossed
            marks = found.marks
            beside = (marks.x > slot.start - wide) & (marks.x < slot.start)
            at = marks.value
            inside = beside & (at > median - tall) & (at < high + tall)
            return crossed + int(np.count_nonzero(inside))

        return min(
            free, key=lambda slot: (in_the_way(slot), -_free_left(slot, boxed)), default=None
        )

    def _word_size(self) -> tuple[float, float]:
        """The size of the words beside an island, in the chart's own numbers."""
        sight, metrics = self.sight(), QFontMetricsF(font(Role.SMALL_STRONG))
        wide = (metrics.horizontalAdvance(tr("middle half")) + px(12)) / sight.per_x
        return wide, metrics.height() / sight.per_y


class _HatchedColumns(PixelItem):
    """Slots that were never tested, in the view by slot."""

    def __init__(self) -> None:
        super().__init__(Layer.GRID)
        self.columns: tuple[int, ...] = ()

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        for column in self.columns:
            left, right = sight.x(column), sight.x(column + 1)
            area = QRectF(left, sight.plot.top(), right - left, sight.plot.height())
            paint_hatch(painter, area.intersected(sight.plot), tokens)


def _free_left(slot: SlotBox, boxed: list[SlotBox]) -> float:
    ends = [other.end for other in boxed if other.end <= slot.start]
    return slot.start - max(ends, default=0.0)
