"""Tab goes as the eye does, also over boxes that were made after what stands below them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLayout, QWidget


def tab_as_the_eye_goes(root: QWidget) -> None:
    """Put everything inside a widget that Tab comes to into the order of its layouts."""
    for before, after in pairwise(_stops(root)):
        QWidget.setTabOrder(before, after)


def _stops(widget: QWidget) -> Iterator[QWidget]:
    if widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
        yield widget  # what is inside it, as the list of a choice, is its own matter
        return
    layout = widget.layout()
    if layout is not None:
        yield from _in_layout(layout)
        return
    for child in widget.children():
        if isinstance(child, QWidget) and not child.isWindow():
            yield from _stops(child)


def _in_layout(layout: QLayout) -> Iterator[QWidget]:
    for at in range(layout.count()):
        item = layout.itemAt(at)
        if item is None:
            continue
        widget, below = item.widget(), item.layout()
        if widget is not None:
            yield from _stops(widget)
        elif below is not None:
            yield from _in_layout(below)
