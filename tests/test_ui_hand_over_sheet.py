from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QScrollArea
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from app.domain.marks import Mark
from app.store.diary import Diary
from app.store.readings import readings_of
from app.ui.hand_over.page import SHEET, HandOverPage
from app.ui.hand_over.sheet_view import SheetView
from app.ui.session import Session
from app.work.take_back import undo_last
from tests.households import NOW, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        person = tilde(made)
        for day in range(1, 6):
            written(made, person, f"2026-03-0{day} 12:30", "5.5", Mark.BEFORE_LUNCH)
        yield made


def opened(diary: Diary, qtbot: QtBot, width: int = 988) -> SheetView:
    """The sheet of the week from Mon 9 Mar, the focus in its first box."""
    session = Session(diary, lambda: NOW, None)
    page = HandOverPage(session)
    session.setParent(page)
    qtbot.addWidget(page)
    page.resize(width, 700)
    page.show()
    page.show_view(SHEET)
    page.activateWindow()
    settle(page.sheet, qtbot)
    page.sheet.fields.keeper.setText("Ms Ardley")
    page.sheet.fields.place.setText("school")
    page.sheet.grid.setFocus()
    qtbot.waitUntil(page.sheet.grid.hasFocus)
    return page.sheet


def settle(sheet: SheetView, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: sheet.is_settled, timeout=5000)


def type_in(sheet: SheetView, *words: str) -> None:
    """Type into whatever has the focus; a word with "Key_" is a key."""
    for word in words:
        there = QApplication.focusWidget()
        assert there is not None
        if word.startswith("Key_"):
            QTest.keyClick(there, Qt.Key[word])
        else:
            # The first letter opens the editor, which then has the focus.
            QTest.keyClicks(there, word[:1])
            QTest.keyClicks(QApplication.focusWidget() or there, word[1:])


def said(sheet: SheetView) -> str:
    """The sentence below the grid."""
    label = sheet.current.findChild(QLabel)
    assert label is not None
    return label.text()


def at(sheet: SheetView) -> tuple[int, int]:
    current = sheet.grid.currentIndex()
    return current.row(), current.column()


def texts(sheet: SheetView) -> dict[tuple[str, str], str]:
    return {(str(each.day), each.slot.value): each.text for each in sheet.boxes.cells()}


def test_a_week_is_typed_and_saved_with_keys_alone(diary: Diary, qtbot: QtBot) -> None:
    sheet = opened(diary, qtbot)

    type_in(sheet, "6.4 7:10", "Key_Tab", "Key_Tab", "7.2 12:10 crisps", "Key_Return")
    type_in(sheet, "5.9", "Key_Down", "Key_Right", "9.8 14:05", "Key_Return")
    settle(sheet, qtbot)
    editor = QApplication.focusWidget()
    assert editor is not None
    QTest.keyClick(editor, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(sheet, qtbot)

    found = [
        (each.moment.wall, each.glucose.value, each.mark, each.keeper, each.place, each.note)
        for each in readings_of(diary, sheet.session.person)
        if each.origin == "sheet" and each.moment is not None
    ]
    who = ("Ms Ardley", "school")
    assert found == [
        ("2026-03-09T07:10", "6.4", "waking", *who, None),
        ("2026-03-09T12:10", "7.2", "before_lunch", *who, "crisps"),
        ("2026-03-10T12:30", "5.9", "before_lunch", *who, None),
        ("2026-03-11T14:05", "9.8", "after_lunch", *who, None),
    ]
    assert texts(sheet) == {}


def test_one_undo_takes_the_sheet_back(diary: Diary, qtbot: QtBot) -> None:
    sheet = opened(diary, qtbot)
    type_in(sheet, "6.4 7:10", "Key_Tab", "7.0 9:00", "Key_Tab")
    settle(sheet, qtbot)
    sheet.submit()
    settle(sheet, qtbot)
    saved = len(readings_of(diary, sheet.session.person))

    undo_last(diary, sheet.session.person, now=NOW)

    assert (saved, len(readings_of(diary, sheet.session.person))) == (7, 5)


def test_tab_goes_along_the_rows_and_leaves_at_both_ends(diary: Diary, qtbot: QtBot) -> None:
    sheet = opened(diary, qtbot)
    seen = [at(sheet)]

    for _ in range(8):
        type_in(sheet, "Key_Tab")
        seen.append(at(sheet))
    sheet.grid.setCurrentIndex(sheet.boxes.index(4, 7))
    type_in(sheet, "Key_Tab")
    after = QApplication.focusWidget()
    sheet.grid.setFocus()
    sheet.grid.setCurrentIndex(sheet.boxes.index(0, 0))
    QTest.keyClick(sheet.grid, Qt.Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)

    assert seen == [(0, column) for column in range(8)] + [(1, 0)]
    assert after is not None
    assert after is not sheet.grid
    assert not sheet.grid.hasFocus()


def test_a_letter_begins_a_box_anew_f2_goes_on_and_escape_leaves_it(
    diary: Diary, qtbot: QtBot
) -> None:
    sheet = opened(diary, qtbot)
    type_in(sheet, "6.4 7:10", "Key_Tab")
    sheet.grid.setCurrentIndex(sheet.boxes.index(0, 0))

    type_in(sheet, "Key_F2")
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    QTest.keyClick(editor, Qt.Key.Key_End)
    QTest.keyClicks(editor, " toast")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    longer = texts(sheet)["2026-03-09", "waking"]
    sheet.grid.setCurrentIndex(sheet.boxes.index(0, 0))
    type_in(sheet, "9", "Key_Escape")

    assert longer == "6.4 7:10 toast"
    assert texts(sheet)["2026-03-09", "waking"] == "6.4 7:10 toast"
    assert sheet.grid.hasFocus()


@pytest.mark.parametrize("key", ["Key_Delete", "Key_Backspace"])
def test_delete_empties_a_box(diary: Diary, qtbot: QtBot, key: str) -> None:
    sheet = opened(diary, qtbot)
    type_in(sheet, "6.4 7:10", "Key_Tab")
    sheet.grid.setCurrentIndex(sheet.boxes.index(0, 0))

    type_in(sheet, key)

    assert texts(sheet) == {}


def test_each_box_is_checked_while_it_is_typed(diary: Diary, qtbot: QtBot) -> None:
    sheet = opened(diary, qtbot)

    type_in(sheet, "56")
    while_typing = said(sheet)
    type_in(sheet, "Key_Tab")
    settle(sheet, qtbot)

    assert while_typing == (
        "Mon 9 Mar, waking: 56 mmol/L is not what a meter in mmol/L shows. What did the meter "
        "show? Say --sure to keep 56 mmol/L as typed."
    )
    assert not sheet.save.isEnabled()
    assert [each.typed for each in sheet.boxes.troubles()] == ["56"]


def test_a_box_that_is_not_understood_lets_nothing_be_saved(diary: Diary, qtbot: QtBot) -> None:
    sheet = opened(diary, qtbot)
    type_in(sheet, "abc", "Key_Tab", "7.0 9:00", "Key_Tab")
    settle(sheet, qtbot)

    sheet.submit()
    settle(sheet, qtbot)

    assert len(readings_of(diary, sheet.session.person)) == 5
    assert "2 on the sheet · 1 new · 1 not understood" in sheet.shown.account.text()


def test_what_will_be_saved_stands_there_before_it_is(diary: Diary, qtbot: QtBot) -> None:
    sheet = opened(diary, qtbot)

    type_in(sheet, "6.4 7:10", "Key_Tab", "Key_Tab", "5.9", "Key_Tab")
    settle(sheet, qtbot)

    assert sheet.shown.lines.text().splitlines() == [
        "Mon 9 Mar · waking · 6.4 mmol/L · 07:10 · new",
        "Mon 9 Mar · before lunch · 5.9 mmol/L · about 12:30, the usual time · new",
    ]
    assert sheet.save.isEnabled()


def test_probably_one_is_asked_and_answered_by_keys(diary: Diary, qtbot: QtBot) -> None:
    person = Session(diary, lambda: NOW, None).person
    written(diary, person, "2026-03-09 12:07", "7.2")
    sheet = opened(diary, qtbot)
    sheet.grid.setCurrentIndex(sheet.boxes.index(0, 2))
    type_in(sheet, "7.2 12:10", "Key_Tab")
    settle(sheet, qtbot)
    asked = sheet.shown.question
    assert asked is not None
    before = sheet.save.isEnabled()

    asked.setFocus()
    QTest.keyClick(asked, Qt.Key.Key_Down)
    QTest.keyClick(QApplication.focusWidget() or asked, Qt.Key.Key_Space)
    settle(sheet, qtbot)
    sheet.submit()
    settle(sheet, qtbot)

    assert not before
    values = [each for each in readings_of(diary, person) if each.glucose.value == "7.2"]
    assert [(each.keeper, each.place, each.mark) for each in values] == [
        ("Ms Ardley", "school", "before_lunch")
    ]


def test_an_answer_holds_only_for_what_stood_in_the_box(diary: Diary, qtbot: QtBot) -> None:
    person = Session(diary, lambda: NOW, None).person
    written(diary, person, "2026-03-09 12:07", "7.2")
    written(diary, person, "2026-03-09 12:09", "7.5")
    sheet = opened(diary, qtbot)
    sheet.boxes.setData(sheet.boxes.index(0, 2), "7.2 12:10")
    settle(sheet, qtbot)
    assert sheet.shown.question is not None
    sheet.shown.question.answered.emit("one")
    settle(sheet, qtbot)
    answered = sheet.save.isEnabled()

    sheet.boxes.setData(sheet.boxes.index(0, 2), "7.5 12:10")
    settle(sheet, qtbot)

    assert answered
    assert not sheet.save.isEnabled()
    assert sheet.shown.question is not None


def test_a_sheet_needs_somebody_who_wrote_it(diary: Diary, qtbot: QtBot) -> None:
    sheet = opened(diary, qtbot)
    sheet.fields.keeper.clear()
    type_in(sheet, "6.4 7:10", "Key_Tab")
    settle(sheet, qtbot)
    without = sheet.save.isEnabled()

    sheet.fields.keeper.setText("Bram")
    settle(sheet, qtbot)

    assert not without
    assert sheet.save.isEnabled()


def test_what_is_typed_stays_when_other_days_are_shown(diary: Diary, qtbot: QtBot) -> None:
    sheet = opened(diary, qtbot)
    type_in(sheet, "6.4 7:10", "Key_Tab")

    sheet.fields.first.setDate(QDate(2026, 3, 2))
    settle(sheet, qtbot)

    assert texts(sheet) == {("2026-03-09", "waking"): "6.4 7:10"}
    assert "Mon 9 Mar · waking · 6.4 mmol/L" in sheet.shown.lines.text()


def test_another_unit_reads_every_box_anew(diary: Diary, qtbot: QtBot) -> None:
    sheet = opened(diary, qtbot)
    type_in(sheet, "112 7:10", "Key_Tab")
    settle(sheet, qtbot)
    before = len(sheet.boxes.troubles())

    sheet.fields.unit.setCurrentIndex(0)
    sheet.fields.unit.activated.emit(0)
    settle(sheet, qtbot)

    assert (before, sheet.boxes.troubles()) == (1, [])
    assert "112 mg/dL" in sheet.shown.lines.text()


def test_the_boxes_keep_to_the_rules_of_models(
    diary: Diary, qtbot: QtBot, qtmodeltester: ModelTester
) -> None:
    sheet = opened(diary, qtbot)
    type_in(sheet, "112 7:10", "Key_Tab")

    qtmodeltester.check(sheet.boxes)


@pytest.mark.parametrize("width", [748, 1600])
def test_the_grid_is_as_high_as_its_rows_and_its_heads_are_whole(
    diary: Diary, qtbot: QtBot, width: int
) -> None:
    sheet = opened(diary, qtbot, width)
    grid = sheet.grid
    metrics = grid.horizontalHeader().fontMetrics()

    for column in range(8):
        words = str(sheet.boxes.headerData(column, Qt.Orientation.Horizontal)).splitlines()
        assert max(map(metrics.horizontalAdvance, words)) + 16 <= grid.columnWidth(column)
    last = grid.visualRect(sheet.boxes.index(sheet.boxes.rowCount() - 1, 0))
    assert last.bottom() <= grid.viewport().height()
    assert grid.viewport().width() <= width


def test_text_twice_as_large_needs_no_scrolling_to_the_side(
    diary: Diary, qtbot: QtBot, qapp: QApplication
) -> None:
    usual = QFont(qapp.font())
    large = QFont(usual)
    large.setPointSizeF(usual.pointSizeF() * 2)
    qapp.setFont(large)
    try:
        sheet = opened(diary, qtbot, 530)
        area = sheet.window().findChild(QScrollArea)
        assert area is not None
        assert area.horizontalScrollBar().maximum() == 0
        sheet.grid.setCurrentIndex(sheet.boxes.index(0, 7))
        box = sheet.grid.visualRect(sheet.boxes.index(0, 7))
        assert sheet.grid.viewport().rect().contains(box)
    finally:
        qapp.setFont(usual)


def test_every_control_of_the_sheet_has_a_name(diary: Diary, qtbot: QtBot) -> None:
    sheet = opened(diary, qtbot)
    fields = sheet.fields
    controls = (fields.keeper, fields.place, fields.first, fields.days, fields.unit, fields.meter)

    assert all(each.accessibleName() for each in (*controls, sheet.grid, sheet.save, sheet.clear))
    index = sheet.boxes.index(0, 0)
    assert sheet.boxes.data(index, Qt.ItemDataRole.AccessibleTextRole) == (
        "Mon 9 Mar, waking: nothing is typed"
    )
