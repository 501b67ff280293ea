"""One window at a time holds a diary; a second start brings that one to the front."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.store.lock import lock_file
from app.ui.door import Door
from app.ui.doorbell import Doorbell, ring
from tests.households import NOW
from tests.open_windows import Opened, a_diary, close, opened, runtime, shows_pages

ROOT = Path(__file__).resolve().parent.parent

SECOND = """
import sys
import app.ui.start as start
start.has_screen = lambda: True
from app.ui.start import open_window
from pathlib import Path
from datetime import UTC, datetime
diary, folder = Path(sys.argv[1]), Path(sys.argv[2])
sys.exit(open_window(diary, folder / "state", lambda: datetime.now(UTC), person=None,
                     runtime=Path(sys.argv[3]), say=print))
"""

ELSEWHERE = '{"pid": 1, "host": "the-laptop-upstairs", "since": "2026-03-01T07:00:00+00:00"}'


@pytest.fixture
def at(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Opened]:
    made = opened(qtbot, a_diary(tmp_path), monkeypatch)
    yield made
    close(made)


def second_start(diary: Path, *before: str) -> subprocess.Popen[str]:
    """Start the program a second time, as a process of its own."""
    return subprocess.Popen(
        [*before, sys.executable, "-c", SECOND, str(diary), str(diary.parent), str(runtime())],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_second_start_raises_the_first_window_and_ends_well(
    at: Opened, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    raised: list[bool] = []
    monkeypatch.setattr("app.ui.fill.QApplication.alert", lambda *_: raised.append(True))

    second = second_start(at.filling.path)
    qtbot.waitUntil(lambda: second.poll() is not None, timeout=20_000)

    out, err = second.communicate()
    assert second.returncode == 0, err
    assert "is open already; its window was brought to the front." in out
    assert raised == [True]


def test_bell_is_for_this_user_alone(at: Opened) -> None:
    folder = runtime()
    (socket,) = folder.iterdir()

    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert stat.S_IMODE(socket.stat().st_mode) & 0o077 == 0
    assert "diary" not in socket.name


def test_no_bell_hangs_where_others_could_reach_it(qtbot: QtBot, tmp_path: Path) -> None:
    from PySide6.QtCore import QObject

    wide = runtime()
    wide.mkdir()
    wide.chmod(0o755)
    parent = QObject()

    bell = Doorbell(tmp_path / "d.thimblebook", wide, parent)

    assert not bell.listens
    assert not ring(tmp_path / "d.thimblebook", wide)


def test_bell_left_by_a_window_that_died_is_taken_over(qtbot: QtBot, tmp_path: Path) -> None:
    from PySide6.QtCore import QObject

    parent, diary, folder = QObject(), tmp_path / "d.thimblebook", runtime()
    first = Doorbell(diary, folder, parent)
    (socket,) = folder.iterdir()
    first.close()
    socket.touch()  # what a kill leaves: a name that nobody listens at

    second = Doorbell(diary, folder, parent)

    assert second.listens
    second.close()


def test_bell_has_no_place_where_its_path_is_too_long(qtbot: QtBot) -> None:
    from PySide6.QtCore import QObject

    parent, diary, deep = QObject(), runtime().parent / "d.thimblebook", runtime() / ("x" * 80)

    bell = Doorbell(diary, deep, parent)

    assert not bell.listens
    assert not ring(diary, deep)


def test_lock_of_another_computer_is_told_and_left(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    lock_file(path).write_text(ELSEWHERE)

    at = opened(qtbot, path, monkeypatch)

    assert 'was opened on the computer "the-laptop-upstairs"' in at.card.sentence
    assert at.window.session is None
    assert lock_file(path).read_text() == ELSEWHERE
    close(at)
    assert lock_file(path).read_text() == ELSEWHERE


def test_window_that_can_not_answer_is_told_and_nothing_is_shown(
    at: Opened, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    door = Door(runtime(), lambda: NOW)
    monkeypatch.setattr("app.ui.doorbell._PATIENCE_MS", 1)  # this very thread would answer it
    second = Door(tmp_path / "elsewhere", lambda: NOW)

    assert not door.enter(at.filling.path)
    assert not second.enter(at.filling.path)
    assert second.refused is not None
    assert second.refused.here
    assert not second.rang(at.filling.path)


def test_lock_of_a_dead_window_is_taken_over_and_the_file_looked_over(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    dead = Door(runtime(), lambda: NOW)
    assert dead.enter(path)
    assert dead._lock is not None
    os.close(dead._lock._handle or 0)  # as a kill lets go of it: the file stays

    at = opened(qtbot, path, monkeypatch)

    assert shows_pages(at.window)
    assert "did not end properly last time" in at.notes
    assert "it is sound" in at.notes
    close(at)


def test_closing_lets_the_next_window_in_without_a_word(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    close(opened(qtbot, path, monkeypatch))
    left = lock_file(path).exists()

    at = opened(qtbot, path, monkeypatch)

    assert not left
    assert at.notes == ""
    close(at)


def test_second_start_needs_no_network(at: Opened, qtbot: QtBot) -> None:
    alone = ["unshare", "-rn"]
    if os.name != "posix" or subprocess.run([*alone, "true"], check=False).returncode:
        pytest.skip("this system can't take the network away from one program")

    second = second_start(at.filling.path, *alone)
    qtbot.waitUntil(lambda: second.poll() is not None, timeout=20_000)

    assert second.communicate()[0].endswith("brought to the front.\n")
