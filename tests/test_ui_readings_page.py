from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QListView, QScrollArea, QWidget
from pytestqt.qtbot import QtBot

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.review.table import Which
from app.store.diary import Diary
from app.store.readings import readings_of
from app.ui.readings.model import Column
from app.ui.readings.page import ReadingsPage
from app.ui.said import Said
from app.ui.session import Session
from app.work.edit import put_in_bin
from app.work.take_back import undo_last
from tests.households import NOW, corwin, new_diary, tilde, written

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def session(diary: Diary, qapp: QApplication) -> Iterator[Session]:
    person = tilde(diary)
    written(diary, person, "2026-03-10 07:05", "7.6", Mark.WAKING, note="Late breakfast")
    written(diary, person, "2026-03-10 12:10", "2.9", Mark.BEFORE_LUNCH, tags=("swim",))
    written(diary, person, "2026-03-11 21:00", "HI", Mark.BEDTIME, hands="not")
    written(diary, person, "2026-03-12 02:30", "5.1", standing=Standing.SET_ASIDE)
    written(diary, person, "2026-03-12 07:00", "112", unit=Unit.MG_DL)
    made = Session(diary, lambda: NOW, None)
    yield made
    made.close()


@pytest.fixture
def page(session: Session, qtbot: QtBot) -> ReadingsPage:
    return shown(session, qtbot)


def shown(session: Session, qtbot: QtBot, *, width: int = 988, height: int = 700) -> ReadingsPage:
    made = ReadingsPage(session)
    qtbot.addWidget(made)
    made.resize(width, height)
    made.show()
    qtbot.waitExposed(made)
    settled(made, qtbot)
    return made


def settled(page: ReadingsPage, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not page._texts.busy and not page.doing._job.busy, timeout=5000)
    QApplication.processEvents()


def column(page: ReadingsPage, which: Column) -> list[str]:
    return [page.model.index(row, which).data() for row in range(page.model.rowCount())]


def row_with(page: ReadingsPage, value: str) -> int:
    return column(page, Column.VALUE).index(value)


def select(page: ReadingsPage, *values: str) -> None:
    ids = page.model.ids_at([row_with(page, value) for value in values])
    page.view.select_ids(ids, current=ids[0])
    page.view.setFocus()


def standing_of(diary: Diary, person: Person) -> dict[str, Standing]:
    return {each.glucose.shown(Unit.MMOL_L): each.standing for each in readings_of(diary, person)}


def head(page: ReadingsPage) -> str:
    return page.head.accessibleDescription()


def test_the_newest_stands_first_and_the_day_is_named_once(page: ReadingsPage) -> None:
    assert column(page, Column.DAY) == ["Thu 12 Mar", "", "Wed 11 Mar", "Tue 10 Mar", ""]
    assert column(page, Column.TIME) == ["07:00", "02:30", "21:00", "12:10", "07:05"]
    assert column(page, Column.VALUE) == ["6.2", "5.1", "HI", "2.9", "7.6"]
    assert column(page, Column.SIGN) == ["", "x", "HI ?", "LL", ""]
    assert column(page, Column.MARK) == ["–", "–", "bedtime", "before lunch", "waking"]
    assert column(page, Column.NOTE) == ["", "", "", "#swim", "Late breakfast"]


def test_only_what_differs_is_written_as_its_standing(page: ReadingsPage) -> None:
    odd = column(page, Column.ODD)

    assert odd[0] == "added later · written as 112 mg/dL"
    assert odd[1].startswith("set aside · for a test")
    assert odd[2].startswith("in doubt · hands not washed")


def test_the_head_counts_what_is_shown(page: ReadingsPage) -> None:
    assert head(page) == (
        "11 February – 12 March 2026 · n 5 readings on 3 days"
        " · 1 in doubt · 1 set aside · 1 without a mark"
    )


def test_the_model_keeps_the_rules_of_models(page: ReadingsPage, qtbot: QtBot) -> None:
    tester = QAbstractItemModelTester(
        page.model, QAbstractItemModelTester.FailureReportingMode.Fatal
    )

    for which in Column:
        page.model.sort_next(which)
        page.model.sort_next(which)
    page.filters.which.choose(Which.APART)
    page.filters.changed.emit()
    page.filters.reset()

    assert tester.model() is page.model
    assert page.model.rowCount() == 5


def test_a_row_speaks_in_words_to_a_screen_reader(page: ReadingsPage) -> None:
    low = row_with(page, "2.9")
    spoken = [
        page.model.index(low, which).data(Qt.ItemDataRole.AccessibleTextRole) for which in Column
    ]

    assert spoken[:5] == ["Tue 10 Mar", "12:10", "2.9 mmol/L", "far below", "before lunch"]
    tip = page.model.index(low, Column.VALUE).data(Qt.ItemDataRole.ToolTipRole)
    assert tip.splitlines()[:4] == [
        "Tue 10 Mar, 12:10",
        "2.9 mmol/L",
        "far below",
        "before lunch",
    ]


def test_a_click_on_a_title_sorts_and_the_title_says_which_way(
    page: ReadingsPage, qtbot: QtBot
) -> None:
    titles = page.view.horizontalHeader()
    place = QPoint(
        titles.sectionViewportPosition(Column.VALUE) + 10, titles.viewport().height() // 2
    )

    QTest.mouseClick(titles.viewport(), LEFT, Qt.KeyboardModifier.NoModifier, place)
    falling = column(page, Column.VALUE)
    QTest.mouseClick(titles.viewport(), LEFT, Qt.KeyboardModifier.NoModifier, place)

    assert falling == ["HI", "7.6", "6.2", "5.1", "2.9"]
    assert column(page, Column.VALUE) == falling[::-1]
    assert page.model.headerData(Column.VALUE, Qt.Orientation.Horizontal) == "mmol/L ↑"
    assert column(page, Column.DAY) == [
        "Tue 10 Mar", "Thu 12 Mar", "Thu 12 Mar", "Tue 10 Mar", "Wed 11 Mar"
    ]  # fmt: skip


def test_a_sort_by_key_keeps_what_is_selected(page: ReadingsPage, qtbot: QtBot) -> None:
    select(page, "2.9", "7.6")
    before = set(page.view.selected_ids())

    QTest.keyClick(page.view, Key.Key_F3)

    assert page.model.sorted_by[0] is Column.VALUE
    assert set(page.view.selected_ids()) == before
    assert page.view.current_row() == row_with(page, "2.9")


@pytest.mark.parametrize(
    ("typed", "values"),
    [("BREAK", ["7.6"]), ("swim", ["2.9"]), ("test", ["5.1"]), ("none at all", [])],
)
def test_words_are_found_in_notes_tags_and_reasons(
    page: ReadingsPage, qtbot: QtBot, typed: str, values: list[str]
) -> None:
    with qtbot.waitSignal(page.filters.changed, timeout=1000):
        QTest.keyClicks(page.filters.sought, typed)

    assert column(page, Column.VALUE) == values


def test_a_filter_that_lets_nothing_through_says_so_and_can_be_taken_away(
    page: ReadingsPage, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(page.filters.changed, timeout=1000):
        QTest.keyClicks(page.filters.sought, "nowhere")
    said = page.empty.sentence

    QTest.mouseClick(page.empty.button, LEFT)

    assert "fits every filter" in said
    assert page.empty.isHidden()
    assert page.model.rowCount() == 5
    assert page.filters.sought.text() == ""


def test_a_choice_of_the_bar_filters(page: ReadingsPage, qtbot: QtBot) -> None:
    chosen = next(each for each in page.filters.which.menu().actions() if each.text() == "In doubt")

    chosen.trigger()

    assert column(page, Column.VALUE) == ["HI"]
    assert page.filters.which.accessibleName() == "Standing: In doubt"


@pytest.mark.parametrize("key", [Key.Key_Return, Key.Key_Space])
def test_a_filter_is_chosen_by_keys_alone(page: ReadingsPage, qtbot: QtBot, key: Qt.Key) -> None:
    page.filters.mark.setFocus()
    marks = page.filters.mark.menu()

    QTest.keyClick(page.filters.mark, key)
    qtbot.waitUntil(marks.isVisible, timeout=2000)
    marks.setActiveAction(marks.actions()[1])
    QTest.keyClick(marks, Key.Key_Return)

    assert column(page, Column.VALUE) == ["7.6"]
    assert page.filters.mark.text() == "Waking"
    assert page.filters.clear.isVisible()


def test_the_bar_is_there_only_while_rows_are_selected(page: ReadingsPage, qtbot: QtBot) -> None:
    at_first = page.bar.to_bin.isVisible()
    top = page.view.mapTo(page, QPoint(0, 0)).y()

    select(page, "2.9", "7.6")
    selected = page.bar.to_bin.isVisible()
    moved = page.view.mapTo(page, QPoint(0, 0)).y()
    QTest.keyClick(page.view, Key.Key_Escape)

    assert (at_first, selected, page.bar.to_bin.isVisible()) == (False, True, False)
    assert moved == top


def test_not_mine_by_the_bar_is_told_with_undo(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    select(page, "2.9", "7.6")

    with qtbot.waitSignal(session.said, timeout=5000) as told:
        QTest.mouseClick(page.bar.not_mine, LEFT)

    assert told.args == [
        Said("2 readings are now “not mine”. They are kept, and left out of every figure.")
    ]
    assert column(page, Column.SIGN)[3:] == ["x", "x"]
    assert len(page.view.selected_ids()) == 2
    assert page.view.hasFocus()


def test_setting_aside_asks_for_the_reason_in_the_bar(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    select(page, "2.9")
    QTest.mouseClick(page.bar.set_aside, LEFT)
    QTest.keyClick(page.bar.reason, Key.Key_Return)
    nothing_yet = standing_of(session.diary, session.person)["2.9"]

    QTest.keyClicks(page.bar.reason, "wet strip")
    with qtbot.waitSignal(session.said, timeout=5000):
        QTest.keyClick(page.bar.reason, Key.Key_Return)
    settled(page, qtbot)

    assert nothing_yet is Standing.COUNTED
    assert standing_of(session.diary, session.person)["2.9"] is Standing.SET_ASIDE
    assert column(page, Column.ODD)[3].startswith("set aside · wet strip")


def test_escape_leaves_the_reason_and_what_was_typed_there_stays(
    page: ReadingsPage, qtbot: QtBot
) -> None:
    select(page, "2.9")
    page.bar.ask_reason()
    QTest.keyClicks(page.bar.reason, "wet")

    QTest.keyClick(page.bar.reason, Key.Key_Escape)
    back = page.view.hasFocus()
    page.bar.ask_reason()

    assert back
    assert page.bar.reason.text() == "wet"


def test_only_what_is_set_apart_can_count_again(page: ReadingsPage, qtbot: QtBot) -> None:
    select(page, "2.9")
    for_counted = page.bar.counted.isVisible()
    select(page, "2.9", "5.1")

    assert (for_counted, page.bar.counted.isVisible()) == (False, True)


def test_a_mark_from_the_list_goes_to_all_that_are_selected(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    select(page, "6.2", "5.1")
    night = next(each for each in page.bar.marks.actions() if each.text() == "Night")

    with qtbot.waitSignal(session.said, timeout=5000):
        night.trigger()

    assert column(page, Column.MARK)[:2] == ["night", "night"]


def test_delete_puts_rows_into_the_bin_and_the_next_row_gets_the_focus(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    select(page, "5.1")

    with qtbot.waitSignal(session.said, timeout=5000) as told:
        QTest.keyClick(page.view, Key.Key_Delete)

    assert told.args[0].sentence == "1 reading is in the bin, and in no figure."
    assert column(page, Column.VALUE) == ["6.2", "HI", "2.9", "7.6"]
    assert (page.view.current_row(), page.view.selected_ids()) == (1, [])

    undo_last(session.diary, session.person, now=NOW)
    session.changed(None)
    assert column(page, Column.VALUE) == ["6.2", "5.1", "HI", "2.9", "7.6"]


def test_delete_in_a_line_of_text_bins_nothing(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    select(page, "5.1")
    page.filters.sought.setFocus()

    QTest.keyClick(page.filters.sought, Key.Key_Delete)
    settled(page, qtbot)

    assert len(readings_of(session.diary, session.person)) == 5


def test_a_change_that_can_not_be_saved_is_told_and_changes_nothing(
    page: ReadingsPage, session: Session, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    select(page, "5.1")
    monkeypatch.setattr(session.diary, "writable", False)

    with qtbot.waitSignal(session.said, timeout=5000) as told:
        QTest.keyClick(page.view, Key.Key_Delete)

    assert not told.args[0].undo
    assert page.model.rowCount() == 5
    assert len(page.view.selected_ids()) == 1


def test_a_reading_chosen_elsewhere_is_scrolled_to_and_selected(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    row_id = page.model.ids_at([row_with(page, "7.6")])[0]

    session.reading_chosen.emit(row_id)

    assert page.view.selected_ids() == [row_id]
    assert page.view.hasFocus()


def test_a_reading_that_is_filtered_away_or_on_other_days_is_shown_all_the_same(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    row_id = page.model.ids_at([row_with(page, "7.6")])[0]
    page.filters.mark.choose(Mark.NIGHT)
    page.filters.changed.emit()
    session.show_days(1)

    session.reading_chosen.emit(row_id)

    assert page.view.selected_ids() == [row_id]
    assert session.period.last == date(2026, 3, 10)


def test_a_reading_chosen_while_the_page_is_away_is_shown_when_it_comes(
    session: Session, qtbot: QtBot
) -> None:
    page = ReadingsPage(session)
    qtbot.addWidget(page)
    row_id = readings_of(session.diary, session.person)[0].id

    session.reading_chosen.emit(row_id)
    page.show()

    assert page.view.selected_ids() == [row_id]


def test_one_that_is_gone_is_not_looked_for_for_ever(page: ReadingsPage, session: Session) -> None:
    row_id = page.model.ids_at([0])[0]
    put_in_bin(session.diary, session.person, [row_id], now=NOW)
    session.changed(None)

    session.reading_chosen.emit(row_id)

    assert page.view.selected_ids() == []
    assert page._wanted_id is None


def test_everything_shows_every_day_there_is(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    written(session.diary, session.person, "2019-05-01 08:00", "6.6")
    session.changed(None)

    page.period.chosen.emit("all")

    assert session.period == Period(date(2019, 5, 1), date(2026, 3, 12))
    assert column(page, Column.VALUE)[-1] == "6.6"
    assert column(page, Column.DAY)[-1] == "Wed 1 May 2019"
    assert page.period.value() == "all"


def test_a_period_of_ones_own_that_ends_before_it_begins_is_refused(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    page.period.chosen.emit("own")
    page.period.from_to.last.setDate(page.period.from_to.first.date().addDays(-3))

    with qtbot.assertNotEmitted(session.period_changed):
        QTest.keyClick(page.period.from_to.last, Key.Key_Return)
    page.period.from_to.last.setDate(page.period.from_to.first.date())
    with qtbot.waitSignal(session.period_changed, timeout=1000):
        QTest.keyClick(page.period.from_to.last, Key.Key_Return)

    assert session.period.days == 1


def test_an_empty_diary_says_what_to_do(diary: Diary, qtbot: QtBot) -> None:
    tilde(diary)
    session = Session(diary, lambda: NOW, None)
    page = shown(session, qtbot)

    assert "for instance 7.2" in page.empty.sentence
    assert page.empty.button.text() == "Go to the line"
    assert (page.view.isVisible(), page.filters.isVisible()) == (False, False)
    assert "n 0" in head(page)
    session.close()


def test_days_without_readings_lead_to_those_that_have_some(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    session.show_days(7, date(2020, 1, 1))
    assert "other days" in page.empty.sentence

    QTest.mouseClick(page.empty.button, LEFT)

    assert session.period.last == date(2026, 3, 12)
    assert page.model.rowCount() == 5


def test_another_person_takes_the_place_with_nothing_left_of_the_first(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    adult = corwin(session.diary)
    written(session.diary, adult, "2026-03-12 06:10", "155", note="mine")
    select(page, "2.9")
    page.filters.sought.setText("swim")

    session.choose(adult)
    settled(page, qtbot)

    assert column(page, Column.VALUE) == ["155"]
    assert column(page, Column.NOTE) == ["mine"]
    assert page.view.selected_ids() == []
    assert page.model.headerData(Column.VALUE, Qt.Orientation.Horizontal) == "mg/dL"


def test_narrow_pages_fold_the_keeper_then_the_note(session: Session, qtbot: QtBot) -> None:
    page = shown(session, qtbot)
    widths = {}
    for width in (1600, 748, 620, 440):
        page.resize(width, 700)
        QApplication.processEvents()
        widths[width] = page.view.shown_columns()
        room = page.view.viewport().width()
        assert sum(page.view.columnWidth(each) for each in widths[width]) <= room

    assert Column.NOTE in widths[1600]
    assert Column.NOTE not in widths[440]
    assert set(widths[440]) >= {Column.DAY, Column.TIME, Column.VALUE, Column.SIGN, Column.MARK}


def test_tab_goes_as_the_eye_does(page: ReadingsPage) -> None:
    chain: list[QWidget] = []
    one = page.nextInFocusChain()
    while one is not None and one is not page:
        chain.append(one)
        one = one.nextInFocusChain()
    order = [
        page.period.findChildren(QWidget)[0],
        page.filters.sought,
        page.filters.mark,
        page.bar.set_mark,
        page.bar.to_bin,
        page.view,
        page.form.save,
    ]
    places = [chain.index(each) for each in order]

    assert places == sorted(places)


def test_every_control_has_a_name(page: ReadingsPage) -> None:
    nameless = [
        f"{type(each).__name__} {each.objectName()}"
        for each in page.findChildren(QWidget)
        if each.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not each.accessibleName()
        and not each.objectName().startswith("qt_")  # Qt's own parts of a field
        and not isinstance(each, QListView | QScrollArea)
    ]

    assert nameless == []


def test_all_is_done_by_keys_and_each_stands_in_a_menu(page: ReadingsPage) -> None:
    actions = {each.text(): each.shortcut().toString() for _, each in page.menu_actions()}

    assert set(actions) == {
        "Correct…", "Set mark…", "Set aside…", "Not mine", "Counted again", "To the bin",
        "Select all", "Find in notes", "Sort by this column",
    }  # fmt: skip
    assert all(actions.values())
    assert len(set(actions.values())) == len(actions)
