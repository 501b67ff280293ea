"""The sheet for an appointment on any paper: words take what they need, the charts the rest."""

from __future__ import annotations

from html import unescape

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QImage, QPainter

from app.look.tokens import LIGHT
from app.report.charts import paint_slots, paint_waking, words_height
from app.report.paper import BODY_PT, FIGURE_PT, MM, SMALL_PT, TITLE_PT, Paper
from app.report.said import Part, Said, page_said
from app.report.words import tr
from app.review.visit import VisitPage

_MARGIN, _TOP, _BOTTOM = 12.0, 10.0, 9.0  # mm
_GAP, _COLUMN_GAP = 2.6, 6.0
_ZOOMS = (1.0, 0.94, 0.88, 0.82, 0.76)  # of the letters' size: long lists set all a little smaller
_LEAST_SLOTS, _LEAST_WAKING = 36.0, 15.0  # mm of the charts themselves
_MOST_SLOTS, _MOST_WAKING = 78.0, 40.0


def paint_sheet(painter: QPainter, page: VisitPage, *, size: str = "A4") -> float:
    """Paint the one sheet; the painter's unit is 1/1200 inch, its origin the corner of the page.

    Parameters
    ----------
    painter : QPainter
        On an image, a printer or a PDF.
    page : VisitPage
        What is said.
    size : {"A4", "Letter"}
        The paper.

    Returns
    -------
    float
        How many millimetres are left above the foot; below 0 where not all has its place.
    """
    said = page_said(page)
    return _paint(Paper(painter, size, zoom=_fitting(page, said, size)), page, said)


def _fitting(page: VisitPage, said: Said, size: str) -> float:
    """The largest letters with which all has its place on one sheet."""
    image = QImage(1, 1, QImage.Format.Format_Grayscale8)
    for zoom in _ZOOMS:
        painter = QPainter(image)
        left = _paint(Paper(painter, size, zoom=zoom), page, said)
        painter.end()
        if left >= 0:
            return zoom
    return _ZOOMS[-1]


def _paint(paper: Paper, page: VisitPage, said: Said) -> float:
    """Paint the sheet and return the millimetres that are left."""
    left, width = _MARGIN * MM, paper.width - 2 * _MARGIN * MM
    top = _paint_head(paper, said, left, _TOP * MM, width)
    top = _paint_three(paper, (said.tested, said.lows, said.highs), left, top, width)
    bottom = _paint_foot(paper, said, left, width)
    below = _below_height(paper, page, said, width)
    room = bottom - _GAP * MM - below - top
    slots, waking = _shares(paper, room)
    if page.figures.n:
        y = paper.title(tr("By slot"), said.slots_note, left, top, width)
        paint_slots(paper, page, said.slots, QRectF(left, y, width, slots + words_height(paper)))
        top = y + slots + words_height(paper) + _GAP * MM
        y = paper.title(tr("Waking"), said.waking_note, left, top, width)
        paint_waking(paper, page, QRectF(left, y, width, waking))
        top = y + waking + _GAP * MM
    end = _paint_below(paper, page, said, left, top, width)
    return (bottom - end) / MM


def _shares(paper: Paper, room: float) -> tuple[float, float]:
    """The heights of the two charts: what is left on the page, within reason."""
    titles = 2 * (paper.line_height(BODY_PT) * 1.25 + 1.1 * MM) + 2 * _GAP * MM
    free = room - titles - words_height(paper)
    slots = min(max(free * 0.64, _LEAST_SLOTS * MM), _MOST_SLOTS * MM)
    waking = min(max(free - slots, _LEAST_WAKING * MM), _MOST_WAKING * MM)
    return slots, waking


def _paint_head(paper: Paper, said: Said, left: float, top: float, width: float) -> float:
    high = paper.line_height(TITLE_PT) * 1.05
    room = QRectF(left, top, width, high)
    wide = paper.text_width(said.period, FIGURE_PT - 1, bold=True)
    paper.write(room.adjusted(0, 0, -wide - 4 * MM, 0), _unmarked(said.name), TITLE_PT, bold=True)
    paper.write(room, said.period, FIGURE_PT - 1, bold=True, side=Qt.AlignmentFlag.AlignRight)
    top += high
    half = width * 0.36
    left_words = paper.paragraphs([_quiet(said.subtitle)], left, top, width - half)
    right_words = paper.paragraphs(
        [f'<div align="right">{said.lab}</div>'] if said.lab else [],
        left + width - half,
        top,
        half,
    )
    return top + max(left_words, right_words) + _GAP * MM


def _paint_three(
    paper: Paper, parts: tuple[Part, ...], left: float, top: float, width: float
) -> float:
    gap = _COLUMN_GAP * MM
    wide = (width - gap * (len(parts) - 1)) / len(parts)
    bottom = top
    for at, part in enumerate(parts):
        x = left + at * (wide + gap)
        bottom = max(bottom, _paint_part(paper, part, x, top, wide))
    return bottom + _GAP * MM


def _paint_part(
    paper: Paper, part: Part, left: float, top: float, width: float, *, draw: bool = True
) -> float:
    """A title with its paragraphs; where it ends."""
    if not draw:
        y = top + paper.line_height(BODY_PT) * 1.25 + 1.1 * MM
        return y + paper.paragraphs(part.paragraphs, left, y, width, draw=False)
    y = paper.title(part.title, part.note, left, top, width)
    return y + paper.paragraphs(part.paragraphs, left, y, width)


def _halves(width: float) -> tuple[float, float]:
    """The wider left half and the right one."""
    gap = _COLUMN_GAP * MM
    first = (width - gap) * 0.53
    return first, width - gap - first


def _below_height(paper: Paper, page: VisitPage, said: Said, width: float) -> float:
    first, second = _halves(width)
    upper = max(
        _rises(paper, page, said, 0, 0, first, draw=False),
        _nights(paper, page, said, 0, 0, second, draw=False),
    )
    lower = max(
        _averages(paper, said, 0, 0, first, draw=False),
        _paint_part(paper, said.know, 0, 0, second, draw=False),
    )
    asks = _asks(paper, said, 0, 0, width, draw=False)
    return upper + lower + asks + 2 * _GAP * MM


def _paint_below(
    paper: Paper, page: VisitPage, said: Said, left: float, top: float, width: float
) -> float:
    first, second = _halves(width)
    right = left + width - second
    upper = max(
        _rises(paper, page, said, left, top, first), _nights(paper, page, said, right, top, second)
    )
    lower = max(
        _averages(paper, said, left, upper + _GAP * MM, first),
        _paint_part(paper, said.know, right, upper + _GAP * MM, second),
    )
    return _asks(paper, said, left, lower + _GAP * MM, width)


def _title(
    paper: Paper, text: str, note: str, left: float, top: float, width: float, *, draw: bool
) -> float:
    if draw:
        return paper.title(text, note, left, top, width)
    return top + paper.line_height(BODY_PT) * 1.25 + 1.1 * MM


def _rises(
    paper: Paper,
    page: VisitPage,
    said: Said,
    left: float,
    top: float,
    width: float,
    *,
    draw: bool = True,
) -> float:
    """A bar from the lowest to the highest rise of each meal, its median, and the words."""
    y = _title(
        paper, tr("Rise over the meal"), tr("bar: lowest to highest"), left, top, width, draw=draw
    )
    high = paper.line_height(BODY_PT) * 1.3
    name_wide, bar_wide = 23 * MM, 22 * MM
    meals = page.pairs.by_meal[:-1]
    reach = max(
        (
            abs(end)
            for each in meals
            for end in (each.rise.lowest, each.rise.highest)
            if end is not None
        ),
        default=1.0,
    )
    middle = left + name_wide + bar_wide / 2
    for each, (name, words) in zip(meals, said.rises, strict=False):
        if draw:
            paper.write(QRectF(left, y, name_wide, high), name)
            place = y + high / 2
            paper.line(
                QPointF(middle, y + 0.4 * MM), QPointF(middle, y + high - 0.4 * MM), "edge", 0.2
            )
            rise = each.rise
            if each.missing is None and rise.lowest is not None and rise.highest is not None:
                ends = [middle + end / reach * bar_wide / 2 for end in (rise.lowest, rise.highest)]
                paper.line(QPointF(ends[0], place), QPointF(ends[1], place), "spe", 0.9)
                if rise.median is not None:
                    x = middle + rise.median / reach * bar_wide / 2
                    paper.line(
                        QPointF(x, y + 0.7 * MM), QPointF(x, y + high - 0.7 * MM), "ink", 0.7
                    )
            paper.paragraphs([words], left + name_wide + bar_wide + 2 * MM, y + 0.5 * MM, width)
        y += high
    return y + paper.paragraphs([_quiet(said.rises_note)], left, y, width, draw=draw)


def _nights(
    paper: Paper,
    page: VisitPage,
    said: Said,
    left: float,
    top: float,
    width: float,
    *,
    draw: bool = True,
) -> float:
    """Each night with a value in it: the night's lowest and waking, in words and shapes."""
    y = _title(
        paper, tr("Night to waking"), f"{page.unit} ({page.second})", left, top, width, draw=draw
    )
    high = paper.line_height(BODY_PT) * 1.3
    for day, words in said.nights:
        if draw:
            paper.write(QRectF(left, y, 20 * MM, high), day, ink="ink2")
            paper.paragraphs([words], left + 20 * MM, y + 0.5 * MM, width - 20 * MM)
        y += high
    return y + paper.paragraphs([_quiet(said.nights_note)], left, y, width, draw=draw)


def _averages(
    paper: Paper, said: Said, left: float, top: float, width: float, *, draw: bool = True
) -> float:
    y = _title(paper, tr("Averages, side by side"), "", left, top, width, draw=draw)
    high = paper.line_height(BODY_PT) * 1.2
    for name, value, note in said.averages:
        if draw:
            paper.write(QRectF(left, y, 22 * MM, high), name)
            paper.write(QRectF(left + 22 * MM, y, 24 * MM, high), value, bold=True)
            room = QRectF(left + 47 * MM, y, width - 47 * MM, high)
            paper.write(room, note, SMALL_PT, ink="ink2")
        y += high
    return y + paper.paragraphs([said.trust], left, y, width, draw=draw)


def _asks(
    paper: Paper, said: Said, left: float, top: float, width: float, *, draw: bool = True
) -> float:
    part = said.asks
    y = _title(paper, part.title, part.note, left, top, width, draw=draw)
    if not part.paragraphs:
        return y + paper.paragraphs(
            [_quiet(tr("Nothing is written down."))], left, y, width, draw=draw
        )
    for at, text in enumerate(part.paragraphs, 1):
        if draw:
            number = QRectF(left, y, 5 * MM, paper.line_height(BODY_PT))
            paper.write(number, str(at), bold=True)
        y += paper.paragraphs([text], left + 5 * MM, y, width - 5 * MM, draw=draw) + 0.5 * MM
    return y


def _paint_foot(paper: Paper, said: Said, left: float, width: float) -> float:
    """The goals and where the page comes from; where it begins."""
    high = paper.line_height(SMALL_PT) * 1.2
    top = paper.height - _BOTTOM * MM - high
    paper.rule(left, top, width, ink="line")
    place = QRectF(left, top + 0.6 * MM, width, high)
    wide = paper.text_width(said.foot, SMALL_PT)
    goals = place.adjusted(0, 0, -wide - 4 * MM, 0)
    paper.write(goals, _unmarked(said.goals), SMALL_PT, ink="ink2")
    paper.write(place, said.foot, SMALL_PT, ink="ink2", side=Qt.AlignmentFlag.AlignRight)
    return top


def _quiet(text: str) -> str:
    return f'<span style="color: {LIGHT.ink2}">{text}</span>' if text else ""


def _unmarked(text: str) -> str:
    """A text that was made safe for markup, as it was typed."""
    return unescape(text)
