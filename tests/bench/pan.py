"""Goal 3: pan and zoom of each chart with all fifty years in it, beside an empty plot's redraw.

The empty plot has the size of the chart, and is panned or zoomed as much. The readings drawn are
counted before and after.
"""

from __future__ import annotations

import os
import sys
import tempfile
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from tests.bench.measure import alternated, report
from tests.bench.pages import charts_in, drawn_in, opened_window, settle
from tests.bench.readings import FIFTY_YEARS, LAST_DAY

if TYPE_CHECKING:
    from app.ui.page import Page
    from app.ui.window import Window

GOAL = 3.0
_NEAR, _CLOSER = 0.9, 0.8


def main() -> int:
    """Measure Day, and Modal day by the clock and by slot; goal 3."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtWidgets import QApplication

    app = QApplication(["bench"])
    with tempfile.TemporaryDirectory() as folder:
        window = opened_window(Path(folder))
        assert window.session is not None
        window.session.show_days(50 * 366, date.fromordinal(LAST_DAY))
        reached = [
            *_measured(window, "day", "Day", 4),
            *_measured(window, "modal-day", "Modal day", FIFTY_YEARS),
        ]
        (by_slot,) = [action for _, action in window.page("modal-day").menu_actions()]
        by_slot.setChecked(True)
        reached += _measured(window, "modal-day", "Modal day by slot", FIFTY_YEARS)
        window.close()
        app.processEvents()
    return not all(reached)


def _measured(window: Window, key: str, name: str, n: int) -> list[bool]:
    import pyqtgraph as pg

    window.show_page(key)
    page = window.page(key)
    settle(window)
    _look_at(page, n)
    (chart,) = charts_in(page)
    empty = pg.PlotWidget()
    empty.resize(chart.size())
    (left, right), (bottom, top) = chart.getViewBox().viewRange()
    empty.setRange(xRange=(left, right), yRange=(bottom, top), padding=0)
    empty.disableAutoRange()
    empty.show()
    for plot in (empty, chart):  # who sees everything can't go aside
        plot.getViewBox().scaleBy((_NEAR, _NEAR))
    begun = chart.getViewBox().viewRange()
    step = (right - left) / 100

    def pan(plot: pg.PlotWidget, turn: list[int]) -> None:
        turn[0] += 1
        plot.getViewBox().translateBy(x=step if turn[0] % 2 else -step)
        plot.grab()

    def zoom(plot: pg.PlotWidget, turn: list[int]) -> None:
        turn[0] += 1
        closer = _CLOSER if turn[0] % 2 else 1 / _CLOSER
        plot.getViewBox().scaleBy((closer, closer))
        plot.grab()

    turns = [[0], [0], [0], [0]]
    found = alternated(
        {
            "empty pan": lambda: pan(empty, turns[0]),
            "pan": lambda: pan(chart, turns[1]),
            "empty zoom": lambda: zoom(empty, turns[2]),
            "zoom": lambda: zoom(chart, turns[3]),
        },
        rounds=31,
    )
    assert np.allclose(chart.getViewBox().viewRange(), begun), "it did not come back"
    _look_at(page, n)
    empty.close()
    return [
        report(f"{name}: pan", found["pan"], found["empty pan"], GOAL),
        report(f"{name}: zoom", found["zoom"], found["empty zoom"], GOAL),
    ]


def _look_at(page: Page, n: int) -> None:
    assert drawn_in(page) == n, (drawn_in(page), n)


if __name__ == "__main__":
    sys.exit(main())
