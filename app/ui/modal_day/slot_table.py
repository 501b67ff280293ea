"""The slots as columns below the chart, each tied to its island by a leader line."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.domain.glucose import Unit
from app.look.theme import follow_theme, tokens_now
from app.look.tokens import Tokens
from app.look.type import Role
from app.review.modal_day_slots import SlotBox
from app.ui.controls.drawing import px
from app.ui.modal_day.slot_column import (
    Broken,
    ColumnPainter,
    Letters,
    SlotTexts,
    broken,
    slot_texts,
)
from app.ui.modal_day.words import slot_sentence

_LEADER = 26
_GAP = 12
_ROW_GAP = 16


class SlotTable(QWidget):
    """Eight columns of equal width in the order of the axis; their numbers are also text."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._texts: tuple[SlotTexts, ...] = ()
        self._cells: list[QWidget] = []
        self._leaders: tuple[float | None, ...] = ()
        self._span = (0.0, 1.0)
        self._columns: tuple[Broken, ...] = ()
        self._heights: tuple[float, ...] = ()
        self._across, self._width, self._name = 8, 1.0, Role.STRONG
        self._letters = Letters()
        # The columns follow the chart above, whose time runs to the right in every language.
        self.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def show_slots(self, slots: Sequence[SlotBox], unit: Unit) -> None:
        """Show these slots."""
        self._texts = tuple(slot_texts(slot, unit) for slot in slots)
        while len(self._cells) < len(slots):
            self._cells.append(_cell(self))
        for cell, slot in zip(self._cells, slots, strict=True):
            cell.setAccessibleName(slot_sentence(slot, unit))
            cell.setToolTip(slot_sentence(slot, unit))
        self._arrange()

    def sentences(self) -> list[str]:
        """All numbers of the slots as text, column by column."""
        return [cell.accessibleName() for cell in self._cells]

    def tie(self, leaders: Sequence[float | None], left: float, right: float) -> None:
        """Lead from these px of the chart, one for each slot, to columns between two edges."""
        if (tuple(leaders), (left, right)) == (self._leaders, self._span):
            return
        moved = (left, right) != self._span or bool(leaders) != bool(self._leaders)
        self._leaders, self._span = tuple(leaders), (left, right)
        if moved:
            self._arrange()
        self.update()

    def sizeHint(self) -> QSize:
        rows = -(-len(self._texts) // self._across)
        tall = self._first_top() + rows * self._row_tall() - px(_ROW_GAP) + px(4)
        return QSize(px(560), round(tall) if rows else 0)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(240), self.sizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        if self._has_leaders():
            self._paint_leaders(painter, tokens)
        writer = ColumnPainter(painter, tokens, self._letters, self._width, self._name)
        for at, column in enumerate(self._columns):
            area = self._area(at)
            painter.fillRect(QRectF(area.left(), area.top(), area.width(), 1), QColor(tokens.edge))
            writer.paint(column, area.topLeft(), self._heights)
        painter.end()

    def _arrange(self) -> None:
        """Choose how many columns stand side by side, and break their texts."""
        room = self._span[1] - self._span[0]

        def fits(across: int, name: Role) -> bool:
            width = room / across - px(_GAP)
            return all(self._letters.longest_word(each, name) <= width for each in self._texts)

        self._across = next((a for a in (8, 4, 2) if fits(a, Role.SMALL_STRONG)), 1)
        strong = fits(self._across, Role.STRONG)
        self._name = Role.STRONG if strong else Role.SMALL_STRONG
        self._width = max(room / self._across - px(_GAP), 1.0)
        self._columns = tuple(
            broken(each, self._letters, self._width, self._name) for each in self._texts
        )
        parts = zip(*(column.heights for column in self._columns), strict=True)
        self._heights = tuple(max(part) for part in parts)
        for at, cell in enumerate(self._cells):
            cell.setGeometry(self._area(at).toAlignedRect())
        self.updateGeometry()
        self.update()

    def _has_leaders(self) -> bool:
        """Whether the columns stand side by side below a chart that is tied to them."""
        return bool(self._leaders) and self._across == 8

    def _first_top(self) -> float:
        return float(px(_LEADER) if self._has_leaders() else px(8))

    def _row_tall(self) -> float:
        return sum(self._heights) + px(_ROW_GAP)

    def _area(self, at: int) -> QRectF:
        row, place = divmod(at, self._across)
        left = self._span[0] + place * (self._span[1] - self._span[0]) / self._across
        top = self._first_top() + row * self._row_tall()
        return QRectF(left, top, self._width, sum(self._heights))

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
        self._letters = Letters()
        self._arrange()


def _cell(parent: QWidget) -> QWidget:
    """A place for screen readers and the tool tip over a column; it paints nothing."""
    cell = QWidget(parent)
    cell.show()
    return cell
