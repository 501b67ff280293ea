"""The two charts of the page: a column for each slot, and the waking readings by day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from PySide6.QtCore import QPointF, QRectF, Qt

from app.domain.glucose import LimitPair, converted, shown
from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_HIGH_ABOVE
from app.domain.marks import SLOTS, Mark
from app.look.drawn import look_at
from app.look.hatch import paint_hatch
from app.look.marks import paint_mark
from app.look.median import paint_median
from app.report.dates import day_of, month_words
from app.report.paper import MM, SMALL_PT, Paper
from app.report.said_know import retimed_days
from app.report.said_slots import SlotSaid, change_words
from app.report.slot_words import LEFT, RIGHT, words_height, write_columns
from app.report.words import tr
from app.review.lanes import Step
from app.review.marks_drawn import DrawnMarks
from app.review.modal_day_slots import SlotBox
from app.review.visit import VisitPage

_MARK_ROOM = 1.6  # mm that a mark keeps from the edge


class _Scale:
    """From a value to a height on paper."""

    def __init__(self, ends: tuple[float, float], area: QRectF) -> None:
        (self._low, self._high), self._area = ends, area

    def y(self, value: float) -> float:
        """Where a value stands, kept inside."""
        share = (value - self._low) / (self._high - self._low)
        return self._area.bottom() - min(1.0, max(0.0, share)) * self._area.height()


def paint_slots(paper: Paper, page: VisitPage, said: tuple[SlotSaid, ...], area: QRectF) -> None:
    """A column for each slot: its goal in white, its readings, box and median; words below."""
    plot = area.adjusted(LEFT * MM, 1.2 * MM, -RIGHT * MM, -words_height(paper, said, area.width()))
    found = page.by_slot
    scale = _Scale(page.slot_ends, plot)
    wide = plot.width() / len(SLOTS)
    goals = {mark: step for step in found.lanes.steps for mark in step.marks}
    boxes = {box.mark: box for box in found.slots}
    for at, mark in enumerate(SLOTS):
        column = _column(plot, at)
        _paint_lane(paper, column, goals.get(mark), scale)
        if not boxes[mark].n:
            paint_hatch(paper.painter, column, paper.tokens, paper.mark_scale)
        _paint_box(paper, boxes[mark], column, scale)
    _paint_limits(paper, page, plot, scale)
    _paint_marks(paper, found.marks, plot, wide, scale)
    for at, mark in enumerate(SLOTS):  # over the marks: a median is never hidden by many
        _paint_median(paper, boxes[mark], _column(plot, at), scale)
    write_columns(paper, said, plot, area)


def _column(plot: QRectF, at: int) -> QRectF:
    """Where the column of a slot stands."""
    wide = plot.width() / len(SLOTS)
    return QRectF(plot.left() + (at + 0.06) * wide, plot.top(), wide * 0.88, plot.height())


def _inner(column: QRectF) -> QRectF:
    return column.adjusted(0.1 * column.width(), 0, -0.1 * column.width(), 0)


def _paint_box(paper: Paper, box: SlotBox, column: QRectF, scale: _Scale) -> None:
    """The middle half, where both its ends have a number."""
    if isinstance(box.q1, float) and isinstance(box.q3, float):
        inner, top, bottom = _inner(column), scale.y(box.q3), scale.y(box.q1)
        paper.painter.setPen(paper.pen("spe", 0.2))
        paper.painter.setBrush(paper.colour("sp1"))
        paper.painter.drawRect(QRectF(inner.left(), top, inner.width(), bottom - top))


def _paint_median(paper: Paper, box: SlotBox, column: QRectF, scale: _Scale) -> None:
    if isinstance(box.median, float):
        inner = _inner(column)
        bar = QRectF(inner.left(), scale.y(box.median) - 0.3 * MM, inner.width(), 0.6 * MM)
        paint_median(paper.painter, bar, paper.tokens)


def _paint_lane(paper: Paper, column: QRectF, goal: Step | None, scale: _Scale) -> None:
    paper.painter.fillRect(column, paper.colour("out"))
    if goal is None or not goal.has_goal:
        return
    top = column.top() if goal.high is None else scale.y(goal.high)
    bottom = column.bottom() if goal.low is None else scale.y(goal.low)
    paper.painter.fillRect(
        QRectF(column.left(), top, column.width(), bottom - top), paper.colour("lane")
    )
    for limit in (goal.low, goal.high):
        if limit is not None:
            y = scale.y(limit)
            paper.line(QPointF(column.left(), y), QPointF(column.right(), y), "edge", 0.18)


def _paint_limits(paper: Paper, page: VisitPage, plot: QRectF, scale: _Scale) -> None:
    """The limits by name at both sides, the low line dashed; names never over one another."""
    found = page.by_slot
    named: dict[float, LimitPair | None] = dict.fromkeys(found.lanes.limits)
    for pair in (HIGH_ABOVE, VERY_HIGH_ABOVE):
        if page.slot_ends[0] < pair.in_unit(page.unit) < page.slot_ends[1]:
            named.setdefault(pair.in_unit(page.unit), pair)
    low = LOW_BELOW.in_unit(page.unit)
    y = scale.y(low)
    pen = paper.pen("low", 0.3)
    pen.setDashPattern([5, 4])
    paper.painter.setPen(pen)
    paper.painter.drawLine(QPointF(plot.left(), y), QPointF(plot.right(), y))
    taken = [y]
    _name_limit(paper, page, plot, low, y, ink="low_text")
    apart = paper.line_height(SMALL_PT) * 0.86
    for limit in sorted(named):
        y = scale.y(limit)
        if all(abs(y - other) >= apart for other in taken):
            _name_limit(paper, page, plot, limit, y, ink="ink3")
            taken.append(y)


def _name_limit(
    paper: Paper, page: VisitPage, plot: QRectF, limit: float, y: float, *, ink: str
) -> None:
    first, other = _in_both(limit, page)
    high = paper.line_height(SMALL_PT)
    left = QRectF(plot.left() - LEFT * MM, y - high / 2, (LEFT - 1.5) * MM, high)
    right = QRectF(plot.right() + 1.5 * MM, y - high / 2, (RIGHT - 1.5) * MM, high)
    paper.write(left, first, SMALL_PT, ink=ink, side=Qt.AlignmentFlag.AlignRight)
    paper.write(right, other, SMALL_PT, ink=ink)


def _in_both(limit: float, page: VisitPage) -> tuple[str, str]:
    """A limit in both units as guidelines print it."""
    printed = (LOW_BELOW, HIGH_ABOVE, VERY_HIGH_ABOVE)
    for pair in printed:
        if pair.in_unit(page.unit) == limit:
            other = pair.in_unit(page.second)
            return shown(limit, page.unit), f"{other:.{page.second.places}f}"
    return shown(limit, page.unit), shown(converted(limit, page.unit, page.second), page.second)


def _paint_marks(paper: Paper, marks: DrawnMarks, plot: QRectF, wide: float, scale: _Scale) -> None:
    room = plot.adjusted(0, _MARK_ROOM * MM, 0, -_MARK_ROOM * MM)
    for at in range(len(marks)):
        slot, along = divmod(float(marks.x[at]), 1.0)
        x = plot.left() + slot * wide + wide * (0.1 + 0.8 * along)
        look = look_at(marks, at, tail=False)
        if look.is_apart:
            continue
        y = min(room.bottom(), max(room.top(), scale.y(float(marks.value[at]))))
        paint_mark(paper.painter, QPointF(x, y), look, paper.tokens, paper.mark_scale)


def words_of_waking(paper: Paper, page: VisitPage) -> float:
    """How high the words over and below the waking readings are."""
    above, below = _waking_rows(page)
    return (above + below * 1.1) * paper.line_height(SMALL_PT) * 1.1


def _waking_rows(page: VisitPage) -> tuple[int, int]:
    """Lines of words: changes above, months and what was re-timed below."""
    return min(2, len(page.changes)), 2 if page.repaired else 1


def paint_waking(paper: Paper, page: VisitPage, area: QRectF) -> None:
    """The waking readings by day, the goal as a lane, changes and re-timed days marked."""
    names = paper.line_height(SMALL_PT) * 1.1
    above, below = _waking_rows(page)
    plot = area.adjusted(LEFT * MM, names * above, -2 * MM, -names * 1.1 * below)
    found = page.by_slot
    scale = _Scale(page.waking_ends, plot)
    goal = next((step for step in found.lanes.steps if Mark.WAKING in step.marks), None)
    _paint_lane(paper, plot, goal, scale)
    days = max(1, page.period.days)

    def x_of(day: float) -> float:
        return plot.left() + plot.width() * (day + 0.5) / days

    _paint_months(paper, page, plot, x_of)
    for at in range(len(page.changes)):
        _paint_change(paper, page, at, plot, names, x_of)
    for limit in (goal.low, goal.high) if goal is not None else ():
        if limit is not None:
            y, high = scale.y(limit), paper.line_height(SMALL_PT)
            room = QRectF(area.left(), y - high / 2, (LEFT - 1.5) * MM, high)
            first, _ = _in_both(limit, page)
            paper.write(room, first, SMALL_PT, ink="ink3", side=Qt.AlignmentFlag.AlignRight)
    room = plot.adjusted(0, _MARK_ROOM * MM, 0, -_MARK_ROOM * MM)
    marks = page.waking
    for at in range(len(marks)):
        y = min(room.bottom(), max(room.top(), scale.y(float(marks.value[at]))))
        centre = QPointF(x_of(float(marks.x[at])), y)
        paint_mark(
            paper.painter,
            centre,
            look_at(marks, at, tail=False),
            paper.tokens,
            paper.mark_scale,
        )
    _paint_retimed(paper, page, plot, x_of)


def _paint_months(
    paper: Paper, page: VisitPage, plot: QRectF, x_of: Callable[[float], float]
) -> None:
    first, high = page.period.first, paper.line_height(SMALL_PT)
    free = plot.left()
    for back in range(page.period.days):
        day = first + timedelta(days=back)
        if back and (day.day != 1 or (page.many_years and day.month != 1)):
            continue
        x = plot.left() if not back else x_of(back) - 0.5 * plot.width() / page.period.days
        paper.line(QPointF(x, plot.top()), QPointF(x, plot.bottom()), "grid", 0.15)
        name = day_of(day, page)
        if back:
            name = str(day.year) if page.many_years else month_words(day)
        wide = paper.text_width(name, SMALL_PT)
        if x >= free and x + wide <= plot.right() + 4 * MM:
            top = plot.bottom() + (high * 1.15 if page.repaired else 0)
            paper.write(QRectF(x, top, wide + MM, high * 1.1), name, SMALL_PT, ink="ink3")
            free = x + wide + 3 * MM


def _paint_change(
    paper: Paper,
    page: VisitPage,
    at: int,
    plot: QRectF,
    names: float,
    x_of: Callable[[float], float],
) -> None:
    change = page.changes[at]
    day = change.day - page.period.first.toordinal()
    half = 0.5 * plot.width() / page.period.days
    x = x_of(day) - half
    settled = min(plot.right(), x_of(day + change.settling_days) - half)
    if settled > x:
        area = QRectF(x, plot.top(), settled - x, plot.height())
        paint_hatch(paper.painter, area, paper.tokens, paper.mark_scale)
    row = at % 2
    top = plot.top() - names * (row + 1)
    paper.line(QPointF(x, top), QPointF(x, plot.bottom()), "ink", 0.3)
    text = change_words(page, at)
    wide = paper.text_width(text, SMALL_PT)
    left = x + MM if x + wide < plot.right() else max(plot.left(), x - MM - wide)
    paper.write(QRectF(left, top, min(wide + MM, plot.width()), names), text, SMALL_PT)


def _paint_retimed(
    paper: Paper, page: VisitPage, plot: QRectF, x_of: Callable[[float], float]
) -> None:
    """A bracket below the days whose clock was repaired."""
    first = page.period.first.toordinal()
    high = paper.line_height(SMALL_PT)
    text = tr("re-timed")
    wide = paper.text_width(text, SMALL_PT)
    following = plot.right() + wide  # the bracket that stands to the right of it
    for _, since, until in sorted(retimed_days(page), key=lambda each: -each[1]):
        left, right = x_of(since - first), x_of(until - first)
        y = plot.bottom() + 1.4 * MM
        paper.painter.setPen(paper.pen("ink2", 0.25))
        paper.painter.drawPolyline(
            [QPointF(left, y - MM), QPointF(left, y), QPointF(right, y), QPointF(right, y - MM)]
        )
        if right + 2 * MM + wide < following:  # else the words stand beside the next bracket
            place = QRectF(right + MM, plot.bottom() + 0.2 * MM, wide + MM, high)
            paper.write(place, text, SMALL_PT, ink="ink2")
        following = left
