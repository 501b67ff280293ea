"""Goal 2: from the change of a period to the page repainted, beside an empty repaint of that page.

90 days may take 4 times an empty repaint, all fifty years 8 times: the 95th percentile, with what
is worked out in another thread. On Day the period is one day, in the midst of the fifty years. The
Figures page is higher than a window; it is measured in one so high that everything on it is seen,
by the change and by the empty repaint alike. The picture is looked at too, so that nothing
is won by drawing less.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

import numpy as np

from tests.bench.measure import report
from tests.bench.pages import drawn_in, opened_window, repainted_in, settle, texts_of
from tests.bench.readings import LAST_DAY, invented

if TYPE_CHECKING:
    from app.ui.page import Page
    from app.ui.window import Window

CHANGES, CHANGES_OF_ALL = 100, 40
TODAY = date.fromordinal(LAST_DAY)
FIFTY_YEARS_DAYS = 50 * 365
_DAYS = invented()["day"]

Change = Callable[["Page", int], None]


def to_day(page: Page, turn: int) -> None:
    """Another day of the fifty years."""
    page.session.show_day(TODAY - timedelta(days=7 + 181 * turn))


def to_90(page: Page, turn: int) -> None:
    """Another 90 days of the fifty years."""
    page.session.show_days(90, TODAY - timedelta(days=7 + 181 * turn))


def to_all(page: Page, turn: int) -> None:
    """Fifty years that end on another day."""
    page.session.show_days(FIFTY_YEARS_DAYS, TODAY - timedelta(days=turn))


CASES: tuple[tuple[str, str, Change, int, float], ...] = (
    ("Day, another day", "day", to_day, CHANGES, 4),
    ("Modal day, 90 days", "modal-day", to_90, CHANGES, 4),
    ("Modal day, 50 years", "modal-day", to_all, CHANGES_OF_ALL, 8),
    ("Figures, 90 days", "figures", to_90, CHANGES, 4),
    ("Figures, 50 years", "figures", to_all, CHANGES_OF_ALL, 8),
)


def main() -> int:
    """Measure each page; an empty repaint follows each change, so that both drift alike."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtWidgets import QApplication

    app = QApplication(["bench"])
    with tempfile.TemporaryDirectory() as folder:
        window = opened_window(Path(folder))
        reached = [_measured(window, *case) for case in CASES]
        window.close()
        app.processEvents()
    return not all(reached)


def _measured(window: Window, name: str, key: str, change: Change, turns: int, goal: float) -> bool:
    from app.ui.figures.page import FiguresPage

    window.show_page(key)
    page = window.page(key)
    change(page, turns)
    settle(window)
    if isinstance(page, FiguresPage):
        beyond = page.area.verticalScrollBar().maximum()
        window.resize(window.width(), window.height() + beyond)
        settle(window)
    took, floor = [], []
    for turn in range(turns):
        took.append(repainted_in(page, partial(change, page, turn)))
        settle(window)
        _look_at(page)
        floor.append(repainted_in(page, lambda: None))
    print(f"    {name:<44} median {median(took):6.1f} ms")
    return report(f"{name}, p95", float(np.percentile(took, 95)), median(floor), goal)


def _look_at(page: Page) -> None:
    """Every reading of the period asked for is drawn, or counted and told."""
    session = page.session
    first = last = session.day.toordinal()
    if page.key != "day":
        first, last = session.period.first.toordinal(), session.period.last.toordinal()
    inside = _DAYS[(first <= _DAYS) & (last >= _DAYS)]
    n, days = inside.size, np.unique(inside).size
    told = texts_of(page)
    if page.key == "figures":
        assert f"n {n} readings on {days} days" in told, told
        return
    assert drawn_in(page) == n
    assert f"{n} readings" in told, told


if __name__ == "__main__":
    sys.exit(main())
