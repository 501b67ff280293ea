from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.domain.clock import Period
from app.domain.ketones import read_ketones
from app.domain.labs import read_lab
from app.domain.marks import Mark
from app.domain.person import Person
from app.review.bands import By
from app.review.help import all_help
from app.store.diary import Diary
from app.ui.controls import FigureTile
from app.ui.figures.help_window import FigureHelpWindow
from app.ui.figures.helped import HelpButton, help_key_of
from app.ui.figures.page import FiguresPage
from app.ui.figures.spread_section import KEYS
from app.ui.figures.table import FigureTable
from app.ui.session import Session
from app.work.note_days import note_days
from app.work.note_down import moment_typed, note_help, note_ketones, note_lab
from tests.households import NOW, corwin, new_diary, tilde, written

TODAY = date(2026, 3, 12)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def with_lows(diary: Diary) -> Person:
    """Four spells on one day: rechecked twice, once, not at all; and one reading far above."""
    person = tilde(diary, targets="ispad-2022")
    for time, value in (
        ("02:10", "3.0"),
        ("02:26", "3.4"),
        ("02:43", "4.3"),
        ("05:10", "15.2"),
        ("09:40", "3.1"),
        ("09:57", "4.6"),
        ("12:05", "3.6"),
        ("14:10", "7.2"),
        ("16:40", "3.8"),
        ("16:58", "5.0"),
    ):
        written(diary, person, f"2026-03-10 {time}", value)
    return person


def opened(diary: Diary, qtbot: QtBot) -> FiguresPage:
    session = Session(diary, lambda: NOW, None)
    page = FiguresPage(session)
    session.setParent(page)
    qtbot.addWidget(page)
    page.resize(988, 760)
    page.show()
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow)
    qtbot.waitUntil(lambda: not page.body.lows.job.busy)
    return page


def rows(table: FigureTable) -> list[list[str]]:
    model = table.model()
    return [
        [model.index(row, column).data() for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def test_lows_stand_first_with_their_readings_and_how_they_ended(
    diary: Diary, qtbot: QtBot
) -> None:
    with_lows(diary)

    page = opened(diary, qtbot)

    lows = page.body.lows
    assert lows.summed.text() == "5 of 10 readings below 3.9 mmol/L, in 4 spells."
    assert lows.tiles.level_2.accessibleName() == (
        "Level 2: below 3.0: 0 of 10. without 4 rechecks 0 of 6"
    )
    assert lows.tiles.level_1.accessibleName() == (
        "Level 1: 3.0 – 3.8: 5 of 10. without 4 rechecks 4 of 6"
    )
    assert lows.tiles.spells.accessibleName() == (
        "Low spells: 4 below 3.9. 3 of 4 rechecked. 1 with no recheck written"
    )
    assert rows(page.body.lows.table) == [
        ["Tue 10 Mar 16:40", "3.8 L", "3.8 → 5.0", "back above in 18 min"],
        [
            "Tue 10 Mar 12:05",
            "3.6 L",
            "3.6",
            "no recheck written; next value 125 min later",
        ],
        ["Tue 10 Mar 09:40", "3.1 L", "3.1 → 4.6", "back above in 17 min"],
    ]
    assert page.body.lows.geometry().bottom() <= page.body.tiles.geometry().top()


def test_all_spells_unfold_by_the_keyboard(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)

    page.body.lows.more.setFocus()
    QTest.keyClick(page.body.lows.more, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: not page.body.lows.job.busy)

    assert [row[2] for row in rows(page.body.lows.table)][-1] == "3.0 → 3.4 → 4.3"
    assert rows(page.body.lows.table)[-1][3] == "back above in 33 min · night"


def test_what_followed_a_low_is_told_with_the_ketones_beside_it(diary: Diary, qtbot: QtBot) -> None:
    person = with_lows(diary)
    at = moment_typed("2026-03-10 05:20", person, now=NOW)
    note_ketones(diary, person, read_ketones("0.8"), at, now=NOW)

    page = opened(diary, qtbot)

    assert page.body.lows.after.text().startswith("Highs within 4 hours of a low: 1; ")
    assert " of 4 spells have a value in that time." in page.body.lows.after.text()
    assert "Tue 10 Mar 02:26: 3.4, 164 min later 15.2" in page.body.lows.after.text()
    assert "ketones 0.8 mmol/L, 10 min later" in page.body.lows.very_high.text()


def test_needed_help_stands_above_every_number(diary: Diary, qtbot: QtBot) -> None:
    person = with_lows(diary)
    at = moment_typed("2026-03-10 02:15", person, now=NOW)
    note_help(diary, person, at, what="woken by her father", now=NOW)

    page = opened(diary, qtbot)

    assert "woken by her father" in page.body.lows.helps.text()
    assert page.body.lows.helps.geometry().top() < page.body.lows.tiles.geometry().top()


def test_enter_on_a_spell_asks_for_its_reading(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)
    page.body.lows.table.setFocus()

    with qtbot.waitSignal(page.session.reading_chosen) as asked:
        QTest.keyClick(page.body.lows.table, Qt.Key.Key_Return)

    assert isinstance(asked.args, list)
    assert asked.args[0] > 0


def test_no_lows_are_not_said_without_what_was_tested(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 07:00", "6.1", Mark.WAKING)

    page = opened(diary, qtbot)

    assert page.body.lows.summed.text() == "None below 3.9 mmol/L seen in 1 reading."
    assert page.body.lows.tiles.night.accessibleName() == (
        "Lows in the night: No night was tested; a low would not be seen. "
        "30 nights, 00:00\u00a0to\u00a005:00"
    )
    assert page.body.lows.tiles.help.accessibleName().startswith("Help was needed: None written")
    assert "Never tested: after breakfast" in page.body.lows.slots.text()
    assert not page.body.lows.table.isVisible()


def test_needed_help_is_told_though_there_is_no_reading_at_all(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    at = moment_typed("2026-03-10 02:15", person, now=NOW)
    note_help(diary, person, at, what="woken by her father", now=NOW)

    page = opened(diary, qtbot)

    assert page.body.lows.isVisible()
    assert "woken by her father" in page.body.lows.helps.text()
    assert page.body.lows.summed.text() == (
        "No readings in these days, which says nothing about lows."
    )
    assert not page.body.tiles.isVisible()


def test_without_readings_nothing_is_counted_as_none(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    for day in range(1, 5):
        written(diary, person, f"2026-03-0{day} 07:00", "6.1", Mark.WAKING, hands="not")

    page = opened(diary, qtbot)

    assert rows(page.body.without.table)[1] == ["without 4 in doubt", "0", *["–"] * 6]


def test_a_value_days_later_is_told_in_days(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-01 07:00", "3.1")
    written(diary, person, "2026-03-06 07:00", "5.1")

    page = opened(diary, qtbot)

    assert rows(page.body.lows.table)[0][3] == "no recheck written; next value 5 days later"


def test_days_set_aside_are_told_with_both_averages(diary: Diary, qtbot: QtBot) -> None:
    person = with_lows(diary)
    written(diary, person, "2026-03-09 07:00", "6.4", Mark.WAKING)
    written(diary, person, "2026-03-11 07:00", "6.1", Mark.WAKING)
    first, last = date(2026, 3, 9), date(2026, 3, 10)
    note_days(diary, person, "sick", first, last, set_aside=True, now=NOW)

    page = opened(diary, qtbot)

    found = rows(page.body.without.table)
    assert [row[:2] for row in found] == [
        ["all readings", "12"],
        ["without 2 set-aside days", "1"],
        ["without 4 rechecks", "8"],
    ]
    assert page.body.without.table.row_help[1] == "without_set_aside_days"


def test_nothing_is_worked_out_for_what_is_folded(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)

    page = opened(diary, qtbot)

    assert all(
        not section.job.busy and not section.body.isVisible() for section in page.body.folded
    )
    assert page.body.bands.table.model().rowCount() == 0
    assert not page.body.spread.list.rows[0].number.text()


def test_shares_unfold_by_slot_weekday_and_month(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)

    page.body.bands.title.setChecked(True)
    qtbot.waitUntil(page.body.bands.body.isVisible)
    assert [row[0] for row in rows(page.body.bands.table)][-1] == "no mark"

    page.body.bands.by.choose(By.MONTH)
    page.body.bands.by.chosen.emit(By.MONTH)
    qtbot.waitUntil(page.body.bands.body.isVisible)
    assert rows(page.body.bands.table)[-1][:2] == ["March 2026", "10"]


def test_every_figure_of_the_spread_says_its_value_or_what_is_missing(
    diary: Diary, qtbot: QtBot
) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)

    page.body.spread.title.setChecked(True)
    qtbot.waitUntil(page.body.spread.body.isVisible)

    found = [row.number.text() for row in page.body.spread.list.rows]
    assert len(found) == len(KEYS)
    assert all(text and "nan" not in text for text in found)
    assert found[KEYS.index("lbgi")].startswith("not shown: needs 60 readings on 14 days")
    under = {row.help_key: row.under.text() for row in page.body.spread.list.rows}
    assert "Made for continuous recording" in under["mage"]
    assert under["sd"] == "Needs 14 readings on 5 days."


def test_every_figure_shown_has_a_help_text(diary: Diary, qtbot: QtBot) -> None:
    person = with_lows(diary)
    at = moment_typed("2026-03-11 12:00", person, now=NOW)
    note_lab(diary, person, read_lab("7.0 %"), at, now=NOW)
    page = opened(diary, qtbot)
    for section in page.body.folded:
        section.title.setChecked(True)
        qtbot.waitUntil(section.body.isVisible)

    shown: list[str] = []
    for tile in page.findChildren(FigureTile):
        if tile.isVisible():
            shown += [button.help_key for button in tile.findChildren(HelpButton)] or [""]
    for table in page.findChildren(FigureTable):
        for row in range(table.model().rowCount() if table.isVisible() else 0):
            for column in range(table.model().columnCount()):
                table.setCurrentIndex(table.model().index(row, column))
                shown.append(help_key_of(table))
    others = (page.body.trust, page.body.shares, *page.body.spread.list.rows, *page.body.folded)
    shown += [help_key_of(each) for each in others]

    assert len(shown) > 100
    assert set(shown) <= set(all_help())


def test_f1_explains_the_figure_that_has_the_focus(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)
    table = page.body.periods.table
    table.setFocus()
    table.setCurrentIndex(table.model().index(4, 2))

    QTest.keyClick(table, Qt.Key.Key_F1)

    window = QApplication.activeModalWidget()
    assert isinstance(window, FigureHelpWindow)
    assert window.title.accessibleName() == all_help()["sd"].title
    QTest.keyClick(window, Qt.Key.Key_Escape)


def test_a_click_explains_a_tile(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)
    (button,) = page.body.tiles.evened.findChildren(HelpButton)

    QTest.mouseClick(button, Qt.MouseButton.LeftButton)

    window = QApplication.activeModalWidget()
    assert isinstance(window, FigureHelpWindow)
    assert window.title.accessibleName() == all_help()["evened"].title
    QTest.keyClick(window, Qt.Key.Key_Escape)


def test_the_figures_of_the_spread_are_one_tab_stop_that_arrows_walk(
    diary: Diary, qtbot: QtBot
) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)
    page.body.spread.title.setChecked(True)
    qtbot.waitUntil(page.body.spread.body.isVisible)
    page.body.spread.title.setFocus()

    QTest.keyClick(page.body.spread.title, Qt.Key.Key_Tab)
    for _ in range(KEYS.index("mage")):
        QTest.keyClick(_focused(), Qt.Key.Key_Down)
    QTest.keyClick(_focused(), Qt.Key.Key_Return)

    window = QApplication.activeModalWidget()
    assert isinstance(window, FigureHelpWindow)
    assert all_help()["mage"].caution in window.text.text().replace("&#x27;", "'")
    QTest.keyClick(window, Qt.Key.Key_Escape)
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow)
    QTest.keyClick(page.body.spread.list.rows[4].button, Qt.Key.Key_Tab)
    assert _focused() is page.body.labs.title


def test_a_cell_of_the_shares_is_told_in_full_below_the_table(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    for day in range(1, 10):
        for hour in (6, 7):
            written(diary, person, f"2026-03-0{day} 0{hour}:00", "6.1", Mark.WAKING)
    page = opened(diary, qtbot)
    page.body.bands.title.setChecked(True)
    qtbot.waitUntil(page.body.bands.body.isVisible)
    table = page.body.bands.table

    table.setCurrentIndex(table.model().index(0, 3))

    assert page.body.bands.said.text() == ("waking: below 3.0: 0 of 18 (0 %; 95 %: up to 18 %)")
    bar = table.cells.cell(table.cells.index(0, 2)).bar
    assert sum(share for _, share in bar) == 1.0


def _focused() -> QWidget:
    found = QApplication.focusWidget()
    assert found is not None
    return found


def test_an_a1c_is_translated_and_no_average_becomes_one(diary: Diary, qtbot: QtBot) -> None:
    person = with_lows(diary)
    at = moment_typed("2026-03-11 12:00", person, now=NOW)
    note_lab(diary, person, read_lab("7.0 %"), at, now=NOW)
    page = opened(diary, qtbot)

    page.body.labs.title.setChecked(True)
    qtbot.waitUntil(page.body.labs.body.isVisible)

    (row,) = rows(page.body.labs.table)
    assert row[:3] == ["11 March 2026", "7.0 % (53)", "8.6 (6.8 – 10.3)"]
    assert row[5] == "10"
    assert "a translation of the lab value" in page.body.labs.reasons.text()


def test_lows_of_another_person_go_before_theirs_are_worked_out(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    other = corwin(diary)
    page = opened(diary, qtbot)

    page.session.choose(other)

    assert not page.body.lows.isVisible()
    qtbot.waitUntil(lambda: not page.body.lows.job.busy)
    page.body.lows.ask(Period(TODAY, TODAY))
    qtbot.waitUntil(lambda: not page.body.lows.job.busy)
    assert "says nothing about lows" in page.body.lows.summed.text()


def test_a_night_reading_without_a_mark_is_told_by_the_clock(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 02:10", "2.9")

    page = opened(diary, qtbot)

    slots = page.body.lows.slots.text()
    assert "Never tested: waking" in slots
    assert "bedtime, night" not in slots
    assert "No reading is marked as night; nights tested by the clock: 1 of 30." in slots
