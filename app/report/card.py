"""The hand-over card on any paper: the upper half of a sheet, the whole of it where texts are long.

Words take what they need and the grid the rest; letters grow smaller before the card grows.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape, unescape

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QImage, QPainter, QPen

from app.look.tokens import LIGHT
from app.report.card_said import CardSaid, CardText, card_said
from app.report.paper import BODY_PT, MM, SMALL_PT, TITLE_PT, Paper
from app.report.words import tr
from app.review.hand_over import HandOverCard

_MARGIN, _TOP, _BOTTOM = 10.0, 8.0, 6.0  # mm
_GAP, _COLUMN_GAP = 1.8, 6.0
_ZOOMS = (1.0, 0.94, 0.88, 0.82, 0.76)  # of the letters' size
_LEAST_ROW, _MOST_ROW = 6.6, 15.0  # mm of a row to write in
_DAY_WIDE = 21.0  # mm


@dataclass(frozen=True, slots=True)
class Fit:
    """How the card has its place: the letters' size, half a page or a whole one, mm that are left.

    `left` is below 0 where the texts are too long for a page.
    """

    zoom: float
    whole: bool
    left: float


def paint_card(painter: QPainter, card: HandOverCard, *, size: str = "A4") -> Fit:
    """Paint the card; the painter's unit is 1/1200 inch, its origin the corner of the page.

    Parameters
    ----------
    painter : QPainter
        On an image, a printer or a PDF.
    size : {"A4", "Letter"}
        The paper; the card is its upper half, to be cut along the dashes.

    Returns
    -------
    Fit
        As `fit_of` gives it.
    """
    said = card_said(card)
    fit = _fitting(said, size)
    _paint(Paper(painter, size, zoom=fit.zoom), said, whole=fit.whole)
    return fit


def fit_of(card: HandOverCard, *, size: str = "A4") -> Fit:
    """How the card has its place on a paper; nothing is painted."""
    return _fitting(card_said(card), size)


def too_long_words(fit: Fit) -> str:
    """What to say where the texts do not fit on a page; empty where they do."""
    if fit.left >= 0:
        return ""
    return tr(
        "The texts are {more} mm too long for one page, so it was not written. Leave one out, "
        "shorten it, or take fewer days; a web page takes them all."
    ).format(more=max(1, round(-fit.left)))


def _fitting(said: CardSaid, size: str) -> Fit:
    image = QImage(1, 1, QImage.Format.Format_Grayscale8)
    fit = Fit(_ZOOMS[-1], whole=True, left=0.0)
    for whole in (False, True):
        for zoom in _ZOOMS:
            painter = QPainter(image)
            left = _paint(Paper(painter, size, zoom=zoom), said, whole=whole) / MM
            painter.end()
            fit = Fit(zoom, whole, left)
            if left >= 0:
                return fit
    return fit


def _paint(paper: Paper, said: CardSaid, *, whole: bool) -> float:
    """Paint the card and return the length that is left; below 0 where there is too little."""
    left, width = _MARGIN * MM, paper.width - 2 * _MARGIN * MM
    end = paper.height if whole else paper.height / 2
    top = _paint_head(paper, said, left, _TOP * MM, width)
    top = _paint_parts(paper, said.parts, left, top, width) + _GAP * MM
    foot = paper.paragraphs(_small(said), left, 0, width, draw=False)
    bottom = end - _BOTTOM * MM - foot
    room = bottom - _GAP * MM - top - _head_height(paper)
    row = min(max(room / len(said.days), _LEAST_ROW * MM), _MOST_ROW * MM)
    spare = room - row * len(said.days)
    top = _paint_grid(paper, said, left, top, width, row)
    paper.paragraphs(_small(said), left, bottom, width)
    if not whole:
        _paint_cut(paper, end)
    return spare


def _paint_head(paper: Paper, said: CardSaid, left: float, top: float, width: float) -> float:
    high = paper.line_height(TITLE_PT)
    room = QRectF(left, top, width, high)
    right = f"{said.title} · {said.unit}"
    wide = paper.text_width(right, BODY_PT, bold=True)
    if paper.text_width(said.name, TITLE_PT, bold=True) + wide + 4 * MM > width:
        # A long name has a line of its own, and whatever it takes of the next ones.
        top += paper.paragraphs([f"<b>{escape(said.name)}</b>"], left, top, width)
        room = QRectF(left, top, width, paper.line_height(BODY_PT) * 1.2)
    else:
        paper.write(room, said.name, TITLE_PT, bold=True)
    paper.write(room, right, BODY_PT, bold=True, side=Qt.AlignmentFlag.AlignRight)
    return room.bottom() + 0.8 * MM


def _paint_parts(
    paper: Paper, parts: tuple[CardText, ...], left: float, top: float, width: float
) -> float:
    """The parts in two columns that are as nearly of one height as their order allows."""
    wide = (width - _COLUMN_GAP * MM) / 2
    heights = [_part(paper, each, 0, 0, wide, draw=False) + _GAP * MM for each in parts]
    cut = min(
        range(len(parts) + 1),
        key=lambda at: max(sum(heights[:at]), sum(heights[at:])),
    )
    ends = [top]
    for column, some in enumerate((parts[:cut], parts[cut:])):
        x, y = left + column * (wide + _COLUMN_GAP * MM), top
        for each in some:
            y = _part(paper, each, x, y, wide) + _GAP * MM
        ends.append(y)
    return max(ends) - _GAP * MM if parts else top


def _part(
    paper: Paper, part: CardText, left: float, top: float, width: float, *, draw: bool = True
) -> float:
    y = top + paper.line_height(BODY_PT) * 1.25 + 1.1 * MM
    if draw:
        y = paper.title(part.title, part.note, left, top, width)
    return y + paper.paragraphs(part.paragraphs, left, y, width, draw=draw)


def _head_height(paper: Paper) -> float:
    """The line to fill in, and the heads of the columns."""
    return paper.line_height(BODY_PT) * 1.5 + 2 * paper.line_height(SMALL_PT) + 0.8 * MM


def _paint_grid(
    paper: Paper, said: CardSaid, left: float, top: float, width: float, row: float
) -> float:
    """The line to fill in, the heads, and the empty boxes; where it ends."""
    top = _paint_blanks(paper, said.fill_in, left, top, width)
    day_wide, high = _DAY_WIDE * MM, paper.line_height(SMALL_PT)
    wide = (width - day_wide) / len(said.slots)
    for at, (over, name) in enumerate(said.slots):
        x = left + day_wide + at * wide + 0.8 * MM
        for line, words in enumerate((over, name)):
            place = QRectF(x, top + line * high, wide - 1.2 * MM, high)
            paper.write_fitting(place, words, SMALL_PT, ink="ink2")
    top += 2 * high + 0.8 * MM
    end = top + row * len(said.days)
    for at, day in enumerate(said.days):
        paper.line(
            QPointF(left, top + at * row), QPointF(left + width, top + at * row), "edge", 0.2
        )
        place = QRectF(left, top + at * row, day_wide - 1 * MM, row)
        paper.write_fitting(place, day, BODY_PT, bold=True)
    paper.line(QPointF(left, end), QPointF(left + width, end), "edge", 0.2)
    for at in range(len(said.slots) + 1):
        x = left + day_wide + at * wide
        paper.line(QPointF(x, top), QPointF(x, end), "edge", 0.2)
    return end


def _paint_blanks(
    paper: Paper, labels: tuple[str, ...], left: float, top: float, width: float
) -> float:
    """Labels with a line behind each to write on."""
    high = paper.line_height(BODY_PT) * 1.5
    wide = width / len(labels)
    for at, label in enumerate(labels):
        place = QRectF(left + at * wide, top, wide - 3 * MM, high)
        paper.write(place, label, BODY_PT, ink="ink2")
        start = place.left() + paper.text_width(label, BODY_PT) + 1.5 * MM
        y = place.bottom() - 1.4 * MM
        paper.line(QPointF(start, y), QPointF(place.right(), y), "edge", 0.2)
    return top + high


def _small(said: CardSaid) -> list[str]:
    """How to fill in, the cautions and where the card comes from: in quiet ink, all of it read."""
    quiet = " ".join((said.grid, *said.caution[1:], f"{said.foot}."))
    return [said.caution[0], f'<span style="color: {LIGHT.ink2}">{quiet}</span>']


def _paint_cut(paper: Paper, at: float) -> None:
    pen = QPen(paper.pen("edge", 0.2))
    pen.setDashPattern([6, 6])
    paper.painter.setPen(pen)
    paper.painter.drawLine(QPointF(0, at), QPointF(paper.width, at))


def plain_of(text: str) -> str:
    """A paragraph without its markup, for ears."""
    for tag in ("<b>", "</b>", "<i>", "</i>"):
        text = text.replace(tag, "")
    return unescape(text)
