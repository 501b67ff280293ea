"""Small things in a row that go on in the next line where the column is narrow."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QEvent, QRect, QSize
from PySide6.QtGui import QFontMetrics, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QLabel, QWidget

from app.ui.controls.drawing import mirrored, px
from app.ui.controls.wrapping import hfw_policy

_LEAST = 1.8  # times its smallest width: narrower, a label goes to the next line

Placed = list[tuple[QWidget, QRect]]


class FlowRow(QWidget):
    """Its items from the leading side on; labels of different sizes stand on one line.

    Parameters
    ----------
    items : sequence of QWidget
        Become children; hidden ones take no room.
    gap : float
        Between items, at a text size of 13 px.
    last_far : bool
        The last item stands at the far end of its line.
    above : float
        Room above the first line; with nothing in it, the row has no height at all.
    """

    def __init__(
        self,
        items: Sequence[QWidget],
        parent: QWidget | None = None,
        *,
        gap: float = 8,
        last_far: bool = False,
        above: float = 0,
    ) -> None:
        super().__init__(parent)
        self._items, self._gap, self._last_far = tuple(items), gap, last_far
        self._above = above
        for item in self._items:
            item.setParent(self)
        self.setSizePolicy(hfw_policy())

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._placed(width)[1]

    def sizeHint(self) -> QSize:
        shown = self._shown()
        wide = sum(_wide(item) for item in shown) + px(self._gap) * max(0, len(shown) - 1)
        return QSize(wide, self._high(item.sizeHint().height() for item in shown))

    def minimumSizeHint(self) -> QSize:
        shown = self._shown()
        return QSize(
            max((max(_least(item), item.minimumWidth()) for item in shown), default=0),
            self._high(item.minimumSizeHint().height() for item in shown),
        )

    def event(self, event: QEvent) -> bool:
        if event.type() is QEvent.Type.LayoutRequest:
            self.updateGeometry()
            self._place()
        return super().event(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.updateGeometry()
        self._place()

    def settle(self) -> None:
        """Lay out anew after an item changed."""
        self.updateGeometry()
        self._place()

    def _high(self, heights: Iterable[int]) -> int:
        high = max(heights, default=0)
        return high + px(self._above) if high and self._above else high

    def _shown(self) -> list[QWidget]:
        return [
            item
            for item in self._items
            if not (item.isHidden() or (isinstance(item, QLabel) and not item.text()))
            and item.sizeHint().width()
        ]

    def _place(self) -> None:
        for item, area in self._placed(self.width())[0]:
            item.setGeometry(mirrored(self, area))

    def _placed(self, width: int) -> tuple[Placed, int]:
        lines: list[list[tuple[QWidget, int]]] = []
        used, gap = 0, px(self._gap)
        shown = self._shown()
        for item in shown:
            wide = min(_wide(item), width)
            if lines:
                left = width - used - gap
                if self._last_far and item is not shown[-1]:
                    left -= shown[-1].sizeHint().width() + gap
                if wide > left >= _LEAST * _least(item) and _wraps(item):
                    wide = left  # words wrap beside their number rather than below it
            if not lines or used + gap + wide > width:
                lines.append([])
                used = -gap
            lines[-1].append((item, wide))
            used += gap + wide
        placed: Placed = []
        top = px(self._above) if lines and self._above else 0
        for line in lines:
            top += self._put(line, top, width, placed)
        return placed, top

    def _put(self, line: Sequence[tuple[QWidget, int]], top: int, width: int, to: Placed) -> int:
        items = [item for item, _ in line]
        sizes = [_fitting(item, wide) for item, wide in line]
        rises = [_ascent(item) for item in items]
        rise = max((one for one in rises if one is not None), default=0)
        words = max(
            (rise - up + size.height() for size, up in zip(sizes, rises, strict=True) if up),
            default=0,
        )
        height = max(words, *(size.height() for size in sizes))
        left = 0
        for item, size, up in zip(items, sizes, rises, strict=True):
            down = (
                (height - size.height()) // 2 if up is None else (height - words) // 2 + rise - up
            )
            is_far = self._last_far and item is self._items[-1] and len(line) > 1
            at = width - size.width() if is_far else left
            to.append((item, QRect(at, top + down, size.width(), size.height())))
            left += size.width() + px(self._gap)
        return height


def _fitting(item: QWidget, wide: int) -> QSize:
    return QSize(wide, item.heightForWidth(wide) if _wraps(item) else item.sizeHint().height())


def _wide(item: QWidget) -> int:
    """How wide it would like to be; a column of names may ask for more than its text."""
    return max(item.sizeHint().width(), item.minimumWidth())


def _least(item: QWidget) -> int:
    return item.minimumSizeHint().width()


def _wraps(item: QWidget) -> bool:
    return item.hasHeightForWidth()


def _ascent(item: QWidget) -> int | None:
    """How far below its top the text of a label stands; None for what is no text."""
    return QFontMetrics(item.font()).ascent() if isinstance(item, QLabel) else None
