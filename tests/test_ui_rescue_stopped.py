"""A rescue and a restore say how far they are, and stop by a key with everything as it was."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QDialog, QWidget
from pytestqt.qtbot import QtBot

from app.domain.errors import DiaryError
from app.domain.steps import Stopped, part_of
from app.store.backup_facts import list_backups
from app.store.salvage import salvage
from app.ui import blocked
from app.ui.safety.told import DOING, STOP
from app.ui.safety.working import Working
from app.ui.ways_in import rescue_into, restore
from app.work.restore import restore as put_back
from tests.damaging import filled, leaf_pages, root_page, without_page
from tests.households import INSTALLATION, NOW
from tests.open_windows import Opened, close, opened, shows_pages
from tests.test_ui_damage import backed_up, damaged, dialogs


@dataclass(slots=True)
class Held:
    """Work that stands still at its n-th step until it is let go."""

    at: int
    begun: threading.Event = field(default_factory=threading.Event)
    goes_on: threading.Event = field(default_factory=threading.Event)
    steps: int = 0


@pytest.fixture
def held(monkeypatch: pytest.MonkeyPatch) -> Iterator[Held]:
    made = Held(at=2)
    told = Working.step

    def step(self: Working, done: int, of: int) -> None:
        made.steps += 1
        if made.steps == made.at:
            made.begun.set()
            assert made.goes_on.wait(20)
        told(self, done, of)

    monkeypatch.setattr(Working, "step", step)
    yield made
    made.goes_on.set()


def everything(folder: Path) -> dict[str, bytes]:
    """All that lies in a folder, but for locks and the state of the program."""
    return {
        str(each.relative_to(folder)): each.read_bytes()
        for each in folder.rglob("*")
        if each.is_file()
        and not each.name.endswith(".lock")
        and each.relative_to(folder).parts[0] not in ("state", "runtime")
    }


def press(at: Opened, key: Qt.Key) -> None:
    focus = QApplication.focusWidget()
    assert isinstance(focus, QWidget)
    at.bot.keyClick(focus, key)


def test_rescue_in_the_window_tells_its_per_cent_and_stops_by_its_button(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, held: Held
) -> None:
    at = opened(qtbot, damaged(tmp_path), monkeypatch)
    before = everything(tmp_path)

    at.guard.rescue_into(tmp_path / "rescued.thimblebook")
    qtbot.waitUntil(held.begun.is_set)
    qtbot.waitUntil(lambda: DOING in at.window.band.sentences)
    at.guard.told.come(37)
    assert at.window.band.sentences[DOING].endswith("the diary is left untouched. 37 %")
    (stop,) = at.window.band.line(DOING).buttons
    stop.setFocus()
    press(at, Qt.Key.Key_Space)
    assert stop.hasFocus()  # another per cent does not take it away
    held.goes_on.set()
    at.settle()

    assert "The rescue was stopped. No new file was made" in at.notes
    assert everything(tmp_path) == before
    assert dialogs(at) == []
    close(at)


def test_rescue_that_nobody_stops_comes_to_a_hundred(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at = opened(qtbot, damaged(tmp_path), monkeypatch)
    seen: list[int] = []
    monkeypatch.setattr(type(at.guard.told), "come", lambda _told, percent: seen.append(percent))

    at.guard.rescue_into(tmp_path / "rescued.thimblebook")
    at.settle()

    assert seen == sorted(seen)
    assert seen[-1] == 100
    assert len(seen) > 5
    (report,) = dialogs(at)
    assert isinstance(report, QDialog)
    report.reject()
    close(at)


def test_closing_the_window_ends_a_rescue_without_a_new_file(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, held: Held
) -> None:
    path = damaged(tmp_path)
    before = path.read_bytes()
    at = opened(qtbot, path, monkeypatch)
    at.guard.rescue_into(tmp_path / "rescued.thimblebook")
    qtbot.waitUntil(held.begun.is_set)
    stop = at.guard.stop_working

    def stopped() -> None:
        stop()
        held.goes_on.set()

    monkeypatch.setattr(at.guard, "stop_working", stopped)
    close(at)

    assert not (tmp_path / "rescued.thimblebook").exists()
    assert path.read_bytes() == before


def test_restore_tells_its_per_cent_on_the_card_and_stops_by_its_button(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, held: Held
) -> None:
    path = filled(tmp_path / "diary.thimblebook", imported=200, typed=10)
    backup = backed_up(path)
    at = opened(qtbot, path, monkeypatch)
    before = everything(tmp_path)

    restore(at.filling, at.window, backup)
    qtbot.waitUntil(held.begun.is_set)
    card = at.card
    qtbot.waitUntil(lambda: card.sentence.endswith("%"))
    card.buttons[STOP].setFocus()
    press(at, Qt.Key.Key_Space)
    assert not card.buttons[STOP].isEnabled()
    held.goes_on.set()
    qtbot.waitUntil(lambda: shows_pages(at.window), timeout=10_000)
    at.settle()

    assert "The restore was stopped. The diary is as it was." in at.notes
    assert everything(tmp_path) == before
    assert at.guard.session.why_not == ""
    close(at)


def test_rescue_of_what_can_not_be_shown_stops_too(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, held: Held
) -> None:
    path = filled(tmp_path / "diary.thimblebook", imported=200, typed=10)
    without_page(path, root_page(path, "person"), noise=4)
    at = opened(qtbot, path, monkeypatch)
    before = everything(tmp_path)

    rescue_into(at.filling, at.window, tmp_path / "rescued.thimblebook")
    qtbot.waitUntil(held.begun.is_set)
    assert isinstance(at.card, blocked.Blocked)
    at.card.buttons[STOP].click()
    held.goes_on.set()
    at.settle()

    assert everything(tmp_path) == before
    assert "The rescue was stopped" in at.notes
    close(at)


def steps_of(work: object) -> list[tuple[int, int]]:
    """What a work tells of itself when nobody stops it."""
    told: list[tuple[int, int]] = []
    work(lambda done, of: told.append((done, of)))  # type: ignore[operator]
    return told


def test_a_restore_stopped_at_any_step_leaves_every_file_as_it_was(tmp_path: Path) -> None:
    path = filled(tmp_path / "diary.thimblebook", imported=200, typed=10)
    backup = backed_up(path)
    before = everything(tmp_path)
    at = 0
    while True:
        at += 1
        left = at

        def step(_done: int, _of: int) -> None:
            nonlocal left
            left -= 1
            if not left:
                raise Stopped("stopped")

        try:
            put_back(path, backup, now=NOW, step=step)
        except Stopped:
            assert everything(tmp_path) == before
        else:
            break
    assert at > 5
    assert len(list_backups(path)) > 2  # done by now: the diary of before is among them


def test_a_rescue_stopped_at_any_step_makes_no_file(tmp_path: Path) -> None:
    path = filled(tmp_path / "diary.thimblebook", imported=200, typed=10)
    backup = backed_up(path)
    without_page(path, leaf_pages(path, "reading")[1])
    before, out = everything(tmp_path), tmp_path / "rescued.thimblebook"

    def rescued(step: object) -> None:
        salvage(path, out, backup=backup, installation=INSTALLATION, now=NOW, step=step)  # type: ignore[arg-type]

    told = steps_of(rescued)
    assert out.exists()
    out.unlink()
    assert told == sorted(told)
    assert told[-1][0] == told[-1][1]

    for at in range(1, len(told) + 1, max(1, len(told) // 12)):
        left = at

        def step(_done: int, _of: int) -> None:
            nonlocal left
            left -= 1
            if not left:
                raise Stopped("stopped")

        with pytest.raises(DiaryError, match="stopped"):
            rescued(step)
        assert everything(tmp_path) == before


def test_a_part_tells_its_share_of_the_whole() -> None:
    told: list[float] = []
    step = part_of(lambda done, of: told.append(done / of), 50, 80)
    assert step is not None
    for done, of in ((0, 4), (2, 4), (4, 4), (9, 4), (0, 0)):
        step(done, of)

    assert told == [0.5, 0.65, 0.8, 0.8, 0.8]
    assert part_of(None, 0, 50) is None
