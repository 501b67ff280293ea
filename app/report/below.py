"""The lower half of the sheet: rises, nights, averages, what to know and what to ask."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF

from app.look.tokens import LIGHT
from app.report.paper import BODY_PT, MM, SMALL_PT, Paper
from app.report.said import Part, Said
from app.report.words import tr
from app.review.visit import VisitPage

GAP, COLUMN_GAP = 2.6, 6.0  # mm
_ROW, _CLOSE_ROW = 1.3, 1.2  # of the height of a line
_NAME, _BAR = 23.0, 18.0  # mm
_DAY, _AVERAGE, _VALUE = 22.0, 24.0, 25.0


def below_height(paper: Paper, page: VisitPage, said: Said, width: float) -> float:
    """How high the lower half is."""
    with paper.measuring():
        return paint_below(paper, page, said, 0, 0, width)


def paint_below(
    paper: Paper, page: VisitPage, said: Said, left: float, top: float, width: float
) -> float:
    """Paint the lower half; where it ends."""
    gap = COLUMN_GAP * MM
    first = (width - gap) * 0.53
    second = width - gap - first
    right = left + first + gap
    upper = max(
        _rises(paper, page, said, left, top, first),
        _nights(paper, page, said, right, top, second),
    )
    middle = upper + GAP * MM
    lower = max(
        _averages(paper, page, said, left, middle, first),
        paint_part(paper, said.know, right, middle, second),
    )
    return _asks(paper, said, left, lower + GAP * MM, width)


def paint_part(paper: Paper, part: Part, left: float, top: float, width: float) -> float:
    """A title with its paragraphs; where it ends."""
    y = paper.title(part.title, part.note, left, top, width)
    return y + paper.paragraphs(part.paragraphs, left, y, width)


def quiet(text: str) -> str:
    """A text in the quieter ink."""
    return f'<span style="color: {LIGHT.ink2}">{text}</span>' if text else ""


def _rises(
    paper: Paper, page: VisitPage, said: Said, left: float, top: float, width: float
) -> float:
    """A bar from the lowest to the highest rise of each meal, its median, and the words."""
    note = tr("median · bar: lowest to highest")
    y = paper.title(tr("Rise over the meal"), note, left, top, width)
    high = paper.line_height(BODY_PT) * _ROW
    for at, (name, words) in enumerate(said.rises):
        paper.write_fitting(QRectF(left, y, (_NAME - 1) * MM, high), name, BODY_PT)
        if paper.draws:
            _bar(paper, page, at, QRectF(left + _NAME * MM, y, _BAR * MM, high))
        taken = (_NAME + _BAR + 2) * MM
        y += max(high, paper.paragraphs([words], left + taken, y + 0.5 * MM, width - taken))
    return y + paper.paragraphs([quiet(said.rises_note)], left, y, width)


def _bar(paper: Paper, page: VisitPage, at: int, area: QRectF) -> None:
    """From no rise at all (the thin upright) to each end; a thick upright at the median."""
    meals = page.pairs.by_meal[:-1]
    ends = [end for each in meals for end in (each.rise.lowest, each.rise.highest)]
    reach = max((abs(end) for end in ends if end is not None), default=1.0) or 1.0
    rise, missing = meals[at].rise, meals[at].missing
    place = paper.placed(area)
    middle, y = place.center().x(), place.center().y()
    thin = 0.4 * MM
    paper.line(
        QPointF(middle, place.top() + thin), QPointF(middle, place.bottom() - thin), "edge", 0.2
    )
    if missing is not None or rise.lowest is None or rise.highest is None:
        return
    first, last = (middle + end / reach * place.width() / 2 for end in (rise.lowest, rise.highest))
    paper.line(QPointF(first, y), QPointF(last, y), "spe", 0.9)
    if rise.median is not None:
        x = middle + rise.median / reach * place.width() / 2
        inset = 0.7 * MM
        paper.line(QPointF(x, place.top() + inset), QPointF(x, place.bottom() - inset), "ink", 0.7)


def _nights(
    paper: Paper, page: VisitPage, said: Said, left: float, top: float, width: float
) -> float:
    """Each night with a value in it: the night's lowest and waking, in words."""
    note = f"{page.unit} ({page.second})"
    y = paper.title(tr("Night to waking"), note, left, top, width)
    high = paper.line_height(BODY_PT) * _ROW
    for day, words in said.nights:
        paper.write_fitting(QRectF(left, y, (_DAY - 1) * MM, high), day, BODY_PT, ink="ink2")
        taken = _DAY * MM
        y += max(high, paper.paragraphs([words], left + taken, y + 0.5 * MM, width - taken))
    return y + paper.paragraphs([quiet(said.nights_note)], left, y, width)


def _averages(
    paper: Paper, page: VisitPage, said: Said, left: float, top: float, width: float
) -> float:
    note = f"{page.unit} ({page.second})" if said.averages else ""
    y = paper.title(tr("Averages, side by side"), note, left, top, width)
    high = paper.line_height(BODY_PT) * _CLOSE_ROW
    for name, value, beside in said.averages:
        if paper.draws:
            paper.write_fitting(QRectF(left, y, (_AVERAGE - 1) * MM, high), name, BODY_PT)
            room = QRectF(left + _AVERAGE * MM, y, (_VALUE - 1) * MM, high)
            taken = (_AVERAGE + _VALUE) * MM
            if len(value) > len("123.4 (123.4)"):  # words for why there is none
                room.setWidth(width - _AVERAGE * MM)
            paper.write_fitting(room, value, BODY_PT, bold=True)
            if room.width() < taken:
                rest = QRectF(left + taken, y, width - taken, high)
                paper.write_fitting(rest, beside, SMALL_PT, ink="ink2")
        y += high
    return y + paper.paragraphs([said.trust], left, y, width)


def _asks(paper: Paper, said: Said, left: float, top: float, width: float) -> float:
    part = said.asks
    y = paper.title(part.title, part.note, left, top, width)
    if not part.paragraphs:
        nothing = [quiet(tr("Nothing is written down."))]
        return y + paper.paragraphs(nothing, left, y, width)
    for at, text in enumerate(part.paragraphs, 1):
        if paper.draws:
            number = QRectF(left, y, 5 * MM, paper.line_height(BODY_PT))
            paper.write(number, str(at), bold=True)
        y += paper.paragraphs([text], left + 5 * MM, y, width - 5 * MM) + 0.5 * MM
    return y
