"""A Now column in front of a small diary, worked by real keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.domain.person import Person
from app.domain.reading import Reading
from app.look.theme import apply_theme
from app.look.tokens import LIGHT
from app.store.diary import Diary
from app.store.readings import readings_of
from app.ui.job import Job
from app.ui.now import NowColumn
from app.ui.session import Session
from tests.households import new_diary, tilde

EVENING = datetime(2026, 3, 12, 21, 30, tzinfo=UTC)  # in Lisbon the same wall time


@dataclass(slots=True)
class Desk:
    """What stands on it: the diary, the session, the column, and a clock that can be set."""

    bot: QtBot
    diary: Diary
    session: Session
    column: NowColumn
    clock: list[datetime]

    def type(self, text: str) -> None:
        """Type into the entry line, letter by letter."""
        for letter in text:
            if letter.isascii():
                QTest.keyClicks(self.column.line, letter)
            else:  # keyClicks knows ASCII alone: the key events of other keyboards, as Qt gets them
                for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                    key = QKeyEvent(kind, ord(letter), Qt.KeyboardModifier.NoModifier, letter)
                    QApplication.sendEvent(self.column.line, key)

    def press(self, *keys: Qt.Key) -> None:
        """Press keys where the focus is."""
        for key in keys:
            QTest.keyClick(focused(), key)

    def save(self, text: str = "") -> None:
        """Type, press Enter, and wait until it is saved or refused."""
        self.type(text)
        QTest.keyClick(self.column.line, Qt.Key.Key_Return)
        self.wait()

    def wait(self) -> None:
        """Wait until nothing is being saved."""
        self.bot.waitUntil(lambda: not self.column.saver.busy, timeout=10_000)

    def readings(self, person: Person | None = None) -> list[Reading]:
        """What the diary holds."""
        return readings_of(self.diary, person or self.session.person)

    def close(self) -> None:
        """Take everything down as the window does."""
        for job in self.column.findChildren(Job):
            job.close()
        self.session.close()
        self.diary.close()


def desk(
    bot: QtBot,
    folder: Path,
    fill: Callable[[Diary], object] = tilde,
    *,
    now: datetime = EVENING,
    width: int = 292,
) -> Desk:
    """Open a column on a new diary that `fill` put people and readings into."""
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    apply_theme(app, LIGHT)
    diary = new_diary(folder)
    fill(diary)
    clock = [now]
    session = Session(diary, lambda: clock[0], None)
    column = NowColumn(session)
    bot.addWidget(column)
    column.setFixedWidth(width)
    column.resize(width, 772)
    column.show()
    column.activateWindow()
    bot.waitUntil(column.isActiveWindow)
    column.take_focus()
    return Desk(bot, diary, session, column, clock)


def focused() -> QWidget:
    """The widget that has the keyboard."""
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget
