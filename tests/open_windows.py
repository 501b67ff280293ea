"""A window opened on a file as the program opens it, with its guard, a door and a clock."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication, QStackedWidget
from pytestqt.qtbot import QtBot

from app.look.theme import apply_theme
from app.look.tokens import LIGHT
from app.store.looking import Looking
from app.ui.blocked import Blocked
from app.ui.door import Door
from app.ui.fill import Filling, fill_window
from app.ui.job import Job
from app.ui.now import NowColumn
from app.ui.safety.guard import Guard
from app.ui.window import Window
from tests.households import NOW, new_diary, tilde, written

READ_ONLY = 4  # what os.access is asked for where it may


@dataclass(slots=True)
class Opened:
    """A window, what fills it, and a clock that can be set."""

    bot: QtBot
    window: Window
    filling: Filling
    clock: list[datetime]
    state: Path
    door: Door

    @property
    def guard(self) -> Guard:
        """What watches over the open diary."""
        assert self.window.guard is not None
        return self.window.guard

    @property
    def column(self) -> NowColumn:
        """The Now column."""
        found = [each for each in self.window.findChildren(NowColumn) if each.isVisible()]
        assert len(found) == 1
        return found[0]

    @property
    def notes(self) -> str:
        """All that the band says."""
        return " | ".join(self.window.band.sentences.values())

    @property
    def card(self) -> Blocked:
        """What stands in the place of the pages."""
        found = [each for each in self.window.findChildren(Blocked) if each.isVisible()]
        assert len(found) == 1
        return found[0]

    def settle(self) -> None:
        """Wait until the guard has begun and nothing is under way."""

        def is_quiet() -> bool:
            guard = self.window.guard
            waits = self.window.session is not None and guard is None
            busy = guard is not None and (guard.errands.busy or guard.asked.busy)
            jobs = any(job.busy for job in self.window.findChildren(Job))
            return not (waits or busy or jobs or self.filling.errands.busy)

        self.bot.waitUntil(is_quiet, timeout=20_000)

    def come_back(self) -> None:
        """Let the window come to the front again, as after another program had it."""
        QApplication.sendEvent(self.window, QEvent(QEvent.Type.ActivationChange))
        self.settle()

    def save(self, text: str) -> None:
        """Type a line and save it."""
        column = self.column
        column.line.setText(text)
        column.line.submitted.emit()
        self.bot.waitUntil(lambda: not column.saver.busy, timeout=10_000)


def a_diary(folder: Path, readings: int = 3, name: str = "diary.thimblebook") -> Path:
    """A diary of one person with a few readings, closed."""
    with new_diary(folder, name) as diary:
        person = tilde(diary)
        for number in range(readings):
            written(diary, person, f"2026-03-12T07:{number:02}", f"{5 + number % 5}.1")
        return diary.path


def runtime() -> Path:
    """Where bells hang: in the home of the test, since the path of a socket must be short."""
    return Path(os.environ["XDG_RUNTIME_DIR"]) / "bells"


def opened(
    bot: QtBot,
    path: Path,
    patch: pytest.MonkeyPatch,
    *,
    now: datetime = NOW,
    crashed: bool = False,
    prepare: Callable[[Window], object] | None = None,
) -> Opened:
    """Open a window on a file; its guard begins at once."""
    patch.setattr("app.ui.fill.READY_MS", 0)
    patch.setattr("app.ui.fill.HEARD_MS", 0)
    patch.setattr("app.ui.fill.DUE_MS", 0)
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    apply_theme(app, LIGHT)
    window = Window(remember=None)
    bot.addWidget(window)
    window.show()
    window.activateWindow()
    bot.waitUntil(window.isActiveWindow)
    clock, state = [now], path.parent / "state"
    door = Door(runtime(), lambda: clock[0])
    if prepare is not None:
        prepare(window)
    filling = fill_window(
        window,
        path,
        Looking(path),
        state,
        lambda: clock[0],
        person=None,
        door=door,
        crashed=crashed,
    )
    made = Opened(bot, window, filling, clock, state, door)
    made.settle()
    return made


def close(made: Opened) -> None:
    """Close the window as its person does."""
    made.window.close()
    made.door.leave()


def only_readable(patch: pytest.MonkeyPatch) -> None:
    """Let every file be one that can only be read, for root too."""
    patch.setattr("app.store.file.os.access", lambda _path, mode: mode == READ_ONLY)


def shows_pages(window: Window) -> bool:
    """Whether the pages are seen, and no card stands in their place."""
    root = window.centralWidget()
    assert isinstance(root, QStackedWidget)
    return root.currentIndex() == 0
