"""Backups in the window: made by themselves, shown, brought back, and kept in a second place."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QDialog, QLabel
from pytestqt.qtbot import QtBot

from app.domain.errors import StoreUnavailable
from app.domain.glucose import Unit
from app.domain.wishes import Wishes
from app.store.backup_facts import list_backups, newest_verified
from app.store.opening import OLDER_COPY
from app.ui.safety.backups import BackupsDialog
from app.ui.safety.backups_model import Column
from app.ui.safety.words import foot_words
from app.work.settings import change_settings
from tests.households import NOW
from tests.open_windows import Opened, a_diary, close, opened


@pytest.fixture
def at(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Opened]:
    made = opened(qtbot, a_diary(tmp_path), monkeypatch)
    yield made
    close(made)


def made_by(at: Opened, folder: Path | None = None) -> list[str]:
    return [each.why for each in list_backups(at.filling.path, folder)]


def dialog_of(at: Opened) -> BackupsDialog:
    at.guard.show_backups()
    at.settle()
    (dialog,) = [each for each in at.window.findChildren(BackupsDialog) if each.isVisible()]
    return dialog


def rows(dialog: BackupsDialog, column: Column) -> list[str]:
    return [dialog.model.text(row, column) for row in range(dialog.model.rowCount())]


# By themselves.


def test_backup_of_the_day_is_made_after_opening_and_shown_at_the_foot(at: Opened) -> None:
    assert made_by(at) == ["daily"]
    assert at.column.foot == "Backup checked today"


def test_foot_says_when_was_saved_last_and_how_old_the_backup_is(at: Opened) -> None:
    at.save("7.2 before lunch")

    assert at.column.foot == "Saved 21:30 · backup checked today"


def test_second_opening_on_the_same_day_makes_no_second_backup(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    for _ in range(2):
        at = opened(qtbot, path, monkeypatch)
        close(at)

    assert [each.why for each in list_backups(path)] == ["daily"]


def test_new_day_in_an_open_window_has_its_backup(at: Opened) -> None:
    for _ in range(3):
        at.clock[0] += timedelta(days=1)
        for _ in range(4):
            at.guard.tick()
            at.settle()

    assert made_by(at) == ["daily"] * 4


def test_old_backup_is_told_in_the_foot(at: Opened) -> None:
    newest = newest_verified(at.filling.path)
    assert newest is not None
    person = at.guard.session.person

    week = foot_words(newest, NOW + timedelta(days=7), person)
    older = foot_words(newest, NOW + timedelta(days=8), person)
    future = foot_words(replace(newest, at=NOW + timedelta(days=2)), NOW, person)

    assert week == ("backup checked Thu 12 Mar", False)
    assert older == ("newest checked backup 8 days old (Thu 12 Mar)", True)
    assert future[0].endswith("look at this computer's clock")
    assert foot_words(None, NOW, person) == ("no checked backup yet", True)


def test_backup_that_can_not_be_made_is_told_and_hinders_nothing(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    (tmp_path / "backups").write_text("a file where the folder should be")

    at = opened(qtbot, path, monkeypatch)
    at.save("7.2")

    assert "No backup was made" in at.notes
    assert at.column.foot == "Saved 21:30 · no checked backup yet"
    assert len(at.guard.session.record.columns) == 4
    close(at)


def test_diary_that_lost_rows_is_told_of(at: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.store.backup.SHRANK_BELOW", 2.0)  # as if far more were there before

    at.clock[0] += timedelta(days=1)
    at.guard.tick()
    at.settle()

    assert "so it is kept apart and the earlier ones stay" in at.notes


# When asked for.


def test_back_up_now_says_where_it_is(at: Opened) -> None:
    at.window.menus.safety.back_up.trigger()
    at.settle()

    assert sorted(made_by(at)) == ["asked", "daily"]
    assert at.window.notice.sentence.startswith("Backed up and checked: 3 readings in ")


def test_keys_of_the_menu_are_taken_by_nothing_else(at: Opened) -> None:
    at.window.show_page("readings")
    at.window.show_page("modal-day")
    at.settle()
    keys = [
        each.shortcut().toString()
        for each in at.window.findChildren(QAction)
        if not each.shortcut().isEmpty()
    ]

    assert keys.count("Ctrl+Shift+B") == 1
    assert keys.count("Ctrl+Shift+K") == 1


def test_list_shows_the_newest_first_with_why_and_check(at: Opened) -> None:
    at.clock[0] += timedelta(hours=1)
    at.guard.back_up()
    at.settle()

    dialog = dialog_of(at)

    assert rows(dialog, Column.WHY) == ["asked for", "daily"]
    assert rows(dialog, Column.TIME) == ["22:30", "21:30"]
    assert rows(dialog, Column.READINGS) == ["3", "3"]
    assert rows(dialog, Column.STATE) == ["checked", "checked"]
    assert dialog.selected() == dialog.model.backup(0)
    dialog.accept()


def test_model_of_the_list_keeps_its_promises(at: Opened, qtmodeltester: object) -> None:
    dialog = dialog_of(at)

    qtmodeltester.check(dialog.model)  # type: ignore[attr-defined]
    dialog.accept()


def test_restore_asks_first_and_leaving_changes_nothing(at: Opened) -> None:
    dialog = dialog_of(at)
    before = at.filling.path.read_bytes()

    dialog.restores.click()
    asked = dialog.question.isVisible(), dialog.question.accessibleName()
    dialog.question.answered.emit("leave")

    assert asked[0]
    assert "12 March 2026 21:30, 3 readings takes the diary's place" in asked[1]
    assert dialog.question.isHidden()
    assert at.filling.path.read_bytes() == before
    dialog.accept()


def test_restore_goes_back_and_can_be_taken_back_without_an_alarm(at: Opened) -> None:
    at.save("7.2 before lunch")
    before = len(at.guard.session.record.columns)

    restore(at, "daily")
    after = len(at.guard.session.record.columns), at.notes
    restore(at, "set_aside")

    assert before == 4
    assert after[0] == 3
    assert "The diary of before is whole in" in after[1]
    assert len(at.guard.session.record.columns) == 4
    assert not [code for code in at.window.band.sentences if code.startswith(OLDER_COPY)]
    at.save("6.6")
    assert len(at.guard.session.record.columns) == 5


def restore(at: Opened, why: str) -> None:
    dialog = dialog_of(at)
    found = next(each for each in list_backups(at.filling.path) if each.why == why)
    dialog.view.selectRow(dialog.model.row_of(found.path) or 0)
    dialog.restores.click()
    dialog.question.answered.emit("restore")
    at.settle()


def test_restore_that_fails_leaves_the_diary_open_and_says_why(
    at: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(*_: object, **__: object) -> None:
        raise StoreUnavailable("Another program is using it. Nothing was changed.")

    monkeypatch.setattr("app.work.restore.restore", busy)

    restore(at, "daily")

    assert "Nothing was changed." in at.notes
    assert len(at.guard.session.record.columns) == 3
    at.save("7.2")
    assert len(at.guard.session.record.columns) == 4


def test_page_that_was_seen_before_a_restore_is_made_anew(at: Opened) -> None:
    at.window.show_page("readings")
    at.settle()

    restore(at, "daily")

    assert at.window.tabs.currentIndex() == 1
    assert at.window.page("readings").isVisible()
    assert len([each for each in at.window.findChildren(QDialog) if each.isVisible()]) == 0


# In a second place.


def test_second_place_gets_the_backup_of_each_day(at: Opened, tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    dialog = dialog_of(at)
    dialog.keep_also_in(stick)
    at.settle()
    shown = dialog.second.text()
    dialog.accept()

    at.clock[0] += timedelta(days=1)
    at.guard.tick()
    at.settle()

    assert shown == f"Also kept in {stick}"
    assert made_by(at, stick) == ["daily"]
    assert newest_verified(at.filling.path, stick) is not None
    assert at.notes == ""


def test_second_place_that_is_away_is_told_and_not_made_anew(at: Opened, tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    dialog = dialog_of(at)
    dialog.keep_also_in(stick)
    at.settle()
    dialog.accept()
    shutil.rmtree(stick)

    at.clock[0] += timedelta(days=1)
    at.guard.tick()
    at.settle()

    assert f"The second place {stick} can't be reached" in at.notes
    assert not stick.exists()
    assert made_by(at) == ["daily", "daily"]


def test_second_place_holds_until_it_is_ended(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, stick = a_diary(tmp_path), tmp_path / "stick"
    stick.mkdir()
    first = opened(qtbot, path, monkeypatch)
    dialog = dialog_of(first)
    dialog.keep_also_in(stick)
    first.settle()
    close(first)

    second = opened(qtbot, path, monkeypatch, now=NOW + timedelta(days=1))
    kept = made_by(second, stick)
    dialog = dialog_of(second)
    again = dialog.place
    dialog.stops.click()
    second.settle()

    assert kept == ["daily"]
    assert again == stick
    assert dialog.place is None
    close(second)


def test_folder_of_the_backups_is_no_second_place(at: Opened) -> None:
    dialog = dialog_of(at)

    dialog.keep_also_in(at.filling.path.parent / "backups")
    at.settle()

    assert "lie already" in words(dialog)
    assert dialog.place is None
    dialog.accept()


def words(dialog: BackupsDialog) -> str:
    return " ".join(label.text() for label in dialog.note.findChildren(QLabel))


# Time that is not what it was.


@pytest.mark.parametrize(
    "jump",
    [
        timedelta(hours=-1),
        timedelta(days=-1),
        timedelta(days=30),
        timedelta(hours=8),  # a suspend: the wall goes on, the clock of the process does not
    ],
)
def test_jump_of_the_clock_breaks_nothing_and_repeats_nothing(at: Opened, jump: timedelta) -> None:
    at.save("7.2 before lunch")
    for key in ("readings", "figures", "modal-day", "day"):
        at.window.show_page(key)
        at.settle()

    at.clock[0] += jump
    beat(at)
    jumped = made_by(at)
    at.clock[0] -= jump
    beat(at)

    other_day = (NOW + jump).date() > NOW.date()
    assert jumped == ["daily"] * (2 if other_day else 1)
    assert made_by(at) == jumped
    assert at.notes == ""
    at.save("6.6")
    assert len(at.guard.session.record.columns) == 5


def test_clock_that_was_once_far_ahead_keeps_no_backup_away(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at = opened(qtbot, a_diary(tmp_path), monkeypatch, now=NOW + timedelta(days=400))
    ran = [0]
    at.guard._elapsed_ms = lambda: ran[0]
    at.clock[0] = NOW
    beat(at)
    at_once = made_by(at)

    ran[0] = 25 * 3600 * 1000
    beat(at)

    assert at_once == ["daily"]
    assert made_by(at) == ["daily", "daily"]
    close(at)


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Pacific/Pago_Pago"])
def test_other_zone_of_the_person_breaks_nothing(at: Opened, zone: str) -> None:
    session = at.guard.session
    wishes = Wishes(session.person.name, Unit.MMOL_L, zone)
    change_settings(session.diary, session.person, wishes, now=session.now())
    session.changed()
    beat(at)

    assert session.person.zone == zone
    assert len(made_by(at)) <= 2
    assert at.notes == ""
    at.save("6.6")
    assert len(session.record.columns) == 4


def beat(at: Opened) -> None:
    """Let everything that goes by the clock look at it, twice."""
    for _ in range(2):
        at.column.tick()
        at.window.page("day")._on_tick()  # type: ignore[attr-defined]
        at.guard.tick()
        at.guard.session.follow()
        at.settle()


def test_time_is_told_in_utc_where_backups_are_named(at: Opened) -> None:
    (one,) = list_backups(at.filling.path)

    assert one.at == datetime(2026, 3, 12, 21, 30, tzinfo=UTC)


def test_pages_are_told_of_a_backup(at: Opened, qtbot: QtBot) -> None:
    at.clock[0] += timedelta(hours=1)

    with qtbot.waitSignal(at.guard.session.backed_up, timeout=5000):
        at.guard.back_up()
    at.settle()

    assert rows(dialog_of(at), Column.WHY) == ["asked for", "daily"]
