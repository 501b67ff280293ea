from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.domain.glucose import Glucose, Unit
from app.domain.kit import ControlRange
from app.domain.person import Person
from app.store.diary import Diary
from app.store.kit_rows import kit_of
from app.ui.kit.control_form import ControlForm
from app.ui.kit.meter_form import MeterForm
from app.ui.kit.page import KitPage
from app.ui.kit.vial_form import VialForm
from app.ui.session import Session
from app.work.kit_tests import note_control, say_kit_of_readings
from app.work.kit_things import add_meter
from app.work.kit_vials import add_vial
from app.work.note_down import moment_typed
from tests.households import NOW, new_diary, tilde, written

RANGE = (ControlRange("normal", "5.2", "7.8", Unit.MMOL_L),)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def vial_of(diary: Diary, person: Person, lot: str, day: str) -> None:
    (meter,) = kit_of(diary).meters
    at = moment_typed(f"{day} 06:00", person, now=NOW)
    add_vial(
        *(diary, person),
        now=NOW,
        lot=lot,
        opened=date.fromisoformat(day),
        days_open=90,
        printed="2026-12",
        strips=50,
        ranges=RANGE,
        meter=meter,
        since=at.instant,
    )


def checked_with(diary: Diary, person: Person, value: str, when: str) -> None:
    (meter,) = kit_of(diary).meters
    at = moment_typed(when, person, now=NOW)
    note_control(
        *(diary, person, Glucose(value, Unit.MMOL_L), at), now=NOW, meter=meter, level="normal"
    )


def with_fail(diary: Diary) -> Person:
    """A meter whose first vial fails after two readings, and passes with the next vial."""
    person = tilde(diary)
    add_meter(diary, person, "blue", now=NOW, unit=Unit.MMOL_L)
    vial_of(diary, person, "B1", "2026-03-01")
    checked_with(diary, person, "6.4", "2026-03-01 06:10")
    for day in (2, 3):
        written(diary, person, f"2026-03-0{day} 07:00", "6.1")
    (meter,) = kit_of(diary).meters
    say_kit_of_readings(diary, person, [1, 2], now=NOW, meter=meter)
    checked_with(diary, person, "9.5", "2026-03-04 07:00")
    vial_of(diary, person, "B2", "2026-03-05")
    checked_with(diary, person, "6.6", "2026-03-05 07:00")
    return person


def opened(diary: Diary, qtbot: QtBot) -> KitPage:
    session = Session(diary, lambda: NOW, None)
    page = KitPage(session)
    session.setParent(page)
    qtbot.addWidget(page)
    page.resize(988, 760)
    page.show()
    qtbot.waitUntil(lambda: page.found is not None and not page.job.busy)
    return page


def standings(page: KitPage) -> list[str]:
    model = page.table.model()
    return [model.index(row, 5).data() for row in range(model.rowCount())]


def test_a_failed_control_test_stands_first_with_what_it_puts_in_doubt(
    diary: Diary, qtbot: QtBot
) -> None:
    with_fail(diary)

    page = opened(diary, qtbot)

    (box,) = page.boxes
    assert "9.5 mmol/L, range 5.2–7.8" in box.accessibleName()
    assert "2 readings are in doubt" in box.accessibleName()
    assert standings(page)[1] == "failed, above the range · 2 readings in doubt"


def test_the_doubt_waits_for_the_persons_word(diary: Diary, qtbot: QtBot) -> None:
    with_fail(diary)
    page = opened(diary, qtbot)
    (box,) = page.boxes
    keep = next(each for each in box.buttons if each.accessibleName() == "Keep all in doubt")

    QTest.keyClick(keep, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: page.boxes == [])

    assert int(page.session.record.columns.doubt.astype(bool).sum()) == 2


def test_bars_say_when_a_vial_lapses_and_walk_by_the_keyboard(diary: Diary, qtbot: QtBot) -> None:
    with_fail(diary)
    page = opened(diary, qtbot)

    page.bars.setFocus()
    QTest.keyClick(page.bars, Qt.Key.Key_Down)

    assert [bar.vial for bar in page.bars.bars] == ["B1", "B2"]
    assert page.bars.bars[0].hatched_from is not None
    last_good = date(2026, 3, 5) + timedelta(days=90)
    assert f"lapses {last_good:%a} {last_good.day} {last_good:%b}" in page.bars.accessibleName()


def test_a_control_test_is_written_down_by_its_form(diary: Diary, qtbot: QtBot) -> None:
    with_fail(diary)
    page = opened(diary, qtbot)

    page.test.click()
    form = page.form
    assert isinstance(form, ControlForm)
    form.shows.setText("many")
    form.save.click()
    assert "Nothing was saved" in form.trouble.text()
    assert form.shows.text() == "many"
    form.shows.setText("6.5")
    form.save.click()
    qtbot.waitUntil(lambda: len(standings(page)) == 4)

    assert standings(page)[0].startswith("passed")


def test_a_new_vial_takes_the_place_of_the_one_before(diary: Diary, qtbot: QtBot) -> None:
    with_fail(diary)
    page = opened(diary, qtbot)

    page.vial.click()
    form = page.form
    assert isinstance(form, VialForm)
    for line, text in (
        (form.lot, "B3"),
        (form.printed, "2027-05"),
        (form.days, "90"),
        (form.strips, "50"),
        (form.range, "5.0-7.6"),
    ):
        line.setText(text)
    form.save.click()
    qtbot.waitUntil(lambda: len(page.bars.bars) == 3)

    assert [bar.in_use for bar in page.bars.bars] == [False, False, True]


def test_without_a_meter_the_page_says_what_is_missing(diary: Diary, qtbot: QtBot) -> None:
    tilde(diary)

    page = opened(diary, qtbot)

    assert page.empty.isVisible()
    assert not page.table.isVisible()
    assert not page.test.isEnabled()
    page.meter.click()
    assert isinstance(page.form, MeterForm)
    page.form.name.setText("blue")
    page.form.save.click()
    qtbot.waitUntil(page.test.isEnabled)
    model = page.meters.table.model()
    assert [model.index(0, at).data() for at in (0, 1, 4)] == ["blue", "mmol/L", "0"]
