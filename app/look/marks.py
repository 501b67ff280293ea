"""One painter for the marks on readings: charts, tables, strips and the printed page use it.

Sizes are px at a text size of 13 px, times `scale`: `app.look.type.text_scale()` in tables, that
times `DAY` on the Day chart and times `STRIP` in small strips, and on paper the page's own.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen

from app.domain.glucose import Bound
from app.domain.levels import Level
from app.domain.reading import Standing
from app.look import shapes
from app.look.shapes import Tail
from app.look.tokens import Tokens

DAY = 1.15
STRIP = 0.62
_RING = 1.3
_RING_RADIUS = 8.5
_WAITING_RADIUS = 13.0
_WORD_GAP = 4.0
_REACH = shapes.SYMBOL_PX / 2


@dataclass(frozen=True, slots=True)
class MarkLook:
    """What a mark has to tell: level by shape, meal by tail, doubt by a hollow, dotted body."""

    level: Level
    tail: Tail = Tail.NONE
    doubt: bool = False
    standing: Standing = Standing.COUNTED
    off_scale: Bound = Bound.EXACT

    @property
    def is_apart(self) -> bool:
        """Whether it is a ×: not mine, or set aside."""
        return self.standing is not Standing.COUNTED

    @property
    def letters(self) -> str:
        """What stands beside the number: "LL", "H ?", "x", "LO"; nothing for one within."""
        if self.is_apart:
            return "x"
        letter = {Bound.BELOW: "LO", Bound.ABOVE: "HI"}.get(self.off_scale, self.level.letter)
        return f"{letter} ?".strip() if self.doubt else letter


def paint_mark(
    painter: QPainter,
    centre: QPointF,
    look: MarkLook,
    tokens: Tokens,
    scale: float = 1.0,
    *,
    word: bool = False,
) -> None:
    """Paint one reading's mark; the painter is left as it was.

    Parameters
    ----------
    painter : QPainter
        On a widget, an image, a printer or a PDF.
    centre : QPointF
        Where the reading is; for LO and HI the caller keeps `SYMBOL_PX` px away from the edge.
    look : MarkLook
        What to tell.
    tokens : Tokens
        The colours; the inside of a mark in doubt is the page.
    scale : float, default 1.0
        Times the sizes at a text size of 13 px.
    word : bool, default False
        Also write "LO" or "HI" beside an off-scale mark, in the painter's font.
    """
    with _At(painter, centre, scale):
        if look.is_apart:
            painter.fillPath(shapes.cross_path(), QColor(tokens.within))
            return
        colour = QColor(tokens.level_colour(look.level))
        body, extras = _OUTLINES.of(look.level, look.tail)
        if not extras.isEmpty():
            painter.fillPath(extras, colour)
        painter.fillPath(body, QColor(tokens.page) if look.doubt else colour)
        if look.doubt:
            painter.fillPath(shapes.edge_path(body), colour)
        if look.off_scale in (Bound.BELOW, Bound.ABOVE):
            painter.fillPath(shapes.off_scale_path(look.level), colour)
    if word and look.off_scale in (Bound.BELOW, Bound.ABOVE):
        _write_word(painter, centre, look, tokens, scale)


def paint_control(
    painter: QPainter, centre: QPointF, tokens: Tokens, scale: float = 1.0, *, failed: bool = False
) -> None:
    """Paint a control test: green with a dark edge; hollow, crossed and in ink if it failed."""
    with _At(painter, centre, scale):
        if failed:
            painter.fillPath(shapes.control_path(), QColor(tokens.page))
            painter.fillPath(shapes.crossed_path(), QColor(tokens.ink))
        else:
            _paint_edged(painter, shapes.control_path(), tokens.control, tokens.control_edge)


def paint_ketone(painter: QPainter, centre: QPointF, tokens: Tokens, scale: float = 1.0) -> None:
    """Paint a ketone value: a diamond, never without its dark edge."""
    with _At(painter, centre, scale):
        _paint_edged(painter, shapes.ketone_path(), tokens.ketone, tokens.ketone_edge)


def paint_ring(
    painter: QPainter, centre: QPointF, tokens: Tokens, scale: float = 1.0, *, waiting: bool = False
) -> None:
    """Paint the ink ring of the mark pointed at; wider and dashed around a value not saved yet."""
    pen = QPen(QColor(tokens.ink), _RING)
    radius = _WAITING_RADIUS if waiting else _RING_RADIUS
    if waiting:
        pen.setDashPattern([3.0, 2.4])
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    with _At(painter, centre, scale):
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(QPointF(0, 0), radius, radius)


class _Outlines(threading.local):
    """Body, and bar and tail, of each mark, made once in each thread: a page has hundreds.

    A path keeps to itself what its first filling found out, so no two threads may share one.
    """

    def __init__(self) -> None:
        self._made: dict[tuple[Level, Tail], tuple[QPainterPath, QPainterPath]] = {}

    def of(self, level: Level, tail: Tail) -> tuple[QPainterPath, QPainterPath]:
        found = self._made.get((level, tail))
        if found is None:
            found = shapes.body_path(level), shapes.extras_path(level, tail)
            self._made[level, tail] = found
        return found


_OUTLINES = _Outlines()


class _At:
    """The painter moved to a point and scaled, for the length of a `with`."""

    def __init__(self, painter: QPainter, centre: QPointF, scale: float) -> None:
        self._painter, self._centre, self._scale = painter, centre, scale

    def __enter__(self) -> None:
        self._painter.save()
        self._painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._painter.translate(self._centre)
        self._painter.scale(self._scale, self._scale)

    def __exit__(self, *_trouble: object) -> None:
        self._painter.restore()


def _paint_edged(painter: QPainter, path: QPainterPath, colour: str, edge: str) -> None:
    painter.fillPath(path, QColor(colour))
    painter.strokePath(path, QPen(QColor(edge), 1.2))


def _write_word(
    painter: QPainter, centre: QPointF, look: MarkLook, tokens: Tokens, scale: float
) -> None:
    # Beside the tail's free side, so that the two never meet.
    word = look.letters
    room = QFontMetricsF(painter.font(), painter.device())
    width, height = room.horizontalAdvance(word), room.height()
    away = (_REACH / 2 + _WORD_GAP) * scale
    left = centre.x() - away - width if look.tail is Tail.RIGHT else centre.x() + away
    painter.save()
    painter.setPen(QColor(tokens.level_text(look.level)))
    painter.drawText(
        QRectF(left, centre.y() - height / 2, width + 1, height),
        Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignAbsolute,
        word,
    )
    painter.restore()
