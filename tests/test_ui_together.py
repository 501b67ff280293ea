"""Two homes' copies brought together in the window, on real diaries and by keys."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.domain.steps import Step
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.installation import installation_id
from app.store.opening import COPY_BESIDE, OpeningNote
from app.store.probably_one import probably_one as open_pairs
from app.ui.safety.guard import Guard
from app.ui.together import chores
from app.ui.together.dialog import TogetherDialog
from app.ui.window import Window
from app.work.people import add_person
from app.work.together import Together
from tests.change_windows import column, nameless, open_dialogs
from tests.homes import LATER, two_homes
from tests.windows import settle, shown_on

Key = Qt.Key
CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


@dataclass(slots=True)
class Desk:
    """The window of one home, the copy of the other one, and hands on the keyboard."""

    bot: QtBot
    window: Window
    other: Path

    @property
    def dialog(self) -> TogetherDialog:
        (found,) = open_dialogs(self.window, TogetherDialog)
        return found

    @property
    def readings(self) -> int:
        assert self.window.session is not None
        return len(self.window.session.record.columns)

    @property
    def hint(self) -> str:
        return " ".join(label.text() for label in self.dialog.note.findChildren(QLabel)).strip()

    def open(self) -> None:
        self.window.activateWindow()
        self.bot.waitUntil(self.window.isActiveWindow)
        self.window.focus_entry()
        QTest.keyClick(self.window.focusWidget(), Key.Key_G, CONTROL | SHIFT)
        self.settle()

    def settle(self) -> None:
        settle(self.bot, self.window)
        settle(self.bot, self.window)

    def look(self) -> None:
        self.open()
        self.dialog.look_at(self.other)
        self.settle()

    def press(self, button: QPushButton) -> None:
        """Go to a button by Tab and press it."""
        for _ in range(30):
            if button.hasFocus():
                break
            QTest.keyClick(self.dialog.focusWidget(), Key.Key_Tab)
        assert button.hasFocus(), button.text()
        QTest.keyClick(button, Key.Key_Space)
        self.settle()

    def bring(self) -> None:
        self.look()
        self.press(self.dialog.brings)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("homes")
    two_homes(folder)
    return folder


@pytest.fixture
def desk(qtbot: QtBot, made: Path, tmp_path: Path) -> Iterator[Desk]:
    shutil.copytree(made / "a", tmp_path / "a")
    other = tmp_path / "mums-copy.thimblebook"
    shutil.copyfile(made / "b" / "diary.thimblebook", other)
    own = installation_id(tmp_path / "a" / "state")
    diary = open_diary(tmp_path / "a" / "diary.thimblebook", own)
    window = shown_on(qtbot, diary, now=LATER, size=(1000, 700))
    yield Desk(qtbot, window, other)
    window.close()


def test_a_look_says_what_would_come_and_changes_nothing(desk: Desk) -> None:
    before = desk.other.read_bytes()
    assert desk.window.session is not None
    own = desk.window.session.diary.path
    mine = own.read_bytes()

    desk.look()

    said = desk.dialog.body.account.text()
    assert "would give: 3 new readings and 2 the same" in said
    assert "2 pairs of readings are probably one" in said
    assert "1 record is to settle" in said
    assert (desk.other.read_bytes(), own.read_bytes()) == (before, mine)
    assert desk.dialog.brings.hasFocus()
    assert desk.readings == 5
    assert nameless(desk.dialog) == []


def test_it_comes_in_and_what_is_open_is_listed(desk: Desk) -> None:
    desk.bring()

    dialog = desk.dialog
    assert desk.readings == 8
    assert "was brought together with this diary: 3 new readings" in dialog.body.account.text()
    assert "-before-together.thimblebook: Diary ▸ Backups." in dialog.body.account.text()
    assert column(dialog.body.model, "How it stands") == [
        "probably one",
        "probably one",
        "to settle",
    ]
    assert column(dialog.body.model, "What")[0] == "6.4 mmol/L twice, 4 min apart"
    assert dialog.view.hasFocus()
    assert dialog.body.first.text().startswith("Typed first: 6.4 mmol/L, 2026-05-02 08:00;")
    assert dialog.body.second.text().endswith("on another computer")
    assert dialog.brings.isHidden()
    assert nameless(dialog) == []


def test_each_pair_is_said_to_be_one_or_two_by_keys_and_taken_back(desk: Desk) -> None:
    desk.bring()

    desk.press(desk.dialog.body.one)
    assert desk.readings == 7
    assert desk.hint.startswith("Two readings were said to be one")
    assert desk.dialog.view.hasFocus()
    desk.press(desk.dialog.body.two)
    assert desk.readings == 7
    assert column(desk.dialog.body.model, "How it stands") == ["to settle"]

    for count in (7, 8):
        QTest.keyClick(desk.dialog.focusWidget(), Key.Key_Z, CONTROL)
        desk.settle()
        assert desk.readings == count
    assert len(desk.dialog.body.model.rows) == 3
    assert desk.dialog.body.undoes.isHidden()


def test_all_pairs_are_said_to_be_one_at_once(desk: Desk) -> None:
    desk.bring()

    desk.press(desk.dialog.body.all_one)

    assert desk.readings == 6
    assert desk.hint.startswith("2 pairs of readings were said to be one each")
    assert "probably one" not in desk.dialog.body.account.text()


def test_either_version_is_kept_by_keys(desk: Desk) -> None:
    desk.bring()
    for _ in range(2):
        QTest.keyClick(desk.dialog.view, Key.Key_Down)
    body = desk.dialog.body
    assert body.first.text().startswith("Shown now: kept: 18.1 mmol/L;")
    assert body.second.text().startswith("In the other version: deleted;")
    assert [body.one.isHidden(), body.all_one.isHidden(), body.other_one.isHidden()] == [
        True,
        True,
        False,
    ]

    desk.press(body.other_one)

    assert desk.readings == 7
    assert desk.hint == (
        "It was settled that the reading 18.1 mmol/L, 2026-05-01 08:00 is deleted."
    )
    desk.press(body.undoes)
    assert desk.readings == 8


def test_undo_takes_back_the_answer_whoever_is_shown(desk: Desk) -> None:
    desk.bring()
    desk.dialog.accept()
    session = desk.window.session
    assert session is not None
    other = add_person(session.diary, "Bram", unit="mg/dL", zone="UTC", now=LATER)
    session.choose(other)
    desk.open()

    desk.press(desk.dialog.body.one)
    assert len(open_pairs(session.diary)) == 1
    desk.press(desk.dialog.body.undoes)

    assert len(open_pairs(session.diary)) == 2
    assert [person.name for person in session.persons] == ["Tilde", "Bram"]


def test_what_is_open_is_there_again_later_and_none_is_said_at_the_end(desk: Desk) -> None:
    desk.bring()
    desk.dialog.accept()
    desk.open()

    assert len(desk.dialog.body.model.rows) == 3
    desk.press(desk.dialog.body.all_one)
    desk.press(desk.dialog.body.shown_one)

    assert desk.hint.endswith("Nothing is open.")
    assert desk.dialog.view.isHidden()
    desk.dialog.accept()
    desk.open()
    assert desk.dialog.body.account.text() == "Nothing is open."
    assert desk.dialog.chooses.hasFocus()


def test_the_same_copy_again_brings_nothing(desk: Desk) -> None:
    desk.bring()

    desk.dialog.look_at(desk.other)
    desk.settle()

    assert "holds nothing that this diary lacks" in desk.dialog.body.account.text()
    assert desk.dialog.brings.isHidden()


def test_a_file_that_is_no_copy_is_refused_in_the_dialog(desk: Desk, tmp_path: Path) -> None:
    torn = tmp_path / "torn.thimblebook"
    torn.write_bytes(desk.other.read_bytes()[:-4000])
    desk.open()

    desk.dialog.look_at(torn)
    desk.settle()

    assert "is damaged and was not brought in" in desk.hint
    assert desk.dialog.brings.isHidden()
    assert desk.readings == 5


def test_a_look_can_be_stopped(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    begun, go_on = Event(), Event()
    look = chores.look

    def slow(diary: Diary, file: Path, now: datetime, step: Step) -> Together:
        begun.set()
        assert go_on.wait(10)
        return look(diary, file, now, step)

    monkeypatch.setattr(chores, "look", slow)
    desk.open()
    desk.dialog.look_at(desk.other)
    desk.bot.waitUntil(begun.is_set)
    assert not desk.dialog.stops.isHidden()

    QTest.mouseClick(desk.dialog.stops, Qt.MouseButton.LeftButton)
    go_on.set()
    desk.settle()

    assert desk.hint == "Stopped. Both copies are as they were."
    assert desk.dialog.stops.isHidden()
    assert desk.dialog.chooses.isEnabled()


def test_a_diary_that_can_only_be_read_brings_nothing_in(desk: Desk) -> None:
    assert desk.window.session is not None

    desk.window.session.stop_writing("This diary can only be read here.")

    action = desk.window.menus.together.action
    assert not action.isEnabled()
    assert action.statusTip() == "This diary can only be read here."
    desk.window.session.stop_writing("")
    assert action.isEnabled()


def test_the_note_about_a_copy_beside_leads_here(desk: Desk, tmp_path: Path) -> None:
    assert desk.window.session is not None
    guard = Guard(desk.window, desk.window.session, tmp_path / "state")
    note = OpeningNote(COPY_BESIDE, "Another copy lies beside it.", other=desk.other)
    calm = OpeningNote(COPY_BESIDE, "A third one has nothing more.")
    guard.told.place((note, calm))
    offers, nothing = (desk.window.band.line(f"{COPY_BESIDE}-{at}").buttons for at in (0, 1))
    assert [len(offers), len(nothing)] == [2, 1]

    offers[0].click()
    desk.settle()

    assert "would give: 3 new readings" in desk.dialog.body.account.text()
    guard.close()


@pytest.fixture
def font(qapp: QApplication) -> Iterator[QFont]:
    """The font of the program, given back afterwards."""
    before = QFont(qapp.font())
    yield QFont(before)
    qapp.setFont(before)


def test_nothing_is_cut_at_twice_the_text_size(font: QFont, qapp: QApplication, desk: Desk) -> None:
    desk.bring()
    desk.dialog.accept()
    font.setPointSizeF(font.pointSizeF() * 2)
    qapp.setFont(font)
    desk.open()
    body = desk.dialog.body

    assert desk.window.rect().size().expandedTo(desk.dialog.size()) == desk.window.size()
    inside = body.widget()
    assert inside is not None
    for each in (body.first, body.second, body.one, body.two, body.all_one):
        assert _room(each, inside).width() <= inside.width()
        assert each.height() >= _needed(each)
    body.ensureWidgetVisible(body.all_one)
    seen = body.all_one.visibleRegion().boundingRect()
    assert seen.size() == body.all_one.size()


def _room(widget: QWidget, inside: QWidget) -> QRect:
    return QRect(widget.mapTo(inside, widget.rect().topLeft()), widget.size())


def _needed(widget: QWidget) -> int:
    asked: Any = widget.heightForWidth(widget.width())
    return int(asked) if asked > 0 else widget.sizeHint().height()
