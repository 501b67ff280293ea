from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QLabel, QWidget
from pytestqt.qtbot import QtBot

from app.domain.clock import Period
from app.domain.person import Person
from app.review.written import written_in
from app.store.diary import Diary
from app.ui.session import Session
from app.ui.window import Window
from app.ui.write_down.dialog import KINDS, WriteDownDialog
from tests.households import NOW, new_diary, tilde, written

EVER = Period(date(2000, 1, 1), date(2100, 1, 1))
AUTUMN = datetime(2026, 10, 25, 9, 0, tzinfo=UTC)  # the clocks of Lisbon went back at 02:00


@dataclass
class Desk:
    """The window with one person, and its clock."""

    window: Window
    diary: Diary
    person: Person
    qtbot: QtBot

    @property
    def dialog(self) -> WriteDownDialog:
        (found,) = self.window.findChildren(WriteDownDialog)
        return found

    def open(self, key: str) -> WriteDownDialog:
        """By the key of the menu; then Down in the choice until the kind stands there."""
        self.front()
        QTest.keyClick(self.window, Qt.Key.Key_D, Qt.KeyboardModifier.ControlModifier)
        self.qtbot.waitUntil(self.dialog.isActiveWindow)
        assert focused() is self.dialog.kind
        for _ in range([kind.key for kind in KINDS].index(key)):
            press(Qt.Key.Key_Down)
        press(Qt.Key.Key_Return)
        return self.dialog

    def front(self) -> None:
        self.window.activateWindow()
        self.qtbot.waitUntil(self.window.isActiveWindow)

    def settle(self) -> None:
        self.qtbot.waitUntil(lambda: not self.dialog.job.busy)

    def told(self) -> list[tuple[str, str, str]]:
        return [
            (each.what, each.when, each.words) for each in written_in(self.diary, self.person, EVER)
        ]


def focused() -> QWidget:
    found = QApplication.focusWidget()
    assert found is not None
    return found


def press(*keys: Qt.Key) -> None:
    for key in keys:
        QTest.keyClick(focused(), key)


def typed(text: str) -> None:
    QTest.keyClicks(focused(), text)


def tab_to(name: str) -> None:
    """Press Tab until a control has the focus; a date and a time take several."""
    for _ in range(20):
        press(Qt.Key.Key_Tab)
        if name in (focused().accessibleName(), focused().property("text")):
            return
    raise AssertionError(f"Tab does not come to it: {name}")


def said(widget: QWidget) -> str:
    return "\n".join(each.text() for each in widget.findChildren(QLabel) if each.isVisible())


def desk_at(folder: Path, qtbot: QtBot, now: datetime) -> Desk:
    diary = new_diary(folder)
    person = tilde(diary)
    session = Session(diary, lambda: now, None)
    window = Window(remember=None)
    qtbot.addWidget(window)
    window.fill(session)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    return Desk(window, diary, person, qtbot)


@pytest.fixture
def desk(tmp_path: Path, qtbot: QtBot) -> Iterator[Desk]:
    made = desk_at(tmp_path, qtbot, NOW)
    yield made
    made.window.close()


def test_needed_help_is_written_down_by_keys_alone_and_taken_back(desk: Desk, qtbot: QtBot) -> None:
    desk.open("help")

    typed("glucose gel from a friend")
    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not desk.dialog.isVisible())

    assert desk.told() == [
        ("help", "2026-03-12 21:30", "help from another person, glucose gel from a friend")
    ]
    assert desk.window.notice.sentence.startswith("Help from another person was written down")
    desk.front()
    QTest.keyClick(desk.window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: desk.told() == [])


def test_help_without_a_reading_near_it_is_refused_in_place(desk: Desk, qtbot: QtBot) -> None:
    dialog = desk.open("help")

    typed("juice")
    tab_to("with the reading nearest to it")
    press(Qt.Key.Key_Space, Qt.Key.Key_Return)
    desk.settle()

    assert "There is no reading within half an hour" in dialog.trouble.error
    assert dialog.isVisible()
    assert desk.told() == []
    assert focused().property("text") == "juice"


def test_a_raised_ketone_test_is_saved_and_its_caution_shown(desk: Desk, qtbot: QtBot) -> None:
    desk.open("ketone")

    typed("1,8")
    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not desk.dialog.isVisible())

    assert [each[2] for each in desk.told()] == ["1.8 mmol/L"]
    (caution,) = [each for each in desk.window.findChildren(QDialog) if each.isVisible()]
    assert "1.8 mmol/L" in said(caution)
    assert "care team" in said(caution)
    QTest.keyClick(caution, Qt.Key.Key_Escape)


def test_an_odd_ketone_value_is_asked_about_and_enter_alone_saves_nothing(
    desk: Desk, qtbot: QtBot
) -> None:
    dialog = desk.open("ketone")

    typed("9.4")
    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: dialog.question is not None)
    assert "more than ketone meters show" in said(dialog)
    press(Qt.Key.Key_Return)
    assert desk.told() == []
    press(Qt.Key.Key_Down, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not dialog.isVisible())

    assert [each[2] for each in desk.told()] == ["9.4 mmol/L"]


def test_a_lab_value_without_its_unit_is_asked_about(desk: Desk, qtbot: QtBot) -> None:
    dialog = desk.open("lab")

    typed("7.9")
    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: dialog.question is not None)
    press(Qt.Key.Key_Down, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not dialog.isVisible())

    assert [each[2] for each in desk.told()] == ["A1C 7.9 %"]


def test_a_change_keeps_its_day_and_the_days_to_settle(desk: Desk, qtbot: QtBot) -> None:
    desk.open("change")

    typed("breakfast half an hour later")
    tab_to("From this day on")
    press(Qt.Key.Key_Down)
    tab_to("Days to settle")
    assert focused().property("text") == "3"
    typed("5")
    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not desk.dialog.isVisible())

    assert desk.told() == [
        ("change", "2026-03-11", "breakfast half an hour later (5 days to settle)")
    ]


def test_sick_days_go_on_and_can_be_left_out_of_averages(desk: Desk, qtbot: QtBot) -> None:
    desk.open("days")

    tab_to("they go on")
    press(Qt.Key.Key_Space)
    tab_to("show averages without these days, too")
    press(Qt.Key.Key_Space, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not desk.dialog.isVisible())

    assert desk.told() == [
        ("days", "2026-03-12 on", "sick, may be left out of averages"),
    ]


def test_days_that_need_words_say_so_and_keep_what_was_chosen(desk: Desk, qtbot: QtBot) -> None:
    dialog = desk.open("days")

    press(Qt.Key.Key_End, Qt.Key.Key_Return)
    desk.settle()

    assert "Say in a few words what these days were" in dialog.trouble.error
    press(Qt.Key.Key_Tab)
    typed("camp")
    assert dialog.trouble.error == ""
    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not dialog.isVisible())
    assert desk.told() == [("days", "2026-03-12", "own, camp")]


def test_a_meal_with_its_carbohydrate_is_an_event(desk: Desk, qtbot: QtBot) -> None:
    desk.open("event")

    press(Qt.Key.Key_Tab)
    typed("soup and bread")
    tab_to("Carbohydrate in grams")
    typed("45")
    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not desk.dialog.isVisible())

    assert desk.told() == [("event", "2026-03-12 21:30", "meal, soup and bread, 45 g carbohydrate")]


def test_a_tag_is_put_on_the_reading_of_a_minute(desk: Desk, qtbot: QtBot) -> None:
    written(desk.diary, desk.person, "2026-03-12 21:30", "6.2")
    dialog = desk.open("tag")

    typed("swimming")
    tab_to("the whole day")
    press(Qt.Key.Key_Down)
    assert dialog.form.when.time.isEnabled()
    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not dialog.isVisible())

    assert "“swimming”" in desk.window.notice.sentence


def test_what_was_typed_stands_there_again_after_escape(desk: Desk, qtbot: QtBot) -> None:
    dialog = desk.open("help")
    typed("half a sent")

    press(Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    desk.open("help")
    typed("ence")
    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not dialog.isVisible())

    assert desk.told()[0][2].endswith("half a sentence")


def test_an_hour_that_came_twice_is_asked_about(tmp_path: Path, qtbot: QtBot) -> None:
    desk = desk_at(tmp_path, qtbot, AUTUMN)
    dialog = desk.open("ketone")
    typed("0.2")
    tab_to("Time")
    typed("0130")

    press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: dialog.question is not None)
    press(Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not dialog.isVisible())

    ((_, when, _),) = desk.told()
    assert when == "2026-10-25 01:30"
    desk.window.close()


@pytest.mark.parametrize("key", [kind.key for kind in KINDS])
def test_tab_comes_from_the_kind_through_the_form_to_save(
    desk: Desk, qtbot: QtBot, key: str
) -> None:
    dialog = desk.open(key)
    dialog.kind.setFocus()

    passed: list[QWidget] = [dialog.kind]
    while focused() is not dialog.saves and len(passed) < 20:
        press(Qt.Key.Key_Tab)
        passed.append(focused())

    ends: list[QWidget] = [dialog.leaves, dialog.saves]
    assert passed[-2:] == ends
    assert all(dialog.form.isAncestorOf(each) for each in passed[1:-2])
    assert all(each.accessibleName() for each in passed if not each.property("text"))
    dialog.reject()
