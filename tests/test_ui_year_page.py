"""The Year page: cells walked by key, the same in numbers, changes lead to before and after."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QScrollArea, QWidget
from pytestqt.qtbot import QtBot

from app.domain.clock import Period
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person
from app.look.theme import apply_theme
from app.look.tokens import DARK, LIGHT
from app.review.help import all_help
from app.store.diary import Diary
from app.ui.figures.help_window import FigureHelpWindow
from app.ui.figures.helped import help_key_of
from app.ui.job import Job
from app.ui.session import Session
from app.ui.year.months import months_offered, stepped
from app.ui.year.page import YearPage
from app.ui.year.rail_places import MOST_LINES, Placed, Wanted, placed
from app.work.note_days import note_change, note_days
from app.work.people import add_person
from tests.households import NOW, corwin, new_diary, sample_of, tilde, written
from tests.sides import all_written

DAYS = range(1, 12)
LONG = "a plan whose name is long because all that was said about breakfast and sports is in it"


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


@pytest.fixture
def opened(qtbot: QtBot) -> Iterator[Callable[..., YearPage]]:
    made: list[tuple[YearPage, Session]] = []

    def make(
        diary: Diary, *, now: datetime = NOW, size: tuple[int, int] = (988, 728), name: str = ""
    ) -> YearPage:
        session = Session(diary, lambda: now, None)
        for person in session.persons:
            if person.name == name:
                session.choose(person)
        page = YearPage(session)
        qtbot.addWidget(page)
        page.resize(*size)
        with qtbot.waitExposed(page):
            page.show()
        made.append((page, session))
        settle(page, qtbot)
        return page

    yield make
    for page, session in made:
        for job in page.findChildren(Job):
            job.close()
        session.close()


def settle(page: YearPage, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not any(job.busy for job in page.findChildren(Job)))
    QTest.qWait(0)


def filled(diary: Diary) -> Person:
    """January and March: wakings and bedtimes, a low; nothing in February; a change in March."""
    person = tilde(diary, targets="ispad-2022")
    rows = [(f"2026-01-{day:02} 07:00", f"{7 + day / 10:.1f}", Mark.WAKING) for day in range(1, 8)]
    rows += [
        (f"2026-03-{day:02} 07:00", f"{6 + day / 10:.1f}", Mark.WAKING) for day in range(1, 12)
    ]
    rows += [("2026-03-02 21:00", "3.2", Mark.BEDTIME), ("2026-03-03 21:00", "11.0", Mark.BEDTIME)]
    rows.append(("2026-03-04 15:00", "8.0", Mark.NONE))
    all_written(diary, person, rows)
    note_change(diary, person, date(2026, 3, 5), "new plan", settling_days=1, now=NOW)
    note_days(diary, person, "sick", date(2026, 1, 30), date(2026, 2, 3), now=NOW)
    return person


def many_changes(diary: Diary) -> Person:
    person = tilde(diary)
    day = date(2025, 4, 1)
    rows = []
    while day < date(2026, 3, 12):
        rows += [(f"{day} 07:00", "7.0", Mark.WAKING), (f"{day} 21:00", "HI", Mark.BEDTIME)]
        day += timedelta(days=1)
    all_written(diary, person, rows)
    for at in range(24):
        what = LONG if at % 3 else f"change {at}"
        note_change(diary, person, date(2025, 4, 3) + timedelta(days=14 * at), what, now=NOW)
    return person


def press(widget: QWidget, *keys: Qt.Key) -> None:
    for key in keys:
        QTest.keyClick(widget, key)


def table_rows(page: YearPage) -> list[list[str]]:
    model = page.body.numbers.model()
    return [
        [str(model.index(row, column).data() or "") for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def texts(widget: QWidget) -> list[str]:
    """What its labels say."""
    return [label.text() for label in widget.findChildren(QLabel)]


# The months.


def test_the_chart_says_its_finding_by_name(diary: Diary, opened: Callable[..., YearPage]) -> None:
    filled(diary)

    page = opened(diary)

    assert page.body.grid.accessibleName() == (
        "Months by slot, January 2026 – March 2026. 1 of 21 below 3.9, 1 above 10.0 mmol/L. "
        "Nothing written in February 2026."
    )


def test_the_arrow_keys_walk_the_cells_and_the_line_tells_each(
    diary: Diary, opened: Callable[..., YearPage]
) -> None:
    filled(diary)
    page = opened(diary)
    grid = page.body.grid

    grid.setFocus(Qt.FocusReason.TabFocusReason)
    waking = page.line.text
    press(grid, Qt.Key.Key_Left)
    gap = page.line.text
    press(grid, Qt.Key.Key_Home, Qt.Key.Key_Down)
    untested = page.line.text
    press(grid, Qt.Key.Key_End, *[Qt.Key.Key_Down] * 5)

    assert waking == (
        "March 2026 · waking · n 11 on 11 days · median 6.6 mmol/L, middle half "
        "6.4\N{NO-BREAK SPACE}–\N{NO-BREAK SPACE}6.9 · "
        "target 4.0\N{NO-BREAK SPACE}–\N{NO-BREAK SPACE}8.0"
    )
    assert gap == "February 2026 · waking · nothing written in this month, n 0"
    assert untested == "January 2026 · after breakfast · not tested in this month, n 0"
    assert page.line.text.startswith(
        "March 2026 · bedtime · n 2 on 2 days · too few for a median · 1 below 3.9 · 1 above 10.0"
    )
    assert grid.accessibleDescription() == page.line.text


def test_the_pointer_tells_the_cell_that_it_rests_on(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    filled(diary)
    page = opened(diary)
    places = page.body.grid.places
    assert places is not None

    QTest.mouseMove(page.body.grid, places.plot(places.rows[0], 0).center().toPoint())
    qtbot.waitUntil(lambda: page.line.text.startswith("January 2026 · waking"))
    QTest.mouseMove(page.body.grid, QPoint(1, 1))

    qtbot.waitUntil(lambda: page.line.text.startswith("Point at"))


def test_enter_on_a_cell_goes_to_its_row_of_numbers(
    diary: Diary, opened: Callable[..., YearPage]
) -> None:
    filled(diary)
    page = opened(diary)
    grid, numbers = page.body.grid, page.body.numbers
    grid.setFocus(Qt.FocusReason.TabFocusReason)

    press(grid, *[Qt.Key.Key_Down] * 6, Qt.Key.Key_Return)

    assert numbers.hasFocus()
    assert table_rows(page)[numbers.currentIndex().row()][1] == "bedtime"
    assert page.line.text.startswith("March 2026 · bedtime")
    area = numbers.visualRect(numbers.currentIndex())
    top = numbers.viewport().mapTo(page, area.topLeft()).y()
    assert 0 <= top < page.line.mapTo(page, QPoint(0, 0)).y()


def test_the_numbers_hold_each_cell_and_a_row_for_a_gap(
    diary: Diary, opened: Callable[..., YearPage]
) -> None:
    filled(diary)

    half = "{}\N{NO-BREAK SPACE}–\N{NO-BREAK SPACE}{}".format
    assert table_rows(opened(diary)) == [
        ["January 2026", "waking", "7", "7.4", half("7.3", "7.6"), "0", "0"],
        ["February 2026", "nothing written", "0", "–", "–", "–", "–"],
        ["March 2026", "waking", "11", "6.6", half("6.4", "6.9"), "0", "0"],
        ["", "bedtime", "2", "too few", "–", "1", "1"],
    ]


def test_left_and_right_in_the_head_step_by_a_month_and_never_beyond(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    filled(diary)
    page = opened(diary)
    assert not page.head.after.isEnabled()

    press(page.head.before, Qt.Key.Key_Right)
    still = page.head.ending.value()
    press(page.head.before, Qt.Key.Key_Left)
    settle(page, qtbot)

    assert still == date(2026, 3, 1)
    assert page.found is not None
    assert page.found.months[-1].first == date(2026, 2, 1)
    press(page.head.before, *[Qt.Key.Key_Left] * 5)
    settle(page, qtbot)
    assert page.found.period.last == date(2026, 1, 31)
    assert not page.head.before.isEnabled()


def test_ten_years_are_stepped_by_twelve_months_from_the_chart_and_the_menu(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    person = tilde(diary)
    written(diary, person, "2016-02-01T07:00", "7.0", Mark.WAKING)
    written(diary, person, "2026-03-01T07:00", "7.0", Mark.WAKING)
    page = opened(diary)
    assert page.found is not None
    assert len(page.found.months) == 12

    press(page.body.grid, Qt.Key.Key_PageUp)
    settle(page, qtbot)
    back = page.found.period
    actions = {action.text(): action for _, action in page.menu_actions()}
    for _ in range(12):
        actions["Twelve months before"].trigger()
    settle(page, qtbot)

    assert back == Period(date(2024, 4, 1), date(2025, 3, 31))
    assert page.found.period == Period(date(2016, 2, 1), date(2016, 2, 29))
    assert page.found.n == 1
    actions["Month after"].trigger()
    settle(page, qtbot)
    assert page.found.months[-1].is_gap


def test_another_period_of_the_window_brings_its_last_month(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    filled(diary)
    page = opened(diary)

    page.session.show_period(Period(date(2026, 1, 1), date(2026, 1, 20)))
    settle(page, qtbot)

    assert page.found is not None
    assert page.found.period.last == date(2026, 1, 31)
    assert page.head.ending.currentText() == "to January 2026"


def test_a_reading_written_meanwhile_is_seen(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    person = filled(diary)
    page = opened(diary)

    written(diary, person, "2026-02-06T07:00", "6.1", Mark.WAKING)
    page.session.changed()
    settle(page, qtbot)

    assert page.found is not None
    assert [month.is_gap for month in page.found.months] == [False, False, False]


def test_an_empty_diary_says_what_a_year_needs_and_leads_to_the_line(
    diary: Diary, opened: Callable[..., YearPage]
) -> None:
    tilde(diary)

    page = opened(diary)

    assert page.empty.isVisible()
    assert page.empty.button.isVisible()
    assert not page.body.isVisible()
    assert not page.line.isVisible()


def test_one_reading_is_a_year_of_one_month(diary: Diary, opened: Callable[..., YearPage]) -> None:
    written(diary, tilde(diary), "2026-03-02T07:00", "6.1", Mark.WAKING)

    page = opened(diary)

    assert table_rows(page) == [["March 2026", "waking", "1", "too few", "–", "0", "0"]]
    places = page.body.grid.places
    assert places is not None
    assert [row.is_tested for row in places.rows] == [True, *[False] * 7]


def test_another_person_brings_another_year_in_their_unit(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    filled(diary)
    other = corwin(diary)
    written(diary, other, "2026-02-02T07:00", "152", Mark.WAKING)
    page = opened(diary)

    page.session.choose(other)
    settle(page, qtbot)

    assert "mg/dL" in page.body.grid.accessibleName()
    assert table_rows(page)[0][:3] == ["February 2026", "waking", "1"]


# What is drawn.


def test_every_cell_of_a_gap_is_hatched_and_none_of_it_is_drawn_across(
    diary: Diary, opened: Callable[..., YearPage]
) -> None:
    filled(diary)
    page = opened(diary)
    places = page.body.grid.places
    assert places is not None
    picture = page.body.grid.grab().toImage()

    def colours(month: int) -> set[str]:
        area = places.plot(places.rows[0], month).toAlignedRect().adjusted(4, 2, -4, -2)
        return {
            picture.pixelColor(x, y).name().upper()
            for x in range(area.left(), area.right())
            for y in range(area.top(), area.bottom())
        }

    assert LIGHT.ink.upper() in colours(0)
    assert LIGHT.ink.upper() not in colours(1)
    assert LIGHT.out.upper() not in colours(1)
    assert len(colours(1)) > 1


@pytest.mark.parametrize("size", [(748, 629), (988, 728), (1600, 1008)])
@pytest.mark.parametrize("text", [1.0, 1.5, 2.0])
def test_months_keep_inside_the_page_and_counts_inside_their_cells(
    size: tuple[int, int],
    text: float,
    diary: Diary,
    opened: Callable[..., YearPage],
    qapp: QApplication,
) -> None:
    larger = qapp.font()
    larger.setPointSizeF(larger.pointSizeF() * text)
    qapp.setFont(larger)
    many_changes(diary)

    page = opened(diary, size=size)

    grid, places = page.body.grid, page.body.grid.places
    assert places is not None
    assert places.columns.right <= grid.width()
    assert places.label < places.columns.left
    assert all(row.end > row.top for row in places.rows)
    assert places.rows[-1].end <= grid.height()
    shown = [area for area in page.findChildren(QScrollArea) if area.isVisible()]
    assert [area.horizontalScrollBar().maximum() for area in shown] == [0]


def test_both_themes_and_directions_are_drawn(
    diary: Diary, opened: Callable[..., YearPage], qapp: QApplication
) -> None:
    filled(diary)
    page = opened(diary)
    light = page.grab().toImage()

    apply_theme(qapp, DARK)
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    dark = page.grab().toImage()

    assert light.pixelColor(4, 4).name().upper() == LIGHT.page
    assert dark.pixelColor(dark.width() - 40, 4).name().upper() == DARK.page
    assert page.body.grid.layoutDirection() is Qt.LayoutDirection.LeftToRight


# The rail.


def test_the_rail_is_walked_by_key_and_tells_each_mark_in_full(
    diary: Diary, opened: Callable[..., YearPage]
) -> None:
    filled(diary)
    page = opened(diary)
    rail = page.body.rail

    rail.setFocus()
    press(rail, Qt.Key.Key_Home)
    sick = page.line.text
    press(rail, Qt.Key.Key_Right, Qt.Key.Key_Right)

    assert sick == "30 January – 3 February 2026 · sick days"
    assert page.line.text == "5 March 2026 · change (new plan) · Enter shows before and after"


def test_without_anything_beside_the_readings_there_is_no_rail(
    diary: Diary, opened: Callable[..., YearPage]
) -> None:
    written(diary, tilde(diary), "2026-03-02T07:00", "6.1", Mark.WAKING)

    page = opened(diary)

    assert not page.body.rail.isVisible()
    assert not page.body.beside.isVisible()


def test_a_visit_and_its_a1c_of_one_day_are_one_mark(
    tmp_path: Path, opened: Callable[..., YearPage]
) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, _):
        page = opened(diary, now=datetime(2026, 5, 31, 20, tzinfo=UTC), name="Tilde")
        names = [name.text for name in page.body.rail.names]
        listed = page.body.beside.findChildren(QWidget)

    assert "A1C 7.8 % · visit" in names
    assert len(listed) > len(names)


def test_names_without_room_are_counted_and_all_stand_in_the_list(
    diary: Diary, opened: Callable[..., YearPage]
) -> None:
    many_changes(diary)

    page = opened(diary, size=(748, 629))

    names = page.body.rail.names
    assert any(name.line is None for name in names)
    assert any(name.line is not None for name in names)
    assert len(page.body.beside.buttons) == len(names) == 24


rails = st.lists(
    st.tuples(st.integers(0, 900), st.integers(1, 400), st.booleans()), min_size=1, max_size=14
)


@given(rails)
def test_no_name_lies_over_another_or_in_the_way_of_a_stem(
    marks: list[tuple[int, int, bool]],
) -> None:
    wanted = [Wanted(100.0 + x, "i" * wide, important) for x, wide, important in sorted(marks)]

    found = placed(
        wanted,
        lambda text: float(len(text)),
        lambda text, room: text[: int(room)],
        (90.0, 1000.0),
        most=260,
        least=60,
        gap=4,
    )

    named = [each for each in found if each.line is not None]
    assert [each.x for each in found] == [each.x for each in wanted]
    assert named
    for at, one in enumerate(named):
        assert one.line is not None
        assert one.line < MOST_LINES
        assert one.left >= 90
        assert one.right <= 1000
        for other in (*named[:at], *named[at + 1 :]):
            apart = one.right <= other.left or other.right <= one.left
            assert one.line != other.line or apart
            assert not _crossed(one, by=other)


def _crossed(name: Placed, *, by: Placed) -> bool:
    """Whether the stem of another name runs down through this one."""
    if name.line is None or by.line is None:
        return False
    return by.line > name.line and name.left < by.x < name.right


# Before and after.


def test_enter_on_a_change_opens_before_and_after_and_escape_leads_back(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    filled(diary)
    page = opened(diary)
    page.body.rail.setFocus()

    press(page.body.rail, Qt.Key.Key_End, Qt.Key.Key_Return)
    settle(page, qtbot)
    found = page.sides_found
    here = QApplication.focusWidget()
    assert here is not None
    press(here, Qt.Key.Key_Escape)

    assert found is not None
    assert found.change.what == "new plan"
    assert (found.before.days, found.after.days) == (7, 7)
    assert page.sides_found is None
    assert page.body.grid.isVisible()
    assert page.body.rail.hasFocus()


def test_a_change_is_chosen_from_the_list_too(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    filled(diary)
    page = opened(diary)
    (button,) = page.body.beside.buttons

    press(button, Qt.Key.Key_Return)
    settle(page, qtbot)

    assert button.accessibleName() == "Before and after: new plan"
    assert page.sides_found is not None
    assert page.sides.back.hasFocus()


def test_the_windows_are_as_long_as_was_chosen(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    person = tilde(diary)
    day = date(2025, 12, 1)
    rows = []
    while day < date(2026, 3, 10):
        rows.append((f"{day} 07:00", f"{7 + day.day % 5 / 10:.1f}", Mark.WAKING))
        day += timedelta(days=1)
    all_written(diary, person, rows)
    note_change(diary, person, date(2026, 1, 20), "new plan", now=NOW)
    page = opened(diary)
    press(page.body.beside.buttons[0], Qt.Key.Key_Return)
    settle(page, qtbot)
    first = page.sides_found

    page.sides.days.chosen.emit(30)
    settle(page, qtbot)

    assert first is not None
    assert first.days == 14
    assert page.sides_found is not None
    assert page.sides_found.days == 30


def test_each_slot_stands_with_both_sides_and_the_evened_last(
    tmp_path: Path, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, _):
        page = opened(diary, now=datetime(2026, 5, 31, 20, tzinfo=UTC), name="Tilde")
        press(page.body.beside.buttons[0], Qt.Key.Key_Return)
        settle(page, qtbot)
        model = page.sides.slots.model()
        rows = [
            [str(model.index(row, column).data()) for column in range(6)]
            for row in range(model.rowCount())
        ]
        found = page.sides_found
        said = [
            label.text() for label in page.sides.findChildren(QWidget) if hasattr(label, "text")
        ]

    assert found is not None
    assert rows[0] == ["waking", "7.0", "14", "6.7", "12", "−0.3"]
    assert rows[-2][0] == "night *"
    assert rows[-1] == ["evened", "7.6", "56", "6.7", "56", "−0.9"]
    assert found.others
    assert {other.words for other in found.others} <= set(said)


def test_a_mix_of_slots_that_turns_the_averages_round_is_said(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    person = tilde(diary)
    rows = []
    for day in range(1, 11):
        # Each slot is lower after, but there high bedtimes are tested far more often.
        before, after = f"2026-02-{day:02}", f"2026-02-{day + 11:02}"
        rows += [(f"{before} {hour:02}:00", f"6.{day % 3}", Mark.WAKING) for hour in (6, 7, 8)]
        rows += [(f"{after} {hour}:00", f"13.{day % 3}", Mark.BEDTIME) for hour in (20, 21, 22)]
        if day % 3 == 0:
            rows += [(f"{before} 21:00", f"14.{day % 2}", Mark.BEDTIME)]
            rows += [(f"{after} 07:00", f"5.{day % 2}", Mark.WAKING)]
    all_written(diary, person, sorted(rows))
    note_change(diary, person, date(2026, 2, 11), "new plan", settling_days=1, now=NOW)
    page = opened(diary)

    press(page.body.beside.buttons[0], Qt.Key.Key_Return)
    settle(page, qtbot)

    assert page.sides_found is not None
    assert page.sides_found.found.mix_reverses
    assert "The plain averages go the other way" in page.sides.verdict


def test_a_change_whose_days_after_have_not_come_says_so(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    person = filled(diary)
    note_change(diary, person, date(2026, 3, 11), "another", settling_days=7, now=NOW)
    page = opened(diary)

    press(page.body.beside.buttons[1], Qt.Key.Key_Return)
    settle(page, qtbot)

    assert page.sides_found is None
    assert page.sides.trouble.startswith("The days after the change of 2026-03-11 begin on")


def test_no_cause_is_claimed_and_nothing_is_praised(
    tmp_path: Path, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    with sample_of(tmp_path, "Corwin") as (diary, _):
        page = opened(diary, now=datetime(2026, 5, 31, 20, tzinfo=UTC), name="Corwin")
        press(page.body.beside.buttons[0], Qt.Key.Key_Return)
        settle(page, qtbot)
        said = " ".join(texts(page)).lower()

    for word in ("because of", "due to", "caused", "better", "worse", "improve", "significant"):
        assert word not in said


def test_another_person_closes_before_and_after(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    filled(diary)
    other = add_person(diary, "Ulrik", unit="mmol/L", zone="Europe/Lisbon", now=NOW)
    page = opened(diary)
    press(page.body.beside.buttons[0], Qt.Key.Key_Return)
    settle(page, qtbot)

    page.session.choose(other)
    settle(page, qtbot)

    assert page.sides_found is None
    assert page.empty.isVisible()


# Help.


def test_everything_that_can_have_the_focus_among_figures_has_a_help_text(
    diary: Diary, opened: Callable[..., YearPage], qtbot: QtBot
) -> None:
    filled(diary)
    page = opened(diary)
    press(page.body.beside.buttons[0], Qt.Key.Key_Return)
    settle(page, qtbot)

    keys = [help_key_of(page.body.grid)]
    for table in (page.body.numbers, page.sides.slots, page.sides.rests):
        for row in range(table.model().rowCount()):
            for column in range(table.model().columnCount()):
                table.setCurrentIndex(table.model().index(row, column))
                keys.append(help_key_of(table))

    assert len(keys) > 40
    assert set(keys) <= set(all_help())


def test_f1_explains_the_months(diary: Diary, opened: Callable[..., YearPage]) -> None:
    filled(diary)
    page = opened(diary)
    page.body.grid.setFocus()

    press(page.body.grid, Qt.Key.Key_F1)

    window = QApplication.activeModalWidget()
    assert isinstance(window, FigureHelpWindow)
    assert window.title.accessibleName() == all_help()["year"].title
    press(window, Qt.Key.Key_Escape)


# The months that are offered.


@given(
    st.dates(date(1990, 1, 1), date(2030, 12, 31)),
    st.dates(date(1990, 1, 1), date(2030, 12, 31)),
    st.dates(date(1990, 1, 1), date(2030, 12, 31)),
    st.integers(-600, 600),
)
def test_every_step_ends_in_a_month_that_is_offered(
    one: date, other: date, shown: date, step: int
) -> None:
    offered = months_offered(Period(min(one, other), max(one, other)), shown)

    assert shown.replace(day=1) in offered
    assert stepped(shown.replace(day=1), step, offered) in offered
    assert list(offered) == sorted(set(offered), reverse=True)


def test_slots_have_one_row_each_in_their_order(
    diary: Diary, opened: Callable[..., YearPage]
) -> None:
    filled(diary)

    places = opened(diary).body.grid.places

    assert places is not None
    assert [row.slot for row in places.rows] == list(range(len(SLOTS)))
