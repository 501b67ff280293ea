"""The table of what is seen again: a row for each slot and direction, with its strip and share."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.domain.glucose import Unit
from app.look.theme import tokens_now
from app.look.type import Role, font
from app.review.pattern_words import before_words, sure_words
from app.review.patterns_shown import PatternRow, PatternsShown
from app.ui.controls.drawing import leading, paint_ring, px, trailing
from app.ui.controls.sign_cell import paint_sign, sign_width
from app.ui.figures.cells import Cell, Head
from app.ui.figures.table import FigureTable
from app.ui.patterns import words
from app.ui.patterns.share_line import paint_share
from app.ui.patterns.strip import TimeSight, paint_time_strip
from app.ui.patterns.words import tr
from app.ui.reading_words import mark_name
from app.ui.words import count_words

_HOW, _WHAT, _COUNT, _STRIP, _SHARE = range(5)
_ROW, _STRIP_HIGH, _PAD = 48, 36, 8
_LINE, _LINE_LEAST, _STRIP_WIDE, _GAP = 130, 56, 300, 8  # of the share, the strip, between

_Index = QModelIndex | QPersistentModelIndex


class PatternTable(FigureTable):
    """Signals: picked_row(int) when a row is picked by a click or by Enter.

    The strip goes first where the room is narrow, then the line of the share; what both show is
    in the words of the row too, and in the evidence that opens.
    """

    picked_row = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, name="", strip_column=_STRIP, may_go=(_STRIP, _SHARE), row_px=_ROW)
        self._rows: tuple[PatternRow, ...] = ()
        self._shown: PatternsShown | None = None
        self._open: int | None = None
        self.setItemDelegate(_Painter(self))
        self.picked.connect(self._on_picked)

    def show_rows(self, shown: PatternsShown) -> None:
        """Show the rows of a period, none of them open."""
        self._rows, self._shown, self._open = shown.rows, shown, None
        days = count_words(shown.found.period.days)
        heads = [
            Head(tr("How often"), at_end=False),
            Head(tr("What, where"), at_end=False),
            Head(tr("count of n"), tr("days that show it, of n days with a test")),
            Head(tr("{days} days, oldest at left").format(days=days), at_end=False),
            Head(tr("Share, 0 – 50 – 100 %, 95 % interval"), at_end=False),
        ]
        self.cells.set_cells(heads, [_cells(row, shown.found.unit) for row in shown.rows])
        self.setAccessibleName(words.table_finding(shown))
        self.viewport().update()

    def row(self, at: int) -> PatternRow:
        """The row in one place."""
        return self._rows[at]

    @property
    def shown(self) -> PatternsShown | None:
        """What is shown."""
        return self._shown

    @property
    def open_row(self) -> int | None:
        """The row whose evidence is open."""
        return self._open

    def mark_open(self, row: int | None) -> None:
        """Shade the row whose evidence is open."""
        self._open = row
        self.viewport().update()

    def _on_picked(self, _column: int) -> None:
        self.picked_row.emit(self.currentIndex().row())

    def _fit_columns(self) -> None:
        """The strip takes the room left over; where there is none it goes, then the share's line.

        What is still too much is taken from the words, which a tip says in full.
        """
        count, room = self.cells.columnCount(), self.viewport().width()
        if count != _SHARE + 1:
            return
        widths = {column: self._wanted(column) for column in range(count)}
        for column in (_STRIP, _SHARE):
            widths[column] = self._least(column)
        for column in (_STRIP, _SHARE):
            lost = sum(widths.values()) > room
            self.setColumnHidden(column, lost)
            if lost:
                del widths[column]
        spare = room - sum(widths.values())
        if spare > 0 and _SHARE in widths:
            given = min(spare, self._wanted(_SHARE) - widths[_SHARE])
            widths[_SHARE] += given
            spare -= given
        rest = _STRIP if _STRIP in widths else _WHAT
        widths[rest] = max(self._least(rest), widths[rest] + spare)
        for column, width in widths.items():
            self.setColumnWidth(column, width)

    def _wanted(self, column: int) -> int:
        if self._shown is None or not self._rows:
            return super()._wanted(column)
        small = QFontMetrics(font(Role.SMALL))
        head = small.horizontalAdvance(self.cells.head(column).text)
        wide = px(_STRIP_WIDE)
        if column in (_HOW, _COUNT):
            strong = QFontMetrics(font(Role.STRONG))
            cells = self.cells.column_texts(column)
            wide = max(strong.horizontalAdvance(cell.text) for cell in cells)
        elif column == _WHAT:
            wide = (
                sign_width(0)
                + px(_GAP)
                + max(max(_both(row, self._shown.found.unit)[2:]) for row in self._rows)
            )
        elif column == _SHARE:
            wide = px(_LINE) + px(_GAP) + numbers_width(self._rows)
            head = min(head, 2 * wide)
        return 2 + max(head, wide) + (1 if column == _HOW else 2) * px(self.pad_px)

    def _least(self, column: int) -> int:
        if column == _STRIP:
            return px(120)
        if column == _WHAT and self._rows:
            return sign_width(0) + px(_GAP) + px(84)
        if column == _SHARE and self._rows:
            return px(_LINE_LEAST) + px(_GAP) + numbers_width(self._rows) + 2 * px(self.pad_px)
        return self._wanted(column)


def numbers_width(rows: Sequence[PatternRow]) -> int:
    """The px that the longest interval takes beside the line of its share."""
    small = QFontMetrics(font(Role.SMALL))
    return max(small.horizontalAdvance(_interval(row)) for row in rows) + 2


class _Painter(QStyledItemDelegate):
    """Paints the cells of a row: words over words, a strip, a share on its line."""

    def __init__(self, table: PatternTable) -> None:
        super().__init__(table)
        self._table = table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        table, tokens = self._table, tokens_now()
        rect: QRect = option.rect
        row, column = table.row(index.row()), index.column()
        painter.save()
        if table.open_row == index.row():
            painter.fillRect(rect, QColor(tokens.sel))
        room = self._padded(rect, first=column == _HOW)
        if column == _STRIP:
            self._paint_strip(painter, room, row)
        elif column == _SHARE:
            self._paint_share(painter, room, row)
        elif column == _WHAT:
            self._paint_what(painter, room, row)
        else:
            self._write(painter, room, table.cells.cell(index))
        rule = QRect(rect.left(), rect.bottom(), rect.width(), 1)
        painter.fillRect(rule, QColor(tokens.grid))
        if table.hasFocus() and table.currentIndex() == index:
            paint_ring(painter, rect.adjusted(0, 0, 0, -1), tokens.ink, radius=2)
        painter.restore()

    def _write(self, painter: QPainter, room: QRect, cell: Cell) -> None:
        side = trailing(self._table) if cell.at_end else leading(self._table)
        flags = side | Qt.AlignmentFlag.AlignVCenter
        painter.setPen(QColor(tokens_now().ink))
        painter.setFont(font(Role.STRONG))
        text = painter.fontMetrics().elidedText(
            cell.text, Qt.TextElideMode.ElideRight, room.width()
        )
        painter.drawText(room, flags, text)

    def _paint_what(self, painter: QPainter, room: QRect, row: PatternRow) -> None:
        table, tokens = self._table, tokens_now()
        shown = table.shown
        turned = table.isRightToLeft()
        paint_sign(painter, room, words.sign_of(row.pattern), "", font(Role.STRONG), turned=turned)
        if shown is None:
            return
        beyond = sign_width(0) + px(_GAP)
        rest = room.adjusted(0, 0, -beyond, 0) if turned else room.adjusted(beyond, 0, 0, 0)
        upper, lower, _, _ = _both(row, shown.found.unit)
        strong, small = QFontMetrics(font(Role.STRONG)), QFontMetrics(font(Role.SMALL))
        gap = 2
        high = strong.height() + gap + small.height()
        top = rest.top() + (rest.height() - high) // 2
        for text, role, ink, at, metrics in (
            (upper, Role.STRONG, tokens.ink, top, strong),
            (lower, Role.SMALL, tokens.ink2, top + strong.height() + gap, small),
        ):
            painter.setFont(font(role))
            painter.setPen(QColor(ink))
            line = QRect(rest.left(), at, rest.width(), metrics.height())
            said = metrics.elidedText(text, Qt.TextElideMode.ElideRight, rest.width())
            painter.drawText(line, leading(table) | Qt.AlignmentFlag.AlignVCenter, said)

    def _paint_strip(self, painter: QPainter, room: QRect, row: PatternRow) -> None:
        shown = self._table.shown
        if shown is None:
            return
        high = min(px(_STRIP_HIGH), room.height() - 4)
        area = QRectF(room.left(), room.top() + (room.height() - high) // 2, room.width(), high)
        sight = TimeSight(area, shown.scale, shown.found.period.days)
        paint_time_strip(painter, sight, row, tokens_now())

    def _paint_share(self, painter: QPainter, room: QRect, row: PatternRow) -> None:
        table, tokens = self._table, tokens_now()
        turned = table.isRightToLeft()
        numbers = numbers_width([table.row(at) for at in range(table.cells.rowCount())])
        wide = max(px(20), room.width() - numbers - px(_GAP))
        line = QRect(room.left(), room.top(), wide, room.height())
        rest = QRect(room.right() + 1 - numbers, room.top(), numbers, room.height())
        if turned:
            line.moveRight(room.right())
            rest.moveLeft(room.left())
        pattern = row.pattern
        share = None if pattern.share_missing else pattern.share
        paint_share(painter, QRectF(line), share, tokens, turned=turned)
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink2))
        painter.drawText(rest, trailing(table) | Qt.AlignmentFlag.AlignVCenter, _interval(row))

    def _padded(self, rect: QRect, *, first: bool) -> QRect:
        pad = px(_PAD)
        start, end = (0 if first else pad), (0 if first else pad)
        if self._table.isRightToLeft():
            start, end = end, start
        return rect.adjusted(start, 0, -end, 0)


def _interval(row: PatternRow) -> str:
    return tr("too few") if row.pattern.share_missing else words.interval(row.pattern.share)


def _both(row: PatternRow, unit: Unit) -> tuple[str, str, int, int]:
    """Both lines of what and where, and their widths."""
    upper = mark_name(row.pattern.slot)
    lower = words.what_in_short(row.pattern, unit)
    return (
        upper,
        lower,
        QFontMetrics(font(Role.STRONG)).horizontalAdvance(upper) + 2,
        QFontMetrics(font(Role.SMALL)).horizontalAdvance(lower) + 2,
    )


def _cells(row: PatternRow, unit: Unit) -> list[Cell]:
    pattern = row.pattern
    seen = pattern.seen
    before = "; ".join(before_words(pattern))
    tests = words.many(seen.n, "{n} day with a test", "{n} days with a test")
    return [
        Cell(words.step_name(pattern.step), said=words.finding(pattern, unit), at_end=False),
        Cell(
            mark_name(pattern.slot),
            words.what_in_short(pattern, unit),
            said="; ".join(
                part
                for part in (f"{words.name(pattern)}: {words.what(pattern, unit)}", before)
                if part
            ),
            at_end=False,
        ),
        Cell(words.count(pattern), said=tr("{count} days").format(count=words.count(pattern))),
        Cell(said=tr("{tests}; Enter lists what shows it").format(tests=tests), at_end=False),
        Cell(said=sure_words(pattern), at_end=False),
    ]
