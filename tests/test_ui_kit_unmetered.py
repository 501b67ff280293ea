"""Readings typed before any meter was written down: said to be one's, then doubted by its kit."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.ui.kit.page import KitPage
from app.ui.kit.unmetered_form import UnmeteredForm
from tests.commands import Terminal
from tests.households import INSTALLATION
from tests.kit_windows import fill_in, kit_page, press, saved

JUNE = datetime(2026, 6, 4, 9, tzinfo=UTC)


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    """Three readings, and only afterwards a meter and a vial that lapsed between them."""
    there = Terminal(tmp_path, now=JUNE)
    there.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    for at, value in (("2026-05-29", "7.0"), ("2026-05-31", "8.8"), ("2026-06-02", "3.4")):
        there.ok("add", value, "--at", f"{at} 07:00")
    there.ok("kit", "meter", "add", "blue")
    there.ok(
        *("kit", "vial", "add", "V1", "--opened", "2026-03-01", "--days-open", "90"),
        *("--printed", "2026-12-31", "--meter", "blue", "--at", "2026-03-01 07:00"),
    )
    return there


@pytest.fixture
def diary(terminal: Terminal) -> Iterator[Diary]:
    with open_diary(terminal.diary, INSTALLATION) as opened:
        yield opened


def doubted(page: KitPage) -> int:
    return int(page.session.record.columns.doubt.astype(bool).sum())


def test_they_are_told_and_said_to_be_a_meters_by_the_keyboard(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JUNE)
    told, before = page.meters.without.text(), doubted(page)

    press("Say their meter")
    form = page.meters.form
    assert isinstance(form, UnmeteredForm)
    fill_in(qtbot, form)
    days = (form.first.text(), form.last.text(), form.count.text())
    saved(qtbot, window, form)
    after = doubted(page)
    hidden = page.meters.without.isHidden()
    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: doubted(page) == 0, timeout=5000)

    assert told == (
        "3 readings say no meter, Fri 29 May – Tue 2 Jun: no vial and no control test puts them "
        "in doubt."
    )
    assert days[:2] == ("2026-05-29", "2026-06-02")
    assert days[2].startswith("3 readings without a meter lie in these days.")
    assert (before, after) == (0, 2)
    assert hidden
    qtbot.waitUntil(lambda: page.meters.without.text() == told, timeout=5000)


def test_only_the_days_that_were_said_are_changed(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JUNE)
    press("Say their meter")
    form = page.meters.form
    assert isinstance(form, UnmeteredForm)
    fill_in(qtbot, form, First_day="2026-06-01")
    counted = form.count.text()

    saved(qtbot, window, form)

    assert counted.startswith("1 reading without a meter lies in these days.")
    assert doubted(page) == 1
    assert page.meters.without.text().startswith("2 readings say no meter")


def test_days_that_make_no_sense_are_refused_and_kept_as_typed(qtbot: QtBot, diary: Diary) -> None:
    _, page = kit_page(qtbot, diary, now=JUNE)
    press("Say their meter")
    form = page.meters.form
    assert isinstance(form, UnmeteredForm)
    fill_in(qtbot, form, First_day="2026-06-03", Last_day="2026-06-01")

    form.try_to_save()

    assert "The last day would be before the first." in form.trouble.text()
    assert form.first.text() == "2026-06-03"
    form.reject()


def test_the_command_tells_them_too(terminal: Terminal) -> None:
    without = terminal.ok("kit", "--json").json["without_meter"]
    told = terminal.ok("kit").out

    terminal.ok(
        *("kit", "readings", "--meter", "blue"),
        *("--from", "2026-05-29", "--to", "2026-06-02"),
    )

    assert without == {"n": 3, "first_day": "2026-05-29", "last_day": "2026-06-02"}
    assert "3 readings without a meter, Fri 29 May 2026 to Tue 2 Jun 2026" in told
    assert terminal.ok("kit", "--json").json["without_meter"]["n"] == 0
    assert "without a meter" not in terminal.ok("kit").out
