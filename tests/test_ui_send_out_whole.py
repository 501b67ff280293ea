"""A whole diary comes in from the window: beside the open one, or at first start."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QWidget
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.state_hash import state_hash
from app.ui.bring_in.whole import WholeDialog
from app.ui.bring_in.whole_doing import WholeDoing
from app.ui.first_start import FirstStart
from app.work.bin import remove_person
from app.work.people import add_person
from app.work.whole_diary import lines_of
from tests.change_windows import nameless
from tests.households import INSTALLATION, NOW, corwin, new_diary, tilde, written
from tests.open_windows import Opened, a_diary, close, opened


@pytest.fixture
def whole(tmp_path: Path) -> tuple[Path, str]:
    """A whole diary of two people as a file, and its state hash."""
    folder = tmp_path / "from"
    folder.mkdir()
    with new_diary(folder) as diary:
        written(diary, tilde(diary), "2026-03-12 07:05", "7.6", note="=1+1\n🍎 שלום")
        written(diary, corwin(diary), "2026-03-12 08:10", "HI")
        data, state = lines_of(diary, now=NOW), state_hash(diary)
    file = folder / "family.jsonl"
    file.write_bytes(data)
    return file, state


@pytest.fixture
def at(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Opened]:
    made = opened(qtbot, a_diary(tmp_path), monkeypatch)
    yield made
    close(made)


@pytest.fixture
def nobody(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Opened]:
    """A window where no diary is yet."""
    made = opened(qtbot, tmp_path / "diary.thimblebook", monkeypatch)
    yield made
    close(made)


def looked(at: Opened, parent: QWidget | None = None) -> WholeDialog:
    where = parent or at.window
    at.bot.waitUntil(lambda: any(each.isVisible() for each in where.findChildren(WholeDialog)))
    (dialog,) = [each for each in where.findChildren(WholeDialog) if each.isVisible()]
    at.settle()
    at.bot.waitUntil(dialog.isActiveWindow)
    return dialog


def first_of(at: Opened) -> FirstStart:
    (found,) = [each for each in at.window.findChildren(FirstStart) if each.isVisible()]
    return found


def press(at: Opened, key: Qt.Key) -> None:
    focus = QApplication.focusWidget()
    assert isinstance(focus, QWidget)
    at.bot.keyClick(focus, key)


def test_a_whole_diary_that_is_picked_says_what_it_means_and_touches_nothing(
    at: Opened, whole: tuple[Path, str]
) -> None:
    assert at.window.session is not None
    before = state_hash(at.window.session.diary)

    at.window.bring_in(whole[0])
    dialog = looked(at)

    said = dialog.says.text()
    assert said.startswith("family.jsonl holds a whole diary, written on 2026-03-12: Tilde")
    assert "Corwin; 2 readings" in said
    assert "can't be mixed with the diary that is open" in dialog.means.text()
    assert dialog.makes.hasFocus()
    assert nameless(dialog) == []
    press(at, Qt.Key.Key_Escape)
    assert not (isValid(dialog) and dialog.isVisible())
    assert state_hash(at.window.session.diary) == before


def test_a_new_diary_is_made_from_it_and_opened_by_keys(
    at: Opened, whole: tuple[Path, str], tmp_path: Path
) -> None:
    file, state = whole
    open_path, out = at.filling.path, tmp_path / "family.thimblebook"
    at.window.bring_in(file)
    dialog = looked(at)

    press(at, Qt.Key.Key_Space)
    (files,) = [each for each in dialog.findChildren(QFileDialog) if each.isVisible()]
    files.fileSelected.emit(str(out))
    files.close()
    dialog.activateWindow()
    at.settle()
    at.bot.waitUntil(lambda: dialog.question.isVisible() and dialog.isActiveWindow())
    assert at.filling.path == open_path  # nothing is opened unasked
    dialog.question.setFocus()
    at.bot.keyClick(dialog.question, Qt.Key.Key_Down)
    press(at, Qt.Key.Key_Space)
    at.settle()

    assert at.filling.path == out
    assert at.window.session is not None
    assert state_hash(at.window.session.diary) == state
    assert [each.name for each in at.window.session.persons] == ["Tilde", "Corwin"]
    assert open_path.is_file()


def test_no_file_is_ever_written_over(at: Opened, whole: tuple[Path, str], tmp_path: Path) -> None:
    at.window.bring_in(whole[0])
    dialog = looked(at)
    letter = tmp_path / "letter.thimblebook"
    letter.write_text("dear doctor", encoding="utf-8")

    dialog.make_at(letter)

    assert "already; it was left as it is" in dialog.trouble.error
    assert letter.read_text(encoding="utf-8") == "dear doctor"


def test_a_file_that_was_altered_is_told_and_makes_nothing(
    at: Opened, whole: tuple[Path, str], tmp_path: Path
) -> None:
    spoiled = tmp_path / "spoiled.jsonl"
    spoiled.write_bytes(whole[0].read_bytes().replace(b'"7.6"', b'"7.9"'))

    at.window.bring_in(spoiled)
    dialog = looked(at)

    assert "not as it was written" in dialog.trouble.error
    assert not dialog.makes.isEnabled()


def test_stopping_leaves_no_diary(
    at: Opened, whole: tuple[Path, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, goes_on = threading.Event(), threading.Event()
    told = WholeDoing._step

    def slow(self: WholeDoing, done: int, of: int) -> None:
        begun.set()
        assert goes_on.wait(10)
        told(self, done, of)

    monkeypatch.setattr(WholeDoing, "_step", slow)
    folder = tmp_path / "to"
    folder.mkdir()
    at.window.bring_in(whole[0])
    dialog = looked(at)
    dialog.make_at(folder / "new.thimblebook")
    at.bot.waitUntil(begun.is_set)
    assert dialog.leaves.text() == "Stop"
    at.bot.waitUntil(lambda: dialog.status.text() == "Bringing in…")
    at.bot.keyClick(dialog, Qt.Key.Key_Escape)
    goes_on.set()
    at.settle()

    assert dialog.trouble.error == "It was stopped; nothing was made."
    assert list(folder.iterdir()) == []
    assert dialog.makes.isEnabled()


def test_a_table_still_goes_to_the_readings_page(at: Opened, tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    table.write_text("date,time,value mmol/L\n2026-03-01,07:05,5.6\n", encoding="utf-8")

    at.window.bring_in(table)
    at.settle()

    assert at.window.findChildren(WholeDialog) == []
    assert at.window.tabs.currentIndex() > 0


def test_the_first_start_takes_a_whole_diary_in_place_of_answers(
    nobody: Opened, whole: tuple[Path, str]
) -> None:
    file, state = whole
    first = first_of(nobody)
    first.brings.setFocus()
    press(nobody, Qt.Key.Key_Space)
    (files,) = [each for each in first.findChildren(QFileDialog) if each.isVisible()]
    files.fileSelected.emit(str(file))
    files.close()
    dialog = looked(nobody, first)
    assert "nothing else has to be answered" in dialog.means.text()
    dialog.makes.setFocus()
    nobody.bot.keyClick(dialog.makes, Qt.Key.Key_Space)
    nobody.bot.waitUntil(lambda: nobody.window.session is not None, timeout=10_000)
    nobody.settle()

    assert nobody.window.session is not None
    assert nobody.window.session.diary.path == nobody.filling.path
    assert state_hash(nobody.window.session.diary) == state
    assert nobody.window.menuBar().isVisible()


def test_a_file_that_is_no_whole_diary_is_refused_at_first_start(
    nobody: Opened, tmp_path: Path
) -> None:
    table = tmp_path / "table.csv"
    table.write_text("date,time,value mmol/L\n2026-03-01,07:05,5.6\n", encoding="utf-8")

    first_of(nobody).bring_whole(table)
    dialog = looked(nobody, first_of(nobody))

    assert "no whole diary" in dialog.trouble.error
    assert not nobody.filling.path.exists()
    dialog.reject()
    QTest.qWait(0)


@pytest.mark.parametrize("was_used", [False, True])
def test_a_diary_of_nobody_takes_it_only_where_nothing_was_ever_written(
    qtbot: QtBot,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    whole: tuple[Path, str],
    *,
    was_used: bool,
) -> None:
    with new_diary(tmp_path) as diary:
        if was_used:
            gone = add_person(diary, "Bram", unit="mmol/L", zone="Europe/Lisbon", now=NOW)
            remove_person(diary, gone, name_again="Bram", now=NOW)
        path = diary.path
    at = opened(qtbot, path, monkeypatch)
    first = first_of(at)

    first.bring_whole(whole[0])
    dialog = looked(at, first)
    dialog.makes.setFocus()
    qtbot.keyClick(dialog.makes, Qt.Key.Key_Space)
    at.settle()
    if was_used:
        assert "Something was written in this diary before" in dialog.trouble.error
        dialog.reject()
        QTest.qWait(0)
    else:
        qtbot.waitUntil(lambda: at.window.session is not None, timeout=10_000)
    close(at)

    with open_diary(path, INSTALLATION) as diary:
        assert len(persons(diary)) == (0 if was_used else 2)
        assert (state_hash(diary) == whole[1]) is not was_used
