"""A damaged diary is noticed, shown with a word, never written, and can be brought back."""

from __future__ import annotations

import shutil
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtWidgets import QDialog, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from app.store.damage import DAMAGED
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.readings import readings_of
from app.ui.safety.rescue import free_name
from app.ui.safety.told import REOPEN, RESTORE
from app.ui.ways_in import RESCUE as RESCUE_CARD
from app.work.backup import backup_now
from tests.damaging import filled, leaf_pages, root_page, without_page
from tests.households import INSTALLATION, NOW, written
from tests.open_windows import Opened, a_diary, close, opened, shows_pages


def backed_up(path: Path) -> Path:
    """A backup of a diary, checked, an hour after all that is in it."""
    with open_diary(path, INSTALLATION) as diary:
        return backup_now(diary, now=NOW + timedelta(hours=1)).path


def spoil(path: Path) -> None:
    """Change one letter of a note, as a disk does that lies: no page looks damaged."""
    data = path.read_bytes()
    assert b"porridge" in data
    path.write_bytes(data.replace(b"porridge", b"porridgy"))


def damaged(folder: Path, *, readings: int = 200) -> Path:
    """A diary with a backup, one page of whose readings is lost."""
    path = filled(folder / "diary.thimblebook", imported=readings, typed=10)
    backed_up(path)
    without_page(path, leaf_pages(path, "reading")[1])
    return path


def press(at: Opened, code: str, text: str) -> None:
    buttons = at.window.band.line(code).buttons
    next(button for button in buttons if button.text() == text).click()


def dialogs(at: Opened) -> list[QDialog]:
    return [each for each in at.window.findChildren(QDialog) if each.isVisible()]


def test_damage_is_told_with_the_newest_checked_backup_and_nothing_can_be_written(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = damaged(tmp_path)
    before = path.read_bytes()

    at = opened(qtbot, path, monkeypatch)

    told = at.window.band.sentences[DAMAGED]
    assert told.startswith("The diary is damaged.")
    assert "The newest checked backup is of 12 March 2026 22:30, 21" in told
    assert [button.text() for button in at.window.band.line(DAMAGED).buttons] == [
        "Restore that backup…",
        "Rescue into a new file…",
    ]
    assert not at.column.line.isEnabled()
    assert at.window.gate.reason == "This diary is damaged; nothing can be changed in it."
    close(at)
    assert path.read_bytes() == before


def test_rescue_goes_into_a_new_file_with_a_report_and_leaves_the_old_one(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = damaged(tmp_path)
    before = path.read_bytes()
    at = opened(qtbot, path, monkeypatch)
    out = free_name(path)

    at.guard.rescue_into(out)
    at.settle()

    (report,) = dialogs(at)
    words = " ".join(label.text() for label in report.findChildren(QLabel))
    assert f"Saved into {out}" in words
    assert "from the backup" in words
    assert "Nothing is known to be missing." in words
    assert path.read_bytes() == before
    with open_diary(out, INSTALLATION) as diary:
        (person, *_) = persons(diary)
        assert len(readings_of(diary, person)) >= 200
    next(b for b in report.findChildren(QPushButton) if b.text() == "Open the new file").click()
    at.settle()
    assert at.guard.session.diary.path == out
    assert at.guard.session.why_not == ""
    close(at)


def test_report_without_a_backup_says_what_is_missing_by_its_days(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = filled(tmp_path / "diary.thimblebook", imported=600, typed=0)
    without_page(path, leaf_pages(path, "reading")[2])
    at = opened(qtbot, path, monkeypatch)

    at.guard.rescue_into(free_name(path))
    at.settle()

    (report,) = dialogs(at)
    words = " ".join(label.text() for label in report.findChildren(QLabel))
    assert "missing (2025-" in words
    assert "in the meter and on paper" in words
    close(at)


def test_restore_from_the_banner_brings_the_backup_and_says_how_to_go_back(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = damaged(tmp_path)
    before = path.read_bytes()
    at = opened(qtbot, path, monkeypatch)

    at.window.band.answered.emit(DAMAGED, RESTORE)
    at.settle()
    (dialog,) = dialogs(at)
    dialog.restores.click()  # type: ignore[attr-defined]
    asked = dialog.question.accessibleName()  # type: ignore[attr-defined]
    dialog.question.answered.emit("restore")  # type: ignore[attr-defined]
    at.settle()

    assert "takes the diary's place" in asked
    assert shows_pages(at.window)
    assert not at.guard.session.diary.damaged
    assert at.column.line.isEnabled()
    assert "Restored: the diary holds" in at.notes
    (aside,) = (tmp_path / "backups").glob("*set-aside*")
    assert str(aside) in at.notes
    assert aside.read_bytes() == before
    close(at)


def test_silent_change_of_a_value_is_found_by_the_weekly_check_while_the_window_is_open(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    with open_diary(path, INSTALLATION) as diary:
        (person,) = persons(diary)
        written(diary, person, "2026-03-12T08:00", "6.4", note="porridge")
    at = opened(qtbot, path, monkeypatch)
    sound = dict(at.window.band.sentences)

    spoil(path)
    at.clock[0] += timedelta(days=8)
    at.guard.tick()
    at.settle()

    assert sound == {}
    assert DAMAGED in at.window.band.sentences
    assert not at.column.line.isEnabled()
    close(at)


def test_check_that_is_asked_for_finds_damage_too(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    at = opened(qtbot, path, monkeypatch)
    at.window.menus.check.trigger()
    at.settle()
    first = at.window.notice.sentence

    with open_diary(path, INSTALLATION) as diary:
        (person,) = persons(diary)
        written(diary, person, "2026-03-12T08:00", "6.4", note="porridge")
    spoil(path)
    at.window.menus.check.trigger()
    at.settle()

    assert first == "The file is sound: 3 readings, 4 changes in the journal."
    assert DAMAGED in at.window.band.sentences
    close(at)


def test_damage_that_leaves_nothing_to_show_offers_backup_and_rescue(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = filled(tmp_path / "diary.thimblebook", imported=200, typed=10)
    backed_up(path)
    without_page(path, root_page(path, "person"), noise=4)
    before = path.read_bytes()

    at = opened(qtbot, path, monkeypatch)

    assert "is damaged, and too little of it can be read" in at.card.sentence
    assert any("readings" in button.text() for button in at.card.buttons.values())
    assert RESCUE_CARD in at.card.buttons
    close(at)
    assert path.read_bytes() == before


# Moved, replaced, brought back.


def test_file_that_was_removed_is_told_when_the_window_comes_back(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    at = opened(qtbot, path, monkeypatch)
    path.rename(tmp_path / "elsewhere")

    at.come_back()
    gone = at.notes, at.column.line.isEnabled()
    (tmp_path / "elsewhere").rename(path)
    at.come_back()

    assert "is no longer there" in gone[0]
    assert gone[1] is False
    assert (at.notes, at.column.line.isEnabled()) == ("", True)
    close(at)


def test_file_that_was_replaced_is_noticed_at_the_next_save_and_not_written(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    other = a_diary(tmp_path / "other", readings=1)
    before = other.read_bytes()
    at = opened(qtbot, path, monkeypatch)
    shutil.move(other, path)

    at.save("7.2 before lunch")
    at.settle()

    assert at.column.line.text() == "7.2 before lunch"
    assert "Another file was put at" in at.notes
    assert path.read_bytes() == before
    at.window.band.answered.emit("gone", REOPEN)
    at.settle()
    assert len(at.guard.session.record.columns) == 1
    assert at.notes == ""
    close(at)


def test_other_contents_in_the_same_file_are_noticed(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    other = a_diary(tmp_path / "other", readings=1)
    at = opened(qtbot, path, monkeypatch)

    path.write_bytes(other.read_bytes())
    at.come_back()

    assert at.window.gate.reason != ""
    close(at)


def test_a_command_that_writes_beside_the_window_is_no_replacement(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    at = opened(qtbot, path, monkeypatch)

    for value in ("6.1", "6.2"):
        with open_diary(path, INSTALLATION) as diary:
            (person,) = persons(diary)
            written(diary, person, "2026-03-12T09:00", value)
        at.come_back()

    assert at.notes == ""
    assert at.column.line.isEnabled()
    at.save("7.2")
    assert len(at.guard.session.record.columns) == 6
    close(at)


def test_remembered_damage_is_in_no_word_about_a_person(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = damaged(tmp_path)
    at = opened(qtbot, path, monkeypatch)
    close(at)

    kept = [each for each in at.state.rglob("*") if each.is_file()]
    assert kept
    for each in kept:
        assert b"Tilde" not in each.read_bytes()
        assert str(tmp_path).encode() not in each.read_bytes()
