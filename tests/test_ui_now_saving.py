from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from pytestqt.exceptions import capture_exceptions
from pytestqt.qtbot import QtBot

from app.domain.errors import StoreUnavailable
from app.store import connection
from app.ui.now import saving
from app.ui.now.slip import State
from tests.now_columns import Desk, desk, focused

FULL = "Not saved: the disk is full. Everything saved before is safe. Free some space."


@pytest.fixture
def at(qtbot: QtBot, tmp_path: Path) -> Iterator[Desk]:
    made = desk(qtbot, tmp_path)
    yield made
    made.close()


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Give up on a lock after a twentieth of a second."""
    monkeypatch.setitem(connection._PRAGMAS, "busy_timeout", ("50", 50))


def locked(path: Path) -> sqlite3.Connection:
    """Another program that writes to the diary and does not finish."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("BEGIN IMMEDIATE")
    return connection


def test_locked_diary_keeps_the_text_and_says_so(
    impatient: None, qtbot: QtBot, tmp_path: Path
) -> None:
    at = desk(qtbot, tmp_path)
    with closing(locked(at.diary.path)):
        at.save("7.2 before lunch, shaky")

        assert at.column.line.text() == "7.2 before lunch, shaky"
        assert "Another program is writing" in at.column.trouble.sentence
        assert at.column.slip.state is State.PENDING
        assert focused() is at.column.line
        assert not at.readings()

    at.save()

    assert [reading.note for reading in at.readings()] == ["shaky"]
    assert at.column.trouble.sentence == ""
    at.close()


def test_window_lives_while_a_save_waits_for_a_lock(at: Desk, qtbot: QtBot) -> None:
    ticks: list[int] = []
    timer = QTimer()
    timer.setInterval(10)
    timer.timeout.connect(lambda: ticks.append(1))
    with closing(locked(at.diary.path)):
        at.type("7.2")
        timer.start()
        at.press(Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: at.column.slip.state is State.SAVING)

        assert at.column.saver.busy
        assert not at.column.line.isEnabled()
        assert at.column.line.text() == "7.2"
        assert len(ticks) > 5
        assert not at.readings()

    at.wait()
    timer.stop()
    assert [reading.glucose.value for reading in at.readings()] == ["7.2"]
    assert at.column.line.isEnabled()
    assert at.column.line.text() == ""
    assert focused() is at.column.line


def test_enter_twice_while_it_is_saved_saves_once(at: Desk) -> None:
    with closing(locked(at.diary.path)):
        at.type("7.2")
        at.press(Qt.Key.Key_Return, Qt.Key.Key_Return, Qt.Key.Key_Return)
    at.wait()

    assert len(at.readings()) == 1


def test_full_disk_keeps_the_text_and_the_next_try_saves(
    at: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise StoreUnavailable(FULL)

    with monkeypatch.context() as patched:
        patched.setattr("app.work.enter.enter", full)
        at.save("7.2 shaky")
    assert at.column.line.text() == "7.2 shaky"
    assert at.column.trouble.sentence == FULL
    assert at.column.line.accessibleDescription() == FULL
    assert at.column.notice.isHidden()

    at.save()

    assert len(at.readings()) == 1


def test_fault_of_ours_keeps_the_text_and_is_reported(
    at: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("a fault")

    monkeypatch.setattr("app.work.enter.enter", broken)

    with capture_exceptions() as raised:
        at.save("7.2")

    assert [found[0] for found in raised] == [ZeroDivisionError]
    assert at.column.line.text() == "7.2"
    assert "Something went wrong" in at.column.trouble.sentence
    assert not at.column.line.isReadOnly()


def test_trouble_with_the_care_texts_is_no_trouble_with_the_save(
    at: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unreadable(*_: object) -> None:
        raise StoreUnavailable("not now")

    monkeypatch.setattr(saving, "care_texts", unreadable)

    at.save("2.4")

    assert len(at.readings()) == 1
    assert at.column.caution.caution is not None
    assert not at.column.trouble.sentence


def test_read_only_diary_is_said_in_a_sentence(at: Desk) -> None:
    at.diary.writable = False

    at.save("7.2")

    assert "can only be read" in at.column.trouble.sentence
    assert at.column.line.text() == "7.2"
