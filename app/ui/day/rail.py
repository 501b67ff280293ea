"""The row below the hours of a day: what was done, and the low spells, in as few lines as fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.ui.charts.sight import Sight

_PAD, _GAP, _APART = 5.0, 6.0, 10.0
_BRACKET = 6.0


@dataclass(frozen=True, slots=True)
class Piece:
    """Something on the row: its minutes on the axis, its words, and whether it is a low spell."""

    start: float
    end: float
    words: str
    spell: bool


@dataclass(frozen=True, slots=True)
class _Placed:
    piece: Piece
    line: int
    left: float
    right: float
    text_left: float


class DayRail:
    """Chips for events, brackets for low spells: the one line that joins readings."""

    name = ""

    def __init__(self) -> None:
        self._pieces: tuple[Piece, ...] = ()
        self._placed: tuple[_Placed, ...] = ()

    def show_pieces(self, pieces: Sequence[Piece]) -> None:
        """Show these; `lay_out` places them."""
        self._pieces = tuple(sorted(pieces, key=lambda piece: piece.start))
        self._placed = ()

    def lay_out(self, sight: Sight, width: float) -> bool:
        """Place each piece in the first line that has room; whether the height changed by it.

        `width` is that of the chart: beside the plot words have room too.
        """
        before = self.height()
        metrics, scale = QFontMetricsF(font(Role.SMALL)), text_scale()
        ends: list[float] = []
        placed = []
        for piece in self._pieces:
            left = sight.x(max(piece.start, sight.left))
            right = max(sight.x(min(piece.end, sight.right)), left + _BRACKET * scale)
            text_left, begins, ends_at = _text_place(
                piece, left, right, metrics, (sight.plot.left(), width)
            )
            line = next(
                (at for at, end in enumerate(ends) if end + _APART * scale <= begins), len(ends)
            )
            if line == len(ends):
                ends.append(0.0)
            ends[line] = ends_at
            placed.append(_Placed(piece, line, left, right, text_left))
        self._placed = tuple(placed)
        return self.height() != before

    def height(self) -> float:
        """Its height in px at the text size in force; nothing where there is nothing to show."""
        lines = 1 + max((each.line for each in self._placed), default=0)
        return lines * _line_px() + 2 * text_scale() if self._pieces else 0.0

    def paint(self, painter: QPainter, top: float, sight: Sight, tokens: Tokens) -> None:
        """Paint every piece that is in sight."""
        painter.setFont(font(Role.SMALL))
        metrics = QFontMetricsF(painter.font())
        for each in self._placed:
            if each.piece.end < sight.left or each.piece.start > sight.right:
                continue
            upper = top + each.line * _line_px() + 2 * text_scale()
            tall = metrics.height() + 2
            if each.piece.spell:
                _paint_bracket(painter, each, upper + tall / 2, tokens)
            else:
                chip = QRectF(round(each.left), round(upper), each.right - each.left, round(tall))
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(tokens.sel))
                painter.drawRoundedRect(chip, 2, 2)
            painter.setPen(QColor(tokens.low_text if each.piece.spell else tokens.ink))
            base = upper + tall / 2 + metrics.capHeight() / 2
            painter.drawText(QPointF(each.text_left, base), each.piece.words)


def _text_place(
    piece: Piece, left: float, right: float, metrics: QFontMetricsF, ends: tuple[float, float]
) -> tuple[float, float, float]:
    """Where the words begin, and both ends of bracket or chip and words together."""
    wide, scale = metrics.horizontalAdvance(piece.words), text_scale()
    if not piece.spell and wide + 2 * _PAD * scale <= right - left:
        return (left + right - wide) / 2, left, right
    after, before = right + _GAP * scale, left - _GAP * scale - wide
    fits_after, fits_before = after + wide <= ends[1], before >= ends[0]
    # An event is named before its chip, a spell after its bracket: so the two share a line.
    if fits_after and (piece.spell or not fits_before):
        return after, left, after + wide
    return before, before, right


def _paint_bracket(painter: QPainter, placed: _Placed, middle: float, tokens: Tokens) -> None:
    scale = text_scale()
    painter.setPen(QPen(QColor(tokens.low), max(1, round(1.4 * scale))))
    left, right = round(placed.left), round(placed.right)
    foot = round(middle + _BRACKET * scale / 2)
    tall = round(_BRACKET * scale)
    corners = ((left, foot - tall), (left, foot), (right, foot), (right, foot - tall))
    painter.drawPolyline([QPointF(x, y) for x, y in corners])


def _line_px() -> float:
    return QFontMetricsF(font(Role.SMALL)).height() + 4
