"""A file brought in through the whole window, by keyboard."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.domain.reading import Reading
from app.store.diary import Diary
from app.store.readings import readings_of
from app.ui.bring_in.assistant import Assistant
from app.ui.bring_in.body import Body
from app.ui.bring_in.rows import Column
from app.ui.controls import Choice
from app.ui.readings.page import ReadingsPage
from app.ui.session import Session
from app.ui.window import Window
from app.work.bring_in import BroughtIn
from tests.households import NOW, tilde
from tests.windows import settle, shown

Key = Qt.Key
SHIFT_CTRL = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
_MOST_STEPS = 120


@dataclass(slots=True)
class Importing:
    """The window with a file, and hands on the keyboard."""

    bot: QtBot
    window: Window
    folder: Path

    @property
    def session(self) -> Session:
        assert self.window.session is not None
        return self.window.session

    @property
    def page(self) -> ReadingsPage:
        page = self.window.page("readings")
        assert isinstance(page, ReadingsPage)
        return page

    @property
    def assistant(self) -> Assistant:
        (found,) = self.page.findChildren(Assistant)
        return found

    @property
    def body(self) -> Body:
        return self.assistant.body

    @property
    def found(self) -> BroughtIn:
        """The account of the file as it would be saved."""
        looked = self.assistant._looked
        assert looked is not None
        assert looked.found is not None
        return looked.found

    @property
    def is_open(self) -> bool:
        """Whether a file is being looked at."""
        return self.assistant.isVisible()

    @property
    def asked(self) -> str:
        """What is asked; empty while nothing is."""
        return "" if self.body.box is None else self.body.box.accessibleName()

    @property
    def answers(self) -> list[str]:
        """The answers to what is asked."""
        box = self.body.box
        return [] if box is None else [each.text() for each in box.findChildren(QAbstractButton)]

    @property
    def readings(self) -> list[Reading]:
        """What the diary holds of the person shown."""
        return readings_of(self.session.diary, self.session.person)

    @property
    def values(self) -> list[str | None]:
        return [each.glucose.value for each in self.readings]

    def bring(self, content: str | bytes, name: str = "meter.csv") -> None:
        """Write a file and begin with it."""
        path = self.folder / name
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        self.window.bring_in(path)
        self.settle()

    def settle(self) -> None:
        settle(self.bot, self.window)

    def press(
        self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> None:
        """Press a key where the focus is, and wait for what comes of it."""
        here = QApplication.focusWidget()
        assert here is not None
        QTest.keyClick(here, key, held)
        self.settle()

    def tab_to(self, wanted: QWidget) -> None:
        """Go to a control with Tab alone."""
        for _ in range(_MOST_STEPS):
            if QApplication.focusWidget() is wanted:
                return
            QTest.keyClick(QApplication.focusWidget(), Key.Key_Tab)
        raise AssertionError(f"Tab never comes to {wanted.accessibleName()!r}")

    def answer(self, text: str) -> None:
        """Walk to an answer of what is asked, and give it."""
        box = self.body.box
        assert box is not None, "nothing is asked"
        assert text in self.answers, f"{text!r} is none of {self.answers}"
        self.tab_to(box)
        for _ in range(len(self.answers)):
            QTest.keyClick(QApplication.focusWidget(), Key.Key_Down)
            here = QApplication.focusWidget()
            if isinstance(here, QAbstractButton) and here.text() == text:
                break
        self.press(Key.Key_Return)

    def choose(self, choice: Choice, text: str) -> None:
        """Choose a line of a list with the arrows."""
        self.tab_to(choice)
        for _ in range(choice.count()):
            if choice.currentText() == text:
                return
            self.press(Key.Key_Down)
        for _ in range(choice.count()):
            if choice.currentText() == text:
                return
            self.press(Key.Key_Up)
        lines = [choice.itemText(at) for at in range(choice.count())]
        raise AssertionError(f"{text!r} is no line of {choice.accessibleName()}: {lines}")

    def save(self) -> None:
        """Press Save."""
        self.tab_to(self.assistant.ends.save)
        self.press(Key.Key_Return)

    def cells(self, column: Column) -> list[str]:
        """The texts of a column of the table as it is shown."""
        model = self.body.model
        return [model.cell(row, column) for row in range(model.rowCount())]

    def results(self) -> list[tuple[int, str]]:
        """Line and result of each row that is shown."""
        model = self.body.model
        return [
            (model.line(row).line, model.cell(row, Column.RESULT))
            for row in range(model.rowCount())
        ]


def importing(
    bot: QtBot,
    folder: Path,
    fill: Callable[[Diary], object] = tilde,
    *,
    now: datetime = NOW,
    size: tuple[int, int] = (1280, 800),
) -> Importing:
    """Open a window on a new diary, ready for a file."""
    made = Importing(bot, shown(bot, folder, fill, now=now, size=size), folder)
    made.window.show_page("readings")
    made.settle()
    return made
