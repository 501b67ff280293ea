"""Meters, solution, parts and events of the Kit page, each by its form and the keyboard."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.domain.glucose import LimitPair, Unit
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.kit_rows import kit_of
from app.ui.kit.forms import KitForm
from app.ui.kit.meter_form import MeterForm
from app.ui.kit.page import KitPage
from app.ui.kit.vial_form import VialForm
from app.work.meter_range import limit_pair, range_fields
from tests.commands import Terminal
from tests.households import INSTALLATION
from tests.kit_windows import back, fill_in, kit_page, press, saved, tab_to, texts
from tests.windows import settle

JULY = datetime(2026, 7, 24, 9, tzinfo=UTC)


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    there = Terminal(tmp_path, now=JULY)
    there.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    there.ok("kit", "meter", "add", "blue")
    there.ok("kit", "vial", "add", "V1", "--opened", "2026-07-01", "--meter", "blue")
    there.ok("add", "6.1", "--at", "2026-07-02 07:00")
    return there


@pytest.fixture
def diary(terminal: Terminal) -> Iterator[Diary]:
    with open_diary(terminal.diary, INSTALLATION) as opened:
        yield opened


def walked_to(page: KitPage, name: str, row: int) -> None:
    """Open a line of a table with Enter."""
    table = tab_to(name)
    for _ in range(row):
        QTest.keyClick(table, Qt.Key.Key_Down)
    QTest.keyClick(table, Qt.Key.Key_Return)


def test_a_meter_has_unit_range_memory_and_days_of_use(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    press("New meter")
    fill_in(
        qtbot,
        page.form,
        What_you_call_it="grey",
        Unit="mg/dL",
        Lowest="20-600",
        Results="500",
        Serial="X-1",
        First_day="2026-06-01",
        Last_day="2026-07-20",
    )

    saved(qtbot, window, page.form)

    meter = kit_of(diary).meters[-1]
    assert (meter.name, meter.unit, meter.capacity, meter.serial) == (
        "grey",
        Unit.MG_DL,
        500,
        "X-1",
    )
    assert (meter.low, meter.high) == (LimitPair(20.0, 1.1), LimitPair(600.0, 33.3))
    assert meter.first_day == date(2026, 6, 1).toordinal()
    assert texts(page.meters.table, 2)[-1] == "20 – 600"
    assert "no longer used" in texts(page.meters.table, 6)[-1]


def test_a_meter_is_changed_where_its_line_is_opened(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    walked_to(page, "Meters", 0)
    form = page.meters.form
    assert isinstance(form, MeterForm)
    fill_in(qtbot, form, What_you_call_it="the blue one", Results="250")
    press("Its memory must be kept")
    tab_to("What you call it")

    saved(qtbot, window, form)

    (meter,) = kit_of(diary).meters
    assert (meter.name, meter.capacity, meter.keep_memory) == ("the blue one", 250, True)
    assert "memory must be kept" in texts(page.meters.table, 6)[0]
    assert texts(page.memories.table, 1) == ["Never: it must be kept"]


@pytest.mark.parametrize(
    ("field", "text", "told"),
    [
        ("Results", "many", "say a whole number"),
        ("Results", "0", "A memory holds 1 to 100,000 results."),
        ("Lowest", "33-1", "is no range"),
        ("What_you_call_it", "", "A name has 1 to 80 characters"),
        ("Last_day", "2026-05-01", "The last day of use would be before the first."),
    ],
)
def test_what_is_refused_stays_as_typed(
    qtbot: QtBot, diary: Diary, field: str, text: str, told: str
) -> None:
    _, page = kit_page(qtbot, diary, now=JULY)
    walked_to(page, "Meters", 0)
    form = page.meters.form
    assert isinstance(form, KitForm)
    fill_in(qtbot, form, First_day="2026-06-01", **{field: text})
    rev = kit_of(diary).rev

    QTest.keyClick(tab_to(field.replace("_", " ")), Qt.Key.Key_Return)

    assert told in form.trouble.text()
    assert form.trouble.isVisible()
    assert tab_to(field.replace("_", " ")).property("text") == text
    assert kit_of(diary).rev == rev
    QTest.keyClick(form, Qt.Key.Key_Escape)


def test_solution_is_written_down_and_corrected(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    press("New solution")
    fill_in(qtbot, page.parts.form, Lot="S-1", Level="high", Opened_on="2026-01-01")
    saved(qtbot, window, page.parts.form)
    before = texts(page.parts.table, 2)
    walked_to(page, "Solution, parts and what happened", 0)
    fill_in(qtbot, page.parts.form, Opened_on="2026-07-01", Printed_expiry="2026-08")

    saved(qtbot, window, page.parts.form)

    assert texts(page.parts.table, 0) == ["control solution, high"]
    assert before == ["out of date since Wed 1 Apr"]
    assert texts(page.parts.table, 2) == ["good until Mon 31 Aug"]


def test_parts_and_what_happened_to_them_are_noted_and_can_be_put_away(
    qtbot: QtBot, diary: Diary
) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    press("New part")
    fill_in(qtbot, page.parts.form, What_it_is="lancing", What_you_call_it="the long one")
    saved(qtbot, window, page.parts.form)
    press("Something happened")
    fill_in(qtbot, page.controls.form, What_happened="new", To_what="lancing", Note="drum of six")
    saved(qtbot, window, page.controls.form)
    noted = [texts(page.parts.table, column) for column in range(3)]
    walked_to(page, "Solution, parts and what happened", 1)
    form = page.parts.form
    assert form is not None
    qtbot.waitUntil(form.isActiveWindow)

    press("Put into the bin")
    back(qtbot, window)

    assert noted[0] == ["lancing device", "new lancet"]
    assert noted[1] == ["the long one", "the long one"]
    assert noted[2][1] == "Fri 24 Jul 10:00 · drum of six"
    assert texts(page.parts.table, 0) == ["lancing device"]


def test_a_use_that_never_was_is_taken_away(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    walked_to(page, "Vials, those in use first", 0)
    form = page.vials.form
    assert isinstance(form, VialForm)
    qtbot.waitUntil(form.isActiveWindow)

    press("Take away: with blue from Wed 1 Jul 00:00")
    back(qtbot, window)

    assert kit_of(diary).uses == ()
    assert texts(page.vials.table, 1) == ["–"]


def test_while_nothing_can_be_written_lines_open_no_form(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    page.session.stop_writing("The disk is full.")
    settle(qtbot, window)

    walked_to(page, "Meters", 0)

    assert page.meters.form is None
    assert not page.vials.use.isEnabled()
    assert not page.meter.isEnabled()
    page.session.stop_writing("")


def test_a_range_is_kept_as_printed_and_converted_for_the_other_unit() -> None:
    assert range_fields("0.6-33.3", Unit.MMOL_L) == {
        "low_mg": 11.0,
        "low_mmol": 0.6,
        "high_mg": 600.0,
        "high_mmol": 33.3,
    }
    assert limit_pair("600", Unit.MG_DL) == LimitPair(600.0, 33.3)
