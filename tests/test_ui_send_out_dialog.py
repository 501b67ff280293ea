"""The export in the window, by its keys: chosen, summed up, written, stopped."""

from __future__ import annotations

import csv
import sqlite3
import stat
import threading
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QWidget
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

from app.domain.glucose import Unit
from app.domain.wishes import Wishes
from app.store.diary import Diary
from app.ui.send_out.dialog import SendOutDialog
from app.ui.send_out.doing import Doing
from app.ui.send_out.wish import Form
from app.ui.window import Window
from app.work.csv_rows import Part
from app.work.settings import begin_person
from app.work.whole_diary import read_whole
from tests.change_windows import nameless
from tests.households import NOW, corwin, written
from tests.windows import settle, shown, shown_on, three_weeks

KEYS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def two_people(diary: Diary) -> None:
    person = three_weeks(diary)
    written(diary, person, "2026-03-12 07:50", "7.1", note="=1+1 party", tags=("swim",))
    written(diary, person, "2026-03-12 08:50", "LO", hands="not")
    written(diary, corwin(diary), "2026-03-12 08:10", "HI", note="for Corwin alone")


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Window:
    return shown(qtbot, tmp_path, two_people)


@pytest.fixture
def dialog(window: Window, qtbot: QtBot) -> SendOutDialog:
    return opened(window, qtbot)


def opened(window: Window, qtbot: QtBot) -> SendOutDialog:
    qtbot.keyClick(window, Qt.Key.Key_E, KEYS)
    settle(qtbot, window)
    (found,) = [each for each in window.findChildren(SendOutDialog) if each.isVisible()]
    qtbot.waitUntil(found.isActiveWindow)
    return found


def choose(bot: QtBot, dialog: SendOutDialog, form: Form) -> None:
    """Walk the list of forms with the arrow keys."""
    choice = dialog.choices.form
    choice.setFocus()
    while choice.currentIndex() > 0:
        bot.keyClick(choice, Qt.Key.Key_Up)
    while str(choice.value()) != form:
        bot.keyClick(choice, Qt.Key.Key_Down)
    settle_dialog(bot, dialog)


def settle_dialog(bot: QtBot, dialog: SendOutDialog) -> None:
    """Wait until nothing is under way and the window is in front again, or is gone."""

    def is_quiet() -> bool:
        if not is_open(dialog):
            return True
        busy = dialog.doing.summing or dialog.doing.writing
        return dialog.isActiveWindow() and not busy

    bot.waitUntil(is_quiet, timeout=10_000)
    QTest.qWait(0)


def is_open(dialog: SendOutDialog) -> bool:
    return bool(isValid(dialog)) and dialog.isVisible()


def picked(bot: QtBot, dialog: SendOutDialog, out: Path) -> None:
    """Press Save, and name a file in the system's window."""
    bot.keyClick(dialog.saves, Qt.Key.Key_Space)
    names_file(bot, dialog, out)


def names_file(bot: QtBot, dialog: SendOutDialog, out: Path) -> None:
    (files,) = [each for each in dialog.findChildren(QFileDialog) if each.isVisible()]
    files.fileSelected.emit(str(out))
    files.close()
    if is_open(dialog):
        dialog.activateWindow()  # a window system does so by itself
        bot.waitUntil(lambda: not is_open(dialog) or QApplication.focusWidget() is not None)
    settle_dialog(bot, dialog)


def heard(window: Window) -> list[str]:
    said: list[str] = []
    assert window.session is not None
    window.session.said.connect(lambda each: said.append(each.sentence))
    return said


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_the_key_opens_it_and_it_sums_up_at_once_what_would_leave(dialog: SendOutDialog) -> None:
    assert dialog.choices.form.hasFocus()
    said = dialog.sum.text().splitlines()
    assert said[0] == "82 readings of Tilde, 1 February 2026 to 12 March 2026."
    assert "1 with a note." in said
    assert "1 with tags." in said
    assert "1 with a reason for doubt." in said
    assert dialog.saves.isEnabled()
    assert nameless(dialog) == []


def test_a_table_is_written_for_its_owner_alone_and_its_path_is_said(
    window: Window, dialog: SendOutDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    out, said = tmp_path / "t.csv", heard(window)

    picked(qtbot, dialog, out)

    assert said == [f"Written to {out}: 82 readings of Tilde. Only you can read the file."]
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert len(rows(out)) == 82
    assert "'=1+1 party" in {row["note"] for row in rows(out)}
    assert not is_open(dialog)
    assert window.notice.isVisible()


def test_what_is_unticked_stays_behind_and_that_is_said_before(
    dialog: SendOutDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    for part in (Part.NOTES, Part.DOUBT):
        dialog.choices.parts[part].setFocus()
        qtbot.keyClick(dialog.choices.parts[part], Qt.Key.Key_Space)
    settle_dialog(qtbot, dialog)
    assert "Stays behind: notes, reasons for doubt." in dialog.sum.text()
    assert "with a note" not in dialog.sum.text()

    out = tmp_path / "t.csv"
    picked(qtbot, dialog, out)

    assert {row["note"] + row["doubt_reasons"] for row in rows(out)} == {""}
    assert {row["tags"] for row in rows(out)} == {"", "swim"}


def test_another_person_and_days_of_ones_own_are_chosen_by_keys(
    dialog: SendOutDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    choices = dialog.choices
    qtbot.keyClick(choices.person, Qt.Key.Key_Down)
    settle_dialog(qtbot, dialog)
    assert dialog.sum.text().startswith("1 reading of Corwin, 12 March 2026.")

    for _ in range(2):
        qtbot.keyClick(choices.days, Qt.Key.Key_Down)
    assert choices.first.isVisible()
    choices.first.setFocus()
    qtbot.keyClick(choices.first, Qt.Key.Key_Home)
    qtbot.keyClick(choices.last, Qt.Key.Key_Down)
    settle_dialog(qtbot, dialog)
    assert choices.wish() is not None
    assert dialog.sum.text().startswith("No readings of Corwin on these days.")
    assert not dialog.saves.isEnabled()


def test_days_upside_down_are_told_and_nothing_can_be_written(
    dialog: SendOutDialog, qtbot: QtBot
) -> None:
    choices = dialog.choices
    for _ in range(2):
        qtbot.keyClick(choices.days, Qt.Key.Key_Down)
    choices.last.setDate(choices.first.date().addDays(-1))
    settle_dialog(qtbot, dialog)

    assert choices.upside_down.error.startswith("The first day comes after the last one")
    assert not dialog.saves.isEnabled()
    assert dialog.sum.text() == ""


def test_a_file_that_is_there_is_left_until_somebody_says_so(
    dialog: SendOutDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    out = tmp_path / "letter.csv"
    out.write_text("dear doctor", encoding="utf-8")

    picked(qtbot, dialog, out)
    assert dialog.question.isVisible()
    assert dialog.question.hasFocus()
    qtbot.keyClick(dialog.question, Qt.Key.Key_Return)  # Enter alone chooses nothing
    assert out.read_text(encoding="utf-8") == "dear doctor"
    qtbot.keyClick(dialog.question, Qt.Key.Key_Escape)
    assert dialog.question.isHidden()
    assert dialog.isVisible()

    picked(qtbot, dialog, out)
    qtbot.keyClick(dialog.question, Qt.Key.Key_Down)
    focus = QApplication.focusWidget()
    assert isinstance(focus, QWidget)
    qtbot.keyClick(focus, Qt.Key.Key_Space)
    settle_dialog(qtbot, dialog)

    assert len(rows(out)) == 82


def test_the_diary_itself_and_a_folder_are_refused_in_the_window(
    window: Window, dialog: SendOutDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    choose(qtbot, dialog, Form.SQLITE)
    assert window.session is not None
    path = window.session.diary.path
    before = path.read_bytes()
    linked = tmp_path / "same.sqlite"
    linked.hardlink_to(path)

    picked(qtbot, dialog, linked)
    qtbot.keyClick(dialog.question, Qt.Key.Key_Down)
    focus = QApplication.focusWidget()
    assert isinstance(focus, QWidget)
    qtbot.keyClick(focus, Qt.Key.Key_Space)
    settle_dialog(qtbot, dialog)
    assert "is the diary itself" in dialog.trouble.error
    assert path.read_bytes() == before

    picked(qtbot, dialog, tmp_path / "nowhere" / "x.sqlite")
    assert "could not be written" in dialog.trouble.error
    assert dialog.isVisible()


def test_a_whole_diary_says_that_everything_leaves(
    window: Window, dialog: SendOutDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    choose(qtbot, dialog, Form.LINES)
    assert dialog.everything.isVisible()
    assert dialog.everything.sentence.startswith("Everything leaves. Everybody in the diary")
    assert not dialog.choices.person.isVisible()
    assert not any(box.isVisible() for box in dialog.choices.parts.values())
    said = dialog.sum.text()
    assert said.startswith("2 people: Tilde and Corwin") or said.startswith(
        "2 people: Tilde, Corwin"
    )
    assert "83 readings" in said
    assert "private notes" in said
    assert "The journal stays behind" in said

    out, sentences = tmp_path / "all", heard(window)
    picked(qtbot, dialog, out)

    written_to = tmp_path / "all.jsonl"  # its ending is added where it has another
    lines = read_whole(written_to.read_bytes())
    assert lines.header.rows["reading"] == 83
    assert stat.S_IMODE(written_to.stat().st_mode) == 0o600
    assert sentences[0].startswith(f"Written to {written_to}: the whole diary, 2 people, ")


def test_the_sqlite_file_has_the_journal_and_says_so(
    dialog: SendOutDialog, qtbot: QtBot, tmp_path: Path
) -> None:
    choose(qtbot, dialog, Form.SQLITE)
    assert "The journal of every change is in it" in dialog.sum.text()

    out = tmp_path / "all.sqlite"
    picked(qtbot, dialog, out)

    with closing(sqlite3.connect(out)) as connection:
        assert connection.execute("SELECT count(*) FROM journal_entry").fetchone()[0] > 0
        assert connection.execute("SELECT count(*) FROM reading").fetchone() == (83,)


@pytest.mark.parametrize(("form", "begins"), [(Form.PDF, b"%PDF-"), (Form.HTML, b"<!DOCTYPE html")])
def test_the_sheet_leaves_as_the_command_writes_it(
    dialog: SendOutDialog, qtbot: QtBot, tmp_path: Path, form: Form, begins: bytes
) -> None:
    choose(qtbot, dialog, form)
    assert dialog.choices.days.value() == "shown"  # a sheet speaks of some weeks, not of all
    assert dialog.choices.paper.isVisible() == (form is Form.PDF)
    assert dialog.sum.text().startswith("The sheet of Tilde, ")

    out = tmp_path / f"sheet.{form}"
    picked(qtbot, dialog, out)

    assert out.read_bytes()[:15].lower().startswith(begins.lower())
    assert stat.S_IMODE(out.stat().st_mode) == 0o600


def test_without_a_plan_there_is_no_calendar_to_write(dialog: SendOutDialog, qtbot: QtBot) -> None:
    choose(qtbot, dialog, Form.ICS)

    assert dialog.sum.text() == "Tilde has no plan in force from today on."
    assert not dialog.saves.isEnabled()
    assert dialog.choices.quiet.isVisible()
    assert dialog.choices.zoned.isVisible()


def test_escape_stops_what_is_being_written_and_leaves_no_file(
    dialog: SendOutDialog, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, goes_on = threading.Event(), threading.Event()
    told = Doing._step

    def slow(self: Doing, done: int, of: int) -> None:
        begun.set()
        assert goes_on.wait(10)
        told(self, done, of)

    monkeypatch.setattr(Doing, "_step", slow)
    folder = tmp_path / "out"
    folder.mkdir()
    dialog.write_to(folder / "t.csv")
    qtbot.waitUntil(begun.is_set)
    assert dialog.leaves.text() == "Stop"
    assert not dialog.choices.isEnabled()
    qtbot.waitUntil(lambda: dialog.status.text() == "Writing…")
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    goes_on.set()
    settle_dialog(qtbot, dialog)

    assert dialog.trouble.error == "The export was stopped; nothing was written."
    assert list(folder.iterdir()) == []
    assert dialog.isVisible()
    assert dialog.leaves.text() == "Cancel"
    assert dialog.saves.isEnabled()
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert not is_open(dialog)


def test_how_far_it_is_stands_in_per_cent(dialog: SendOutDialog, qtbot: QtBot, tmp_path: Path,
                                          monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    begun, goes_on = threading.Event(), threading.Event()

    def half(self: Doing, done: int, of: int) -> None:
        begun.set()
        goes_on.wait(10)
        self.stepped.emit(41, 82)

    monkeypatch.setattr(Doing, "_step", half)
    seen: list[str] = []
    dialog.doing.stepped.connect(lambda _done, _of: seen.append(dialog.status.text()))
    dialog.write_to(tmp_path / "t.csv")
    qtbot.waitUntil(begun.is_set)
    qtbot.waitUntil(lambda: dialog.status.text() == "Writing…")
    goes_on.set()
    settle_dialog(qtbot, dialog)

    assert "Writing: 50 %" in seen


def test_a_diary_that_can_only_be_read_still_leaves(
    window: Window, qtbot: QtBot, tmp_path: Path
) -> None:
    assert window.session is not None
    window.session.stop_writing("This diary can only be read here.")
    assert not window.menus.bring_in.isEnabled()
    assert window.menus.send_out.isEnabled()

    dialog = opened(window, qtbot)
    out = tmp_path / "t.csv"
    picked(qtbot, dialog, out)

    assert len(rows(out)) == 82


def test_no_two_actions_of_the_window_share_the_key(window: Window) -> None:
    keys = window.menus.send_out.shortcut()
    for page in ("readings", "figures", "plan", "kit", "appointment"):
        window.page(page)
    held = [
        action
        for action in window.findChildren(type(window.menus.send_out))
        if action.shortcut() == keys
    ]
    assert held == [window.menus.send_out]


@pytest.mark.parametrize("form", list(Form))
def test_nothing_is_clipped_at_the_smallest_window_and_letters_twice_as_large(
    qtbot: QtBot, tmp_path: Path, form: Form, request: pytest.FixtureRequest
) -> None:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    usual = app.font()
    request.addfinalizer(lambda: app.setFont(usual))
    large = app.font()
    large.setPointSizeF(usual.pointSizeF() * 2)
    app.setFont(large)

    def long_names(diary: Diary) -> None:
        wishes = Wishes(
            name="Maximiliana Wilhelmina von und zu Hohenlangenfels",
            unit=Unit.MMOL_L,
            zone="Europe/Lisbon",
        )
        begin_person(diary, wishes, now=NOW)

    window = shown(qtbot, tmp_path, long_names, size=(1000, 700))
    dialog = opened(window, qtbot)
    choose(qtbot, dialog, form)

    assert dialog.width() <= 1000
    assert dialog.height() <= 700
    for button in (dialog.leaves, dialog.saves):
        inside = button.mapTo(dialog, button.rect().bottomRight())
        assert dialog.rect().contains(inside)
        assert button.width() >= button.sizeHint().width()
    for part in dialog.choices.findChildren(QWidget):
        if part.isVisible() and part.focusPolicy() & Qt.FocusPolicy.TabFocus:
            right = part.mapTo(dialog.choices, part.rect().topRight()).x()
            assert right <= dialog.choices.width()
    dialog.reject()
    window.close()


def test_a_diary_of_nobody_opens_no_export(qtbot: QtBot, tmp_path: Path) -> None:
    from tests.households import new_diary

    diary = new_diary(tmp_path)
    window = shown_on(qtbot, diary, now=datetime(2026, 3, 12, 20, tzinfo=UTC))

    window.menus.send_out.trigger()

    assert window.findChildren(SendOutDialog) == []
