from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolButton, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from app.domain.clock import Period
from app.look.theme import apply_theme
from app.look.tokens import LIGHT
from app.ui.period_bar import ALL, OWN, PeriodBar
from app.ui.session import Session
from tests.households import NOW, new_diary, tilde, written

FIRST, TODAY = date(2026, 1, 5), date(2026, 3, 12)


@pytest.fixture
def session(tmp_path: Path, qapp: QApplication) -> Iterator[Session]:
    apply_theme(qapp, LIGHT)
    diary = new_diary(tmp_path)
    person = tilde(diary)
    written(diary, person, "2026-01-05 07:00", "6.1")
    written(diary, person, "2026-03-11 07:00", "6.1")
    made = Session(diary, lambda: NOW, None)
    yield made
    made.close()
    diary.close()


@pytest.fixture
def page(qtbot: QtBot) -> QWidget:
    made = QWidget()
    qtbot.addWidget(made)
    return made


@pytest.fixture
def bar(session: Session, page: QWidget, qtbot: QtBot) -> PeriodBar:
    column = QVBoxLayout(page)
    made = PeriodBar(session, page, offers_all=True)
    column.addWidget(made)
    column.addWidget(made.from_to)
    session.period_changed.connect(made.show_chosen)
    made.show_chosen()
    page.show()
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow)
    return made


def press(bar: PeriodBar, text: str) -> None:
    for button in bar.findChildren(QToolButton):
        if button.text() == text:
            QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_a_length_keeps_the_last_day_and_once_more_ends_today(
    bar: PeriodBar, session: Session
) -> None:
    session.show_days(30, date(2026, 2, 1))

    press(bar, "14")
    kept = session.period
    press(bar, "14")

    assert kept == Period(date(2026, 1, 19), date(2026, 2, 1))
    assert session.period == Period(date(2026, 2, 27), TODAY)


def test_all_is_every_day_there_is(bar: PeriodBar, session: Session) -> None:
    press(bar, "All")

    assert session.period == Period(FIRST, TODAY)
    assert bar.value() == ALL
    assert not bar.from_to.isVisible()


def test_from_to_begins_with_the_days_shown_and_takes_over_others_by_enter(
    bar: PeriodBar, session: Session
) -> None:
    press(bar, "From – to")
    assert bar.from_to.last.date() == QDate(2026, 3, 12)

    bar.from_to.first.setDate(QDate(2026, 3, 2))
    QTest.keyClick(bar.from_to.first, Qt.Key.Key_Return)

    assert session.period == Period(date(2026, 3, 2), TODAY)
    assert bar.value() == OWN
    assert bar.from_to.isVisible()


def test_what_is_being_typed_stays_while_the_page_is_drawn_anew(bar: PeriodBar) -> None:
    press(bar, "From – to")
    bar.from_to.first.setDate(QDate(2026, 3, 2))

    bar.show_chosen()

    assert bar.from_to.isVisible()
    assert bar.from_to.first.date() == QDate(2026, 3, 2)


def test_escape_leaves_the_dates_for_the_lengths(bar: PeriodBar) -> None:
    press(bar, "From – to")

    QTest.keyClick(bar.from_to.first, Qt.Key.Key_Escape)

    focused = QApplication.focusWidget()
    assert isinstance(focused, QToolButton)
    assert focused.text() == "From – to"


def test_a_period_of_another_length_is_one_of_ones_own(bar: PeriodBar, session: Session) -> None:
    session.show_days(45)

    assert bar.value() == OWN
    assert bar.from_to.first.date() == QDate(2026, 1, 27)


def test_a_bar_without_all_calls_every_day_ones_own(session: Session, page: QWidget) -> None:
    bar = PeriodBar(session, page)
    session.show_period(session.all_days())

    bar.show_chosen()

    assert bar.value() == OWN
