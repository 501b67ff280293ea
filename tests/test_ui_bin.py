"""The bin in the window, and a person taken out of the diary, on real diaries and by keys."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.domain.person import Person
from app.store.backup_facts import list_backups
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.readings import readings_of
from app.store.state_hash import state_hash
from app.ui.changes.bin import BinDialog
from app.ui.changes.remove import RemoveDialog
from app.ui.window import Window
from app.work.bin import in_bin
from app.work.edit import put_in_bin
from app.work.history import next_steps
from tests.change_windows import column, diary_of, nameless, open_dialogs, opened_by, said_by
from tests.households import NOW, corwin, tilde, written
from tests.windows import settle, shown, shown_on

Key = Qt.Key
CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
OLD = NOW - timedelta(days=100)


def ids_of(diary: Diary, person: Person) -> list[int]:
    return [each.id for each in readings_of(diary, person)]


def three_in_the_bin(diary: Diary) -> Person:
    """Four readings, of which one was put into the bin long ago and two three days ago."""
    person = tilde(diary)
    for hour in (6, 7, 8, 9):
        note = "shaky" if hour == 8 else None
        written(diary, person, f"2026-03-12 {hour:02}:05", f"{hour}.1", note=note)
    first, second, third, _ = ids_of(diary, person)
    put_in_bin(diary, person, [first], now=OLD)
    put_in_bin(diary, person, [second, third], now=NOW - timedelta(days=3))
    return person


def bin_of(bot: QtBot, window: Window) -> BinDialog:
    return opened_by(bot, window, window.menus.changes.bin, BinDialog)


def removal_of(bot: QtBot, window: Window) -> RemoveDialog:
    return opened_by(bot, window, window.menus.changes.remove, RemoveDialog)


def values_of(window: Window) -> list[str | None]:
    diary = diary_of(window)
    return [each.glucose.value for each in readings_of(diary, persons(diary)[0])]


def note_of(dialog: BinDialog) -> str:
    (label,) = dialog.note.findChildren(QLabel)
    return label.text()


def answer(bot: QtBot, window: Window, dialog: BinDialog, *, downs: int) -> None:
    for _ in range(downs):
        QTest.keyClick(dialog.focusWidget(), Key.Key_Down)
    QTest.keyClick(dialog.focusWidget(), Key.Key_Return)
    settle(bot, window)


# What lies there.


def test_the_bin_tells_what_when_and_how_long_it_is_kept(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_in_the_bin)
    window.focus_entry()
    QTest.keyClick(window.focusWidget(), Key.Key_Delete, CONTROL | SHIFT)
    settle(qtbot, window)
    (dialog,) = open_dialogs(window, BinDialog)

    assert column(dialog.model, "What") == [
        "The reading 7.1 mmol/L, 2026-03-12 07:05",
        "The reading 8.1 mmol/L, 2026-03-12 08:05, with 1 note",
        "The reading 6.1 mmol/L, 2026-03-12 06:05",
    ]
    assert column(dialog.model, "Kept at least") == ["87 days", "87 days", "90 days are over"]
    assert column(dialog.model, "Put in") == ["Mon 9 Mar", "Mon 9 Mar", "Tue 2 Dec 2025"]
    assert dialog.about.text() == (
        "3 things are in the bin; each can be restored until it is emptied. "
        "1 has been there for 90 days or more."
    )
    assert dialog.view.hasFocus()
    assert nameless(dialog) == []


def test_an_empty_bin_says_so_and_offers_nothing(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, tilde)

    dialog = bin_of(qtbot, window)

    assert dialog.about.text().startswith("The bin is empty.")
    assert [each.isVisible() for each in (dialog.view, dialog.restores, dialog.empties)] == [
        False,
        False,
        False,
    ]
    assert not dialog.empties_old.isVisible()
    assert dialog.closes.hasFocus()
    assert nameless(dialog) == []


def test_things_of_two_people_are_told_apart(qtbot: QtBot, tmp_path: Path) -> None:
    def fill(diary: Diary) -> None:
        three_in_the_bin(diary)
        adult = corwin(diary)
        written(diary, adult, "2026-03-12 07:05", "112")
        put_in_bin(diary, adult, ids_of(diary, adult), now=NOW)

    window = shown(qtbot, tmp_path, fill)

    dialog = bin_of(qtbot, window)

    assert column(dialog.model, "Whose") == ["Corwin", "Tilde", "Tilde", "Tilde"]
    assert column(dialog.model, "What")[0] == "The reading 112 mg/dL, 2026-03-12 07:05"


# Out of it again.


def test_what_is_selected_is_restored_and_undo_puts_it_back(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_in_the_bin)
    dialog = bin_of(qtbot, window)

    QTest.keyClick(dialog.view, Key.Key_Down, SHIFT)
    QTest.keyClick(dialog.view, Key.Key_Return, CONTROL)
    settle(qtbot, window)
    restored = values_of(window)
    listed = column(dialog.model, "What")
    QTest.keyClick(dialog, Key.Key_Escape)
    said_by(qtbot, window.menus.undo, "Undo: 2 records were taken out of the bin")
    window.menus.undo.trigger()
    settle(qtbot, window)

    assert restored == ["7.1", "8.1", "9.1"]
    assert listed == ["The reading 6.1 mmol/L, 2026-03-12 06:05"]
    assert values_of(window) == ["9.1"]


def test_what_can_not_come_back_is_told_and_stays(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_in_the_bin)
    diary = diary_of(window)
    removing = removal_of(qtbot, window)
    removing.name.setText("Tilde")
    removing.remove()
    settle(qtbot, window)
    tilde(diary)
    assert window.session is not None
    window.session.changed()
    dialog = bin_of(qtbot, window)
    dialog.view.select(dialog.model.rows[0].key)

    dialog.restore()
    settle(qtbot, window)

    assert dialog.note.error.startswith('There is another person named "Tilde" now')
    assert column(dialog.model, "What")[0].startswith("Tilde, with ")


# Emptied.


def test_emptying_asks_plainly_and_makes_a_backup_first(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_in_the_bin)
    diary = diary_of(window)
    dialog = bin_of(qtbot, window)
    dialog.empties.setFocus()
    QTest.keyClick(dialog.empties, Key.Key_Return)
    settle(qtbot, window)
    assert dialog.question is not None
    asked = dialog.question.accessibleName()

    QTest.keyClick(dialog.question, Key.Key_Return)  # Enter alone answers nothing
    settle(qtbot, window)
    before = len(in_bin(diary, now=NOW).items)
    answer(qtbot, window, dialog, downs=1)

    assert asked.startswith("This empties the bin for good: 3 readings and 1 other record, ")
    assert "undo does not bring them back. A backup is made first." in asked
    assert "Backups made before still hold it" in asked
    assert before == 3
    assert in_bin(diary, now=NOW).items == ()
    assert [each.why for each in list_backups(diary.path)] == ["before_emptying"]
    assert note_of(dialog).startswith("The bin was emptied: 4 rows are gone for good. Backups")
    assert dialog.about.text().startswith("The bin is empty.")
    assert dialog.closes.hasFocus()


@pytest.mark.parametrize("by", ["escape", "answer"])
def test_who_leaves_it_finds_everything_as_it_was(qtbot: QtBot, tmp_path: Path, by: str) -> None:
    window = shown(qtbot, tmp_path, three_in_the_bin)
    diary = diary_of(window)
    dialog = bin_of(qtbot, window)
    dialog.ask_to_empty(old_only=False)
    settle(qtbot, window)

    if by == "escape":
        QTest.keyClick(dialog.focusWidget(), Key.Key_Escape)
        settle(qtbot, window)
    else:
        answer(qtbot, window, dialog, downs=2)

    assert dialog.isVisible()
    assert dialog.question is None
    assert dialog.view.hasFocus()
    assert len(in_bin(diary, now=NOW).items) == 3
    assert list_backups(diary.path) == ()


def test_only_what_is_over_ninety_days_old_can_be_emptied(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_in_the_bin)
    dialog = bin_of(qtbot, window)
    assert dialog.empties_old.isVisible()

    QTest.keyClick(dialog.empties_old, Key.Key_Return)
    settle(qtbot, window)
    assert dialog.question is not None
    asked = dialog.question.accessibleName()
    answer(qtbot, window, dialog, downs=1)

    assert "1 reading that has been there for 90 days" in asked
    assert len(column(dialog.model, "What")) == 2
    assert not dialog.empties_old.isVisible()


def test_a_bin_is_not_emptied_where_no_backup_can_be_made(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_in_the_bin)
    (tmp_path / "backups").write_text("a file where the folder should be")
    dialog = bin_of(qtbot, window)

    dialog.ask_to_empty(old_only=False)
    settle(qtbot, window)
    answer(qtbot, window, dialog, downs=1)

    assert dialog.note.error
    assert len(in_bin(diary_of(window), now=NOW).items) == 3
    assert dialog.empties.isEnabled()


def test_who_reads_only_sees_the_bin_and_empties_nothing(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, three_in_the_bin)
    assert window.session is not None
    window.session.stop_writing("This diary can only be read here.")

    dialog = bin_of(qtbot, window)

    for button in (dialog.restores, dialog.empties, dialog.empties_old):
        assert not button.isEnabled()
        assert button.toolTip() == "This diary can only be read here."
    QTest.keyClick(dialog.view, Key.Key_Return, CONTROL)
    settle(qtbot, window)
    assert len(in_bin(diary_of(window), now=NOW).items) == 3


def test_a_window_that_is_closed_meanwhile_leaves_the_bin_emptied_and_told(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path, three_in_the_bin)
    dialog = bin_of(qtbot, window)
    dialog.ask_to_empty(old_only=False)
    settle(qtbot, window)

    QTest.keyClick(dialog.focusWidget(), Key.Key_Down)
    QTest.keyClick(dialog.focusWidget(), Key.Key_Return)
    dialog.accept()  # while the backup is made
    settle(qtbot, window)

    assert in_bin(diary_of(window), now=NOW).items == ()
    assert window.notice.sentence.startswith("The bin was emptied: 4 rows are gone for good.")


# A person taken out.


def two_people(diary: Diary) -> None:
    three_in_the_bin(diary)
    written(diary, corwin(diary), "2026-03-12 07:05", "112")


def test_removing_a_person_asks_for_the_name_and_makes_a_backup(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path, two_people)
    diary = diary_of(window)
    before = state_hash(diary)
    dialog = removal_of(qtbot, window)
    assert dialog.name.hasFocus()
    assert nameless(dialog) == []
    told = dialog.about.text()

    QTest.keyClick(dialog.name, Key.Key_Return)
    empty = dialog.name.accessibleDescription()
    QTest.keyClicks(dialog.name, "Tlide")
    QTest.keyClick(dialog.name, Key.Key_Return)
    settle(qtbot, window)
    wrong, made = dialog.name.accessibleDescription(), list_backups(diary.path)
    unchanged = state_hash(diary)
    dialog.name.clear()
    QTest.keyClicks(dialog.name, "tilde")
    QTest.keyClick(dialog.name, Key.Key_Return)
    settle(qtbot, window)

    assert told.startswith("Tilde goes into the bin, with 1 reading and every note, ")
    assert "A checked backup is made first. Undo and the bin bring all of it back" in told
    assert empty == "Type the name first; nothing was changed."
    assert wrong == 'The name typed again is "Tlide", not "Tilde". Nothing was changed.'
    assert (made, unchanged) == ((), before)
    assert open_dialogs(window, RemoveDialog) == []
    assert [each.name for each in persons(diary)] == ["Corwin"]
    assert [each.why for each in list_backups(diary.path)] == ["before_removing"]
    assert window.session is not None
    assert window.session.person.name == "Corwin"
    assert window.notice.sentence.startswith("Tilde was put into the bin, with 1 reading.")


def test_undo_brings_the_person_back_though_another_one_is_shown(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path, two_people)
    diary = diary_of(window)
    before = state_hash(diary)
    dialog = removal_of(qtbot, window)
    dialog.name.setText("Tilde")
    dialog.remove()
    settle(qtbot, window)
    said_by(qtbot, window.menus.undo, "Undo: Tilde was put into the bin, with 1 reading")

    window.notice.undo_asked.emit()
    settle(qtbot, window)

    assert state_hash(diary) == before
    assert {each.name for each in persons(diary)} == {"Corwin", "Tilde"}
    assert window.notice.sentence == "Taken back: Tilde is in the diary again, with everything."


def test_nothing_of_the_last_person_is_shown_once_nobody_is_there(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path, three_in_the_bin)
    dialog = removal_of(qtbot, window)
    dialog.name.setText("Tilde")
    dialog.remove()
    settle(qtbot, window)
    gone = window.stack.isVisible(), window.menus.changes.remove.isEnabled()
    window.show_page("figures")  # no page is made for nobody
    settle(qtbot, window)

    window.menus.undo.trigger()
    settle(qtbot, window)

    assert gone == (False, False)
    assert window.stack.isVisible()
    assert window.windowTitle() == "Tilde – Thimblebook"
    assert values_of(window) == ["9.1"]


def test_a_window_without_a_backup_folder_removes_nobody(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, two_people)
    (tmp_path / "backups").write_text("a file where the folder should be")
    dialog = removal_of(qtbot, window)
    dialog.name.setText("Tilde")

    dialog.remove()
    settle(qtbot, window)

    assert dialog.isVisible()
    assert dialog.name.accessibleDescription()
    assert dialog.removes.isEnabled()
    assert len(persons(diary_of(window))) == 2


def test_a_second_window_sees_the_bin_as_the_first_left_it(qtbot: QtBot, tmp_path: Path) -> None:
    first = shown(qtbot, tmp_path, three_in_the_bin)
    dialog = bin_of(qtbot, first)
    dialog.restore()
    settle(qtbot, first)
    diary = diary_of(first)
    step = next_steps(diary, persons(diary)[0]).undo
    first.close()

    second = shown_on(qtbot, open_diary(tmp_path / "diary.thimblebook", diary.installation))
    assert len(column(bin_of(qtbot, second).model, "What")) == 2
    assert step is not None
    assert "taken out of the bin" in step.sentence
