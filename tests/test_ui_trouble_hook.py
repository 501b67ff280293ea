from __future__ import annotations

import stat
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QStringListModel, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QLabel, QListView, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.ui.job import Job
from app.ui.trouble_hook import LOG, TroubleHook
from tests.households import NOW

SECRET = "Tilde 2.4 mmol/L"


@pytest.fixture
def window(qtbot: QtBot) -> QWidget:
    made = QWidget()
    qtbot.addWidget(made)
    made.show()
    return made


@pytest.fixture
def hook(window: QWidget, tmp_path: Path) -> Iterator[TroubleHook]:
    made = TroubleHook(window, tmp_path / "state", lambda: NOW)
    yield made
    made.close()


def told(window: QWidget) -> list[QDialog]:
    return [each for each in window.findChildren(QDialog) if each.isVisible()]


def words(dialog: QDialog) -> str:
    return " ".join(label.text() for label in dialog.findChildren(QLabel)) + dialog.windowTitle()


def log(folder: Path) -> str:
    return (folder / "state" / LOG).read_text(encoding="utf-8")


def fail(*_: object) -> None:
    raise ValueError(SECRET)


def divide() -> None:
    _ = 1 / 0


class Broken(QStringListModel):
    """A list whose texts can't be had."""

    def data(self, _index: QModelIndex | QPersistentModelIndex, _role: int = 0) -> object:
        raise ValueError(SECRET)


def in_slot(window: QWidget) -> None:
    button = QPushButton("press", window)
    button.clicked.connect(fail)
    button.click()


def in_timer(window: QWidget) -> None:
    QTimer.singleShot(0, window, fail)


def in_thread(_window: QWidget) -> None:
    thread = threading.Thread(target=fail)
    thread.start()
    thread.join()


def in_job(window: QWidget) -> None:
    job = Job(window)
    job.failed.connect(raise_again)
    job.start(fail)


def raise_again(problem: Exception) -> None:
    raise problem


def in_model(window: QWidget) -> None:
    view = QListView(window)
    view.show()
    view.setModel(Broken(["one", "two"], view))  # laid out by Qt when the event loop comes to it


@pytest.mark.parametrize("breaks", [in_slot, in_timer, in_thread, in_job, in_model])
def test_a_fault_anywhere_is_told_once_and_kept_without_values(
    breaks: object, hook: TroubleHook, window: QWidget, qtbot: QtBot, tmp_path: Path
) -> None:
    assert callable(breaks)

    breaks(window)

    qtbot.waitUntil(lambda: len(told(window)) == 1)
    assert "not yours" in words(told(window)[0])
    assert window.isVisible()
    assert "builtins.ValueError" in log(tmp_path)
    assert "test_ui_trouble_hook.py" in log(tmp_path)
    for private in ("Tilde", "2.4 mmol"):
        assert private not in log(tmp_path)
        assert private not in words(told(window)[0])


def test_the_log_names_versions_and_time_and_is_for_this_user_alone(
    hook: TroubleHook, window: QWidget, tmp_path: Path
) -> None:
    in_slot(window)

    head = log(tmp_path).splitlines()[:2]
    assert head[0] == "-- 2026-03-12T21:30:00+00:00"
    assert head[1].startswith("Thimblebook ")
    assert "Python 3." in head[1]
    assert "Qt 6." in head[1]
    if sys.platform != "win32":
        assert stat.S_IMODE((tmp_path / "state" / LOG).stat().st_mode) == 0o600


def test_a_fault_that_comes_again_and_again_makes_no_storm(
    hook: TroubleHook, window: QWidget, qtbot: QtBot, tmp_path: Path
) -> None:
    button = QPushButton("press", window)
    button.clicked.connect(fail)

    for _ in range(50):
        button.click()
    QTimer.singleShot(0, window, divide)
    qtbot.waitUntil(lambda: "ZeroDivisionError" in log(tmp_path))
    QTest.qWait(0)

    assert log(tmp_path).count("builtins.ValueError") == 1
    assert len(told(window)) == 1


def test_the_next_kind_of_fault_is_told_when_the_first_is_closed(
    hook: TroubleHook, window: QWidget, qtbot: QtBot
) -> None:
    in_slot(window)
    qtbot.waitUntil(lambda: len(told(window)) == 1)
    told(window)[0].accept()
    qtbot.waitUntil(lambda: not told(window))

    QTimer.singleShot(0, window, divide)

    qtbot.waitUntil(lambda: len(told(window)) == 1)


def test_a_cause_is_kept_without_what_it_says(
    hook: TroubleHook, window: QWidget, tmp_path: Path
) -> None:
    def wrap() -> None:
        try:
            fail()
        except ValueError as problem:
            raise KeyError(SECRET) from problem

    button = QPushButton("press", window)
    button.clicked.connect(wrap)
    button.click()

    assert "builtins.KeyError" in log(tmp_path)
    assert "caused by\nbuiltins.ValueError" in log(tmp_path)
    assert "Tilde" not in log(tmp_path)


def test_a_log_that_cannot_be_written_does_not_keep_the_sentence_away(
    window: QWidget, qtbot: QtBot, tmp_path: Path
) -> None:
    (tmp_path / "state").write_text("a file where the folder should be")
    hook = TroubleHook(window, tmp_path / "state", lambda: NOW)

    in_slot(window)

    qtbot.waitUntil(lambda: len(told(window)) == 1)
    assert LOG not in words(told(window)[0])
    hook.close()


def test_leaving_by_ctrl_c_is_no_fault(
    window: QWidget, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    heard: list[type[BaseException]] = []
    monkeypatch.setattr(sys, "excepthook", lambda kind, _problem, _trace: heard.append(kind))
    hook = TroubleHook(window, tmp_path, lambda: NOW)

    sys.excepthook(KeyboardInterrupt, KeyboardInterrupt(), None)
    hook.close()

    assert heard == [KeyboardInterrupt]
    assert not (tmp_path / LOG).exists()
