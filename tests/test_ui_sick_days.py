"""A sick night and day in the window from end to end, and journeys: reached and worked by keys."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path
from typing import TypeVar

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QLabel
from pytestqt.qtbot import QtBot

from app.domain.clock import moment_now
from app.review.figure import Mean
from app.store.diary_file import open_diary
from app.store.people import care_texts
from app.ui.plan.care_dialog import CareDialog
from app.ui.plan.journey_dialog import JourneyDialog
from app.ui.plan.page import PlanPage
from app.ui.plan.sick_dialog import SickDialog
from app.ui.window import Window
from app.work.note_down import note_event
from tests.commands import Terminal
from tests.households import INSTALLATION, new_diary, tilde, written
from tests.reminded import Desk, reminded
from tests.windows import settle, shown

PLAN = "every 4 h; ring 555-0100 at 1.5"
CHECKS = (
    ("2026-02-09 22:00", "14.2", "0.4"),
    ("2026-02-10 01:00", "16.8", "1.1"),
    ("2026-02-10 07:30", "15.1", "1.7"),
    ("2026-02-10 12:00", "12.0", "0.9"),
    ("2026-02-10 18:00", "9.4", "0.5"),
)
T = TypeVar("T", bound=QDialog)
DOSE_WORDS = re.compile(r"insulin|dose|units\b|bolus|correct|inject|tablet", re.IGNORECASE)
FIT = re.compile(r"safe to drive|you may drive|fit to drive", re.IGNORECASE)


def texts(dialog: QDialog) -> str:
    """Everything that can be read in a window."""
    return "\n".join(each.text() for each in dialog.findChildren(QLabel) if each.isVisible())


def action(window: Window, name: str) -> QAction:
    """An action of the Plan page that is in the menu bar, has a key and is on."""
    page = window.page("plan")
    assert isinstance(page, PlanPage)
    found = getattr(page.actions_of_plan, name)
    assert isinstance(found, QAction)
    assert found.isEnabled()
    assert not found.shortcut().isEmpty()
    assert found in [each for _, each in page.menu_actions()]
    return found


def opened(window: Window, kind: type[T]) -> T:
    (found,) = [each for each in window.findChildren(kind) if each.isVisible()]
    return found


def step(desk: Desk, at: str) -> None:
    desk.clock.wall = datetime.fromisoformat(f"{at}+00:00")
    desk.look()


def type_line(desk: Desk, text: str) -> None:
    column = desk.window._now
    assert column is not None
    column.line.setFocus()
    QTest.keyClicks(column.line, text)
    QTest.keyClick(column.line, Qt.Key.Key_Return)
    settle(desk.bot, desk.window)


def test_a_sick_night_is_written_shown_and_read_aloud_from_end_to_end(
    qtbot: QtBot, tmp_path: Path
) -> None:
    terminal = Terminal(tmp_path, now=datetime(2026, 2, 9, 12, tzinfo=UTC))
    terminal.ok("person", "add", "Wren", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    for day in range(1, 7):
        terminal.ok("add", "6.0 before lunch", "--at", f"2026-02-0{day} 12:00")
    begins = datetime(2026, 2, 9, 21, 30, tzinfo=UTC)
    desk = reminded(qtbot, open_diary(terminal.diary, INSTALLATION, now=begins), begins)
    window, session = desk.window, desk.session
    window.show_page("plan")
    settle(qtbot, window)

    # The family's own plan and telephone, as typed, by keys alone.
    action(window, "care").trigger()
    care = opened(window, CareDialog)
    settle(qtbot, window)
    assert QApplication.focusWidget() is care.sick_plan
    QTest.keyClicks(care.sick_plan, PLAN)
    QTest.keyClick(care.sick_plan, Qt.Key.Key_Tab)
    QTest.keyClick(care.low_plan, Qt.Key.Key_Tab)
    QTest.keyClicks(care.phone, "555-0100")
    QTest.keyClick(care.phone, Qt.Key.Key_Return)
    settle(qtbot, window)
    held = care_texts(session.diary, session.person)
    assert (held.sick_plan, held.team_phone) == (PLAN, "555-0100")

    # Sick days begin; checks are asked for only since that was chosen.
    action(window, "sick").trigger()
    sick = opened(window, SickDialog)
    settle(qtbot, window)
    QTest.keyClick(sick.begins, Qt.Key.Key_Space)
    settle(qtbot, window)
    assert sick.ends.isVisible()
    sick.closes.click()

    for at, glucose, ketones in CHECKS:
        step(desk, at)
        type_line(desk, glucose)
        terminal.ok("note", "ketone", ketones, "--at", at, now=desk.clock.wall)
        session.follow()
        settle(qtbot, window)
    step(desk, "2026-02-10 22:05")
    assert any("Test glucose: sick day" in row.title for row in desk.part.sections.due.rows)

    action(window, "sick").trigger()
    sick = opened(window, SickDialog)
    settle(qtbot, window)
    said = texts(sick)
    assert f"“{PLAN}”" in said
    assert "Care team: 555-0100" in said
    assert "1.7" in said.split("Highest ketones")[1].splitlines()[0]
    for gap in ("6 h 30 min", "4 h 30 min", "6 h"):
        assert gap in said.split("Longer between than planned")[1]
    aloud = sick.aloud.text().splitlines()
    assert [line for line in aloud if "14.2" in line or "9.4" in line]
    assert [value for _, value, _ in CHECKS] == re.findall(
        r"\b(14\.2|16\.8|15\.1|12\.0|9\.4)\b", sick.aloud.text()
    )
    assert not DOSE_WORDS.search(said)
    found = sick._found
    assert found is not None
    assert (found.glucose_checks.n, found.ketone_checks.n) == (5, 5)
    assert isinstance(found.mean, Mean)
    assert found.mean.value is not None
    assert round(found.mean.value, 1) == 13.5  # no ketone is in it
    assert "Glucose average: 13.5 mmol/L (n 5)" in said
    assert "set aside" in said
    assert len(sick._mean.text().splitlines()) == 2  # with these days and without
    assert sick.chart.isVisible()

    # They end, by a key; undo lets them go on.
    QTest.keyClick(sick.ends, Qt.Key.Key_Space)
    settle(qtbot, window)
    assert sick.begins.isVisible()
    sick.closes.click()
    desk.look()
    assert not any("sick day" in row.title for row in desk.part.sections.due.rows)
    window.menus.undo.trigger()
    desk.look()
    assert any("sick day" in row.title for row in desk.part.sections.due.rows)


def test_escape_leaves_the_care_teams_texts_as_they_were(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, tilde)
    window.show_page("plan")
    settle(qtbot, window)
    action(window, "care").trigger()
    care = opened(window, CareDialog)

    QTest.keyClicks(care.low_plan, "juice")
    QTest.keyClick(care.low_plan, Qt.Key.Key_Escape)
    settle(qtbot, window)

    assert window.session is not None
    assert not care_texts(window.session.diary, window.session.person).low_plan
    assert not [each for each in window.findChildren(CareDialog) if each.isVisible()]


@pytest.fixture
def travelled(qtbot: QtBot, tmp_path: Path) -> Window:
    """A journey of three hours on 12 March with a test 40 minutes before it."""
    diary = new_diary(tmp_path)
    person = tilde(diary)
    now = datetime(2026, 3, 12, 21, 30, tzinfo=UTC)
    written(diary, person, "2026-03-12 08:20", "5.6")
    start, until = (
        moment_now(datetime(2026, 3, 12, hour, 0, tzinfo=UTC), person.zone) for hour in (9, 12)
    )
    note_event(diary, person, start, kind="journey", now=now, text="to the sea", until=until)
    desk = reminded(qtbot, diary, now)
    desk.window.show_page("plan")
    settle(qtbot, desk.window)
    return desk.window


def test_journeys_are_held_against_the_rule_that_was_chosen_and_nobody_is_said_to_be_fit(
    travelled: Window, qtbot: QtBot
) -> None:
    action(travelled, "journeys").trigger()
    dialog = opened(travelled, JourneyDialog)
    settle(qtbot, travelled)
    before = texts(dialog)

    assert QApplication.focusWidget() is dialog.rule
    QTest.keyClick(dialog.rule, Qt.Key.Key_Down)
    settle(qtbot, travelled)
    after = texts(dialog)

    assert "to the sea" in before
    assert "Before: tested 40 min before: 5.6 mmol/L." in before
    assert "Longest part without a test" not in before
    assert "Longest part without a test: 3 h, 09:00 to 12:00; the rule says every 2 h." in after
    assert "Check the current text of the licensing agency" in after
    assert "Source: " in after
    for said in (before, after):
        assert "it never says that somebody is fit to drive" in said
        assert not FIT.search(said.replace("it never says that somebody is fit to drive", ""))
    dialog.closes.click()
    travelled.menus.undo.trigger()
    settle(qtbot, travelled)
    action(travelled, "journeys").trigger()
    again = opened(travelled, JourneyDialog)
    settle(qtbot, travelled)
    assert "Check the current text" not in texts(again)


def test_without_journeys_the_way_to_write_one_is_told(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, tilde)
    window.show_page("plan")
    settle(qtbot, window)

    action(window, "journeys").trigger()
    dialog = opened(window, JourneyDialog)
    settle(qtbot, window)

    assert "No journey of the last 90 days is written." in texts(dialog)
