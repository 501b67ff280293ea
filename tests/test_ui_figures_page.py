from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

import app.review.figures_shown as shown_module
from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person
from app.look.theme import apply_theme
from app.look.tokens import DARK, LIGHT
from app.look.type import scale_text
from app.store.diary import Diary
from app.ui.controls.segments import Segments
from app.ui.figures.helped import HelpButton
from app.ui.figures.page import FiguresPage
from app.ui.session import Session
from tests.households import NOW, corwin, new_diary, tilde, written

TODAY = date(2026, 3, 12)


@pytest.fixture(autouse=True)
def plain(qapp: QApplication) -> Iterator[None]:
    """Light, left to right and the usual text size, before and after."""
    usual = qapp.font()
    apply_theme(qapp, LIGHT)
    yield
    qapp.setFont(usual)
    qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
    apply_theme(qapp, LIGHT)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def filled(diary: Diary) -> Person:
    """A child's fortnight: four slots a day, one low with its recheck, one reading in doubt."""
    person = tilde(diary, targets="ispad-2022")
    values = {Mark.WAKING: 6.0, Mark.BEFORE_LUNCH: 5.5, Mark.AFTER_LUNCH: 8.8, Mark.BEDTIME: 9.6}
    for back in range(14):
        day = TODAY - timedelta(days=back)
        for hour, (mark, value) in zip((7, 12, 14, 21), values.items(), strict=True):
            written(diary, person, f"{day} {hour:02}:00", f"{value + back / 10:.1f}", mark)
    written(diary, person, "2026-03-10 16:40", "2.9")
    written(diary, person, "2026-03-10 16:57", "4.6")
    written(diary, person, "2026-03-11 10:00", "21.0", hands="not")
    return person


def opened(diary: Diary, qtbot: QtBot, width: int = 988, height: int = 760) -> FiguresPage:
    session = Session(diary, lambda: NOW, None)
    page = FiguresPage(session)
    session.setParent(page)
    qtbot.addWidget(page)
    page.resize(width, height)
    page.show()
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow)
    return page


def said(widget: QWidget) -> str:
    """Every text that is seen in a widget, from label to label."""
    labels = widget.findChildren(QLabel)
    return "\n".join(label.text() for label in labels if label.isVisible())


def press(key: Qt.Key) -> None:
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, key)


def column(page: FiguresPage, at: int) -> list[str]:
    table = page.body.periods.table
    return [cell.text for cell in table.cells.column_texts(at)]


def test_every_number_comes_with_its_n_and_unit(diary: Diary, qtbot: QtBot) -> None:
    filled(diary)
    page = opened(diary, qtbot)

    text = said(page)
    assert "11 February – 12 March 2026 · n 59 readings on 14 days" in text
    assert "1 recheck after a low" in text
    assert "1 in doubt" in text
    names = [tile.accessibleName() for tile in page.body.tiles.tiles]
    assert names[0].startswith("Plain average: 8.")
    assert all("mmol/L" in name or "needs" in name.casefold() for name in names)
    assert "n 59" in names[0]


def test_trust_comes_first_and_names_what_was_hardly_tested(diary: Diary, qtbot: QtBot) -> None:
    filled(diary)
    page = opened(diary, qtbot)

    trust = page.body.trust.accessibleName()
    assert trust.startswith("How far to trust it: partly.")
    assert page.body.trust.y() < page.body.tiles.y()


def test_rechecks_count_and_the_figure_without_them_stands_beside(
    diary: Diary, qtbot: QtBot
) -> None:
    filled(diary)
    page = opened(diary, qtbot)

    assert "Without 1 recheck: 1 of 58 below 3.9, 1 of them below 3.0" in said(page)
    qtbot.waitUntil(lambda: not page.body.lows.job.busy)
    spells = page.body.lows.tiles.spells.accessibleName()
    assert spells.startswith("Low spells: 1 below 3.9. 1 of 1 rechecked")


def test_levels_are_those_of_the_diary_and_the_bar_says_its_finding(
    diary: Diary, qtbot: QtBot
) -> None:
    filled(diary)
    page = opened(diary, qtbot)

    text = said(page.body.shares)
    for span in ("below 3.0", "3.0 – 3.8", "3.9 – 10.0", "10.1 – 13.9", "above 13.9"):
        assert span in text
    assert page.body.shares.accessibleName().startswith("Of 59 readings 1 lie below 3.9")
    assert sum(part.width() > 0 for part in page.body.shares.parts()) == 4


def test_with_and_without_doubt_stand_side_by_side(diary: Diary, qtbot: QtBot) -> None:
    filled(diary)
    page = opened(diary, qtbot)

    table = page.body.without.table.cells
    assert [cell.text for cell in table.column_texts(0)] == [
        "all readings",
        "without 1 in doubt",
        "without 1 recheck",
    ]
    assert [cell.text for cell in table.column_texts(1)] == ["59", "58", "58"]
    assert "In doubt: hands not washed." in said(page)
    page.head.doubt.choose(False)
    page.head.doubt.activated.emit(1)

    text = said(page)
    assert "n 58 readings" in text
    assert "1 in doubt left out" in text
    assert [cell.text for cell in table.column_texts(1)] == ["59", "58", "58"]
    assert page.body.marks.table.cells.column_texts(1)[-1].text == "2"


def test_the_chosen_period_is_shaded_and_another_is_picked_by_key(
    diary: Diary, qtbot: QtBot
) -> None:
    filled(diary)
    page = opened(diary, qtbot)
    heads = [page.body.periods.table.cells.head(at) for at in range(6)]
    assert [head.text for head in heads if head.chosen] == ["30"]
    assert column(page, 1)[0] == "31"

    page.body.periods.table.setFocus(Qt.FocusReason.TabFocusReason)
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Return):
        press(key)

    assert page.session.days == 7
    assert page.head.period.value() == 7
    assert "n 31 readings" in said(page)


def test_segments_change_the_period_by_arrow(diary: Diary, qtbot: QtBot) -> None:
    filled(diary)
    page = opened(diary, qtbot)

    page.take_focus()
    press(Qt.Key.Key_Left)

    assert page.session.days == 14


def test_a_period_from_day_to_day_is_typed_and_shown(diary: Diary, qtbot: QtBot) -> None:
    filled(diary)
    page = opened(diary, qtbot)
    page.head.period.chosen.emit("own")
    fields = page.head.period.from_to

    fields.first.setDate(QDate(2026, 3, 2))
    fields.last.setDate(QDate(2026, 3, 4))
    fields.last.setFocus()
    press(Qt.Key.Key_Return)

    assert page.session.period == Period(date(2026, 3, 2), date(2026, 3, 4))
    assert "2 – 4 March 2026 · n 12 readings on 3 days" in said(page)
    assert column(page, 6)[0] == "12"


def test_days_upside_down_are_refused_and_kept_as_typed(diary: Diary, qtbot: QtBot) -> None:
    filled(diary)
    page = opened(diary, qtbot)
    page.head.period.chosen.emit("own")
    fields = page.head.period.from_to

    fields.first.setDate(QDate(2026, 3, 9))
    fields.last.setDate(QDate(2026, 3, 4))
    fields.first.setFocus()
    press(Qt.Key.Key_Return)

    assert "comes after the last one" in said(page)
    assert fields.first.date() == QDate(2026, 3, 9)
    assert page.session.days == 30


def test_dates_follow_the_persons_own_order(diary: Diary, qtbot: QtBot) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-12 07:00", "118", Mark.WAKING)
    page = opened(diary, qtbot)
    record = page.session.record
    page.session._record = replace(record, person=replace(record.person, date_order="mdy"))
    page.mark_stale()

    assert "February 11 – March 12, 2026" in said(page)
    page.head.period.chosen.emit("own")
    assert page.head.period.from_to.first.text() == "Feb 11, 2026"


def test_an_empty_diary_says_what_is_not_there(diary: Diary, qtbot: QtBot) -> None:
    tilde(diary)
    page = opened(diary, qtbot)

    text = said(page)
    assert "No readings yet (n 0)" in text
    assert not page.body.tiles.isVisible()
    assert not page.body.shares.isVisible()
    assert "0.0" not in text


def test_a_period_without_readings_offers_the_days_that_have_some(
    diary: Diary, qtbot: QtBot
) -> None:
    filled(diary)
    page = opened(diary, qtbot)
    page.session.show_days(30, date(2025, 6, 1))
    assert "The last reading is from 12 March 2026." in said(page)

    page.empty.button.click()

    assert page.session.period.last == TODAY
    assert page.body.tiles.isVisible()


def test_one_reading_shows_words_instead_of_figures(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6", Mark.WAKING)
    page = opened(diary, qtbot)

    text = said(page)
    assert "Needs 3 readings; there is 1 reading" in text
    assert page.body.shares.parts() == []
    assert "1 of 1" in said(page.body.shares)
    assert "%" not in said(page.body.shares)
    assert "8 of 8 slots have fewer than 5 readings" in page.body.trust.accessibleName()


def test_results_off_the_scale_make_bounds_and_words(diary: Diary, qtbot: QtBot) -> None:
    person = corwin(diary)
    for minute, value in enumerate(["92", "118", "145", "187", "103", ">600"]):
        written(diary, person, f"2026-03-12 07:{minute:02}", value)
    page = opened(diary, qtbot)

    assert page.body.tiles.mean.accessibleName().startswith("Plain average: ≥ 207 mg/dL")
    assert "highest >600" in page.body.tiles.median.accessibleName()


def test_the_other_unit_changes_no_count(diary: Diary, qtbot: QtBot) -> None:
    filled(diary)
    page = opened(diary, qtbot)
    counts = [
        cell.text for at in (1, 5, 6) for cell in page.body.marks.table.cells.column_texts(at)
    ]
    record = page.session.record

    page.session._record = replace(record, person=replace(record.person, unit=Unit.MG_DL))
    page.mark_stale()

    table = page.body.marks.table.cells
    assert [cell.text for at in (1, 5, 6) for cell in table.column_texts(at)] == counts
    assert "54 – 69" in said(page.body.shares)
    assert "mmol/L" not in said(page)


def test_a_long_period_is_worked_out_beside_and_the_last_question_wins(
    diary: Diary, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(diary)
    page = opened(diary, qtbot)
    monkeypatch.setattr(shown_module, "_AT_ONCE_UP_TO", 40)

    with qtbot.waitSignal(page.job.answered, timeout=5000):
        page.session.show_days(90)
        at_once = said(page)
    assert "n 59 readings" in said(page)
    page.session.show_days(90, date(2026, 3, 11))
    page.session.show_days(7)  # few enough to be shown at once
    qtbot.waitUntil(lambda: not page.job.busy)

    assert at_once
    assert "6 – 12 March 2026 · n 31 readings" in said(page)


def test_another_person_never_sees_the_figures_of_the_one_before(
    diary: Diary, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(diary)
    adult = corwin(diary)
    for minute in range(50):
        written(diary, adult, f"2026-03-12 07:{minute:02}", "118", Mark.WAKING)
    page = opened(diary, qtbot)
    monkeypatch.setattr(shown_module, "_AT_ONCE_UP_TO", 40)

    with qtbot.waitSignal(page.job.answered, timeout=5000):
        page.session.choose(adult)
        assert not page.body.tiles.isVisible()

    assert "n 50" in page.body.tiles.mean.accessibleName()
    assert "mg/dL" in page.body.tiles.mean.accessibleName()


def test_the_tab_key_goes_as_the_eye_does(diary: Diary, qtbot: QtBot) -> None:
    filled(diary)
    page = opened(diary, qtbot)
    page.take_focus()

    passed = []
    qtbot.waitUntil(lambda: not page.body.lows.job.busy)
    for _ in range(14):
        press(Qt.Key.Key_Tab)
        focused = QApplication.focusWidget()
        passed.append(focused.help_key if isinstance(focused, HelpButton) else focused)

    body = page.body
    assert passed == [
        page.head.doubt,
        "help_needed",
        body.lows.table,
        "highs_after",
        "very_highs",
        "mean",
        body.without.table,
        body.shares,
        body.marks.table,
        body.periods.table,
        body.meals.table,
        body.bands.title,
        body.spread.title,
        body.labs.title,
    ]


def test_strips_and_tables_say_what_they_show(diary: Diary, qtbot: QtBot) -> None:
    filled(diary)
    page = opened(diary, qtbot)
    cells = page.body.marks.table.cells

    strip = cells.data(cells.index(0, 2), Qt.ItemDataRole.AccessibleTextRole)
    untested = cells.data(cells.index(1, 2), Qt.ItemDataRole.AccessibleTextRole)

    assert strip.startswith("14 readings, median 6.7 mmol/L, average 6.7, middle half 6.3 to 7.0")
    assert untested.startswith("never tested")
    assert page.body.marks.table.accessibleName().startswith(
        "Readings by mark, 4 of 8 slots tested"
    )
    assert [cell.text for cell in cells.column_texts(0)][:8] == [slot.words for slot in SLOTS]


@pytest.mark.parametrize("factor", [1.0, 2.0])
@pytest.mark.parametrize("width", [748, 988, 1600])
def test_nothing_is_wider_than_the_page(
    diary: Diary, qtbot: QtBot, qapp: QApplication, width: int, factor: float
) -> None:
    filled(diary)
    scale_text(factor, base=qapp.font())
    page = opened(diary, qtbot, width=round(width * max(1.0, factor / 1.5)), height=700)

    inside = page.area.widget()
    assert inside is not None
    assert inside.minimumSizeHint().width() <= page.area.viewport().width()
    for table in (page.body.marks.table, page.body.periods.table, page.body.meals.table):
        assert table.height() == table.sizeHint().height()
        assert table.horizontalHeader().length() <= table.viewport().width()


@pytest.mark.parametrize("direction", list(Qt.LayoutDirection)[:2])
def test_the_bar_begins_where_a_line_of_text_begins(
    diary: Diary, qtbot: QtBot, qapp: QApplication, direction: Qt.LayoutDirection
) -> None:
    qapp.setLayoutDirection(direction)
    filled(diary)
    page = opened(diary, qtbot)

    far_below, far_above = page.body.shares.parts()[0], page.body.shares.parts()[-1]

    assert (far_below.left() < far_above.left()) is (direction is Qt.LayoutDirection.LeftToRight)


def test_a_change_of_theme_paints_anew_and_keeps_every_word(
    diary: Diary, qtbot: QtBot, qapp: QApplication
) -> None:
    filled(diary)
    page = opened(diary, qtbot)
    before, picture = said(page), page.grab().toImage()

    apply_theme(qapp, DARK)

    assert page.grab().toImage() != picture
    assert [part for part in said(page).split("\n") if "span" not in part] == [
        part for part in before.split("\n") if "span" not in part
    ]


def test_the_periods_are_one_stop_for_the_tab_key(diary: Diary, qtbot: QtBot) -> None:
    filled(diary)
    page = opened(diary, qtbot)

    assert isinstance(page.head.period, Segments)
    page.head.period.choose(7)
    press_count = sum(
        button.focusPolicy() is Qt.FocusPolicy.StrongFocus
        for button in page.head.period.findChildren(QWidget)
    )
    assert press_count == 1
