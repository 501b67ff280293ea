"""The Patterns page: lows first, rows by keyboard, evidence, the test map, questions."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from app.domain.clock import Moment, last_days, moment_at, offsets_of
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.question import Kind, Outcome, Question
from app.look.theme import apply_theme
from app.look.tokens import LIGHT
from app.statistics.patterns import Step
from app.store.diary import Diary
from app.store.questions import questions_asked
from app.ui.patterns.ask_dialog import AskDialog
from app.ui.patterns.page import PatternsPage
from app.ui.window import Window
from app.work.ask import keep_question
from app.work.note_down import note_help
from app.work.take_back import undo_last
from tests.households import NOW, corwin, new_diary, sample_of, tilde, written
from tests.windows import settle, shown_on

TODAY = date(2026, 3, 12)
MAY = datetime(2026, 5, 6, 20, 45, tzinfo=NOW.tzinfo)


@pytest.fixture(autouse=True)
def plain(qapp: QApplication) -> Iterator[None]:
    """Light and left to right, before and after."""
    apply_theme(qapp, LIGHT)
    yield
    qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
    apply_theme(qapp, LIGHT)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def opened(bot: QtBot, diary: Diary, *, now: datetime = NOW) -> tuple[Window, PatternsPage]:
    window = shown_on(bot, diary, now=now)
    window.show_page("patterns")
    settle(bot, window)
    page = window.page("patterns")
    assert isinstance(page, PatternsPage)
    return window, page


def a_month(diary: Diary) -> Person:
    """Mornings above the goal, lows before lunch on swimming days, a few bedtimes."""
    person = tilde(diary, targets="ispad-2022")
    for back in range(24):
        day = TODAY - timedelta(days=back)
        written(diary, person, f"{day} 07:00", "11.2" if back % 4 else "6.0", Mark.WAKING)
        low = back % 6 == 0
        tags = ("swim",) if low else ()
        value = "3.4" if low else "6.1"
        written(diary, person, f"{day} 12:00", value, Mark.BEFORE_LUNCH, tags=tags)
        if back < 2:
            written(diary, person, f"{day} 21:00", "12.9", Mark.BEDTIME)
    return person


def moment(person: Person, at: str) -> Moment:
    wall = datetime.fromisoformat(at)
    return moment_at(wall, person.zone, offsets_of(wall, person.zone)[0])


def said(widget: QWidget) -> str:
    """Every text that is seen in a widget, from label to label."""
    labels = widget.findChildren(QLabel)
    return "\n".join(label.text() for label in labels if label.isVisible())


def press(key: Qt.Key) -> None:
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, key)


def rows(page: PatternsPage) -> list[str]:
    return [cell.words for cell in page.body.table.cells.column_texts(0)]


def test_the_sample_shows_what_its_builder_put_into_it(qtbot: QtBot, tmp_path: Path) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, person):
        window, page = opened(qtbot, diary, now=MAY)
        assert window.session is not None
        window.session.choose(person)
        settle(qtbot, window)

        counts = [cell.text for cell in page.body.table.cells.column_texts(2)]
        assert counts == ["3 of 25", "3 of 27", "8 of 29", "7 of 27"]
        assert rows(page)[2] == (
            "seen again: waking, highs, above 8.0 mmol/L, the goal, 8 of 29 days; "
            "28 % of tested days, 95 % interval 15 to 46 %"
        )
        text = said(page)
        assert "7 April – 6 May 2026 · n 150 readings on 30 days" in text
        assert "16 questions put (8 slots, lows and highs): some answers come up by chance" in text
        assert "Below 3.0, listed first: 8 (3 rechecks)" in text
        assert "night lows 1 of 4" in page.body.lines.text(Step.SEEN_ONCE)
        window.close()


def test_lows_far_below_come_first_and_help_before_them(diary: Diary, qtbot: QtBot) -> None:
    person = a_month(diary)
    written(diary, person, "2026-03-09 16:00", "2.4")
    written(diary, person, "2026-03-09 16:15", "2.8")
    written(diary, person, "2026-03-02 16:00", "LO")
    note_help(diary, person, moment(person, "2026-03-01 02:10"), now=NOW, what="juice given")
    _, page = opened(qtbot, diary)

    box = page.body.first
    heads = [label.text() for label in box.findChildren(QLabel) if label.isVisible()]
    assert heads[0] == "Help was needed: 1"
    assert "Below 3.0, listed first: 3 (1 a recheck)" in heads
    assert heads.count("2.8") == 0  # the low that it rechecks stands for both
    assert box.y() < page.body.table.y()

    box.button.setFocus()
    press(Qt.Key.Key_Return)

    listed = [item.words for item in page.body.panel.list.items]
    assert listed[0].endswith("juice given")
    assert listed[1:] == [
        "2.8 mmol/L, Mon 9 Mar 16:15, recheck",
        "2.4 mmol/L, Mon 9 Mar 16:00",
        "LO, Mon 2 Mar 16:00",
    ]


def test_enter_on_a_row_lists_the_readings_and_what_was_written_before(
    diary: Diary, qtbot: QtBot
) -> None:
    a_month(diary)
    window, page = opened(qtbot, diary)
    body = page.body
    assert [row.partition(",")[0] for row in rows(page)] == [
        "repeating: waking",
        "seen again: before lunch",
    ]

    body.table.setFocus()
    press(Qt.Key.Key_Down)
    press(Qt.Key.Key_Return)

    panel = body.panel
    assert panel.isVisible()
    assert QApplication.focusWidget() is panel.list
    assert body.table.open_row == 1
    assert [item.words for item in panel.list.items] == [
        f"3.4 mmol/L, {day} 12:00" for day in ("Sun 22 Feb", "Sat 28 Feb", "Fri 6 Mar", "today")
    ]
    assert "before lunch lows: 4 of 24 days" in panel.accessibleName()
    assert "worth a look" in panel.accessibleName()

    press(Qt.Key.Key_Escape)
    assert not panel.isVisible()
    assert QApplication.focusWidget() is body.table

    press(Qt.Key.Key_Return)
    press(Qt.Key.Key_Right)
    press(Qt.Key.Key_Return)
    settle(qtbot, window)
    assert window.tabs.tabText(window.tabs.currentIndex()) == "Day"
    assert window.session is not None
    assert window.session.day == date(2026, 2, 28)


def test_what_is_beyond_the_goal_of_a_slot_has_its_sign(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary, targets="ispad-2022")
    for back in range(6):
        day = TODAY - timedelta(days=back)
        written(diary, person, f"{day} 07:00", "8.9", Mark.WAKING)
    _, page = opened(qtbot, diary)

    page.body.open_row(0)

    looks = {item.look.level.value for item in page.body.panel.list.items if item.look}
    assert looks == {"high"}
    assert rows(page)[0].startswith("repeating: waking")


def test_what_is_seen_once_is_listed_too(diary: Diary, qtbot: QtBot) -> None:
    person = a_month(diary)
    for back in (0, 5, 6):
        value = "3.0" if back else "8.0"
        written(diary, person, f"{TODAY - timedelta(days=back)} 03:00", value, Mark.NIGHT)
    written(diary, person, "2026-03-10 20:00", "3.1", Mark.AFTER_EVENING_MEAL)
    _, page = opened(qtbot, diary)
    lines = page.body.lines

    assert lines.text(Step.CANNOT_TELL).startswith("after breakfast, after lunch, before evening")
    assert (
        "after evening meal: n\u00a01, lows 1 of 1, 2 more tests would tell of lows, 4 of highs"
        in lines.text(Step.CANNOT_TELL)
    )

    lines.buttons[Step.CANNOT_TELL].setFocus()
    press(Qt.Key.Key_Return)

    listed = [item.words for item in page.body.panel.list.items]
    assert "3.1 mmol/L, Tue 10 Mar 20:00, after evening meal" in listed


def test_the_test_map_is_walked_by_the_arrow_keys_and_says_each_cell(
    diary: Diary, qtbot: QtBot
) -> None:
    a_month(diary)
    _, page = opened(qtbot, diary)
    table = page.body.tests.table

    table.setFocus()
    press(Qt.Key.Key_Right)
    press(Qt.Key.Key_Down)

    index = table.currentIndex()
    words = table.model().data(index, Qt.ItemDataRole.AccessibleTextRole)
    assert words == (
        "after breakfast, Mon: 0 tests on 13 days; nothing would be seen there"
    )  # of the 90 days to 12 March 13 are Mondays
    assert "blind spots: after breakfast, after lunch" in table.accessibleName()
    assert "Never tested: after breakfast" in page.body.tests.words
    assert "nothing there would be seen." in page.body.tests.words


def test_a_question_is_put_together_answered_in_place_kept_and_undone(
    diary: Diary, qtbot: QtBot
) -> None:
    person = a_month(diary)
    window, page = opened(qtbot, diary)

    page.head.ask.click()
    settle(qtbot, window)
    dialog = page.dialog
    assert isinstance(dialog, AskDialog)
    assert dialog.kind.currentText() == "Days with something written"
    assert dialog.word.currentText() == "swim, 4 days"
    dialog.slot.choose(Mark.BEFORE_LUNCH)
    QTest.keyClick(dialog.ask, Qt.Key.Key_Return)
    settle(qtbot, window)

    card = dialog.card
    assert card is not None
    assert [side.strong for side in card.answer.sides] == ["4 of 4 low", "0 of 20 low"]
    assert card.answer.verdict.startswith("Can't tell yet: too few days were tested")
    assert "1 question asked so far." in dialog.note
    (spec,) = questions_asked(diary, person)
    assert '"slot":"before_lunch"' in spec
    assert [each.answer.question for each in page.body.questions.cards] == [card.answer.question]
    assert "17 questions put (8 slots, lows and highs; 1 of your own)" in said(page.head)

    dialog.reject()
    undo_last(diary, person, now=NOW)
    assert window.session is not None
    window.session.changed()
    settle(qtbot, window)
    assert page.body.questions.cards == []
    assert "16 questions put (8 slots, lows and highs)" in said(page.head)


def test_a_question_that_was_asked_before_is_told_with_its_day(diary: Diary, qtbot: QtBot) -> None:
    person = a_month(diary)
    month = last_days(30, TODAY)
    ends = month.first.toordinal(), month.last.toordinal()
    for kind, what, outcome in (
        (Kind.DAYS, ("swim",), Outcome.LOW),
        (Kind.WEEKDAYS, (), None),
        (Kind.DAYS, ("judo",), Outcome.MEAN),
    ):
        keep_question(diary, person, Question(kind, what, None, outcome, *ends), now=NOW)
    window, page = opened(qtbot, diary)
    questions = page.body.questions

    assert len(questions.cards) == 2
    assert "“judo”" in questions.cards[0].answer.verdict
    assert questions.cards[0].answer.asked == "Asked 12 March"
    assert [side.name for side in questions.cards[1].answer.sides] == ["weekdays", "weekends"]

    QTest.keyClick(questions.button, Qt.Key.Key_Return)
    settle(qtbot, window)

    assert len(questions.cards) == 3
    assert questions.cards[2].answer.question == (
        "Lows over the whole day: days with the tag “swim” and other days "
        "(11 February – 12 March 2026)"
    )
    assert not questions.button.isVisible()


def test_where_nothing_can_be_asked_about_it_is_said(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 12:00", "6.1", Mark.BEFORE_LUNCH)
    window, page = opened(qtbot, diary)

    page.open_dialog()
    settle(qtbot, window)
    dialog = page.dialog
    assert dialog is not None
    assert "No tag, event or named stretch of days" in said(dialog)
    assert not dialog.ask.isEnabled()

    dialog.kind.choose(Kind.METERS)
    dialog.kind.activated.emit(dialog.kind.currentIndex())
    assert "Two with readings are needed" in said(dialog)
    assert not dialog.ask.isEnabled()

    dialog.kind.choose(Kind.WEEKDAYS)
    dialog.kind.activated.emit(dialog.kind.currentIndex())
    assert dialog.ask.isEnabled()
    dialog.reject()


def test_meal_rises_and_nights_are_told_with_what_is_missing(qtbot: QtBot, tmp_path: Path) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, person):
        window, page = opened(qtbot, diary, now=MAY)
        assert window.session is not None
        window.session.choose(person)
        settle(qtbot, window)
        meals, nights = page.body.meals, page.body.nights

        names = [cell.words for cell in meals.table.cells.column_texts(0)]
        assert names[2].startswith("evening meal: 11 pairs, median rise +1.9 mmol/L, from −0.8")
        assert ", mean +" in names[2]
        assert meals.table.cells.column_texts(3)[2].words.startswith("+")
        assert "Not paired: 70 no reading after the meal" in meals.words
        assert "within the permitted error of meters" in meals.words
        assert "3 of 30 nights have all three: bedtime, night and waking." in nights.words
        assert nights.list.items[0].value == "4.8 → 3.5 → 6.2"

        meals.table.setFocus()
        meals.table.setCurrentIndex(meals.table.cells.index(2, 0))
        press(Qt.Key.Key_Return)
        assert len(meals.panel.list.items) == 11
        press(Qt.Key.Key_Escape)
        assert QApplication.focusWidget() is meals.table

        nights.list.setFocus()
        press(Qt.Key.Key_Return)
        settle(qtbot, window)
        assert window.session.day == date(2026, 5, 3)
        window.close()


def test_an_empty_diary_says_what_is_missing_and_leads_to_the_line(
    diary: Diary, qtbot: QtBot
) -> None:
    tilde(diary)
    window, page = opened(qtbot, diary)

    assert "No readings yet (n 0)" in said(page)
    assert not page.body.isVisible()

    page.empty.button.setFocus()
    press(Qt.Key.Key_Return)

    assert window.now_place.isAncestorOf(QApplication.focusWidget() or page)


def test_days_without_readings_offer_the_newest_ones(diary: Diary, qtbot: QtBot) -> None:
    a_month(diary)
    window, page = opened(qtbot, diary)
    session = window.session
    assert session is not None

    session.show_days(7, date(2025, 6, 1))
    settle(qtbot, window)
    assert "The last reading is from 12 March 2026." in said(page)

    page.empty.button.click()
    settle(qtbot, window)
    assert session.period == last_days(7, TODAY)
    assert page.body.isVisible()


def test_only_doubtful_readings_tell_nothing_and_lows_are_listed_all_the_same(
    diary: Diary, qtbot: QtBot
) -> None:
    person = tilde(diary)
    for back in range(6):
        day = TODAY - timedelta(days=back)
        written(diary, person, f"{day} 12:00", "2.6", Mark.BEFORE_LUNCH, hands="not")
    _, page = opened(qtbot, diary)

    assert not page.body.table.isVisible()
    assert "Nothing was seen again at one slot in these days." in said(page)
    assert "6 in doubt left out" in said(page.head)
    assert "Below 3.0, listed first: 6" in said(page.body.first)
    assert "today 12:00, in doubt" in said(page.body.first)


def test_another_period_is_shown_and_the_map_keeps_its_ninety_days(
    diary: Diary, qtbot: QtBot
) -> None:
    a_month(diary)
    window, page = opened(qtbot, diary)
    session = window.session
    assert session is not None
    page.body.open_row(0)

    session.show_days(7)
    settle(qtbot, window)

    assert "6 – 12 March 2026 · n 16 readings on 7 days" in said(page.head)
    assert page.body.table.cells.head(3).text == "7 days, oldest at left"
    assert "Test map, 90 days to 12 March" in said(page.body.tests)
    assert not page.body.panel.isVisible()


def test_somebody_else_is_never_shown_with_these_patterns(diary: Diary, qtbot: QtBot) -> None:
    a_month(diary)
    other = corwin(diary)
    for back in range(6):
        day = TODAY - timedelta(days=back)
        written(diary, other, f"{day} 07:00", "190", Mark.WAKING)
    window, page = opened(qtbot, diary)
    session = window.session
    assert session is not None

    session.choose(other)
    assert not page.body.isVisible()
    settle(qtbot, window)

    assert page.body.isVisible()
    assert [row for row in rows(page) if "mmol" in row] == []
    assert rows(page)[0].startswith("repeating: waking, highs, above 180 mg/dL, no goal is set")
    assert page.body.meals.table.isVisible()


def test_the_tables_keep_the_rules_of_qt(
    diary: Diary, qtbot: QtBot, qtmodeltester: ModelTester
) -> None:
    a_month(diary)
    _, page = opened(qtbot, diary)
    page.body.open_row(0)

    for view in (page.body.table, page.body.tests.table, page.body.panel.list):
        qtmodeltester.check(view.model())
        assert view.model().rowCount(QModelIndex()) > 0


def test_a_narrow_page_lets_the_strip_go_first_and_keeps_its_words(
    diary: Diary, qtbot: QtBot
) -> None:
    a_month(diary)
    _, page = opened(qtbot, diary)
    table = page.body.table

    assert not table.isColumnHidden(3)
    table.setParent(None)
    qtbot.addWidget(table)
    table.resize(430, 200)
    table.show()

    assert table.isColumnHidden(3)
    assert "3.9 mmol/L" in rows(page)[1]
