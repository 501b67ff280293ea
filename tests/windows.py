"""A whole window in front of a small diary, as the program shows it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.domain.marks import Mark
from app.domain.person import Person
from app.look.theme import apply_theme
from app.look.tokens import LIGHT
from app.store.diary import Diary
from app.ui.job import Job
from app.ui.session import Session
from app.ui.window import Window
from tests.households import NOW, new_diary, tilde, written

MARKS = (Mark.WAKING, Mark.BEFORE_LUNCH, Mark.AFTER_EVENING_MEAL, Mark.NONE)


def three_weeks(diary: Diary) -> Person:
    """Write four readings on each of three weeks of days, lows and highs among them."""
    person = tilde(diary, targets="ispad-2022")
    for day in range(20):
        on = f"2026-{2 + (20 + day) // 29:02}-{1 + (20 + day) % 28:02}"
        for at, (hour, mark) in enumerate(zip((7, 12, 20, 22), MARKS, strict=True)):
            value = f"{3 + (day * 7 + at * 5) % 12}.{(day + at) % 10}"
            written(diary, person, f"{on}T{hour:02}:{day:02}", value, mark)
    return person


def shown(
    bot: QtBot,
    folder: Path,
    fill: Callable[[Diary], object] = three_weeks,
    *,
    remember: Path | None = None,
    now: datetime = NOW,
    size: tuple[int, int] = (1280, 800),
) -> Window:
    """Show a window on a new diary that `fill` put people and readings into."""
    diary = new_diary(folder)
    fill(diary)
    return shown_on(bot, diary, remember=remember, now=now, size=size)


def shown_on(
    bot: QtBot,
    diary: Diary,
    *,
    remember: Path | None = None,
    now: datetime = NOW,
    size: tuple[int, int] | None = (1280, 800),
) -> Window:
    """Show a window on a diary that is there."""
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    apply_theme(app, LIGHT)
    window = Window(remember=remember)
    bot.addWidget(window)
    if size is not None:
        window.resize(*size)
    window.fill(Session(diary, lambda: now, None))
    window.show()
    window.activateWindow()
    bot.waitUntil(window.isActiveWindow)
    settle(bot, window)
    return window


def settle(bot: QtBot, window: Window) -> None:
    """Wait until no question is open any more."""
    quiet = 0

    def is_quiet() -> bool:
        nonlocal quiet
        quiet = 0 if any(job.busy for job in window.findChildren(Job)) else quiet + 1
        return quiet > 12  # the charts ask a twentieth of a second after the last change

    bot.waitUntil(is_quiet, timeout=10_000)
    QTest.qWait(0)
