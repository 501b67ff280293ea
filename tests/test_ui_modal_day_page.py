from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.domain.clock import Period
from app.domain.marks import Mark
from app.look.theme import apply_theme
from app.look.tokens import LIGHT
from app.review.modal_day import ModalDay
from app.store.diary import Diary
from app.ui.job import Job
from app.ui.modal_day.page import ModalDayPage
from app.ui.session import Session
from tests.households import NOW, new_diary, tilde, written

WAKING = ("6.1", "7.4", "5.2", "8.8", "6.6")


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    made = new_diary(tmp_path)
    yield made
    made.close()


@pytest.fixture
def session(diary: Diary, qapp: QApplication) -> Iterator[Session]:
    apply_theme(qapp, LIGHT)
    person = tilde(diary, targets="ispad-2022")
    for at, value in enumerate(WAKING):
        written(diary, person, f"2026-03-0{at + 1}T07:0{at}", value, Mark.WAKING)
    written(diary, person, "2026-03-02T12:10", "2.4", Mark.BEFORE_LUNCH, note="after swimming")
    made = Session(diary, lambda: NOW, None)
    made.show_days(30)
    yield made
    made.close()


@pytest.fixture
def page(session: Session, qtbot: QtBot) -> Iterator[ModalDayPage]:
    made = ModalDayPage(session)
    qtbot.addWidget(made)
    made.resize(988, 728)
    with qtbot.waitExposed(made):
        made.show()
    _answered(made, qtbot)
    yield made
    for job in made.findChildren(Job):
        job.close()


def _answered(page: ModalDayPage, qtbot: QtBot) -> ModalDay:
    """What is shown once every question is answered."""

    def is_quiet() -> bool:
        return page.is_quiet and not any(job.busy for job in page.findChildren(Job))

    qtbot.waitUntil(is_quiet)
    assert page.found is not None
    return page.found


def test_the_chart_says_its_finding_by_name_and_the_slots_their_numbers(
    page: ModalDayPage,
) -> None:
    assert page.chart.accessibleName() == (
        "Modal day, n 6 readings on 5 days. 1 of 6 below 3.9, 1 of them below 3.0. "
        "The highest median is waking: 6.6 mmol/L, n 5. Never tested: after breakfast, "
        "after lunch, before evening meal, after evening meal, bedtime, night."
    )
    assert page.slot_sentences()[0] == (
        "waking: median 6.6 mmol/L, middle half 6.1 to 7.4, n 5, 1 above target"
    )
    assert page.slot_sentences()[2] == (
        "before lunch: n 1, too few for a median, 4 more would do, 1 below 3.9, 1 below target"
    )


def test_the_line_below_tells_the_reading_that_is_walked_to(
    page: ModalDayPage, qtbot: QtBot
) -> None:
    QTest.keyClick(page.chart, Qt.Key.Key_End)

    assert (
        page.line
        == "Mon 2 Mar 12:10 · 2.4 mmol/L · LL · before lunch · added later · after swimming"
    )
    assert page.chart.accessibleDescription() == page.line


def test_enter_on_a_mark_asks_for_the_reading_in_the_table(
    page: ModalDayPage, session: Session, qtbot: QtBot
) -> None:
    QTest.keyClick(page.chart, Qt.Key.Key_End)

    with qtbot.waitSignal(session.reading_chosen) as chosen:
        QTest.keyClick(page.chart, Qt.Key.Key_Return)

    assert chosen.args == [6]


def test_another_period_shows_other_readings(
    page: ModalDayPage, session: Session, qtbot: QtBot
) -> None:
    session.show_period(Period(date(2026, 3, 4), date(2026, 3, 5)))

    found = _answered(page, qtbot)

    assert found.n == 2
    assert found.period.first == date(2026, 3, 4)


def test_slot_beside_slot_is_one_action_away_and_comes_back(
    page: ModalDayPage, qtbot: QtBot
) -> None:
    (_, action), *_ = page.menu_actions()

    action.trigger()
    by_slot = _answered(page, qtbot)
    action.trigger()
    by_clock = _answered(page, qtbot)

    assert by_slot.view == "slots"
    assert by_clock.view == "clock"


def test_page_up_goes_to_the_days_before_and_never_beyond_today(
    page: ModalDayPage, session: Session, qtbot: QtBot
) -> None:
    this_month = session.period

    QTest.keyClick(page.chart, Qt.Key.Key_PageDown)
    still = session.period
    QTest.keyClick(page.chart, Qt.Key.Key_PageUp)

    assert still == this_month
    assert session.period.last.toordinal() == this_month.first.toordinal() - 1
    assert session.days == 30


def test_days_without_readings_say_so_and_lead_to_the_newest(
    page: ModalDayPage, session: Session, qtbot: QtBot
) -> None:
    session.show_period(Period(date(2025, 1, 1), date(2025, 1, 31)))
    empty = _answered(page, qtbot)
    assert empty.n == 0
    assert not page.chart.isVisible()

    page.show_newest()
    found = _answered(page, qtbot)

    assert page.chart.isVisible()
    assert session.period.last == date(2026, 3, 5)
    assert found.n == 6


def test_one_reading_is_drawn_and_called_too_few(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-02T07:00", "6.1", Mark.WAKING)
    session = Session(diary, lambda: NOW, None)
    page = ModalDayPage(session)
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()

    found = _answered(page, qtbot)

    assert len(found.marks) == 1
    assert page.slot_sentences()[0].startswith("waking: n 1, too few")
    for job in page.findChildren(Job):
        job.close()
    session.close()


def test_a_reading_written_meanwhile_is_seen(
    page: ModalDayPage, session: Session, diary: Diary, qtbot: QtBot
) -> None:
    written(diary, session.person, "2026-03-06T07:00", "6.1", Mark.WAKING)

    session.changed()

    assert _answered(page, qtbot).n == 7


def test_it_fits_the_smallest_window_and_twice_the_text_without_a_bar_below(
    page: ModalDayPage, qapp: QApplication, qtbot: QtBot
) -> None:
    usual = qapp.font()
    try:
        page.resize(748, 629)
        larger = qapp.font()
        larger.setPointSizeF(usual.pointSizeF() * 2)
        qapp.setFont(larger)
        qapp.processEvents()

        assert not page.scrolled.horizontalScrollBar().isVisible()
    finally:
        qapp.setFont(usual)
