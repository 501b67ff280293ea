"""Control tests in the window: written down by the keyboard, drawn, walked, corrected."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage, QPainter, QRegion
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.domain.control import Verdict
from app.look.theme import apply_theme
from app.look.tokens import DARK, LIGHT
from app.review.figures import figures
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.kit_rows import kit_of
from app.ui.kit.control_form import ControlForm
from app.ui.kit.page import KitPage
from app.ui.kit.small_chart import round_step
from app.ui.window import Window
from tests.commands import Terminal
from tests.households import INSTALLATION
from tests.kit_windows import back, fill_in, kit_page, press, saved, tab_to, texts
from tests.kits import JULY, three_vials
from tests.windows import settle


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    """Readings with vials A, B and C of one meter; the first control test passed with A."""
    there = three_vials(tmp_path)
    there.ok("kit", "solution", "add", "normal", "--lot", "S1", "--opened", "2026-01-01")
    return there


@pytest.fixture
def diary(terminal: Terminal) -> Iterator[Diary]:
    with open_diary(terminal.diary, INSTALLATION) as opened:
        yield opened


def doubted(page: KitPage) -> int:
    return int(page.session.record.columns.doubt.astype(bool).sum())


def write_down(qtbot: QtBot, window: Window, page: KitPage, **typed: str) -> None:
    """Write a control test down by the keyboard."""
    press("Control test")
    fill_in(qtbot, page.form, **typed)
    saved(qtbot, window, page.form)


def in_grey(page: KitPage) -> QImage:
    """The chart as a printer without colours shows it."""
    chart = page.controls.chart
    image = QImage(chart.size(), QImage.Format.Format_ARGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    chart.render(painter, QPoint(), QRegion(), chart.RenderFlag.DrawChildren)
    painter.end()
    return image.convertToFormat(QImage.Format.Format_Grayscale8)


def test_a_fail_puts_four_in_doubt_and_a_pass_with_c_offers_to_narrow_to_two(
    qtbot: QtBot, diary: Diary, terminal: Terminal
) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)

    write_down(qtbot, window, page, Result="9.5", When="2026-07-24 07:10")
    after_fail = doubted(page)
    steps = page.boxes[0].fail.steps
    write_down(qtbot, window, page, Result="6.6", When="2026-07-24 07:25")
    terminal.ok("add", "7.0", "--at", "2026-07-24 07:40")
    page.session.changed()
    settle(qtbot, window)
    waits = doubted(page)
    (box,) = page.boxes
    QTest.keyClick(tab_to("Narrow to B"), Qt.Key.Key_Return)
    settle(qtbot, window)

    assert after_fail == 4
    assert steps[-1].words.startswith("Still outside: do not use the results")
    assert "care team" in steps[-1].words
    assert waits == 4
    assert [(each.name, each.stay) for each in box.fail.offers] == [("B", 2)]
    assert doubted(page) == 2
    numbers = figures(page.session.record, page.session.all_days(), now=JULY)
    assert numbers.n == 6  # no control test is among them


def test_the_chart_tells_pass_and_fail_by_shape_and_word_and_is_walked_by_keys(
    qtbot: QtBot, diary: Diary
) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    write_down(qtbot, window, page, Result="9.5", When="2026-07-24 07:10")
    write_down(qtbot, window, page, Result="6.6", When="2026-07-24 07:25")
    chart, beside = page.controls.chart, page.controls.beside
    tab_to("Control tests over time")

    said = []
    for key in (Qt.Key.Key_Home, Qt.Key.Key_Right, Qt.Key.Key_Right):
        QTest.keyClick(chart, key)
        said.append(beside.text())
        assert chart.accessibleName().endswith(beside.text())

    assert [each.verdict for each in chart.tests] == [
        Verdict.PASSED,
        Verdict.FAILED,
        Verdict.PASSED,
    ]
    assert "vial A" in said[0]
    assert "9.5 mmol/L, range 5.2 – 7.8 · failed, above the range" in said[1]
    assert "vial C" in said[2]
    assert page.controls.table.currentIndex().row() == 0
    assert [each.joins for each in chart.tests] == [False, False, False]
    qtbot.waitUntil(lambda: len(chart.places) == 3)
    places = chart.places
    assert [each.x() for each in places] == sorted(each.x() for each in places)
    assert places[1].y() < places[0].y()
    assert window.isActiveWindow()


def test_pass_and_fail_differ_without_colour(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    write_down(qtbot, window, page, Result="9.5", When="2026-07-24 07:10")

    grey, (passed, failed) = in_grey(page), page.controls.chart.places

    def around(x: float, y: float) -> list[int]:
        return [
            grey.pixelColor(round(x) + dx, round(y) + dy).red()
            for dx in range(-4, 5)
            for dy in range(-4, 5)
        ]

    of_pass, of_fail = around(passed.x(), passed.y()), around(failed.x(), failed.y())
    assert max(of_pass) < 200  # filled
    assert max(of_fail) > 240  # hollow, with a cross of ink
    assert min(of_fail) < 60


def test_enter_on_the_chart_corrects_the_test_and_its_doubt_goes(
    qtbot: QtBot, diary: Diary
) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    write_down(qtbot, window, page, Result="9.5", When="2026-07-24 07:10")
    assert doubted(page) == 4
    QTest.keyClick(tab_to("Control tests over time"), Qt.Key.Key_Return)
    fill_in(qtbot, page.controls.form, Result="7.8")

    saved(qtbot, window, page.controls.form)

    assert doubted(page) == 0
    assert page.boxes == []
    assert texts(page.controls.table, 5)[0].startswith("passed")


def test_the_time_and_the_meter_of_a_test_are_corrected(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    write_down(qtbot, window, page, Result="9.5", When="2026-07-24 07:10")
    QTest.keyClick(tab_to("Control tests over time"), Qt.Key.Key_Return)
    form = page.controls.form
    assert isinstance(form, ControlForm)
    stood = form.when.text()
    fill_in(qtbot, form, When="2026-07-24 06:55")

    saved(qtbot, window, form)

    assert stood == "2026-07-24 07:10"
    test = kit_of(diary).tests[-1]
    assert f"{test.moment.local:%H:%M}" == "06:55"
    assert test.glucose.value == "9.5"


def test_level_vial_solution_and_temperature_are_kept_and_noted(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    press("Control test")
    form = page.form
    assert isinstance(form, ControlForm)
    fill_in(qtbot, form, Result="6.5", Vial="B", Solution="S1", Temperature="5 C")
    told = form.range.text()

    saved(qtbot, window, form)

    assert "Range of vial B: 5.2 – 7.8 mmol/L, both ends included." in told
    assert "The solution is out of date" in told
    test = kit_of(diary).tests[-1]
    assert (test.level, test.temperature) == ("normal", "5 C")
    assert test.vial_said == next(each.id for each in kit_of(diary).vials if each.lot == "B")
    assert texts(page.controls.table, 5)[0] == (
        "passed · solution out of date · outside 10 to 40 C · new vial"
    )


def test_an_odd_result_is_asked_about_once(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    press("Control test")
    form = page.form
    assert isinstance(form, ControlForm)
    fill_in(qtbot, form, Result="64")

    QTest.keyClick(tab_to("Result"), Qt.Key.Key_Return)
    asked, kept = form.trouble.text(), form.shows.text()
    before = len(kit_of(diary).tests)
    saved(qtbot, window, form)

    assert "64" in asked
    assert kept == "64"
    assert before == 1
    assert kit_of(diary).tests[-1].glucose.value == "64"


def test_a_test_is_due_with_its_reason_and_by_the_label(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    new_vial = page.controls.due.text()
    write_down(qtbot, window, page, Result="6.5", When="2026-07-24 07:25")
    none = page.controls.due.text()
    press("Something happened")
    fill_in(qtbot, page.controls.form, What_happened="dropped", To_what="meter blue")
    saved(qtbot, window, page.controls.form)
    dropped = page.controls.due.text()
    press("How often")
    fill_in(qtbot, page.controls.form, Every_so_many_days="14")
    saved(qtbot, window, page.controls.form)

    assert new_vial == "Due on blue: a new vial was begun, Fri 24 Jul."
    assert none.startswith("None is due.")
    assert dropped == "Due on blue: it was dropped, Fri 24 Jul."
    assert page.found is not None
    assert page.found.every_days == 14


def test_tests_of_two_levels_are_drawn_one_level_at_a_time(
    qtbot: QtBot, terminal: Terminal, diary: Diary
) -> None:
    terminal.ok("kit", "vial", "edit", "A", "--range", "high:14-19")
    terminal.ok("kit", "control", "16.0", "--level", "high", "--at", "2026-07-02 07:00")
    _, page = kit_page(qtbot, diary, now=JULY)
    first = [each.line.judged.test.level for each in page.controls.chart.tests]
    choice = tab_to("Level that is drawn")

    QTest.keyClick(choice, Qt.Key.Key_Down)

    assert {*first, *(each.line.judged.test.level for each in page.controls.chart.tests)} == {
        "normal",
        "high",
    }
    assert len(first) == len(page.controls.chart.tests) == 1


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_many_tests_walk_out_of_sight_and_back(
    qtbot: QtBot, qapp: QApplication, terminal: Terminal, diary: Diary, theme: object
) -> None:
    for day in range(1, 29):
        terminal.ok("kit", "control", "6.4", "--at", f"2026-06-{day:02} 08:00")
    window, page = kit_page(qtbot, diary, now=JULY)
    apply_theme(qapp, LIGHT if theme is LIGHT else DARK)
    chart = page.controls.chart
    tab_to("Control tests over time")

    QTest.keyClick(chart, Qt.Key.Key_Home)
    qtbot.waitUntil(lambda: not chart.places[0].isNull())

    assert chart.at == 0
    assert chart.places[-1].isNull()
    QTest.keyClick(chart, Qt.Key.Key_End)
    qtbot.waitUntil(lambda: not chart.places[-1].isNull())
    assert chart.places[0].isNull()
    apply_theme(qapp, LIGHT)
    back(qtbot, window)


def test_steps_of_a_scale_are_round() -> None:
    assert [round_step(each) for each in (0.01, 0.7, 3.0, 40.0)] == [0.01, 1.0, 5.0, 50.0]


def test_a_vial_is_begun_on_the_day_of_its_place(qtbot: QtBot, tmp_path: Path) -> None:
    there = Terminal(tmp_path, now=JULY)  # midnight in Amsterdam is the day before by UTC
    there.ok("person", "add", "Wim", "--unit", "mmol/L", "--zone", "Europe/Amsterdam")
    there.ok("kit", "meter", "add", "blue")
    there.ok("kit", "vial", "add", "A", "--opened", "2026-07-01", "--meter", "blue")

    with open_diary(there.diary, INSTALLATION) as diary:
        _, page = kit_page(qtbot, diary, now=JULY)
        due = page.controls.due.text()

    assert due.startswith("Due on blue: a new vial was begun, Wed 1 Jul;")
