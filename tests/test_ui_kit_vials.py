"""A lapsed vial in the window: what it puts in doubt, and its dates corrected by the keyboard."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.domain.glucose import Unit
from app.review.one_reading import glucose_at
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.kit_rows import kit_of
from app.ui.figures.page import FiguresPage
from app.ui.kit.page import KitPage
from app.ui.kit.part_forms import SupplyForm
from app.ui.kit.use_form import UseForm
from app.ui.kit.vial_form import VialForm
from app.ui.window import Window
from tests.commands import Terminal
from tests.households import INSTALLATION
from tests.kit_windows import back, fill_in, kit_page, press, saved, tab_to, texts
from tests.windows import settle

JUNE = datetime(2026, 6, 3, 21, tzinfo=UTC)
READINGS = (
    *(("2026-05-29 07:00", "7.0"), ("2026-05-30 07:00", "7.4"), ("2026-05-31 07:00", "8.8")),
    *(("2026-06-01 07:00", "9.2"), ("2026-06-02 07:00", "3.4"), ("2026-06-03 07:00", "7.2")),
)


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    """A vial opened on 1 March with 90 days on its label, and a new one from 3 June on."""
    there = Terminal(tmp_path, now=JUNE)
    there.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    there.ok("kit", "meter", "add", "blue")
    there.ok(
        *("kit", "vial", "add", "V1", "--opened", "2026-03-01", "--days-open", "90"),
        *("--printed", "2026-12-31", "--meter", "blue"),
    )
    there.ok(
        *("kit", "vial", "add", "V2", "--opened", "2026-06-03", "--days-open", "90"),
        *("--printed", "2027-03", "--strips", "50", "--meter", "blue"),
    )
    for at, value in READINGS:
        there.ok("add", value, "--at", at)
    return there


@pytest.fixture
def diary(terminal: Terminal) -> Iterator[Diary]:
    with open_diary(terminal.diary, INSTALLATION) as opened:
        yield opened


def doubted(page: KitPage) -> list[str]:
    columns = page.session.record.columns
    places = [at for at, bits in enumerate(columns.doubt.tolist()) if bits]
    return [glucose_at(columns, at).shown(Unit.MMOL_L) for at in places]


def figures(qtbot: QtBot, window: Window) -> FiguresPage:
    window.show_page("figures")
    settle(qtbot, window)
    page = window.page("figures")
    assert isinstance(page, FiguresPage)
    return page


def opened_by_keys(page: KitPage, name: str) -> None:
    """Go to a vial's line and open it with Enter."""
    table = tab_to("Vials, those in use first")
    row = texts(page.vials.table, 0).index(name)
    for _ in range(row):
        QTest.keyClick(table, Qt.Key.Key_Down)
    QTest.keyClick(table, Qt.Key.Key_Return)


def test_a_lapsed_vial_puts_three_in_doubt_with_and_without(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JUNE)

    known = dict(zip(texts(page.vials.table, 0), texts(page.vials.table, 6), strict=True))
    good = dict(zip(texts(page.vials.table, 0), texts(page.vials.table, 4), strict=True))
    shown = figures(qtbot, window)

    assert good["V1"] == "30 May"
    assert known["V1"].startswith("? 3 readings in doubt")
    assert doubted(page) == ["8.8", "9.2", "3.4"]
    rows = texts(shown.body.without.table, 0)
    assert rows[:2] == ["all readings", "without 3 in doubt"]
    assert texts(shown.body.without.table, 1)[:2] == ["6", "3"]
    assert [each.split()[0] for each in texts(shown.body.without.table, 2)[:2]] == ["7.2", "7.2"]
    lows = shown.body.lows.table
    assert lows.model().rowCount() == 1
    spell = " ".join(texts(lows, column)[0] for column in range(4))
    assert "3.4" in spell
    assert "?" in spell


def test_a_corrected_printed_date_moves_doubt_at_once_and_undo_takes_it_back(
    qtbot: QtBot, diary: Diary
) -> None:
    window, page = kit_page(qtbot, diary, now=JUNE)
    opened_by_keys(page, "V1")
    fill_in(qtbot, page.vials.form, Printed_expiry="2026-05-15")

    saved(qtbot, window, page.vials.form)

    assert doubted(page) == ["7.0", "7.4", "8.8", "9.2", "3.4"]
    good = dict(zip(texts(page.vials.table, 0), texts(page.vials.table, 4), strict=True))
    assert good["V1"] == "15 May"
    qtbot.waitUntil(window.menus.undo.isEnabled)
    QTest.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, window)
    assert doubted(page) == ["8.8", "9.2", "3.4"]


def test_more_days_on_the_label_take_doubt_back(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JUNE)
    opened_by_keys(page, "V1")
    fill_in(qtbot, page.vials.form, Days_after_opening="180")

    saved(qtbot, window, page.vials.form)

    assert doubted(page) == []


def test_a_month_alone_ends_with_its_last_day(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JUNE)
    opened_by_keys(page, "V1")
    fill_in(qtbot, page.vials.form, Printed_expiry="2026-05", Days_after_opening="180")

    saved(qtbot, window, page.vials.form)

    good = dict(zip(texts(page.vials.table, 0), texts(page.vials.table, 4), strict=True))
    assert good["V1"] == "31 May"
    assert doubted(page) == ["9.2", "3.4"]


def test_a_date_that_could_be_two_is_asked_about_and_stays_as_typed(
    qtbot: QtBot, diary: Diary
) -> None:
    _, page = kit_page(qtbot, diary, now=JUNE)
    opened_by_keys(page, "V1")
    form = page.vials.form
    assert isinstance(form, VialForm)
    fill_in(qtbot, form, Printed_expiry="05/12")

    QTest.keyClick(form.printed, Qt.Key.Key_Return)

    assert "Which month" in form.trouble.text()
    assert "2012-05" in form.trouble.text()
    assert "2005-12" in form.trouble.text()
    assert form.printed.text() == "05/12"
    assert form.isVisible()
    QTest.keyClick(form.printed, Qt.Key.Key_Escape)
    assert doubted(page) == ["8.8", "9.2", "3.4"]


def test_a_vial_is_made_with_dates_strips_and_ranges_of_each_level(
    qtbot: QtBot, diary: Diary
) -> None:
    window, page = kit_page(qtbot, diary, now=JUNE)
    press("New vial")
    fill_in(
        qtbot,
        page.form,
        Lot="V3",
        Printed_expiry="2027-06",
        Opened_on="2026-06-02",
        Days_after_opening="90",
        Strips_in_it="25",
        **{"Range,_normal": "5.2-7.8", "Range,_high": "14-19"},
        From="2026-06-02 12:00",
    )

    saved(qtbot, window, page.form)

    vial = next(each for each in kit_of(diary).vials if each.lot == "V3")
    assert (vial.printed, vial.days_open, vial.strips) == ("2027-06", 90, 25)
    assert sorted((each.level, each.low, each.high) for each in vial.ranges) == [
        ("high", "14", "19"),
        ("normal", "5.2", "7.8"),
    ]
    use = next(each for each in kit_of(diary).uses if each.vial == vial.id)
    assert datetime.fromtimestamp(use.start, UTC) == datetime(2026, 6, 2, 11, tzinfo=UTC)


def test_the_use_of_a_vial_is_dated(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JUNE)
    press("Use of a vial")
    form = page.vials.form
    assert isinstance(form, UseForm)
    fill_in(qtbot, form, Vial="V2", Used_with="blue", From="2026-06-01 06:00")

    saved(qtbot, window, form)

    assert doubted(page) == ["8.8"]  # those of June are of the new vial then


def test_strips_are_counted_from_use_and_new_ones_told_before_a_weekend(
    qtbot: QtBot, diary: Diary, terminal: Terminal
) -> None:
    for day in range(20):
        terminal.ok("add", "6.0", "--at", f"2026-05-{5 + day:02} 12:00")
    terminal.ok("kit", "vial", "edit", "V1", "--days-open", "400")
    window, page = kit_page(qtbot, diary, now=JUNE)
    press("Strips bought or counted")
    form = page.vials.form
    assert isinstance(form, SupplyForm)
    fill_in(qtbot, form, What="counted", How_many="4", Of_what="V2")

    saved(qtbot, window, form)

    said = page.vials.strips.text()
    assert said.startswith("4 strips left (1 vial), until about ")
    assert "a weekday before" in said
    by = said.partition("new ones by ")[2]
    assert by[:3] in ("Mon", "Tue", "Wed", "Thu", "Fri")


def test_what_readings_name_does_not_go_into_the_bin(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JUNE)
    opened_by_keys(page, "V1")
    form = page.vials.form
    assert isinstance(form, VialForm)
    qtbot.waitUntil(form.isActiveWindow)

    press("Put into the bin")

    assert "Nothing was changed" in form.trouble.text()
    assert len(kit_of(diary).vials) == 2
    QTest.keyClick(form, Qt.Key.Key_Escape)
    back(qtbot, window)
