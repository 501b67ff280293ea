"""The disk fails or another program holds the diary while the window writes: nothing is lost."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from PySide6.QtCore import QElapsedTimer, Qt, QTimer
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.store import connection
from app.ui.first_start.dialogs import PersonDialog
from app.ui.readings.page import ReadingsPage
from tests.open_windows import Opened, a_diary, close, opened

LONGEST_MS = 1000  # of a window that lives, with room for a slow machine under test


@pytest.fixture
def at(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Opened]:
    made = opened(qtbot, a_diary(tmp_path), monkeypatch)
    yield made
    close(made)


@contextmanager
def held(path: Path) -> Iterator[sqlite3.Connection]:
    """Another program that writes to the diary and does not finish."""
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        yield other


@contextmanager
def heartbeat() -> Iterator[list[int]]:
    """How long the window stood still, in ms, each time it did something."""
    gaps: list[int] = []
    since = QElapsedTimer()
    since.start()
    timer = QTimer()
    timer.setInterval(20)
    timer.timeout.connect(lambda: gaps.append(since.restart()))
    timer.start()
    yield gaps
    timer.stop()


def correct(at: Opened, value: str) -> ReadingsPage:
    page = at.window.page("readings")
    assert isinstance(page, ReadingsPage)
    at.window.show_page("readings")
    at.settle()
    page.view.selectRow(0)
    page.form.open(page.view.selected_ids()[0])
    page.form.fields.value.setText(value)
    page.form.submit()
    return page


def test_save_waits_for_a_lock_of_seconds_while_the_window_lives(at: Opened, qtbot: QtBot) -> None:
    column = at.column
    with held(at.filling.path) as other, heartbeat() as gaps:
        column.line.setText("7.2 before lunch")
        column.line.submitted.emit()
        QTimer.singleShot(3000, lambda: other.execute("ROLLBACK"))
        qtbot.waitUntil(lambda: not column.saver.busy, timeout=10_000)

    at.settle()
    assert len(at.guard.session.record.columns) == 4
    assert column.line.text() == ""
    assert max(gaps) < LONGEST_MS


def test_lock_that_stays_keeps_the_text_says_so_and_afterwards_all_works(
    at: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(connection._PRAGMAS, "busy_timeout", ("50", 50))
    with held(at.filling.path), heartbeat() as gaps:
        at.save("7.2 before lunch")
        kept, said = at.column.line.text(), at.column.trouble.sentence
        at.settle()

    assert kept == "7.2 before lunch"
    assert "Another program is writing" in said
    assert max(gaps) < LONGEST_MS
    at.column.line.submitted.emit()
    at.settle()
    assert len(at.guard.session.record.columns) == 4


def test_correction_waits_for_a_lock_and_is_saved(at: Opened, qtbot: QtBot) -> None:
    with held(at.filling.path) as other, heartbeat() as gaps:
        other.execute("ROLLBACK")
        page = at.window.page("readings")
        assert isinstance(page, ReadingsPage)
        at.window.show_page("readings")
        at.settle()
        page.view.selectRow(0)
        page.form.open(page.view.selected_ids()[0])
        page.form.fields.value.setText("9.9")
        other.execute("BEGIN IMMEDIATE")
        page.form.submit()
        waiting = page.form._trouble.text(), page.form.fields.isEnabled()
        QTimer.singleShot(1500, lambda: other.execute("ROLLBACK"))
        qtbot.waitUntil(lambda: page.form.row_id is None, timeout=10_000)

    at.settle()
    assert waiting == ("Saving; the diary is busy", False)
    assert 9.9 in at.guard.session.record.columns.entered.tolist()
    assert page.form.fields.isEnabled()
    assert max(gaps) < LONGEST_MS


def test_correction_that_found_no_free_moment_keeps_what_was_typed(
    at: Opened, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(connection._PRAGMAS, "busy_timeout", ("50", 50))
    page = correct(at, "")
    page.form.fields.value.setText("9.9")
    with closing(sqlite3.connect(at.filling.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        page.form.submit()
        at.settle()

    assert page.form.fields.value.text() == "9.9"
    assert "Another program is writing" in page.form._trouble.text()
    page.form.submit()
    at.settle()
    assert 9.9 in at.guard.session.record.columns.entered.tolist()


def test_settings_wait_for_a_lock_and_are_saved(at: Opened, qtbot: QtBot) -> None:
    at.window.menus.settings.trigger()
    (dialog,) = at.window.findChildren(PersonDialog)
    dialog.form.name.setText("Tilde B.")
    with closing(sqlite3.connect(at.filling.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        QTest.mouseClick(dialog.saves, Qt.MouseButton.LeftButton)
        waiting = dialog.isVisible(), dialog.saves.isEnabled()
        QTimer.singleShot(800, lambda: other.execute("ROLLBACK"))
        qtbot.waitUntil(lambda: at.guard.session.person.name == "Tilde B.", timeout=10_000)

    assert waiting == (True, False)
    assert at.window.windowTitle() == "Tilde B. – Thimblebook"


@pytest.mark.parametrize(
    ("code", "sentence"),
    [
        (sqlite3.SQLITE_FULL, "Not saved: the disk is full"),
        (sqlite3.SQLITE_IOERR, "The disk did not answer"),
    ],
)
def test_disk_that_fails_keeps_the_text_and_afterwards_all_works(
    at: Opened, monkeypatch: pytest.MonkeyPatch, code: int, sentence: str
) -> None:
    at.save("6.1")
    broken = sqlite3.OperationalError(
        "database or disk is full" if code == sqlite3.SQLITE_FULL else "disk I/O error"
    )
    broken.sqlite_errorcode = code

    def fail(*_: object, **__: object) -> None:
        raise broken

    with monkeypatch.context() as patched:
        patched.setattr("app.store.journal.Change.finish", fail)  # all is written but the end
        at.save("7.2 before lunch")
        kept, said = at.column.line.text(), at.column.trouble.sentence
    at.settle()

    assert kept == "7.2 before lunch"
    assert sentence in said
    assert "safe" in said
    assert len(at.guard.session.record.columns) == 4
    at.column.line.submitted.emit()
    at.settle()
    assert len(at.guard.session.record.columns) == 5


def test_file_that_may_grow_no_more_is_a_full_disk(
    at: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = connection._set_pragmas

    def cramped(driver: sqlite3.Connection, *, writable: bool, foreign_keys: bool) -> None:
        plain(driver, writable=writable, foreign_keys=foreign_keys)
        pages = driver.execute("PRAGMA page_count").fetchone()[0]
        driver.execute(f"PRAGMA max_page_count = {pages}")

    at.guard.session.diary._engine.dispose()
    note, saved = "long " * 80, 0
    with monkeypatch.context() as patched:
        patched.setattr(connection, "_set_pragmas", cramped)
        while not at.column.trouble.sentence and saved < 100:
            at.save(f"7.2 {note}")
            saved += 1
        kept, said = at.column.line.text(), at.column.trouble.sentence
        at.settle()
    at.guard.session.diary._engine.dispose()
    before = len(at.guard.session.record.columns)

    assert kept.startswith("7.2 long")
    assert "Not saved: the disk is full" in said
    at.column.line.submitted.emit()
    at.settle()
    assert len(at.guard.session.record.columns) == before + 1
