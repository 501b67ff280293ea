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
from app.domain.ketones import read_ketones
from app.domain.labs import read_lab
from app.domain.marks import Mark
from app.domain.person import Person
from app.review.bands import By
from app.review.help import all_help
from app.store.diary import Diary
from app.ui.figures.help_window import FigureHelpWindow
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
    qtbot.waitUntil(lambda: not page.lows.job.busy)
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

    assert page.lows.counted.text() == (
        "5 of 10 readings below 3.9 mmol/L, in 4 spells; without 4 rechecks 4 of 6."
    )
    assert rows(page.lows.table) == [
        ["Tue 10 Mar 16:40", "3.8 L", "3.8 → 5.0", "back above in 18 min"],
        [
            "Tue 10 Mar 12:05",
            "3.6 L",
            "3.6",
            "no recheck written; next value 125 min later",
        ],
        ["Tue 10 Mar 09:40", "3.1 L", "3.1 → 4.6", "back above in 17 min"],
    ]
    assert page.lows.geometry().bottom() <= page.tiles.geometry().top()


def test_all_spells_unfold_by_the_keyboard(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)

    page.lows.more.setFocus()
    QTest.keyClick(page.lows.more, Qt.Key.Key_Space)

    assert [row[2] for row in rows(page.lows.table)][-1] == "3.0 → 3.4 → 4.3"
    assert rows(page.lows.table)[-1][3] == "back above in 33 min · night"


def test_what_followed_a_low_is_told_with_the_ketones_beside_it(diary: Diary, qtbot: QtBot) -> None:
    person = with_lows(diary)
    at = moment_typed("2026-03-10 05:20", person, now=NOW)
    note_ketones(diary, person, read_ketones("0.8"), at, now=NOW)

    page = opened(diary, qtbot)

    assert page.lows.after.text().startswith("Highs within 4 hours of a low: 1; ")
    assert "Tue 10 Mar 02:26: 3.4, 164 min later 15.2" in page.lows.after.text()
    assert "ketones 0.8 mmol/L, 10 min later" in page.lows.very_high.text()


def test_needed_help_stands_above_every_number(diary: Diary, qtbot: QtBot) -> None:
    person = with_lows(diary)
    at = moment_typed("2026-03-10 02:15", person, now=NOW)
    note_help(diary, person, at, what="woken by her father", now=NOW)

    page = opened(diary, qtbot)

    assert "woken by her father" in page.lows.helps.text()
    assert page.lows.helps.geometry().top() < page.lows.counted.geometry().top()


def test_enter_on_a_spell_asks_for_its_reading(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)
    page.lows.table.setFocus()

    with qtbot.waitSignal(page.session.reading_chosen) as asked:
        QTest.keyClick(page.lows.table, Qt.Key.Key_Return)

    assert isinstance(asked.args, list)
    assert asked.args[0] > 0


def test_no_lows_are_not_said_without_what_was_tested(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 07:00", "6.1", Mark.WAKING)

    page = opened(diary, qtbot)

    assert page.lows.counted.text() == "None below 3.9 mmol/L seen in 1 reading."
    assert "0 of 30 nights tested; a low in another night would not be seen" in (
        page.lows.night.text()
    )
    assert not page.lows.table.isVisible()


def test_days_set_aside_are_told_with_both_averages(diary: Diary, qtbot: QtBot) -> None:
    person = with_lows(diary)
    written(diary, person, "2026-03-11 07:00", "6.1", Mark.WAKING)
    day = date(2026, 3, 10)
    note_days(diary, person, "sick", day, day, set_aside=True, now=NOW)

    page = opened(diary, qtbot)

    assert "1 set-aside day: with, n 11" in page._beside.text()
    assert "without, n 1" in page._beside.text()


def test_nothing_is_worked_out_for_what_is_folded(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)

    page = opened(diary, qtbot)

    assert all(not section.job.busy and not section.body.isVisible() for section in page.folded)
    assert all(table.model().rowCount() == 0 for table in (page.bands.table, page.spread.table))


def test_shares_unfold_by_slot_weekday_and_month(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)

    page.bands.title.setChecked(True)
    qtbot.waitUntil(page.bands.body.isVisible)
    assert [row[0] for row in rows(page.bands.table)][-1] == "no mark"

    page.bands.by.choose(By.MONTH)
    page.bands.by.chosen.emit(By.MONTH)
    qtbot.waitUntil(page.bands.body.isVisible)
    assert rows(page.bands.table)[-1][:2] == ["March 2026", "10"]


def test_every_figure_of_the_spread_says_its_value_or_what_is_missing(
    diary: Diary, qtbot: QtBot
) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)

    page.spread.title.setChecked(True)
    qtbot.waitUntil(page.spread.body.isVisible)

    found = rows(page.spread.table)
    assert len(found) == len(KEYS)
    assert all(row[1] not in ("", "nan") for row in found)
    assert {row[2] for row in found if row[1] == "–"} == {
        row[2] for row in found if row[2].startswith("not shown: ")
    }


def test_every_figure_shown_has_a_help_text(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)

    assert {*page.tiles.keys, *KEYS} <= set(all_help())


def test_enter_on_a_figure_of_the_spread_explains_it(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    page = opened(diary, qtbot)
    page.spread.title.setChecked(True)
    qtbot.waitUntil(page.spread.body.isVisible)

    page.spread.table.setFocus()
    page.spread.table.setCurrentIndex(page.spread.table.model().index(KEYS.index("mage"), 0))
    QTest.keyClick(page.spread.table, Qt.Key.Key_Return)

    window = QApplication.activeModalWidget()
    assert isinstance(window, FigureHelpWindow)
    assert all_help()["mage"].caution in window.text.text().replace("&#x27;", "'")
    QTest.keyClick(window, Qt.Key.Key_Escape)


def test_an_a1c_is_translated_and_no_average_becomes_one(diary: Diary, qtbot: QtBot) -> None:
    person = with_lows(diary)
    at = moment_typed("2026-03-11 12:00", person, now=NOW)
    note_lab(diary, person, read_lab("7.0 %"), at, now=NOW)
    page = opened(diary, qtbot)

    page.labs.title.setChecked(True)
    qtbot.waitUntil(page.labs.body.isVisible)

    (row,) = rows(page.labs.table)
    assert row[:3] == ["11 March 2026", "7.0 % (53)", "8.6 (6.8 – 10.3)"]
    assert row[5] == "10"
    assert "a translation of the lab value" in page.labs.reasons.text()


def test_lows_of_another_person_go_before_theirs_are_worked_out(diary: Diary, qtbot: QtBot) -> None:
    with_lows(diary)
    other = corwin(diary)
    page = opened(diary, qtbot)

    page.session.choose(other)

    assert not page.lows.isVisible()
    qtbot.waitUntil(lambda: not page.lows.job.busy)
    page.lows.ask(Period(TODAY, TODAY))
    qtbot.waitUntil(lambda: not page.lows.job.busy)
    assert "says nothing about lows" in page.lows.counted.text()
