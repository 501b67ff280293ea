"""A picked file is saved, stopped or left; where it comes from, and what stays as it was."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from pathlib import Path
from threading import Event

import openpyxl
import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.store.diary import Diary
from app.store.state_hash import state_hash
from tests.households import tilde, written
from tests.imports import Importing, Key, importing
from tests.large_files import kitchen_csv
from tests.open_windows import a_diary, close, only_readable, opened

PLAIN = "Date,Time,Glucose (mmol/L),Meal\n2026-03-01,07:00,6.2,fasting\n2026-03-02,12:05,7.1,\n"
MANY = kitchen_csv(12_000)
LATER = datetime(2026, 9, 12, 9, tzinfo=UTC)
COPY, LEFT, NO_KEY = (
    Qt.DropAction.CopyAction,
    Qt.MouseButton.LeftButton,
    Qt.KeyboardModifier.NoModifier,
)


@pytest.fixture
def file(qtbot: QtBot, tmp_path: Path) -> Importing:
    return importing(qtbot, tmp_path, now=LATER)


def test_a_saved_file_is_told_with_its_account_and_undo(file: Importing) -> None:
    file.bring(PLAIN + "2026-03-03,25:00,7.0,\n")
    file.save()

    assert file.window.notice.sentence == (
        "meter.csv was brought in: 2 new, 0 already here, 1 not taken."
    )
    assert file.window.menus.undo.isEnabled()
    assert file.values == ["6.2", "7.1"]


def test_the_whole_import_is_taken_back_by_one_undo(file: Importing) -> None:
    written(file.session.diary, file.session.person, "2026-02-01 07:00", "5.0")
    before = state_hash(file.session.diary)
    file.bring(PLAIN)
    file.save()
    assert len(file.readings) == 3

    QTest.keyClick(file.window, Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    file.settle()

    assert file.values == ["5.0"]
    assert state_hash(file.session.diary) == before
    file.bring(PLAIN)
    assert file.found.account.new == 2  # and it may come in again


def test_nothing_is_saved_before_save_is_pressed(file: Importing) -> None:
    before = file.session.diary.path.read_bytes()
    file.bring(PLAIN)
    file.choose(file.body.choices.dates, "day, month, year")

    file.press(Key.Key_Escape)

    assert not file.is_open
    assert file.page.view.isVisible() or file.page.empty.isVisible()
    assert file.session.diary.path.read_bytes() == before


def held_at_the_second_step(file: Importing) -> tuple[Event, Event]:
    """Let a save wait at its second report, and say when it has come there."""
    doing, come, goes = file.assistant.doing, Event(), Event()
    step: Callable[[int, int], None] = doing._step
    count = [0]

    def held(done: int, of: int) -> None:
        count[0] += 1
        if count[0] == 2:
            come.set()
            goes.wait(20)
        step(done, of)

    doing._step = held  # type: ignore[method-assign]
    return come, goes


def test_a_save_says_how_far_it_is_and_stop_takes_all_of_it_back(file: Importing) -> None:
    file.bring(MANY)
    before = state_hash(file.session.diary)
    come, goes = held_at_the_second_step(file)
    ends = file.assistant.ends
    file.tab_to(ends.save)
    QTest.keyClick(ends.save, Key.Key_Return)
    file.bot.waitUntil(come.is_set, timeout=20_000)

    file.bot.waitUntil(lambda: ends.said.text() == "Saving: 5000 of 12000 rows")
    assert ends.cancel.text() == "Stop"
    assert QApplication.focusWidget() is ends.cancel
    assert not ends.save.isEnabled()
    assert not file.body.choices.isEnabled()
    QTest.keyClick(ends.cancel, Key.Key_Return)
    goes.set()
    file.settle()

    assert file.body.trouble.sentence == "The import was stopped; nothing was saved."
    assert file.is_open
    assert file.readings == []
    assert state_hash(file.session.diary) == before
    assert ends.cancel.text() == "Cancel"
    file.save()
    assert len(file.readings) == 12_000


def test_another_file_waits_while_one_is_saved(file: Importing) -> None:
    file.bring(MANY)
    come, goes = held_at_the_second_step(file)
    QTest.keyClick(file.assistant.ends.save, Key.Key_Return)
    file.bot.waitUntil(come.is_set, timeout=20_000)
    other = file.folder / "other.csv"
    other.write_text(PLAIN)

    file.window.bring_in(other)

    assert "A file is being saved" in file.body.trouble.sentence
    goes.set()
    file.settle()
    assert len(file.readings) == 12_000


def test_a_look_that_no_longer_matters_is_dropped(file: Importing) -> None:
    file.bring(PLAIN)
    path = file.folder / "later.csv"
    path.write_text(PLAIN + "2026-03-03,07:00,7.7,\n")

    file.assistant._look()
    file.assistant._look()
    file.window.bring_in(path)
    file.settle()

    assert file.found.account.seen == 3
    file.assistant._look()
    file.assistant.close_file()
    file.settle()
    assert not file.is_open
    assert file.assistant._looked is None


def test_a_row_typed_meanwhile_is_asked_about(file: Importing) -> None:
    file.bring(PLAIN)
    assert file.asked == ""

    written(file.session.diary, file.session.person, "2026-03-01 07:02", "6.2")
    file.session.follow()
    file.settle()

    assert file.asked.startswith("Line 2: Probably one")


def test_another_file_is_asked_for_with_the_button_at_the_head(
    file: Importing, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    monkeypatch.setattr(file.window, "ask_for_file", lambda: asked.append("asked"))
    file.bring(PLAIN)

    file.tab_to(file.body.another)
    file.press(Key.Key_Return)

    assert asked == ["asked"]


def dropped(file: Importing, *paths: Path) -> bool:
    """Drop files on the window; whether it takes them."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    at = QPointF(file.window.rect().center())
    enter = QDragEnterEvent(at.toPoint(), COPY, mime, LEFT, NO_KEY)
    enter.ignore()
    file.window.dragEnterEvent(enter)
    if enter.isAccepted():
        file.window.dropEvent(QDropEvent(at, COPY, mime, LEFT, NO_KEY))
        file.settle()
    return enter.isAccepted()


def test_a_file_can_be_dropped_on_any_page(file: Importing) -> None:
    path = file.folder / "meter.csv"
    path.write_text(PLAIN)
    file.window.show_page("day")

    assert dropped(file, path)

    assert file.is_open
    assert file.found.account.new == 2


def test_several_files_at_once_and_text_are_not_taken(file: Importing) -> None:
    path = file.folder / "meter.csv"
    path.write_text(PLAIN)
    mime = QMimeData()
    mime.setText("6.2 before lunch")
    enter = QDragEnterEvent(QPointF(9, 9).toPoint(), COPY, mime, LEFT, NO_KEY)
    enter.ignore()

    file.window.dragEnterEvent(enter)

    assert not enter.isAccepted()
    assert not dropped(file, path, path)


def test_a_diary_that_can_only_be_read_takes_no_file_and_says_why(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_diary(tmp_path)
    only_readable(monkeypatch)
    made = opened(qtbot, path, monkeypatch)
    file = tmp_path / "meter.csv"
    file.write_text(PLAIN)

    assert not made.window.menus.bring_in.isEnabled()
    made.window.bring_in(file)
    made.settle()

    session = made.window.session
    assert session is not None
    assert session.why_not
    assert made.window.notice.sentence == session.why_not
    close(made)


def test_a_diary_that_becomes_read_only_meanwhile_turns_save_off(file: Importing) -> None:
    file.bring(PLAIN)
    save = file.assistant.ends.save

    file.window.gate.shut("Nothing can be written just now.")
    assert not save.isEnabled()
    assert save.toolTip() == "Nothing can be written just now."
    file.window.gate.shut("")

    assert save.isEnabled()
    file.save()
    assert len(file.readings) == 2


def a_book() -> bytes:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(("Date", "Time", "Glucose (mmol/L)"))
    sheet.append((date(2026, 3, 1), time(7, 5), 5.6))
    sheet.append((date(2026, 3, 2), time(7, 6), 6.4))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_a_spreadsheet_comes_in_as_any_table_does(file: Importing) -> None:
    file.bring(a_book(), "meter.xlsx")
    file.save()

    assert file.values == ["5.6", "6.4"]


def test_without_what_reads_spreadsheets_a_sentence_says_what_to_do(
    file: Importing, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = a_book()
    monkeypatch.setitem(sys.modules, "openpyxl", None)

    file.bring(book, "meter.xlsx")

    assert "Save it as CSV" in file.body.trouble.sentence
    assert "Nothing was changed" in file.body.trouble.sentence
    assert not file.assistant.ends.save.isEnabled()


def test_the_rows_of_the_page_below_are_out_of_reach_meanwhile(
    qtbot: QtBot, tmp_path: Path
) -> None:
    def with_one(diary: Diary) -> None:
        written(diary, tilde(diary), "2026-03-10 07:05", "7.6")

    file = importing(qtbot, tmp_path, with_one)
    file.page.view.selectAll()
    assert file.page.view.selected_rows()

    file.bring(PLAIN)

    assert not file.page.view.selected_rows()
    assert not file.page.view.isVisible()
