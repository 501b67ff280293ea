"""Fields for a date and a time: typed whole, part by part, pasted, taken back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QDate, Qt, QTime
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QLineEdit, QToolTip, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from app.ui.controls import DateField, TimeField


@pytest.fixture
def beside(qtbot: QtBot) -> Iterator[tuple[DateField, TimeField, QLineEdit]]:
    """A date, a time and a line of text below each other, in a window that has the keyboard."""
    window = QWidget()
    qtbot.addWidget(window)
    there = (
        DateField(QDate(2026, 5, 6), order="d MMM yyyy", name="Day"),
        TimeField(QTime(18, 20), name="Time"),
        QLineEdit(),
    )
    column = QVBoxLayout(window)
    for each in there:
        column.addWidget(each)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    yield there
    QToolTip.hideText()


def over_all(qtbot: QtBot, field: QWidget, text: str) -> None:
    """Select everything in a field and type."""
    field.setFocus()
    qtbot.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(field, text)


def test_a_date_typed_over_the_whole_field_is_taken_when_it_is_left(
    beside: tuple[DateField, TimeField, QLineEdit], qtbot: QtBot
) -> None:
    day, time, _ = beside
    heard: list[QDate] = []
    day.dateChanged.connect(heard.append)

    over_all(qtbot, day, "7.2.2026")
    seen = day.lineEdit().text()
    time.setFocus()

    assert seen == "7.2.2026"
    assert day.text() == "7 Feb 2026"
    assert heard == [QDate(2026, 2, 7)]


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Enter])
def test_enter_takes_it_and_the_field_goes_on_part_by_part(
    beside: tuple[DateField, TimeField, QLineEdit], qtbot: QtBot, key: Qt.Key
) -> None:
    day = beside[0]

    over_all(qtbot, day, "2026-02-07")
    qtbot.keyClick(day, key)
    day.setSelectedSection(DateField.Section.DaySection)
    qtbot.keyClick(day, Qt.Key.Key_Up)

    assert day.date() == QDate(2026, 2, 8)


def test_who_asks_meanwhile_hears_what_was_typed(
    beside: tuple[DateField, TimeField, QLineEdit], qtbot: QtBot
) -> None:
    day, time, _ = beside

    over_all(qtbot, day, "7.2.2026")
    typed_day = day.date()
    over_all(qtbot, time, "730")

    assert (typed_day, time.time()) == (QDate(2026, 2, 7), QTime(7, 30))


@pytest.mark.parametrize("text", ["31.04.2026", "soon", "7"])
def test_what_is_no_date_is_said_and_changes_nothing(
    beside: tuple[DateField, TimeField, QLineEdit], qtbot: QtBot, text: str
) -> None:
    day = beside[0]

    over_all(qtbot, day, text)
    beside[2].setFocus()

    assert day.text() == "6 May 2026"
    assert f'"{text}" is not a date that fits here; 6 May 2026 stands.' in QToolTip.text()


def test_a_day_that_a_form_does_not_allow_is_not_bent_into_one_that_it_does(
    beside: tuple[DateField, TimeField, QLineEdit], qtbot: QtBot
) -> None:
    day = beside[0]
    day.setMinimumDate(QDate(2026, 5, 1))

    over_all(qtbot, day, "7.2.2026")

    assert day.date() == QDate(2026, 5, 6)


def test_escape_takes_back_what_was_typed_and_closes_nothing(
    beside: tuple[DateField, TimeField, QLineEdit], qtbot: QtBot
) -> None:
    day = beside[0]

    over_all(qtbot, day, "7.2.2026")
    qtbot.keyClick(day, Qt.Key.Key_Escape)

    assert day.text() == "6 May 2026"
    assert day.window().isVisible()


def test_an_emptied_field_keeps_its_date(
    beside: tuple[DateField, TimeField, QLineEdit], qtbot: QtBot
) -> None:
    day = beside[0]

    day.setFocus()
    qtbot.keyClick(day, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(day, Qt.Key.Key_Backspace)
    beside[2].setFocus()

    assert day.text() == "6 May 2026"


def test_a_date_and_a_time_can_be_pasted(
    beside: tuple[DateField, TimeField, QLineEdit], qtbot: QtBot
) -> None:
    day, time, _ = beside
    for field, text in ((day, "2026-02-07"), (time, "6:50 am")):
        field.setFocus()
        QGuiApplication.clipboard().setText(text)
        qtbot.keyClick(field, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)

    assert (day.date(), time.time()) == (QDate(2026, 2, 7), QTime(6, 50))


def test_a_part_alone_is_typed_as_before(
    beside: tuple[DateField, TimeField, QLineEdit], qtbot: QtBot
) -> None:
    time = beside[1]
    time.setFocus()
    time.setSelectedSection(TimeField.Section.MinuteSection)

    qtbot.keyClicks(time, "45")

    assert time.time() == QTime(18, 45)
