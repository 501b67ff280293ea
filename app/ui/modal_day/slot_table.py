"""The slots as columns below the chart, each tied to its island by a leader line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.domain.glucose import Unit
from app.domain.levels import Level
from app.look.marks import MarkLook, paint_mark
from app.look.theme import follow_theme, tokens_now
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.modal_day_slots import SlotBox
from app.ui.controls.drawing import px
from app.ui.modal_day.words import figure_text, goal_text, range_text, slot_sentence, tr
from app.ui.now.words import number_words

_LEADER = 26
_GAP = 12
_SIGN = 14


@dataclass(frozen=True, slots=True)
class _Column:
    """The texts of one slot, before they are broken into lines."""

    head: str
    name: str
    number: str
    half: str
    few: str
    n: str
    goal: str
    lows: int
    far_low: bool
    highs: int
    far_high: bool


class SlotTable(QWidget):
    """Eight columns of equal width in the order of the day; their numbers are also said as text."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._columns: tuple[_Column, ...] = ()
        self._cells: list[_Cell] = []
        self._leaders: tuple[float | None, ...] = ()
        self._span = (0.0, 0.0)
        self._tall = 0
        # The columns follow the chart above, whose time runs to the right in every language.
        self.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def show_slots(self, slots: Sequence[SlotBox], unit: Unit) -> None:
        """Show these slots."""
        self._columns = tuple(_column(slot, unit) for slot in slots)
        while len(self._cells) < len(slots):
            self._cells.append(_Cell(self))
        for cell, slot in zip(self._cells, slots, strict=True):
            cell.setAccessibleName(slot_sentence(slot, unit))
            cell.setToolTip(slot_sentence(slot, unit))
        self._restyle()

    def tie(self, leaders: Sequence[float | None], left: float, right: float) -> None:
        """Lead from these px of the chart, one for each slot, to columns between two edges."""
        self._leaders, self._span = tuple(leaders), (left, right)
        self._restyle()

    def sizeHint(self) -> QSize:
        return QSize(px(560), self._tall)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(240), self._tall)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._restyle()

    def paintEvent(self, _event: QPaintEvent) -> None:
        if not self._columns:
            return
        painter, tokens = QPainter(self), tokens_now()
        if self._has_leaders:
            self._paint_leaders(painter, tokens)
        writer = _Writer(painter, tokens, self._column_width(), self._name_role)
        heights = self._heights()
        for at, column in enumerate(self._columns):
            area = self._area(at)
            painter.fillRect(QRectF(area.left(), area.top(), area.width(), 1), QColor(tokens.edge))
            writer.write(column, area.topLeft(), heights)
        painter.end()

    def _fits(self, across: int, name: Role) -> bool:
        metrics = QFontMetricsF(font(name))
        numbers = QFontMetricsF(font(Role.SLOT))
        widest = max(
            (
                max(
                    *(metrics.horizontalAdvance(word) for word in column.name.split()),
                    numbers.horizontalAdvance(column.number),
                )
                for column in self._columns
            ),
            default=0.0,
        )
        return widest <= (self._span[1] - self._span[0]) / across - px(_GAP)

    @property
    def _has_leaders(self) -> bool:
        """Whether the columns stand side by side below a chart that is tied to them."""
        return bool(self._leaders) and self._across == 8

    @property
    def _across(self) -> int:
        return next((a for a in (8, 4, 2) if self._fits(a, Role.SMALL_STRONG)), 1)

    @property
    def _name_role(self) -> Role:
        return Role.STRONG if self._fits(self._across, Role.STRONG) else Role.SMALL_STRONG

    def _column_width(self) -> float:
        return max((self._span[1] - self._span[0]) / self._across - px(_GAP), 1.0)

    def _heights(self) -> list[float]:
        writer = _Writer(None, tokens_now(), self._column_width(), self._name_role)
        rows = [writer.heights(column) for column in self._columns]
        return [max(parts) for parts in zip(*rows, strict=True)] if rows else []

    def _area(self, at: int) -> QRectF:
        across, (left, right) = self._across, self._span
        step = (right - left) / across
        row, place = divmod(at, across)
        top = (px(_LEADER) if self._has_leaders else px(8)) + row * (sum(self._heights()) + px(16))
        return QRectF(left + place * step, top, step - px(_GAP), sum(self._heights()))

    def _paint_leaders(self, painter: QPainter, tokens: Tokens) -> None:
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(tokens.spe), 1))
        tall = float(px(_LEADER))
        for at, start in enumerate(self._leaders):
            if start is None:
                continue
            end = self._area(at).center().x()
            path = QPainterPath(QPointF(start, 2))
            path.cubicTo(QPointF(start, tall * 0.75), QPointF(end, tall * 0.25), QPointF(end, tall))
            painter.drawPath(path)
        painter.restore()

    def _restyle(self) -> None:
        if self._columns:
            rows = -(-len(self._columns) // self._across)
            self._tall = round(self._area(8 - self._across).bottom() + px(4)) if rows else 0
        for at, cell in enumerate(self._cells):
            cell.setGeometry(self._area(at).toAlignedRect())
        self.updateGeometry()
        self.update()


class _Cell(QWidget):
    """A column for screen readers and the tool tip; it paints nothing."""


class _Writer:
    """Breaks the texts of a column into lines and writes them."""

    def __init__(self, painter: QPainter | None, tokens: Tokens, width: float, name: Role) -> None:
        self._painter, self._tokens, self._width, self._name = painter, tokens, width, name

    def heights(self, column: _Column) -> list[float]:
        """The height of each part, from above."""
        goal = self._lines(column.goal, Role.SMALL) if self._has_goals else ()
        return [
            px(6),
            _tall(Role.SMALL),
            _tall(self._name) * len(self._lines(column.name, self._name)),
            px(3),
            max(
                _tall(Role.SLOT) + self._half_tall(column),
                _tall(Role.BODY) * len(self._lines(column.few, Role.BODY)),
            ),
            self._n_tall(column) + px(2),
            _tall(Role.SMALL) * len(goal),
        ]

    def write(self, column: _Column, at: QPointF, heights: Sequence[float]) -> None:
        """Write a column from its upper left corner on, its parts as high as its neighbours'."""
        tops = [at.y()]
        for height in heights:
            tops.append(tops[-1] + height)
        t = self._tokens
        self._text(column.head, Role.SMALL, t.ink3, at.x(), tops[1])
        for row, line in enumerate(self._lines(column.name, self._name)):
            self._text(line, self._name, t.ink, at.x(), tops[2] + row * _tall(self._name))
        if column.few:
            lines = self._lines(column.few, Role.BODY)
            drop = max(_tall(Role.SLOT) - _tall(Role.BODY), 0) * 0.7 if len(lines) == 1 else 0
            for row, line in enumerate(lines):
                top = tops[4] + drop + row * _tall(Role.BODY)
                self._text(line, Role.BODY, t.ink2, at.x(), top)
        else:
            self._text(column.number, Role.SLOT, t.ink, at.x(), tops[4])
            wide = QFontMetricsF(font(Role.SLOT)).horizontalAdvance(column.number)
            deep = (
                QFontMetricsF(font(Role.SLOT)).ascent() - QFontMetricsF(font(Role.SMALL)).ascent()
            )
            if self._half_tall(column):
                self._text(column.half, Role.SMALL, t.ink2, at.x(), tops[4] + _tall(Role.SLOT))
            else:
                self._text(column.half, Role.SMALL, t.ink2, at.x() + wide + px(8), tops[4] + deep)
        self._write_n(column, at.x(), tops[5])
        goal = self._lines(column.goal, Role.SMALL) if self._has_goals else ()
        for row, line in enumerate(goal):
            self._text(line, Role.SMALL, t.ink3, at.x(), tops[6] + row * _tall(Role.SMALL))

    @property
    def _has_goals(self) -> bool:
        """Where it is narrow, hits against the goal are left to the tool tip."""
        return self._name is Role.STRONG

    def _write_n(self, column: _Column, left: float, top: float) -> None:
        self._text(column.n, Role.SMALL, self._tokens.ink3, left, top)
        wraps = self._n_tall(column) > _tall(Role.SMALL) * 1.5
        at = left if wraps else left + self._wide(column.n, Role.SMALL) + px(10)
        top = top + _tall(Role.SMALL) if wraps else top
        signs = (
            (column.lows, Level.VERY_LOW if column.far_low else Level.LOW),
            (column.highs, Level.VERY_HIGH if column.far_high else Level.HIGH),
        )
        for count, level in signs:
            if not count or self._painter is None:
                continue
            middle = QPointF(at + px(_SIGN) / 2, top + _tall(Role.SMALL) / 2)
            paint_mark(self._painter, middle, MarkLook(level), self._tokens, text_scale() * 0.9)
            at += px(_SIGN) + px(2)
            text = number_words(str(count))
            self._text(text, Role.SMALL_STRONG, self._tokens.level_text(level), at, top)
            at += self._wide(text, Role.SMALL_STRONG) + px(8)

    def _n_tall(self, column: _Column) -> float:
        wide = self._wide(column.n, Role.SMALL)
        for count in (column.lows, column.highs):
            if count:
                wide += px(_SIGN + 12) + self._wide(str(count), Role.SMALL_STRONG)
        return _tall(Role.SMALL) * (2 if wide > self._width and wide > 0 else 1)

    def _half_tall(self, column: _Column) -> float:
        """The height of a line of its own for the middle half, where it does not fit beside."""
        number = QFontMetricsF(font(Role.SLOT)).horizontalAdvance(column.number)
        beside = number + px(8) + self._wide(column.half, Role.SMALL)
        return _tall(Role.SMALL) if column.half and beside > self._width else 0.0

    def _lines(self, text: str, role: Role) -> list[str]:
        lines: list[str] = []
        for word in text.split():
            joined = f"{lines[-1]} {word}" if lines else word
            if lines and self._wide(joined, role) <= self._width:
                lines[-1] = joined
            else:
                lines.append(word)
        return lines or [""]

    def _wide(self, text: str, role: Role) -> float:
        return QFontMetricsF(font(role)).horizontalAdvance(text)

    def _text(self, text: str, role: Role, ink: str, left: float, top: float) -> None:
        if self._painter is None or not text:
            return
        self._painter.setFont(font(role))
        self._painter.setPen(QColor(ink))
        metrics = QFontMetricsF(self._painter.font())
        kept = metrics.elidedText(text, Qt.TextElideMode.ElideRight, self._width + px(_GAP) - 1)
        self._painter.drawText(QPointF(left, top + metrics.ascent()), kept)


def _column(slot: SlotBox, unit: Unit) -> _Column:
    words = tr(slot.mark.words)
    head, _, rest = words.partition(" ") if "_" in slot.mark.value else ("", "", words)
    few = "" if slot.has_box else tr("never tested") if not slot.n else tr("too few")
    return _Column(
        head=head,
        name=rest,
        number="" if few else figure_text(slot.median, unit),
        half="" if few else range_text(slot, unit),
        few=few,
        n=tr("n {n}").format(n=number_words(str(slot.n))),
        goal=goal_text(slot),
        lows=slot.lows,
        far_low=bool(slot.far_lows) and slot.far_lows == slot.lows,
        highs=slot.highs,
        far_high=bool(slot.far_highs) and slot.far_highs == slot.highs,
    )


def _tall(role: Role) -> float:
    return QFontMetricsF(font(role)).height()
