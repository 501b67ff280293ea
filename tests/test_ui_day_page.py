from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QSize, Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QScrollArea, QWidget
from pytestqt.qtbot import QtBot

from app.domain.entry import EntryContext, read_entry
from app.domain.ketones import read_ketones
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person
from app.look.theme import apply_theme
from app.look.tokens import DARK, LIGHT
from app.look.type import scale_text
from app.store.diary import Diary
from app.ui.controls.drawing import px
from app.ui.day.page import DayPage
from app.ui.day.slot_cell import SlotCell
from app.ui.job import Job
from app.ui.session import Session
from app.work.note_down import moment_typed, note_help, note_ketones
from tests.households import NOW, corwin, new_diary, tilde, written

YESTERDAY = date(2026, 3, 11)


@dataclass(slots=True)
class Opened:
    bot: QtBot
    session: Session
    page: DayPage
    clock: list[datetime]

    def settle(self) -> None:
        """Wait until the page shows the day that the session speaks of."""
        self.bot.waitUntil(self._is_settled, timeout=5000)

    def go(self, day: date | None) -> None:
        self.session.show_day(day)
        self.settle()

    def press(self, widget: QWidget, key: Qt.Key) -> None:
        QTest.keyClick(widget, key)
        self.settle()

    def job(self) -> Job:
        found = self.page.findChild(Job)
        assert found is not None
        return found

    def _is_settled(self) -> bool:
        view = self.page.view
        return not self.job().busy and view is not None and (view.day == self.session.day)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def opened(qtbot: QtBot, diary: Diary) -> Iterator[Callable[..., Opened]]:
    made: list[Opened] = []

    def make(*, size: tuple[int, int] = (988, 721)) -> Opened:
        clock = [NOW]
        session = Session(diary, lambda: clock[0], None)
        page = DayPage(session)
        qtbot.addWidget(page)
        page.resize(*size)
        page.show()
        found = Opened(qtbot, session, page, clock)
        made.append(found)
        found.settle()
        return found

    yield make
    for each in made:
        each.job().close()
        each.session.close()


def a_day(diary: Diary, person: Person) -> None:
    """The day before with a low, today with two readings, and bedtimes before them."""
    for day in range(1, 9):
        written(diary, person, f"2026-03-0{day} 21:10", f"{day + 4}.5", Mark.BEDTIME)
    written(diary, person, "2026-03-11 18:07", "2.4", Mark.BEFORE_EVENING_MEAL, note="shaky")
    written(diary, person, "2026-03-11 18:25", "4.8")
    written(diary, person, "2026-03-12 07:15", "4.3", Mark.WAKING)
    written(diary, person, "2026-03-12 21:10", "8.6", Mark.BEDTIME)


def shown(widget: QWidget) -> str:
    labels = [each for each in widget.findChildren(QLabel) if each.isVisibleTo(widget)]
    return " | ".join(label.text() for label in labels)


def test_today_is_shown_with_its_count(opened: Callable[..., Opened], diary: Diary) -> None:
    a_day(diary, tilde(diary, targets="ispad-2022"))

    at = opened()

    assert "Thursday 12 March 2026" in shown(at.page.body.head)
    assert "2 readings so far (n 2)" in shown(at.page.body.head)
    assert at.page.body.chart.accessibleName() == "Day, 2 readings"
    assert not at.page.body.head.after.isEnabled()


def test_the_day_before_tells_of_its_low_spell(opened: Callable[..., Opened], diary: Diary) -> None:
    a_day(diary, tilde(diary))
    at = opened()

    at.go(YESTERDAY)

    assert "2 readings (n 2) · one low spell, 18 min" in shown(at.page.body.head)
    assert at.page.body.chart.accessibleName() == "Day, 2 readings, 1 below the low line"


def test_arrows_in_the_head_go_from_day_to_day_but_not_beyond_today(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    a_day(diary, tilde(diary))
    at = opened()
    at.page.take_focus()

    at.press(at.page.body.head.before, Qt.Key.Key_Left)
    assert at.session.day == YESTERDAY
    at.press(at.page.body.head.before, Qt.Key.Key_Right)
    at.press(at.page.body.head.before, Qt.Key.Key_Right)

    assert at.session.day == date(2026, 3, 12)
    assert at.page.view is not None
    assert at.page.view.is_today


def test_in_the_chart_arrows_walk_the_readings_and_then_the_days(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    a_day(diary, tilde(diary))
    at = opened()
    chart = at.page.body.chart
    chart.setFocus()

    at.press(chart, Qt.Key.Key_Left)  # the last reading
    assert "21:10 · 8.6 mmol/L · bedtime" in at.page.body.said.text()
    at.press(chart, Qt.Key.Key_Left)
    assert "07:15 · 4.3 mmol/L · waking" in at.page.body.said.text()
    at.press(chart, Qt.Key.Key_Left)

    assert at.session.day == YESTERDAY
    assert at.page.body.said.text() == ""


def test_enter_on_a_mark_opens_the_reading(opened: Callable[..., Opened], diary: Diary) -> None:
    a_day(diary, tilde(diary))
    at = opened()
    assert at.page.view is not None
    first = int(at.page.view.marks.id[0])
    chart = at.page.body.chart
    chart.setFocus()
    QTest.keyClick(chart, Qt.Key.Key_Right)

    with at.bot.waitSignal(at.session.reading_chosen) as chosen:
        QTest.keyClick(chart, Qt.Key.Key_Return)

    assert chosen.args == [first]


def test_the_row_that_is_current_and_the_mark_pointed_at_are_the_same_reading(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    a_day(diary, tilde(diary))
    at = opened()
    table, chart = at.page.body.written.table, at.page.body.chart
    table.setFocus()

    QTest.keyClick(table, Qt.Key.Key_Down)
    assert chart.pointed_at == table.current_id() is not None
    chart.setFocus()
    QTest.keyClick(chart, Qt.Key.Key_Home)

    assert table.current_id() == chart.pointed_at
    with at.bot.waitSignal(at.session.reading_chosen) as chosen:
        QTest.keyClick(table, Qt.Key.Key_Return)
    assert chosen.args == [chart.pointed_at]


def test_slots_say_their_numbers_as_text(opened: Callable[..., Opened], diary: Diary) -> None:
    a_day(diary, tilde(diary, targets="ispad-2022"))
    at = opened()
    slots = at.page.body.slots

    cells = [each.words for each in slots.findChildren(SlotCell)]
    bedtime = cells[SLOTS.index(Mark.BEDTIME)]
    lunch = cells[SLOTS.index(Mark.BEFORE_LUNCH)]

    assert bedtime is not None
    assert (bedtime.number, bedtime.time) == ("8.6", "21:10")
    assert (bedtime.middle, bedtime.n) == ("median 9.0", "n 8")
    assert "middle half 7.3 – 10.8" in bedtime.told
    assert "Sun 1 Mar 5.5" in bedtime.told
    assert lunch is not None
    assert lunch.number is None
    assert (lunch.nothing, lunch.middle) == ("not written", "none in 14 days")


def test_one_tab_stop_walks_the_slots_and_opens_what_they_hold(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    a_day(diary, tilde(diary))
    at = opened()
    slots = at.page.body.slots
    slots.setFocus()

    assert at.page.body.said.text().startswith("waking · 07:15 4.3")
    with at.bot.waitSignal(at.session.reading_chosen):
        QTest.keyClick(slots, Qt.Key.Key_Return)
    QTest.keyClick(slots, Qt.Key.Key_Right)
    assert at.page.body.said.text().startswith("after breakfast · not written")
    with at.bot.assertNotEmitted(at.session.reading_chosen):
        QTest.keyClick(slots, Qt.Key.Key_Return)


def test_what_is_typed_shows_in_the_chart_of_its_day_until_it_is_gone(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    person = tilde(diary)
    a_day(diary, person)
    at = opened()
    entry = read_entry("31.0", EntryContext(now=NOW, zone=person.zone, unit=person.unit))
    before = at.page.grab().toImage()

    at.page.show_pending(entry)
    typed = at.page.grab().toImage()
    at.page.show_pending(None)
    gone = at.page.grab().toImage()

    assert typed != before
    assert gone == before
    at.go(YESTERDAY)
    other = at.page.grab().toImage()
    at.page.show_pending(entry)
    assert at.page.grab().toImage() == other


def test_an_empty_diary_says_what_is_missing_and_offers_one_thing(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    corwin(diary)

    at = opened()

    begin = at.page.body.begin
    assert "No readings yet (n 0)" in shown(at.page.body.head)
    assert "112 fasting" in shown(begin)
    assert begin.button.text() == "Go to the line"
    assert at.page.body.slots.isHidden()
    assert at.page.body.written.isHidden()


def test_a_day_without_readings_offers_the_day_of_the_last_one(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    person = tilde(diary)
    written(diary, person, "2026-02-01 07:00", "5.0", Mark.WAKING)
    at = opened()
    at.go(None)
    assert at.page.body.begin.button.text() == "Go to Sun 1 Feb"

    at.page.body.begin.button.click()
    at.settle()

    assert at.session.day == date(2026, 2, 1)
    assert at.page.body.begin.isHidden()


def test_one_reading_makes_a_page(opened: Callable[..., Opened], diary: Diary) -> None:
    written(diary, tilde(diary), "2026-03-12 07:15", "LO", Mark.WAKING)

    at = opened()

    assert "1 reading so far (n 1) · one low spell, no recheck written" in shown(at.page.body.head)
    assert at.page.body.written.table.model().rowCount() == 1


def test_without_targets_the_page_says_so(opened: Callable[..., Opened], diary: Diary) -> None:
    a_day(diary, tilde(diary))
    assert "No targets yet" in shown(opened().page.body)


def test_a_saved_reading_appears(opened: Callable[..., Opened], diary: Diary) -> None:
    person = tilde(diary)
    at = opened()

    written(diary, person, "2026-03-12 12:00", "5.5")
    at.session.changed()
    at.settle()

    assert at.page.view is not None
    assert at.page.view.n == 1


def test_the_page_follows_midnight(opened: Callable[..., Opened], diary: Diary) -> None:
    a_day(diary, tilde(diary))
    at = opened()

    at.clock[0] = NOW + timedelta(hours=3)
    at.page._on_tick()
    at.settle()

    assert at.page.view is not None
    assert at.page.view.day == date(2026, 3, 13)


def test_low_windows_fold_the_table_to_a_line_that_opens_again(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    a_day(diary, tilde(diary, targets="ispad-2022"))
    at = opened(size=(748, 480))
    fold = at.page.body.written
    states = [fold.is_folded]

    assert fold.title.accessibleName() == "What was written, 2 entries"
    QTest.keyClick(fold.title, Qt.Key.Key_Space)
    states.append(fold.is_folded)
    at.page.resize(988, 900)
    states.append(fold.is_folded)

    assert states == [True, False, False]
    assert fold.title.isHidden()


def test_wide_windows_put_the_table_beside_the_chart(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    a_day(diary, tilde(diary))
    at = opened(size=(1600, 1000))
    body = at.page.body

    chart = body.chart.mapTo(body, QPoint(body.chart.width(), 0))
    assert body.written.mapTo(body, QPoint(0, 0)).x() > chart.x()
    assert body.chart.width() <= px(1080)
    assert body.chart.height() <= px(500)


@pytest.mark.parametrize("percent", [100, 150, 200])
@pytest.mark.parametrize("size", [(748, 621), (988, 721), (1600, 1001)])
def test_nothing_is_cut_off_at_any_text_size(
    opened: Callable[..., Opened], diary: Diary, percent: int, size: tuple[int, int]
) -> None:
    a_day(diary, tilde(diary, targets="ispad-2022"))
    base = QFont(QApplication.font())
    try:
        scale_text(percent / 100, base=base)
        at = opened(size=size)
        body = at.page.body
        QApplication.processEvents()

        assert body.width() <= at.page.width()
        for widget in (body.head, body.chart, body.slots):
            end = widget.mapTo(body, QPoint(widget.width(), widget.height()))
            assert end.x() <= body.width()
            assert end.y() <= body.height()
        assert body.slots.height() >= body.slots.heightForWidth(body.slots.width())
        table = body.written.table
        assert sum(table.columnWidth(each) for each in table.shown_columns()) <= table.width()
    finally:
        QApplication.setFont(base)


def test_both_themes_are_drawn_in_their_own_colours(
    opened: Callable[..., Opened], diary: Diary, qapp: QApplication
) -> None:
    a_day(diary, tilde(diary, targets="ispad-2022"))
    apply_theme(qapp, LIGHT)
    at = opened()
    try:
        light = at.page.body.slots.grab().toImage()
        apply_theme(qapp, DARK)
        dark = at.page.body.slots.grab().toImage()
    finally:
        apply_theme(qapp, LIGHT)

    assert light.size() == dark.size()
    assert light != dark
    assert at.page.body.slots.grab().toImage() == light


def test_right_to_left_keeps_the_time_running_to_the_right(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    a_day(diary, tilde(diary))
    at = opened()

    at.page.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    QApplication.processEvents()

    head, cells = at.page.body.head, at.page.body.slots.findChildren(SlotCell)
    assert cells[0].x() < cells[-1].x()
    assert head.before.x() > head.after.x()
    at.press(head.before, Qt.Key.Key_Right)  # the way its chevron points
    assert at.session.day == YESTERDAY


def test_the_menu_has_the_days_with_their_keys(opened: Callable[..., Opened], diary: Diary) -> None:
    a_day(diary, tilde(diary))
    at = opened()
    before, after, today = (action for _, action in at.page.menu_actions())

    assert not after.isEnabled()
    before.trigger()
    at.settle()

    assert at.session.day == YESTERDAY
    assert [each.shortcut().toString() for each in (before, after, today)] == [
        "Alt+Left",
        "Alt+Right",
        "Alt+Home",
    ]
    assert after.isEnabled()
    today.trigger()
    at.settle()
    assert at.session.day == date(2026, 3, 12)


def test_switching_the_person_switches_the_unit_and_the_clock(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    a_day(diary, tilde(diary))
    adult = corwin(diary)
    written(diary, adult, "2026-03-12 06:10", "155", Mark.WAKING)
    at = opened()

    at.session.choose(adult)
    at.settle()

    assert at.page.view is not None
    assert at.page.view.rows[0].glucose.value == "155"
    assert at.page.body.written.table.model().headerData(1, Qt.Orientation.Horizontal) == "mg/dL"


def test_the_page_has_a_smallest_size_that_fits_the_smallest_window(
    opened: Callable[..., Opened], diary: Diary
) -> None:
    a_day(diary, tilde(diary))
    at = opened(size=(748, 621))

    assert QSize(748, 621).width() >= at.page.minimumSizeHint().width()
    scroll = at.page.findChild(QScrollArea)
    assert scroll is not None
    assert not scroll.horizontalScrollBar().isVisible()


def test_help_and_tests_of_a_day_stand_with_what_was_written(
    diary: Diary, opened: Callable[..., Opened]
) -> None:
    person = tilde(diary)
    note_help(diary, person, moment_typed("02:20", person, now=NOW), what="juice", now=NOW)
    at = moment_typed("02:40", person, now=NOW)
    note_ketones(diary, person, read_ketones("0.8"), at, now=NOW)
    written(diary, person, "2026-03-12 02:10", "2.9")

    told = opened().page.body.written

    assert told.told.text().split("\n") == [
        "02:20 · help from another person, juice",
        "02:40 · ketones 0.8 mmol/L",
    ]
    assert told.told.isVisible() or told.is_folded


def test_a_day_with_help_alone_is_not_empty_of_what_was_written(
    diary: Diary, opened: Callable[..., Opened]
) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 07:10", "6.1")
    note_help(diary, person, moment_typed("02:20", person, now=NOW), now=NOW)

    told = opened(size=(988, 900)).page.body.written

    assert told.isVisible()
    assert told.told.text() == "02:20 · help from another person"
    assert told.told.isVisible()
    assert not told.table.isVisible()
