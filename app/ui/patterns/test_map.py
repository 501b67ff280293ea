"""The test map: slots by day of the week, tests counted, and what nobody would see hatched."""

from __future__ import annotations

from PySide6.QtCore import QLocale, QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem, QVBoxLayout, QWidget

from app.domain.clock import Period
from app.domain.person import Person
from app.look.hatch import paint_hatch
from app.look.theme import tokens_now
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.testmap import MapOfTests, MapRow
from app.statistics.weekdays import WEEK
from app.ui.controls import SectionTitle
from app.ui.controls.drawing import leading, paint_ring, px, trailing
from app.ui.figures.cells import CELL_ROLE, Cell, Head
from app.ui.figures.table import FigureTable
from app.ui.patterns.prose import Prose
from app.ui.patterns.words import many, tr
from app.ui.reading_words import mark_name
from app.ui.words import count_words, day_words, joined

_ROW, _GAP = 28, 2
_CELL_LEAST, _CELL_MOST = 24, 76
_PALEST, _DARKEST = 0.10, 0.42  # how much of the edge colour is mixed into the page

_Index = QModelIndex | QPersistentModelIndex


class TestMapTable(FigureTable):
    """Eight slots by seven days of the week; the arrow keys walk the cells."""

    __test__ = False  # a runner would take it for a class of tests

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, name="", row_px=_ROW)
        self._most = 1
        self.setItemDelegate(_Painter(self))

    @property
    def most(self) -> int:
        """The largest count of a cell."""
        return self._most

    def show_map(self, found: MapOfTests) -> None:
        """Show the counts."""
        self._most = max([1, *(max(row.counts) for row in found.rows)])
        heads = [Head("", tr("slot"), at_end=False)]
        for day, days in enumerate(found.weekdays):
            said = tr("{day}, {n} of them").format(day=_weekday(day), n=count_words(days))
            heads.append(Head(_weekday(day), said, centred=True))
        heads.append(Head("n", tr("tests of the slot, n")))
        self.cells.set_cells(heads, [_cells(row, found) for row in found.rows])
        self.setAccessibleName(_finding(found))

    def minimumSizeHint(self) -> QSize:
        hint = super().minimumSizeHint()
        hint.setWidth(self._label() + WEEK * px(_CELL_LEAST) + self._n_width())
        return hint

    def _fit_columns(self) -> None:
        """The cells of the days are all as wide as each other, up to a width where they look it."""
        if self.cells.columnCount() != WEEK + 2:
            return
        room = self.viewport().width()
        label, n = self._label(), self._n_width()
        each = min(px(_CELL_MOST), max(px(_CELL_LEAST), (room - label - n) // WEEK))
        self.setColumnWidth(0, max(label, min(label + px(24), room - n - WEEK * each)))
        for column in range(1, WEEK + 1):
            self.setColumnWidth(column, each)
        self.setColumnWidth(WEEK + 1, n)

    def _label(self) -> int:
        strong = QFontMetrics(font(Role.STRONG))
        texts = [cell.text for cell in self.cells.column_texts(0)] if self.cells.rowCount() else []
        return max((strong.horizontalAdvance(text) for text in texts), default=px(84)) + px(10)

    def _n_width(self) -> int:
        body = QFontMetrics(font(Role.BODY))
        column = self.cells.columnCount() - 1
        texts = [cell.text for cell in self.cells.column_texts(column)] if column > 0 else []
        return max((body.horizontalAdvance(text) for text in texts), default=px(20)) + px(16)


class _Painter(QStyledItemDelegate):
    """Paints names, counts on a shade that grows with them, and blind spots."""

    def __init__(self, table: TestMapTable) -> None:
        super().__init__(table)
        self._table = table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        table, tokens = self._table, tokens_now()
        cell: Cell = index.data(CELL_ROLE)
        rect: QRect = option.rect
        painter.save()
        if 0 < index.column() <= WEEK:
            self._paint_count(painter, rect, int(cell.quiet), cell.text, tokens)
        else:
            painter.setFont(font(Role.STRONG if cell.bold else Role.BODY))
            painter.setPen(QColor(getattr(tokens, cell.ink)))
            side = trailing(table) if cell.at_end else leading(table)
            pad = px(4) if cell.at_end else 0
            painter.drawText(
                rect.adjusted(pad, 0, -pad, 0), side | Qt.AlignmentFlag.AlignVCenter, cell.text
            )
        if table.hasFocus() and table.currentIndex() == index:
            paint_ring(painter, rect, tokens.ink, radius=2)
        painter.restore()

    def _paint_count(
        self, painter: QPainter, rect: QRect, count: int, text: str, tokens: Tokens
    ) -> None:
        area = QRectF(rect).adjusted(_GAP, _GAP, -_GAP, -_GAP)
        if count:
            depth = _PALEST + (_DARKEST - _PALEST) * count / self._table.most
            painter.fillRect(area, _mixed(tokens.page, tokens.spe, depth))
        else:
            paint_hatch(painter, area, tokens, text_scale())
        painter.setFont(font(Role.BODY if count else Role.STRONG))
        if not count:  # the hatch must not run through the digit
            wide = painter.fontMetrics().horizontalAdvance(text) + px(10)
            hole = QRectF(0, 0, wide, painter.fontMetrics().height())
            hole.moveCenter(area.center())
            painter.fillRect(hole & area, QColor(tokens.page))
        painter.setPen(QColor(tokens.ink))
        painter.drawText(area, Qt.AlignmentFlag.AlignCenter, text)


class TestMap(QWidget):
    """Title, table, and below it the blind spots in words."""

    __test__ = False

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = SectionTitle("", self)
        self.table = TestMapTable(self)
        self._words = Prose("", self, role=Role.SMALL, ink="ink2")
        self._outside = Prose("", self, role=Role.SMALL, ink="ink3")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(4))
        for widget in (self._title, self.table, self._words, self._outside):
            column.addWidget(widget)
        column.addStretch(1)

    def show_map(self, found: MapOfTests, person: Person) -> None:
        """Show the map of a period."""
        self._title.set_text(_title(found.period, person))
        self._title.set_note(tr("tests counted · hatched: none, so nothing would be seen there"))
        self.table.show_map(found)
        self._words.setText("\n".join(_sentence(each) for each in found.blind_spots))
        self._words.setVisible(bool(found.blind_spots))
        self._outside.setText(_outside(found))

    @property
    def words(self) -> str:
        """The blind spots in words."""
        return self._words.text()


def _title(period: Period, person: Person) -> str:
    return tr("Test map, {days} days to {day}").format(
        days=count_words(period.days),
        day=day_words(period.last, person.date_order, year=False),
    )


def _cells(row: MapRow, found: MapOfTests) -> list[Cell]:
    blind = row.is_blind or bool(row.never_on)
    slot = mark_name(row.slot)
    said = many(row.n, "{slot}: {n} test", "{slot}: {n} tests", slot=slot)
    if row.is_blind:
        said = tr("{said}, a blind spot").format(said=said)
    cells = [Cell(slot, said=said, bold=blind, at_end=False)]
    for day, count in enumerate(row.counts):
        words = many(
            count,
            "{slot}, {day}: {n} test on {days} days",
            "{slot}, {day}: {n} tests on {days} days",
            slot=slot,
            day=_weekday(day),
            days=count_words(found.weekdays[day]),
        )
        if not count:
            words = tr("{words}; nothing would be seen there").format(words=words)
        # The plain count travels beside its text, which is in the digits of the system.
        cells.append(Cell(count_words(count), str(count), said=words))
    cells.append(Cell(count_words(row.n), said=said, ink="ink2"))
    return cells


def _finding(found: MapOfTests) -> str:
    blind = [mark_name(row.slot) for row in found.rows if row.is_blind]
    said = many(found.n, "Test map, n {n} test", "Test map, n {n} tests")
    if blind:
        said = tr("{said}; blind spots: {slots}").format(said=said, slots=", ".join(blind))
    return said


def _outside(found: MapOfTests) -> str:
    on = many(found.days_with_readings, "{n} day", "{n} days")
    said = [many(found.n, "n {n} test on {days}", "n {n} tests on {days}", days=on)]
    if found.unmarked:
        said.append(many(found.unmarked, "{n} unmarked, in no slot", "{n} unmarked, in no slot"))
    said += [f"{mark_name(mark)} {count_words(count)}" for mark, count in found.others]
    return joined(said)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _weekday(day: int) -> str:
    return QLocale().dayName(day + 1, QLocale.FormatType.ShortFormat)


def _mixed(ground: str, over: str, depth: float) -> QColor:
    one, other = QColor(ground), QColor(over)
    pairs = ((one.red(), other.red()), (one.green(), other.green()), (one.blue(), other.blue()))
    return QColor(*(round(a + (b - a) * depth) for a, b in pairs))
