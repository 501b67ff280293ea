"""The slots before and after in one table, each difference drawn with its interval on one scale."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QStyleOptionViewItem, QWidget

from app.domain.glucose import Unit
from app.look.median import MEDIAN_PX
from app.look.theme import tokens_now
from app.look.type import Role, font, text_scale
from app.review.apart import Apart, reach_of
from app.review.figure import Missing
from app.review.two_sides import TwoSides
from app.ui.figures.table import FigureTable
from app.ui.figures.table_painting import CellPainter, Heads
from app.ui.year.sides_words import STRIP, evened_cells, signed_text, slot_cells, slot_heads
from app.ui.year.words import tr

_STEPS = {
    Unit.MMOL_L: (0.2, 0.5, 1.0, 2.0, 5.0, 10.0),
    Unit.MG_DL: (5.0, 10.0, 20.0, 50.0, 100.0, 200.0),
}
_INSET = 10.0
_TICK = 7.0


class DifferencesTable(FigureTable):
    """One row a slot, the evened average last below a stronger rule."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(
            parent,
            name=tr("Each slot before and after"),
            strip_column=STRIP,
            pad_px=6,
            may_shorten=True,
        )
        self.drawn: tuple[Apart | Missing, ...] = ()
        self.reach = 0.0
        self.unit = Unit.MMOL_L
        self.setHorizontalHeader(_Heads(self))
        self.setItemDelegate(_Painter(self))

    def show_sides(self, two: TwoSides, unit: Unit) -> None:
        """Show both sides slot by slot."""
        self.drawn = (*(row.apart for row in two.rows), two.evened)
        self.unit, self.reach = unit, reach_of(self.drawn)
        rows = [slot_cells(row, unit) for row in two.rows]
        rows.append(evened_cells(two, unit))
        self.cells.set_cells(slot_heads(unit), rows, after_rule=[len(rows) - 1])

    def axis(self, area: QRectF) -> Axis:
        """The scale of the differences in an area; the same in every row."""
        turned = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        return Axis(area, self.reach, self.unit, turned=turned)


class Axis:
    """Where differences lie: none in the middle, lower where a line of text begins."""

    def __init__(self, area: QRectF, reach: float, unit: Unit, *, turned: bool) -> None:
        self._middle = area.center().x()
        half = max(1.0, area.width() / 2 - _INSET * text_scale())
        self._per_unit = half / reach * (-1 if turned else 1) if reach else 0.0
        self.ticks = self._spread(reach, unit)

    def x(self, value: float) -> float:
        """The px of a difference."""
        return round(self._middle + value * self._per_unit)

    @staticmethod
    def _spread(reach: float, unit: Unit) -> tuple[float, ...]:
        """No difference, and the largest round number on both sides."""
        steps = [step for step in _STEPS[unit] if step <= reach]
        return (0.0, -steps[-1], steps[-1]) if steps else (0.0,)


class _Heads(Heads):
    """Over the drawn differences stand their numbers."""

    def __init__(self, table: DifferencesTable) -> None:
        super().__init__(table)
        self._differences = table

    def paintSection(self, painter: QPainter, rect: QRect, logical: int) -> None:
        super().paintSection(painter, rect, logical)
        if logical != STRIP:
            return
        tokens, table = tokens_now(), self._differences
        painter.save()
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        metrics = QFontMetricsF(painter.font())
        base = rect.center().y() + metrics.capHeight() / 2
        axis = table.axis(QRectF(rect))
        taken: list[tuple[float, float]] = []
        for value in axis.ticks:
            text = signed_text(value, table.unit)
            wide = metrics.horizontalAdvance(text)
            left = min(max(axis.x(value) - wide / 2, rect.left()), rect.right() - wide)
            if any(left < end and start < left + wide for start, end in taken):
                continue
            taken.append((left - 6, left + wide + 6))
            painter.drawText(QPointF(left, base), text)
        painter.restore()


class _Painter(CellPainter):
    """Draws the difference of a row as a bar on a line from one limit to the other."""

    def __init__(self, table: DifferencesTable) -> None:
        super().__init__(table)
        self._differences = table

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        super().paint(painter, option, index)
        if index.column() != STRIP or index.row() >= len(self._differences.drawn):
            return
        rect: QRect = option.rect
        painter.save()
        painter.setClipRect(rect)
        self._paint_scale(painter, rect)
        found = self._differences.drawn[index.row()]
        if isinstance(found, Apart) and found.value is not None:
            self._paint_difference(painter, rect, found, found.value)
        painter.restore()

    def _paint_scale(self, painter: QPainter, rect: QRect) -> None:
        tokens, axis = tokens_now(), self._differences.axis(QRectF(rect))
        for value in axis.ticks:
            line = QRectF(axis.x(value), rect.top(), 1, rect.height())
            painter.fillRect(line, QColor(tokens.grid if value else tokens.edge))

    def _paint_difference(self, painter: QPainter, rect: QRect, found: Apart, value: float) -> None:
        tokens, axis = tokens_now(), self._differences.axis(QRectF(rect))
        middle, half = round(rect.center().y()), _TICK / 2 * text_scale()
        if found.low is not None and found.high is not None:
            ends = axis.x(found.low), axis.x(found.high)
            painter.setPen(QPen(QColor(tokens.ink2), max(1, round(1.4 * text_scale()))))
            painter.drawLine(QPointF(ends[0], middle), QPointF(ends[1], middle))
            for end in ends:
                painter.drawLine(QPointF(end, middle - half), QPointF(end, middle + half))
        wide = MEDIAN_PX * text_scale()
        bar = QRectF(axis.x(value) - wide / 2, middle - half - 2, wide, 2 * half + 4)
        painter.fillRect(bar, QColor(tokens.ink))
