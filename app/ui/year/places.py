"""Where the months and slots of a year stand, in px: one reckoning for the rail and the grid."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF

from app.look.type import Role, font, text_scale
from app.review.year import YearView
from app.ui.controls.wrapping import lines_of
from app.ui.reading_words import slot_name
from app.ui.words import count_words, number_words
from app.ui.year.words import goal_words, month_name

PLOT_LEAST, PLOT_MOST = 56.0, 96.0  # px of a cell's height at a text size of 13 px
_WIDEST = 148.0  # px of a month
_LABEL_MOST = 0.19  # of the whole width
_GAP = 8.0
_THIN = 20.0  # px of a slot that was never tested
_SIGN = 9.0
_RING = 5.0


@dataclass(frozen=True, slots=True)
class Columns:
    """The months: where the first begins, and how wide each is."""

    left: float
    each: float
    count: int

    @property
    def right(self) -> float:
        """Where the last ends."""
        return self.left + self.each * self.count

    def x(self, along: float) -> float:
        """The px of a place along the months."""
        return self.left + along * self.each


@dataclass(frozen=True, slots=True)
class RowPlace:
    """One slot: its plots from `top` on, the lines below them, its name broken into lines."""

    slot: int
    top: float
    plot: float
    end: float
    head: str
    name: tuple[str, ...]
    goal: tuple[str, ...]
    is_tested: bool


@dataclass(frozen=True, slots=True)
class Places:
    """The grid of a year: columns, rows from above, and how many lines the counts take."""

    columns: Columns
    rows: tuple[RowPlace, ...]
    label: float
    year_beside: bool
    lines: int
    height: float

    def plot(self, row: RowPlace, month: int) -> QRectF:
        """The plot of a cell."""
        return QRectF(self.columns.x(month), row.top, self.columns.each, row.plot)

    def cell(self, row: RowPlace, month: int) -> QRectF:
        """The plot of a cell with the counts below it."""
        return QRectF(self.columns.x(month), row.top, self.columns.each, row.end - row.top)

    def at(self, point: QPointF) -> tuple[int, int] | None:
        """The month and the place of the row under a point, if any."""
        along = (point.x() - self.columns.left) / self.columns.each
        if not 0 <= along < self.columns.count:
            return None
        for place, row in enumerate(self.rows):
            if row.top <= point.y() < row.end:
                return int(along), place
        return None


def columns_of(found: YearView, width: float) -> tuple[Columns, float]:
    """The months in a width, and the width of the names before them."""
    small = QFontMetricsF(font(Role.SMALL_STRONG))
    names = [slot_name(cell.mark) for cell in found.months[0].cells]
    strong = QFontMetricsF(font(Role.STRONG))
    word = max(strong.horizontalAdvance(each) for _, name in names for each in name.split())
    goals = [goal_words(cell, found.unit) for cell in found.months[-1].cells]
    wanted = max(
        [strong.horizontalAdvance(name) for _, name in names]
        + [small.horizontalAdvance(goal) for goal in goals]
    )
    label = max(word, min(wanted, width * _LABEL_MOST)) + 2
    numbers = [small.horizontalAdvance(number_words(tick.text)) for tick in found.scale.ticks]
    left = label + _GAP * text_scale() + max(numbers, default=0.0) + _GAP / 2 * text_scale()
    room = width - left - _RING
    each = min(room / len(found.months), _WIDEST * text_scale())
    return Columns(round(left), max(float(int(each)), 1.0), len(found.months)), label


def places_of(found: YearView, width: float, room: float) -> Places:
    """Lay a year out in a width; rows grow where `room`, the px in sight, leaves them some."""
    columns, label = columns_of(found, width)
    small, scale = QFontMetricsF(font(Role.SMALL)), text_scale()
    lines = count_lines(found, columns.each)
    beside = _year_fits(found, columns.each)
    heads = (2 if beside else 3) * small.height() + 4 * scale
    tested = [any(month.cells[slot].n for month in found.months) for slot in range(8)]
    counts = lines * small.height() + 3 * scale
    thin = max(_THIN * scale, small.height() * 2)
    gap = 6 * scale
    spare = room - heads - (8 - sum(tested)) * (thin + gap) - sum(tested) * (counts + gap)
    plot = spare / max(1, sum(tested))
    plot = float(round(min(max(plot, PLOT_LEAST * scale), PLOT_MOST * scale)))
    rows, top = [], heads
    for slot, is_tested in enumerate(tested):
        texts = _texts(found, slot, label, is_tested)
        tall = (plot + counts) if is_tested else thin
        least = small.height() * (bool(texts[0]) + len(texts[2])) + QFontMetricsF(
            font(Role.STRONG)
        ).height() * len(texts[1])
        end = float(ceil(top + max(tall, least)))
        rows.append(RowPlace(slot, top, plot if is_tested else end - top, end, *texts, is_tested))
        top = end + round(gap)
    return Places(columns, tuple(rows), label, beside, lines, top)


def count_lines(found: YearView, width: float) -> int:
    """Over how many lines n, lows and highs of the fullest cell go in a column of a width."""
    small, strong = QFontMetricsF(font(Role.SMALL)), QFontMetricsF(font(Role.SMALL_STRONG))
    cells = [cell for month in found.months for cell in month.cells]
    scale = text_scale()
    sign = (_SIGN + 2) * scale

    def beyond(count: int) -> float:
        return sign + strong.horizontalAdvance(count_words(count)) if count else 0.0

    room, gap = width - 6 * scale, 5 * scale
    n = [small.horizontalAdvance(count_words(cell.n)) for cell in cells]
    both = [
        beyond(cell.lows) + beyond(cell.highs) + gap * bool(cell.lows and cell.highs)
        for cell in cells
    ]
    if all(one + gap + two <= room for one, two in zip(n, both, strict=True)):
        return 1
    return 2 if max(both) <= room else 3


def sign_px() -> float:
    """The px that the sign before a count takes."""
    return _SIGN * text_scale()


def _year_fits(found: YearView, width: float) -> bool:
    """Whether a year has room beside the name of its first month."""
    strong = QFontMetricsF(font(Role.SMALL_STRONG))
    texts = [f"{month_name(each.first)} {count_words(each.first.year)}" for each in found.months]
    return max(strong.horizontalAdvance(text) for text in texts) + _GAP * text_scale() <= width


def _texts(
    found: YearView, slot: int, label: float, is_tested: bool
) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    cell = found.months[-1].cells[slot]
    head, name = slot_name(cell.mark)
    strong, small = QFontMetricsF(font(Role.STRONG)), QFontMetricsF(font(Role.SMALL))
    goal = goal_words(cell, found.unit) if is_tested else ""
    return (
        head,
        lines_of(name, strong.horizontalAdvance, label),
        lines_of(goal, small.horizontalAdvance, label),
    )
