"""How a year is painted: names and scale at the left, months above, cells, gaps, changes."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from app.look.hatch import paint_hatch
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.scale import Tick
from app.review.year import YearView
from app.ui.controls.drawing import paint_ring
from app.ui.controls.wrapping import lines_of
from app.ui.words import count_words, number_words
from app.ui.year.cells import paint_cell, paint_counts, value_y
from app.ui.year.places import Places, RowPlace
from app.ui.year.words import month_name, tr

_GAP = 6.0
_CHANGE_DASHES = (1.0, 2.5)


class GridPainter:
    """Paints a year with a painter of the widget."""

    def __init__(self, painter: QPainter, found: YearView, places: Places, tokens: Tokens) -> None:
        self._painter, self._found, self._places = painter, found, places
        self._tokens = tokens
        self._small = QFontMetricsF(font(Role.SMALL))
        self._strong = QFontMetricsF(font(Role.STRONG))

    def paint(self) -> None:
        """Paint everything but the cursor."""
        self._painter.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        self._paint_heads()
        tested = [row for row in self._places.rows if row.is_tested]
        for row in self._places.rows:
            self._paint_name(row)
            self._paint_row(row)
            if tested and row in (tested[0], tested[-1]):
                self._paint_scale(row, unit=row is tested[0])
        self._paint_changes()
        for first, last in self._gaps():
            self._paint_gap(first, last)

    def paint_cursor(self, month: int, place: int) -> None:
        """Ring a cell."""
        area = self._places.cell(self._places.rows[place], month).adjusted(0, -1, 1, 1)
        paint_ring(self._painter, area.toAlignedRect(), self._tokens.ink, radius=2)

    def paint_focus(self) -> None:
        """Ring all cells, while none is pointed at."""
        columns, rows = self._places.columns, self._places.rows
        wide, tall = columns.right - columns.left, rows[-1].end - rows[0].top
        area = QRectF(columns.left, rows[0].top, wide, tall).adjusted(-2, -2, 3, 2)
        paint_ring(self._painter, area.toAlignedRect(), self._tokens.ink)

    def _paint_heads(self) -> None:
        """The name of each month, its year where one begins, and how many readings it has."""
        line, columns, beside = self._small.height(), self._places.columns, self._places.year_beside
        for at, month in enumerate(self._found.months):
            begins = not at or month.first.month == 1
            name, year = month_name(month.first), count_words(month.first.year) if begins else ""
            names = [f"{name} {year}".strip()] if beside else [name, year]
            middle = columns.x(at + 0.5)
            for row, text in enumerate(names):
                role = Role.SMALL if row else Role.SMALL_STRONG
                ink = self._tokens.ink3 if row else self._tokens.ink
                self._write(text, role, ink, middle, row * line, centred=True)
            n = tr("n {n}").format(n=count_words(month.n))
            self._write(n, Role.SMALL, self._tokens.ink3, middle, len(names) * line, centred=True)

    def _paint_name(self, row: RowPlace) -> None:
        top, inks = row.top, self._tokens
        if not row.is_tested and len(row.name) + bool(row.head) == 1:
            top += (row.end - row.top - self._strong.height()) / 2
        self._write(row.head, Role.SMALL, inks.ink3, 0, top)
        top += self._small.height() * bool(row.head)
        for line in row.name:
            self._write(line, Role.STRONG, inks.ink, 0, top)
            top += self._strong.height()
        for line in row.goal:
            self._write(line, Role.SMALL, inks.ink3, 0, top)
            top += self._small.height()

    def _paint_row(self, row: RowPlace) -> None:
        found, places = self._found, self._places
        if not row.is_tested:
            self._paint_untested(row)
            return
        for at, month in enumerate(found.months):
            if month.is_gap:
                continue
            cell = month.cells[row.slot]
            plot = places.plot(row, at)
            marks = found.marks_in(at, row.slot)
            paint_cell(self._painter, plot, cell, marks, found.scale, self._tokens)
            below = places.cell(row, at)
            below.setTop(plot.bottom() + 1)
            paint_counts(self._painter, below, cell, places.lines, self._tokens)
        self._paint_edges(row)

    def _paint_untested(self, row: RowPlace) -> None:
        """A slot that was tested in no month, in one piece."""
        columns = self._places.columns
        area = QRectF(columns.left, row.top, columns.right - columns.left, row.end - row.top)
        paint_hatch(self._painter, area, self._tokens, text_scale())
        self._on_plate(tr("never tested"), area)

    def _paint_scale(self, row: RowPlace, *, unit: bool) -> None:
        """The numbers beside a row: limits first, round ones where there is room."""
        plot = self._places.plot(row, 0)
        right = plot.left() - _GAP / 2 * text_scale()
        taken: list[float] = []
        cell = self._found.months[-1].cells[row.slot]
        limits = {cell.goal_low, cell.goal_high}

        def order(tick: Tick) -> tuple[bool, float]:
            return tick.value not in limits, -tick.value

        for tick in sorted(self._found.scale.ticks, key=order):
            bold = tick.value in limits
            if tick.is_limit and not bold:
                continue
            y = value_y(plot, tick.value, self._found.scale)
            if any(abs(y - other) < self._small.height() * 0.9 for other in taken):
                continue
            taken.append(y)
            role = Role.SMALL_STRONG if bold else Role.SMALL
            ink = self._tokens.ink if bold else self._tokens.ink3
            metrics, text = QFontMetricsF(font(role)), number_words(tick.text)
            top = y + metrics.capHeight() / 2 - metrics.ascent()
            self._write(text, role, ink, right - metrics.horizontalAdvance(text), top)
        if unit:
            text = str(self._found.unit)
            left = right - self._small.horizontalAdvance(text)
            above = row.top - self._small.height() - 1
            self._write(text, Role.SMALL, self._tokens.ink3, left, above)

    def _paint_edges(self, row: RowPlace) -> None:
        """Uprights between the months of a row; a stronger one where a year begins."""
        columns, months = self._places.columns, self._found.months
        for at in range(columns.count + 1):
            new_year = at in range(1, columns.count) and months[at].first.month == 1
            colour = self._tokens.edge if new_year else self._tokens.grid
            line = QRectF(columns.x(at), row.top, 1, row.end - row.top)
            self._painter.fillRect(line, QColor(colour))

    def _paint_changes(self) -> None:
        """A dotted upright through the plots where something was done differently from then on."""
        pen = QPen(QColor(self._tokens.ink2), max(1.0, round(1.2 * text_scale())))
        pen.setDashPattern(list(_CHANGE_DASHES))
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        self._painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        self._painter.setPen(pen)
        for mark in self._found.beside:
            if mark.change is None:
                continue
            x = round(self._places.columns.x(mark.start))
            for row in (each for each in self._places.rows if each.is_tested):
                top, bottom = QPointF(x, row.top), QPointF(x, row.top + row.plot)
                self._painter.drawLine(top, bottom)

    def _gaps(self) -> Iterator[tuple[int, int]]:
        """Runs of months in which nothing was written, first and last."""
        first: int | None = None
        for at, month in enumerate(self._found.months):
            if month.is_gap and first is None:
                first = at
            elif not month.is_gap and first is not None:
                yield first, at - 1
                first = None
        if first is not None:
            yield first, len(self._found.months) - 1

    def _paint_gap(self, first: int, last: int) -> None:
        columns, rows = self._places.columns, self._places.rows
        left = columns.x(first) + 1
        right = columns.x(last + 1)
        area = QRectF(left, rows[0].top, right - left, rows[-1].end - rows[0].top)
        self._painter.fillRect(area, QColor(self._tokens.page))
        paint_hatch(self._painter, area, self._tokens, text_scale())
        self._on_plate(tr("nothing written"), area)

    def _on_plate(self, text: str, area: QRectF) -> None:
        """Write over a hatch, on a plate of the page; upright where the column is too narrow."""
        painter, pad = self._painter, _GAP * text_scale()
        room = area.width() - 2 * pad
        lines = lines_of(text, self._small.horizontalAdvance, room)
        widest = max(self._small.horizontalAdvance(line) for line in lines)
        painter.save()
        painter.translate(area.center())
        if widest > room:
            lines = (text,)
            widest = self._small.horizontalAdvance(text)
            painter.rotate(-90)
        tall = self._small.height() * len(lines)
        plate = QRectF(-widest / 2 - pad, -tall / 2 - 1, widest + 2 * pad, tall + 2)
        painter.fillRect(plate, QColor(self._tokens.page))
        for row, line in enumerate(lines):
            self._write(
                line,
                Role.SMALL,
                self._tokens.ink2,
                0,
                plate.top() + 1 + row * self._small.height(),
                centred=True,
            )
        painter.restore()

    def _write(
        self, text: str, role: Role, ink: str, left: float, top: float, *, centred: bool = False
    ) -> None:
        if not text:
            return
        self._painter.setFont(font(role))
        self._painter.setPen(QColor(ink))
        metrics = QFontMetricsF(self._painter.font())
        if centred:
            left -= metrics.horizontalAdvance(text) / 2
        self._painter.drawText(QPointF(left, top + metrics.ascent()), text)
