"""A window that reminds, with both clocks in the hand of a test."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.look.theme import apply_theme
from app.look.tokens import LIGHT
from app.store.diary import Diary
from app.ui.due.part import DuePart
from app.ui.due.reminding import Reminding
from app.ui.session import Session
from app.ui.window import Window
from tests.windows import settle


@dataclass(slots=True)
class Clock:
    """The wall clock, which can be set, and the running one, which only goes forward."""

    wall: datetime
    running: float = 0.0

    def passes(self, seconds: float) -> None:
        """Time goes on, on both."""
        self.wall += timedelta(seconds=seconds)
        self.running += seconds

    def sleeps(self, seconds: float) -> None:
        """The computer is suspended: only the wall clock knows."""
        self.wall += timedelta(seconds=seconds)

    def set_by(self, seconds: float) -> None:
        """Somebody sets the wall clock."""
        self.wall += timedelta(seconds=seconds)


@dataclass(slots=True)
class Desk:
    """The window, what reminds in it, the clocks, and the beeps that were heard."""

    bot: QtBot
    window: Window
    session: Session
    part: DuePart
    reminding: Reminding
    clock: Clock
    beeps: list[datetime] = field(default_factory=list)

    def look(self) -> None:
        """Let it look at the clocks, as it does on every tick."""
        self.part.watch.look_again()
        settle(self.bot, self.window)

    def after(self, seconds: float) -> None:
        """Time passes; then it looks."""
        self.clock.passes(seconds)
        self.look()

    def close(self) -> None:
        """Close the window, as at the end of a day."""
        self.window.close()

    @property
    def told(self) -> tuple[str, ...]:
        """What the bar tells of now."""
        return self.reminding.now.lines

    @property
    def missed(self) -> tuple[str, ...]:
        """What the panel tells as past."""
        return self.reminding.missed.lines


def reminded(
    bot: QtBot,
    diary: Diary,
    now: datetime,
    *,
    has_tray: Callable[[], bool] = lambda: False,
) -> Desk:
    """Open a window on a diary at a time, and let it remind."""
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    apply_theme(app, LIGHT)
    clock, beeps = Clock(now), list[datetime]()
    window = Window(remember=None)
    bot.addWidget(window)
    window.resize(1280, 800)
    session = Session(diary, lambda: clock.wall, None)
    window.fill(session, whole=False)
    window.show()
    window.activateWindow()
    bot.waitUntil(window.isActiveWindow)
    column = window._now
    assert column is not None
    part = column.add_dues(running=lambda: clock.running)
    reminding = Reminding(
        window, session, part, has_tray=has_tray, beep=lambda: beeps.append(clock.wall)
    )
    settle(bot, window)
    return Desk(bot, window, session, part, reminding, clock, beeps)
