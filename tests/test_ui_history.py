"""Undo, redo and the history in the window, on real diaries and by their keys."""

from __future__ import annotations

import threading
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.exchange.table import read_table
from app.store.diary import Diary
from app.store.people import persons
from app.store.readings import readings_of
from app.ui.changes import chores
from app.ui.changes.asking import AskDialog
from app.ui.changes.history import HistoryDialog
from app.ui.changes.words import few_words
from app.ui.readings.page import ReadingsPage
from app.ui.window import Window
from app.work.bring_in import File, bring_in
from app.work.edit import Edit, edit_reading, put_in_bin, set_aside, set_mark
from app.work.people import set_targets
from app.work.retype import typed_value
from app.work.take_back import TakenBack
from tests.change_windows import column, diary_of, nameless, open_dialogs, opened_by, said_by
from tests.households import NOW, corwin, tilde, written
from tests.windows import settle, shown

Key = Qt.Key
CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
FILE = "Date,Time,Glucose (mmol/L)\n2026-03-01,07:00,6.2\n2026-03-02,07:00,7.9\n"


def three_readings(diary: Diary) -> Person:
    person = tilde(diary)
    for hour in (7, 8, 9):
        written(diary, person, f"2026-03-12 {hour:02}:05", f"{hour}.1", Mark.NONE)
    return person


def ids_of(diary: Diary, person: Person) -> list[int]:
    return [each.id for each in readings_of(diary, person)]


def values_of(window: Window) -> list[str | None]:
    diary = diary_of(window)
    return [each.glucose.value for each in readings_of(diary, persons(diary)[0])]


def history_of(bot: QtBot, window: Window) -> HistoryDialog:
    return opened_by(bot, window, window.menus.changes.history, HistoryDialog)


def note_of(dialog: HistoryDialog) -> str:
    (label,) = dialog.note.findChildren(QLabel)
    return label.text()


def asked_by(dialog: HistoryDialog) -> str:
    assert dialog.question is not None
    return dialog.question.accessibleName()


def press(bot: QtBot, window: Window, key: Qt.Key, modifier: Qt.KeyboardModifier) -> None:
    window.focus_entry()
    QTest.keyClick(window.focusWidget(), key, modifier)
    settle(bot, window)


# Undo and redo.


def test_the_menu_says_what_undo_and_redo_are_about(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_readings)
    menu = window.menus.changes

    first = said_by(qtbot, menu.undo, "Undo: ")
    could_redo = menu.redo.isEnabled()
    press(qtbot, window, Key.Key_Z, CONTROL)
    again = said_by(qtbot, menu.redo, "Redo: ")
    qtbot.waitUntil(lambda: "08:05" in menu.undo.text())

    assert first == "Undo: The reading 9.1, 2026-03-12 09:05 was saved"
    assert not could_redo
    assert again == "Redo: The reading 9.1, 2026-03-12 09:05 was saved"
    assert menu.redo.isEnabled()


def test_the_menu_follows_what_another_program_did(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_readings)
    diary = diary_of(window)
    said_by(qtbot, window.menus.undo, "Undo: The reading")

    set_mark(diary, persons(diary)[0], ids_of(diary, persons(diary)[0]), Mark.WAKING, now=NOW)
    assert window.session is not None
    window.session.follow()

    text = said_by(qtbot, window.menus.undo, "Undo: 3 ")
    assert text == "Undo: 3 readings were marked “waking”"


def test_a_long_sentence_is_cut_between_words_and_a_sign_is_no_key() -> None:
    said = "The reading 7.2 mmol/L, 2026-03-12 07:05 of somebody with a long name was saved."

    assert few_words(said) == "The reading 7.2 mmol/L, 2026-03-12 07:05 of…"
    assert len(few_words("x" * 200)) <= 48
    assert few_words("One\nand two.") == "One and two"


def test_a_name_with_a_sign_for_a_key_is_written_as_it_is(qtbot: QtBot, tmp_path: Path) -> None:
    def fill(diary: Diary) -> None:
        person = three_readings(diary)
        set_aside(diary, person, ids_of(diary, person)[:1], "bread & jam", now=NOW)

    window = shown(qtbot, tmp_path, fill)

    text = said_by(qtbot, window.menus.undo, "Undo: 1")
    assert text == "Undo: 1 reading was set aside: bread && jam"


@pytest.mark.parametrize(("key", "modifier"), [(Key.Key_Z, CONTROL | SHIFT), (Key.Key_Y, CONTROL)])
def test_undo_and_redo_by_their_keys(
    qtbot: QtBot, tmp_path: Path, key: Qt.Key, modifier: Qt.KeyboardModifier
) -> None:
    window = shown(qtbot, tmp_path, three_readings)
    press(qtbot, window, Key.Key_Z, CONTROL)
    press(qtbot, window, Key.Key_Z, CONTROL)
    undone = values_of(window)

    press(qtbot, window, key, modifier)

    assert undone == ["7.1"]
    assert values_of(window) == ["7.1", "8.1"]
    assert window.notice.sentence == "Done again: “The reading 8.1, 2026-03-12 08:05 was saved”."


def test_quick_presses_are_each_a_step_and_a_key_held_down_is_one(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path, three_readings)

    window.menus.undo.trigger()
    window.menus.undo.trigger()
    settle(qtbot, window)

    assert values_of(window) == ["7.1"]
    assert not window.menus.undo.autoRepeat()
    assert not window.menus.changes.redo.autoRepeat()


def test_a_change_is_taken_back_off_the_gui_thread(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = shown(qtbot, tmp_path, three_readings)
    real, threads = chores.undo, list[int]()

    def undo(*words: object, **more: object) -> TakenBack:
        threads.append(threading.get_ident())
        return real(*words, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(chores, "undo", undo)
    window.menus.undo.trigger()
    settle(qtbot, window)

    assert values_of(window) == ["7.1", "8.1"]
    assert threading.get_ident() not in threads
    assert len(threads) == 1


def test_where_nothing_is_left_undo_is_off(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, tilde)
    menu = window.menus.changes
    window.menus.undo.trigger()  # the person goes, who was all there was
    settle(qtbot, window)

    qtbot.waitUntil(lambda: not menu.undo.isEnabled(), timeout=10_000)

    assert menu.undo.text() == "Undo"
    assert said_by(qtbot, menu.redo, "Redo: ") == "Redo: Tilde was added"
    menu.redo.trigger()
    settle(qtbot, window)
    assert [each.name for each in persons(diary_of(window))] == ["Tilde"]


# An import, some of which was edited since.


def imported(diary: Diary) -> None:
    person = tilde(diary)
    file = File("meter.csv", FILE.encode(), read_table(FILE.encode(), None))
    bring_in(diary, person, file, now=NOW, recipe=None)
    set_mark(diary, person, ids_of(diary, person)[:1], Mark.WAKING, now=NOW)


def take_back_the_import(bot: QtBot, window: Window) -> HistoryDialog:
    dialog = history_of(bot, window)
    dialog.view.select(dialog.model.rows[1].key)
    QTest.keyClick(dialog.view, Key.Key_Return, CONTROL)
    settle(bot, window)
    return dialog


@pytest.mark.parametrize(
    ("downs", "left"), [(1, ["6.2"]), (2, []), (3, ["6.2", "7.9"])], ids=["keep", "take", "leave"]
)
def test_rows_that_were_edited_since_are_asked_about(
    qtbot: QtBot, tmp_path: Path, downs: int, left: list[str]
) -> None:
    window = shown(qtbot, tmp_path, imported)
    dialog = take_back_the_import(qtbot, window)
    asked = asked_by(dialog)

    QTest.keyClick(dialog.focusWidget(), Key.Key_Return)  # Enter alone answers nothing
    before = values_of(window)
    for _ in range(downs):
        QTest.keyClick(dialog.focusWidget(), Key.Key_Down)
    QTest.keyClick(dialog.focusWidget(), Key.Key_Return)
    settle(qtbot, window)

    assert asked == (
        "1 row of this import was edited since. Keep it in the diary, or take it back too? "
        "Nothing was changed yet."
    )
    assert before == ["6.2", "7.9"]
    assert values_of(window) == left
    assert dialog.question is None
    assert dialog.isVisible()


def test_escape_leaves_the_import_and_the_window_stays(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, imported)
    dialog = take_back_the_import(qtbot, window)

    QTest.keyClick(dialog.focusWidget(), Key.Key_Escape)
    settle(qtbot, window)

    assert dialog.isVisible()
    assert dialog.question is None
    assert dialog.focusWidget() is dialog.view
    assert values_of(window) == ["6.2", "7.9"]


def asked_from_the_menu(bot: QtBot, window: Window, patch: pytest.MonkeyPatch) -> AskDialog:
    """Let the menu undo the import, as where the edit of its row came from another computer."""
    diary = diary_of(window)
    entry = next(line.entry for line in chores.part(diary, None, everybody=True).lines[1:])

    def undo(diary: Diary, _shown: object, now: object, *, edited: str | None = None) -> TakenBack:
        return chores.undo_one(diary, entry, NOW, edited=edited)

    patch.setattr(chores, "undo", undo)
    window.menus.undo.trigger()
    window.menus.undo.trigger()  # a second press asks no second time
    settle(bot, window)
    (dialog,) = open_dialogs(window, AskDialog)
    return dialog


def test_undo_in_the_menu_asks_too_and_asks_once(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = shown(qtbot, tmp_path, imported)
    dialog = asked_from_the_menu(qtbot, window, monkeypatch)

    QTest.keyClick(dialog.question, Key.Key_Down)
    QTest.keyClick(dialog.focusWidget(), Key.Key_Return)
    settle(qtbot, window)

    assert values_of(window) == ["6.2"]
    assert window.notice.sentence == (
        "Taken back: the import of meter.csv; 1 row is in the bin, 1 edited since is kept."
    )


def test_escape_in_that_question_leaves_everything_and_it_can_be_asked_again(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = shown(qtbot, tmp_path, imported)
    dialog = asked_from_the_menu(qtbot, window, monkeypatch)
    assert nameless(dialog) == []

    QTest.keyClick(dialog, Key.Key_Escape)
    settle(qtbot, window)
    assert open_dialogs(window, AskDialog) == []
    assert values_of(window) == ["6.2", "7.9"]

    window.menus.undo.trigger()
    settle(qtbot, window)
    assert len(open_dialogs(window, AskDialog)) == 1


# The history.


def test_the_history_tells_when_what_and_how_it_stands(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_readings)
    press(qtbot, window, Key.Key_Z, CONTROL)
    window.focus_entry()
    QTest.keyClick(window.focusWidget(), Key.Key_H, CONTROL)
    settle(qtbot, window)
    (dialog,) = open_dialogs(window, HistoryDialog)

    assert column(dialog.model, "What was done") == [
        "Taken back: “The reading 9.1, 2026-03-12 09:05 was saved”.",
        "The reading 9.1, 2026-03-12 09:05 was saved.",
        "The reading 8.1, 2026-03-12 08:05 was saved.",
        "The reading 7.1, 2026-03-12 07:05 was saved.",
        "Tilde was added.",
    ]
    assert column(dialog.model, "Now") == ["", "taken back", "", "", ""]
    assert column(dialog.model, "Day") == ["Thu 12 Mar"] * 5
    assert [dialog.model.index(row, 0).data() for row in range(5)] == ["Thu 12 Mar", *[""] * 4]
    assert column(dialog.model, "Time") == ["21:30"] * 5
    assert dialog.everybody.isHidden()  # one person alone
    assert nameless(dialog) == []


def test_an_older_change_is_taken_back_alone_and_done_again(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_readings)
    dialog = history_of(qtbot, window)
    dialog.view.setFocus()

    QTest.keyClick(dialog.view, Key.Key_Down)
    QTest.keyClick(dialog.view, Key.Key_Return, CONTROL)
    settle(qtbot, window)
    after, said = values_of(window), note_of(dialog)
    kept = dialog.selected()
    QTest.keyClick(dialog.view, Key.Key_Z, CONTROL | SHIFT)
    settle(qtbot, window)

    assert after == ["7.1", "9.1"]
    assert said == "Taken back: the reading 8.1, 2026-03-12 08:05 is in the bin."
    assert kept is not None
    assert (kept.sentence, kept.undoable) == ("The reading 8.1, 2026-03-12 08:05 was saved.", False)
    assert values_of(window) == ["7.1", "8.1", "9.1"]
    assert column(dialog.model, "What was done")[:2] == [
        "Done again: “The reading 8.1, 2026-03-12 08:05 was saved”.",
        "Taken back: “The reading 8.1, 2026-03-12 08:05 was saved”.",
    ]
    assert window.notice.sentence.startswith("Done again")


def test_why_a_change_can_not_be_taken_back_is_said(qtbot: QtBot, tmp_path: Path) -> None:
    def fill(diary: Diary) -> None:
        person = three_readings(diary)
        set_mark(diary, person, ids_of(diary, person)[2:], Mark.WAKING, now=NOW)

    window = shown(qtbot, tmp_path, fill)
    dialog = history_of(qtbot, window)

    dialog.view.select(dialog.model.rows[1].key)  # a later change rests on it
    dialog.take_back()
    settle(qtbot, window)
    refused = dialog.note.error
    dialog.view.select(dialog.model.rows[0].key)
    dialog.take_back()
    settle(qtbot, window)

    assert refused.startswith("Not taken back, because a later change rests on the same: number ")
    assert "1 reading was marked “waking”" in refused
    assert len(values_of(window)) == 3
    assert dialog.note.error == ""
    assert not dialog.takes_back.isEnabled()
    assert dialog.detail.why.text() == "This change was taken back already."
    dialog.view.select(dialog.model.rows[0].key)
    assert dialog.detail.why.text().startswith("This is itself a taking back")


def test_a_hundred_changes_are_loaded_at_a_time(qtbot: QtBot, tmp_path: Path) -> None:
    def fill(diary: Diary) -> None:
        person = tilde(diary)
        for number in range(249):
            written(diary, person, f"2026-03-{1 + number // 24:02} {number % 24:02}:05", "5.6")

    window = shown(qtbot, tmp_path, fill)
    dialog = history_of(qtbot, window)
    loaded = [dialog.model.rowCount()]

    for _ in range(2):
        QTest.keyClick(dialog.view, Key.Key_End, CONTROL)
        settle(qtbot, window)
        loaded.append(dialog.model.rowCount())

    assert loaded == [100, 200, 250]
    assert column(dialog.model, "What was done")[-1] == "Tilde was added."
    keys = [int(str(row.key)) for row in dialog.model.rows]
    assert keys == sorted(keys, reverse=True)
    assert not dialog.model.canFetchMore(dialog.model.index(-1, -1))


def test_what_was_loaded_stays_loaded_when_one_is_taken_back(qtbot: QtBot, tmp_path: Path) -> None:
    def fill(diary: Diary) -> None:
        person = tilde(diary)
        for number in range(149):
            written(diary, person, f"2026-03-{1 + number // 24:02} {number % 24:02}:05", "5.6")

    window = shown(qtbot, tmp_path, fill)
    dialog = history_of(qtbot, window)
    QTest.keyClick(dialog.view, Key.Key_End, CONTROL)
    settle(qtbot, window)
    wanted = dialog.model.rows[120].key

    dialog.view.select(wanted)
    dialog.take_back()
    settle(qtbot, window)

    assert dialog.model.rowCount() >= 150
    assert dialog.view.selected() == [wanted]
    assert len(values_of(window)) == 148


def test_history_of_everybody_names_whose_each_change_is(qtbot: QtBot, tmp_path: Path) -> None:
    def fill(diary: Diary) -> None:
        three_readings(diary)
        written(diary, corwin(diary), "2026-03-12 07:05", "112")

    window = shown(qtbot, tmp_path, fill)
    dialog = history_of(qtbot, window)
    whose_column = dialog.model.titles.index("Whose")
    own, hidden = dialog.model.rowCount(), dialog.view.isColumnHidden(whose_column)

    QTest.keyClick(dialog.everybody, Key.Key_Space)
    settle(qtbot, window)

    assert (own, hidden) == (4, True)
    assert not dialog.everybody.isHidden()
    assert column(dialog.model, "Whose") == ["Corwin"] * 2 + ["Tilde"] * 4
    assert not dialog.view.isColumnHidden(whose_column)


def test_who_reads_only_sees_the_history_and_changes_nothing(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_readings)
    assert window.session is not None
    window.session.stop_writing("This diary can only be read here.")

    dialog = history_of(qtbot, window)
    dialog.view.select(dialog.model.rows[0].key)
    QTest.keyClick(dialog.view, Key.Key_Return, CONTROL)
    settle(qtbot, window)

    assert dialog.model.rowCount() == 4
    assert not dialog.takes_back.isEnabled()
    assert dialog.takes_back.toolTip() == "This diary can only be read here."
    assert not window.menus.undo.isEnabled()
    assert len(values_of(window)) == 3


def test_reason_not_to_write_stands_in_place_of_what_undo_is_about(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path, three_readings)
    menu, why = window.menus.changes, "This diary can only be read here."
    said_by(qtbot, menu.undo, "Undo: The reading")
    assert window.session is not None

    window.session.stop_writing(why)
    window.session.record_changed.emit()
    settle(qtbot, window)
    shut = [(each.isEnabled(), each.statusTip()) for each in (menu.undo, menu.redo, menu.remove)]
    window.session.stop_writing("")
    settle(qtbot, window)
    qtbot.waitUntil(lambda: "09:05" in menu.undo.statusTip(), timeout=10_000)

    assert shut == [(False, why)] * 3
    assert menu.undo.isEnabled()
    assert menu.history.isEnabled()


def test_the_history_ends_with_escape(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_readings)
    dialog = history_of(qtbot, window)

    QTest.keyClick(dialog.view, Key.Key_Escape)
    settle(qtbot, window)

    assert open_dialogs(window, HistoryDialog) == []
    assert QKeySequence("Ctrl+H") in window.menus.changes.history.shortcuts()


# What a reading said before, in its form.


def form_lines(bot: QtBot, window: Window, row_id: int) -> list[str]:
    window.show_page(ReadingsPage.key)
    settle(bot, window)
    page = window.page(ReadingsPage.key)
    assert isinstance(page, ReadingsPage)
    page.form.open(row_id)
    settle(bot, window)
    assert page.form.isVisible()
    return page.form.earlier.words.text().split("\n") if page.form.earlier.isVisible() else []


def test_the_form_tells_what_a_corrected_reading_said_before(qtbot: QtBot, tmp_path: Path) -> None:
    def fill(diary: Diary) -> None:
        person = three_readings(diary)
        first, second, _ = ids_of(diary, person)
        value = typed_value("6.6", person, Unit.MMOL_L, now=NOW)
        edit_reading(diary, person, first, Edit(value=value, note="juice"), now=NOW)
        later = NOW + timedelta(hours=1)
        edit_reading(diary, person, first, Edit(mark=Mark.WAKING, note=None), now=later)
        put_in_bin(diary, person, [second], now=NOW)

    window = shown(qtbot, tmp_path, fill)
    diary = diary_of(window)
    corrected, untouched = ids_of(diary, persons(diary)[0])

    lines = form_lines(qtbot, window, corrected)

    assert lines == [
        "Mark: no mark until Thu 12 Mar 22:30",
        "Note taken away Thu 12 Mar 22:30: juice",
        "Result: 7.1 mmol/L until Thu 12 Mar 21:30",
        "Note added Thu 12 Mar 21:30",
    ]
    assert form_lines(qtbot, window, untouched) == []


def test_of_many_corrections_the_newest_are_shown(qtbot: QtBot, tmp_path: Path) -> None:
    def fill(diary: Diary) -> None:
        person = three_readings(diary)
        for number in range(6):
            value = typed_value(f"6.{number}", person, Unit.MMOL_L, now=NOW)
            edit_reading(diary, person, ids_of(diary, person)[0], Edit(value=value), now=NOW)

    window = shown(qtbot, tmp_path, fill)
    diary = diary_of(window)

    lines = form_lines(qtbot, window, ids_of(diary, persons(diary)[0])[0])

    assert [line.split(" until")[0] for line in lines[:4]] == [
        "Result: 6.4 mmol/L",
        "Result: 6.3 mmol/L",
        "Result: 6.2 mmol/L",
        "Result: 6.1 mmol/L",
    ]
    assert lines[4:] == ["2 earlier changes are in Edit ▸ History"]


def test_goals_are_a_step_too(qtbot: QtBot, tmp_path: Path) -> None:
    def fill(diary: Diary) -> None:
        set_targets(diary, tilde(diary), "ispad-2022", from_day=None, now=NOW)

    window = shown(qtbot, tmp_path, fill)

    text = said_by(qtbot, window.menus.undo, "Undo: ")

    assert text == "Undo: The goals “ISPAD 2022, children and young…"
