"""The sheet for an appointment on any paper: words take what they need, the charts the rest."""

from __future__ import annotations

from html import unescape

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter

from app.report.below import COLUMN_GAP, GAP, below_height, paint_below, paint_part, quiet
from app.report.charts import paint_slots, paint_waking, words_of_waking
from app.report.paper import BODY_PT, FIGURE_PT, MM, SMALL_PT, SMALLEST, TITLE_PT, Paper
from app.report.said import Part, Said, page_said
from app.report.slot_words import words_height
from app.report.words import tr
from app.review.visit import VisitPage

_MARGIN, _TOP, _BOTTOM = 12.0, 10.0, 9.0  # mm
_ZOOMS = (1.0, 0.94, 0.88, 0.82, 0.76)  # of the letters' size: long lists set all a little smaller
_LEAST_SLOTS, _LEAST_WAKING = 38.0, 16.0  # mm of the charts themselves
_MOST_SLOTS, _MOST_WAKING = 78.0, 32.0


def paint_sheet(painter: QPainter, page: VisitPage, *, size: str = "A4", pages: int = 1) -> float:
    """Paint the one sheet; the painter's unit is 1/1200 inch, its origin the corner of the page.

    Parameters
    ----------
    painter : QPainter
        On an image, a printer or a PDF.
    page : VisitPage
        What is said.
    size : {"A4", "Letter"}
        The paper.
    pages : int, default 1
        How many there are with the second sheet.

    Returns
    -------
    float
        How many millimetres are left above the foot; below 0 where not all has its place.
    """
    said = page_said(page, pages=pages)
    return _paint(Paper(painter, size, zoom=_fitting(page, said, size)), page, said)


def _fitting(page: VisitPage, said: Said, size: str) -> float:
    """The largest letters with which all has its place on one sheet."""
    image = QImage(1, 1, QImage.Format.Format_Grayscale8)
    for zoom in _ZOOMS:
        painter = QPainter(image)
        left = _paint(Paper(painter, size, zoom=zoom, draws=False), page, said)
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
    below = below_height(paper, page, said, width)
    room = bottom - GAP * MM - below - top
    words = words_height(paper, said.slots, width)
    beside = words_of_waking(paper, page)
    slots, waking = _shares(paper, room, words + beside)
    if page.figures.n:
        y = paper.title(tr("By slot"), said.slots_note, left, top, width)
        area = QRectF(left, y, width, slots + words)
        if paper.draws:
            with paper.chart():
                paint_slots(paper, page, said.slots, area)
        top = y + slots + words + GAP * MM
        y = paper.title(tr("Waking"), said.waking_note, left, top, width)
        if paper.draws:
            with paper.chart():
                paint_waking(paper, page, QRectF(left, y, width, waking + beside))
        top = y + waking + beside + GAP * MM
    end = paint_below(paper, page, said, left, top, width)
    return (bottom - end) / MM


def _shares(paper: Paper, room: float, words: float) -> tuple[float, float]:
    """The heights of the two charts: what is left on the page, within reason."""
    titles = 2 * (paper.line_height(BODY_PT) * 1.25 + 1.1 * MM) + 2 * GAP * MM
    free = room - titles - words
    slots = min(max(free * 0.64, _LEAST_SLOTS * MM), _MOST_SLOTS * MM)
    waking = min(max(free - slots, _LEAST_WAKING * MM), _MOST_WAKING * MM)
    return slots, waking


def _paint_head(paper: Paper, said: Said, left: float, top: float, width: float) -> float:
    high = paper.line_height(TITLE_PT) * 1.05
    room = QRectF(left, top, width, high)
    wide = paper.text_width(said.period, FIGURE_PT - 1, bold=True)
    name = room.adjusted(0, 0, -wide - 4 * MM, 0)
    written = unmarked(said.name)
    if paper.text_width(written, TITLE_PT, bold=True) * SMALLEST <= name.width():
        paper.write_fitting(name, written, TITLE_PT, bold=True)
    else:  # nobody's name is cut
        line = paper.line_height(FIGURE_PT)
        lines = paper.wrapped(written, FIGURE_PT, name.width(), bold=True)
        for at, text in enumerate(lines):
            place = QRectF(left, top + at * line, name.width(), line)
            paper.write(place, text, FIGURE_PT, bold=True)
        high = max(high, len(lines) * line)
    paper.write(room, said.period, FIGURE_PT - 1, bold=True, side=Qt.AlignmentFlag.AlignRight)
    top += high
    half = width * 0.42
    left_words = paper.paragraphs([quiet(said.subtitle)], left, top, width - half)
    right_words = paper.paragraphs(
        [said.lab] if said.lab else [], left + width - half, top, half, far=True
    )
    return top + max(left_words, right_words) + GAP * MM


def _paint_three(
    paper: Paper, parts: tuple[Part, ...], left: float, top: float, width: float
) -> float:
    gap = COLUMN_GAP * MM
    wide = (width - gap * (len(parts) - 1)) / len(parts)
    bottom = top
    for at, part in enumerate(parts):
        x = left + at * (wide + gap)
        bottom = max(bottom, paint_part(paper, part, x, top, wide))
    return bottom + GAP * MM


def _paint_foot(paper: Paper, said: Said, left: float, width: float) -> float:
    """The goals, and where the page comes from; where it begins."""
    high = paper.line_height(SMALL_PT) * 1.15
    goals = paper.wrapped(unmarked(said.goals), SMALL_PT, width)
    top = paper.height - _BOTTOM * MM - (len(goals) + 1) * high
    paper.rule(left, top, width, ink="line")
    second = QRectF(left, top + 0.6 * MM, width, high)
    for line in goals:
        paper.write(second, line, SMALL_PT, ink="ink2")
        second = second.translated(0, high)
    wide = paper.text_width(said.page_of, SMALL_PT) + 4 * MM
    paper.write_fitting(second.adjusted(0, 0, -wide, 0), said.foot, SMALL_PT, ink="ink2")
    last = second.adjusted(width - wide, 0, 0, 0)
    paper.write(last, said.page_of, SMALL_PT, ink="ink2", side=Qt.AlignmentFlag.AlignRight)
    return top


def unmarked(text: str) -> str:
    """A text that was made safe for markup, as it was typed."""
    return unescape(text)
