"""The words below the chart by slot: a name, a median, n, what lies outside the goal, a mean."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt

from app.look.marks import MarkLook, paint_mark
from app.report.paper import MM, SMALL_PT, SMALLEST, Paper
from app.report.said_slots import SlotSaid
from app.report.words import tr
from app.review.marks_drawn import HIGH_LEVELS, LEVELS

LEFT, RIGHT = 15.0, 12.0  # mm for the labels of both axes
_ROWS = 5  # lines besides the name
_LINE = 1.16
_WORDS = 0.9  # of a column: names of neighbours stay apart
_INSET = 0.06
_LOW, _HIGH = 1, HIGH_LEVELS  # places in LEVELS of the shapes that count


def column_width(width: float, count: int) -> float:
    """How wide a column is, of a chart with both axes."""
    return (width - (LEFT + RIGHT) * MM) / count


def words_height(paper: Paper, said: tuple[SlotSaid, ...], width: float) -> float:
    """How high the words below the columns are."""
    rows = _ROWS + _name_rows(paper, said, column_width(width, len(said)) * _WORDS)
    return rows * paper.line_height(SMALL_PT) * _LINE + 1.5 * MM


def write_columns(paper: Paper, said: tuple[SlotSaid, ...], plot: QRectF, area: QRectF) -> None:
    """Write the words below the columns of a plot, what each row is at the left."""
    wide = plot.width() / len(said)
    high = paper.line_height(SMALL_PT) * _LINE
    names = _name_rows(paper, said, wide * _WORDS)
    top = plot.bottom() + 0.6 * MM
    heads = ("", *("" for _ in range(names)), tr("median"), "n", tr("outside"), tr("mean"))
    for row, text in enumerate(heads):
        place = QRectF(area.left(), top + row * high, (LEFT - 2.0) * MM, high)
        side = Qt.AlignmentFlag.AlignRight
        paper.write_fitting(place, text, SMALL_PT, ink="ink3", side=side)
    for at, each in enumerate(said):
        left = plot.left() + (at + _INSET) * wide
        lines = paper.wrapped(each.name, SMALL_PT, wide * _WORDS, bold=True, cut=False)
        name = lines if names > 1 else (each.name,)
        cells = (
            (each.over, False, "ink2"),
            *((word, True, "ink") for word in (*name, *("" for _ in range(names - len(name))))),
            (each.median, each.has_median, "ink"),
            (each.n, False, "ink"),
            ("", False, "ink"),
            (each.mean, False, "ink2"),
        )
        for row, (text, bold, ink) in enumerate(cells):
            place = QRectF(left, top + row * high, wide * _WORDS, high)
            paper.write_fitting(place, text, SMALL_PT, bold=bold, ink=ink)
        _write_outside(paper, each, QRectF(left, top + (names + 3) * high, wide, high))


def _name_rows(paper: Paper, said: tuple[SlotSaid, ...], room: float) -> int:
    """One line for the names, set a little smaller if need be; in longer languages more."""
    if all(paper.text_width(each.name, SMALL_PT, bold=True) * SMALLEST <= room for each in said):
        return 1
    return max(len(paper.wrapped(each.name, SMALL_PT, room, bold=True, cut=False)) for each in said)


def _write_outside(paper: Paper, each: SlotSaid, place: QRectF) -> None:
    """How many lie below and above the goal, by shape and number."""
    x = place.left()
    for level, count in ((_LOW, each.below), (_HIGH, each.above)):
        if not count:
            continue
        centre = QPointF(x + 0.9 * MM, place.center().y())
        paint_mark(
            paper.painter, centre, MarkLook(LEVELS[level]), paper.tokens, paper.mark_scale * 0.9
        )
        text = QRectF(x + 2.0 * MM, place.top(), 8 * MM, place.height())
        paper.write(text, str(count), SMALL_PT, bold=True)
        x += 2.6 * MM + paper.text_width(str(count), SMALL_PT, bold=True) + 0.6 * MM
