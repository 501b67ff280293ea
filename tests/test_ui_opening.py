"""What the window says and offers when a diary can't be opened as usual, and what it never does."""

from __future__ import annotations

import faulthandler
import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.store.file import SCHEMA_VERSION
from app.store.known import is_known
from app.ui.crash import CRASH, watch_for_crash
from app.ui.first_start import FirstStart
from app.ui.gate import Gate, writes
from app.ui.trouble_hook import LOG
from app.ui.ways_in import AGAIN, NEW
from app.work.backup import backup_now
from tests.households import INSTALLATION, NOW, new_diary
from tests.open_windows import a_diary, close, only_readable, opened, shows_pages

TESTS = Path(__file__).resolve().parent


@pytest.fixture
def crash_trace() -> Iterator[None]:
    was = faulthandler.is_enabled()
    yield
    faulthandler.disable()
    if was:
        faulthandler.enable()


def with_backup(folder: Path) -> Path:
    from app.store.diary_file import open_diary

    path = a_diary(folder)
    with open_diary(path, INSTALLATION) as diary:
        backup_now(diary, now=NOW)
    return path


# Missing.


def test_missing_diary_is_told_with_its_backups_and_nothing_is_made(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = with_backup(tmp_path)
    close(opened(qtbot, path, monkeypatch))
    path.unlink()

    at = opened(qtbot, path, monkeypatch)

    assert f"There is no file at {path}" in at.card.sentence
    backups = [
        button.text() for button in at.card.buttons.values() if "3 readings" in button.text()
    ]
    assert len(backups) == 2  # the one asked for, and that of the day
    assert not path.exists()
    close(at)


def test_backup_is_put_in_the_place_of_a_missing_diary(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = with_backup(tmp_path)
    path.unlink()
    at = opened(qtbot, path, monkeypatch)

    QTest.keyClick(at.card, Qt.Key.Key_Tab)
    QTest.keyClick(QApplication.focusWidget() or at.card, Qt.Key.Key_Return)
    at.settle()

    assert shows_pages(at.window)
    assert len(at.guard.session.record.columns) == 3
    assert "Restored: the diary holds 3 readings." in at.notes
    close(at)


def test_disk_that_is_connected_again_is_found(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    close(opened(qtbot, path, monkeypatch))
    path.rename(tmp_path / "away")
    at = opened(qtbot, path, monkeypatch)

    (tmp_path / "away").rename(path)
    at.card.buttons[AGAIN].click()
    at.settle()

    assert shows_pages(at.window)
    close(at)


def test_new_diary_in_the_place_of_a_lost_one_is_begun_only_when_asked_for(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    close(opened(qtbot, path, monkeypatch))
    path.unlink()
    at = opened(qtbot, path, monkeypatch)

    at.card.buttons[NEW].click()
    at.settle()

    assert at.window.findChildren(FirstStart)
    assert not path.exists()
    close(at)


def test_place_where_no_diary_ever_was_begins_with_the_first_start(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "diary.thimblebook"

    at = opened(qtbot, path, monkeypatch)

    assert at.window.findChildren(FirstStart)
    assert not path.exists()
    assert not is_known(at.state, path)
    close(at)


# Not to be opened.


def test_file_of_a_newer_program_is_told_and_left_as_it_is(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")
    before = path.read_bytes()

    at = opened(qtbot, path, monkeypatch)

    assert "newer Thimblebook" in at.card.sentence
    assert AGAIN not in at.card.buttons
    close(at)
    assert path.read_bytes() == before


def test_file_of_another_program_is_told_and_left_as_it_is(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "diary.thimblebook"
    path.write_text("a letter\n")

    at = opened(qtbot, path, monkeypatch)

    assert "is not a Thimblebook diary" in at.card.sentence
    close(at)
    assert path.read_text() == "a letter\n"


def test_older_file_is_brought_up_to_date_with_a_backup_before(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    oldest = min((TESTS / "data" / "versions").glob("diary-*.thimblebook"))
    path = tmp_path / "diary.thimblebook"
    shutil.copy(oldest, path)

    at = opened(qtbot, path, monkeypatch)

    assert shows_pages(at.window)
    backups = [each.name for each in (tmp_path / "backups").glob("*before-migration*.thimblebook")]
    assert len(backups) == 1
    close(at)


# Read-only.


def test_read_only_diary_can_be_browsed_and_every_editing_action_says_why_not(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    only_readable(monkeypatch)
    before = path.read_bytes()

    at = opened(qtbot, path, monkeypatch)
    for key in ("readings", "modal-day", "figures", "day", "readings"):
        at.window.show_page(key)
        at.settle()
    QTest.keyClick(at.window, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)

    marked = [each for each in at.window.findChildren(QAction) if each.property("writes")]
    assert {"Undo", "Settings…", "To the bin", "Correct…"} <= {each.text() for each in marked}
    assert not [each.text() for each in marked if each.isEnabled()]
    assert all("can only be read here" in each.statusTip() for each in marked)
    assert not at.column.line.isEnabled()
    assert "can only be read here" in at.column.line.toolTip()
    assert "can only be read here" in at.notes
    close(at)
    assert path.read_bytes() == before
    assert not (tmp_path / "backups").exists()


def test_an_action_that_is_worded_anew_keeps_the_reason_until_the_gate_opens(
    qtbot: QtBot,
) -> None:
    from PySide6.QtWidgets import QWidget

    window = QWidget()
    qtbot.addWidget(window)
    action = writes(QAction("Undo", window))
    gate = Gate(window)
    gate.adopt(window)

    gate.shut("only read here")
    action.setText("Undo: one reading")
    action.setStatusTip("Undo: one reading")
    while_shut = action.statusTip()
    gate.shut("")

    assert (while_shut, action.statusTip()) == ("only read here", "Undo: one reading")


def test_page_that_turns_an_action_on_does_not_open_the_gate(qtbot: QtBot) -> None:
    from PySide6.QtWidgets import QWidget

    window = QWidget()
    qtbot.addWidget(window)
    action = writes(QAction("To the bin", window))
    action.setStatusTip("To the bin")
    gate = Gate(window)
    gate.adopt(window)

    gate.shut("only read here")
    action.setEnabled(True)
    while_shut = action.isEnabled(), action.statusTip()
    gate.shut("")

    assert while_shut == (False, "only read here")
    assert (action.isEnabled(), action.statusTip()) == (True, "To the bin")


# Notes.


def test_copy_beside_is_told_once_and_can_be_closed(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    shutil.copy(path, tmp_path / "diary (of the other laptop).thimblebook")

    first = opened(qtbot, path, monkeypatch)
    told = first.notes
    (code,) = first.window.band.sentences
    first.window.band.line(code).buttons[-1].click()
    after = first.notes
    close(first)
    second = opened(qtbot, path, monkeypatch)

    assert "Another copy of this diary lies beside it" in told
    assert after == ""
    assert first.window.band.isHidden()
    assert second.notes == ""
    close(second)


def test_file_that_others_could_read_is_made_private_and_told(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if os.name != "posix":
        pytest.skip("elsewhere the folder says who may read")
    path = a_diary(tmp_path)
    path.chmod(0o644)

    at = opened(qtbot, path, monkeypatch)

    assert "It is yours alone again" in at.notes
    assert path.stat().st_mode & 0o077 == 0
    close(at)


def test_notes_come_from_the_window_after_its_page(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    path.chmod(0o644)
    modes: list[int] = []

    def seen(window: object) -> None:
        window_fill = window.fill  # type: ignore[attr-defined]

        def fill(session: object, **how: object) -> None:
            window_fill(session, **how)
            modes.append(path.stat().st_mode & 0o777)

        window.fill = fill  # type: ignore[attr-defined]

    at = opened(qtbot, path, monkeypatch, prepare=seen)

    assert modes == [0o644]
    close(at)


# After a crash.


def test_crash_leaves_a_trace_that_is_told_at_the_next_start(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, crash_trace: None
) -> None:
    state = tmp_path / "state"
    state.mkdir()
    trace = 'Fatal Python error: Aborted\n  File "/home/tilde/ui/now/slip.py", line 5 in f\n'
    (state / CRASH).write_text(trace)

    crashed = watch_for_crash(state)
    at = opened(qtbot, a_diary(tmp_path), monkeypatch, crashed=crashed)

    assert crashed
    assert "broke down last time" in at.notes
    assert "it is sound" in at.notes
    log = (state / LOG).read_text()
    assert "Fatal Python error: Aborted" in log
    assert 'File "ui/now/slip.py"' in log
    assert "tilde" not in log
    assert (state / CRASH).read_text() == ""
    assert (state / CRASH).stat().st_mode & 0o077 == 0
    close(at)


def test_interpreter_that_is_taken_down_writes_its_trace(tmp_path: Path) -> None:
    import subprocess
    import sys

    script = (
        "import os, sys\nfrom pathlib import Path\nfrom app.ui.crash import watch_for_crash\n"
        "watch_for_crash(Path(sys.argv[1]))\nos.abort()\n"
    )

    subprocess.run(
        [sys.executable, "-c", script, str(tmp_path)],
        cwd=TESTS.parent,
        capture_output=True,
        check=False,
    )

    assert "Fatal Python error: Aborted" in (tmp_path / CRASH).read_text()


def test_empty_diary_still_asks_who_begins(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    new_diary(tmp_path).close()

    at = opened(qtbot, tmp_path / "diary.thimblebook", monkeypatch)

    assert at.window.findChildren(FirstStart)
    close(at)
