"""A window on fifty years of readings, and what a benchmark asks its pages."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from PySide6.QtCore import QEventLoop
from PySide6.QtWidgets import QApplication, QWidget

from app.ui.charts.chart import GlucoseChart
from app.ui.charts.density import DensityImage
from app.ui.charts.marks import ReadingMarks
from app.ui.job import Job
from app.ui.modal_day.page import ModalDayPage
from app.ui.page import Page
from app.ui.session import Session
from app.ui.window import Window
from tests.bench.readings import NOW, filled_diary


def opened_window(folder: Path) -> Window:
    """The window on fifty years of readings, as large as it usually is, seen and settled."""
    diary, _ = filled_diary(folder)
    window = Window(remember=None)
    window.fill(Session(diary, lambda: NOW, None))
    window.show()
    settle(window)
    return window


def settle(window: QWidget) -> None:
    """Let answers of other threads arrive, and everything be painted."""
    _answered(window)
    QApplication.processEvents()


def repainted_in(page: Page, change: Callable[[], object]) -> float:
    """Milliseconds from a change to the new picture of the page."""
    begun = time.perf_counter()
    change()
    _answered(page)
    page.grab()
    return (time.perf_counter() - begun) * 1e3


def _answered(widget: QWidget) -> None:
    """Wait in Qt's own loop: one of ours would keep the other thread from its work."""
    for job in widget.findChildren(Job):
        while job.busy:
            loop = QEventLoop()
            job.busy_changed.connect(loop.quit)
            loop.exec()


def charts_in(page: Page) -> list[GlucoseChart]:
    """The charts of a page that are seen."""
    return [chart for chart in page.findChildren(GlucoseChart) if chart.isVisible()]


def drawn_in(page: Page) -> int:
    """How many readings the chart of a page draws, as marks or in cells."""
    (chart,) = charts_in(page)
    items = [item for item in chart.scene().items() if item.isVisible()]
    marks = sum(int(item.data.size) for item in items if isinstance(item, ReadingMarks))
    for item in items:
        if isinstance(item, DensityImage) and isinstance(page, ModalDayPage):
            assert marks == 0
            assert page.found is not None
            assert page.found.density is not None
            count = page.found.density.count
            assert np.array_equal(item.image[..., 3] > 0, count > 0), "cells without ink"
            return int(count.sum())
    return marks


def texts_of(page: Page) -> str:
    """What is written on a page and told of it, numbers without marks between their digits."""
    return " | ".join(_texts(page)).replace(",", "").replace("\u00a0", " ")


def _texts(page: Page) -> Iterator[str]:
    for widget in page.findChildren(QWidget):
        text = getattr(widget, "text", None)
        if widget.isVisible() and callable(text):
            yield str(text())
        yield widget.accessibleName()
        yield widget.accessibleDescription()
