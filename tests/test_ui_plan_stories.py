"""Whole stories on the Plan page: a sick night, journeys, and the first plan of somebody."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

from app.domain.follow_ups import CHOICES
from app.domain.glucose import Unit
from app.domain.plan_files import read_plan
from app.store.diary import Diary
from app.store.follow_ups import follow_rules_of
from app.ui.hand_over.texts_dialog import TextsDialog
from app.ui.plan.journey_dialog import JourneyDialog
from app.ui.plan.page import PlanPage
from app.ui.plan.sick_dialog import SickDialog
from app.ui.write_down.dialog import WriteDownDialog
from app.work.note_down import moment_typed, note_event
from app.work.plan import set_plan
from tests.households import NOW, tilde, written
from tests.test_ui_due import Home, home
from tests.windows import settle

OWN_PLAN = "every 4 h; ring 555-0100 at 1.5"
# A night and a day of illness: when, glucose and ketones in mmol/L.
CHECKS = (
    (datetime(2026, 2, 9, 22, 0, tzinfo=UTC), "14.2", "0.4"),
    (datetime(2026, 2, 10, 1, 0, tzinfo=UTC), "16.8", "1.1"),
    (datetime(2026, 2, 10, 7, 30, tzinfo=UTC), "15.1", "1.7"),
    (datetime(2026, 2, 10, 12, 0, tzinfo=UTC), "12.0", "0.9"),
    (datetime(2026, 2, 10, 18, 0, tzinfo=UTC), "9.4", "0.5"),
)
_Dialog = TypeVar("_Dialog", bound=QWidget)
DOSE_WORDS = re.compile(r"insulin|dose|units\b|bolus|inject|tablet", re.IGNORECASE)
PLAN = """
name = "Term"
[[tests]]
mark = "bedtime"
at = "21:15"
"""


def page_of(at_home: Home) -> PlanPage:
    at_home.window.show_page("plan")
    settle(at_home.bot, at_home.window)
    page = at_home.window.page("plan")
    assert isinstance(page, PlanPage)
    return page


def opened(at_home: Home, kind: type[_Dialog]) -> _Dialog:
    """The newest window of a kind, once nothing is asked any more."""
    settle(at_home.bot, at_home.window)
    return at_home.window.findChildren(kind)[-1]


def space(widget: QWidget) -> None:
    widget.setFocus()
    QTest.keyClick(widget, Qt.Key.Key_Space)


def write_ketones(at_home: Home, value: str) -> None:
    at_home.window.menus.write_down.trigger()
    dialog = opened(at_home, WriteDownDialog)
    dialog.kind.choose("ketone")
    assert dialog.form.value is not None
    QTest.keyClicks(dialog.form.value, value)
    space(dialog.saves)
    at_home.bot.waitUntil(dialog.isHidden)
    settle(at_home.bot, at_home.window)


def all_words(widget: QWidget) -> str:
    return "\n".join(label.text() for label in widget.findChildren(QLabel))


def test_a_sick_night_is_told_end_to_end_in_the_window(qtbot: QtBot, tmp_path: Path) -> None:
    def healthy_week(diary: Diary) -> None:
        person = tilde(diary)
        for day in range(1, 7):
            written(diary, person, f"2026-02-0{day} 12:00", "6.0")

    at_home = home(qtbot, tmp_path, healthy_week, now=CHECKS[0][0])
    sick = page_of(at_home).actions_of_plan.sick
    sick.trigger()
    dialog = opened(at_home, SickDialog)
    space(dialog.texts)
    texts = opened(at_home, TextsDialog)
    QTest.keyClicks(texts.fields["sick plan"], OWN_PLAN)
    QTest.keyClicks(texts.fields["team phone"], "555-0100")
    space(texts.saves)
    qtbot.waitUntil(lambda: not isValid(texts) or texts.isHidden())
    space(dialog.begins)
    settle(qtbot, at_home.window)
    space(dialog.closes)
    for when, glucose, ketones in CHECKS:
        at_home.clock[0] = when
        at_home.type(glucose)
        write_ketones(at_home, ketones)
    at_home.clock[0] = datetime(2026, 2, 10, 20, 10, tzinfo=UTC)

    sick.trigger()
    dialog = opened(at_home, SickDialog)
    found = dialog._found
    going_on = all_words(dialog)
    space(dialog.ends)
    settle(qtbot, at_home.window)
    said = all_words(dialog)

    assert found is not None
    assert found.goes_on
    seen = [each.glucose.in_unit(Unit.MMOL_L) for each in found.glucose_seen]
    assert seen == [float(glucose) for _, glucose, _ in CHECKS]
    assert "Glucose: last test 2 h 10 min ago (n 5)" in going_on
    assert f"“{OWN_PLAN}”" in said
    assert "Care team: 555-0100" in said
    assert "Highest ketones: 1.7 mmol/L at 07:30 on Tue 10 Feb" in said
    for kind in ("Glucose", "Ketones"):
        assert f"{kind}: Tue 10 Feb, 01:00 to 07:30: 6 h 30 min" in said
        assert f"{kind}: Tue 10 Feb, 07:30 to 12:00: 4 h 30 min" in said
        assert f"{kind}: Tue 10 Feb, 12:00 to 18:00: 6 h" in said
    assert "Mon 9 Feb, 22:00: glucose 14.2 mmol/L, ketones 0.4 mmol/L" in dialog.aloud.text()
    assert "average 9.4 mmol/L, n 11 on" in said  # (36 + 67.5) / 11: no ketones in it
    assert "without set-aside days: average 6.0 mmol/L, n 6 on" in said
    assert DOSE_WORDS.findall(said) == []
    assert dialog.begins.isVisible()

    at_home.window.menus.undo.trigger()
    settle(qtbot, at_home.window)
    assert dialog.ends.isVisible()


def test_journeys_are_listed_beside_a_rule_and_nobody_is_called_safe(
    qtbot: QtBot, tmp_path: Path
) -> None:
    def trip(diary: Diary) -> None:
        person = tilde(diary)
        written(diary, person, "2026-03-12 11:30", "4.6")
        at = moment_typed("2026-03-12 12:00", person, now=NOW)
        note_event(diary, person, at, kind="journey", text="to the coast", now=NOW)

    at_home = home(qtbot, tmp_path, trip)
    page_of(at_home).actions_of_plan.journeys.trigger()
    dialog = opened(at_home, JourneyDialog)
    without = dialog.noted.text()
    dialog.rule.setFocus()
    QTest.keyClick(dialog.rule, Qt.Key.Key_Down)
    settle(qtbot, at_home.window)

    assert "to the coast" in without
    assert "not above" not in without
    assert "30 min before: 4.6 mmol/L, not above the rule's 5.0 mmol/L" in dialog.noted.text()
    assert "Check the current text" in dialog.says.text()
    assert dialog.source.text().startswith("Source: ")
    words = all_words(dialog).casefold()
    assert "safe" not in words
    assert "never says that somebody is fit to drive" in words

    at_home.window.menus.undo.trigger()
    settle(qtbot, at_home.window)
    assert "not above" not in dialog.noted.text()


def test_a_journey_is_written_down_from_its_window(qtbot: QtBot, tmp_path: Path) -> None:
    at_home = home(qtbot, tmp_path, tilde)
    page_of(at_home).actions_of_plan.journeys.trigger()
    dialog = opened(at_home, JourneyDialog)
    assert "No journey of the last 90 days is written." in dialog.noted.text()

    space(dialog.writes_one)
    form = dialog.findChildren(WriteDownDialog)[-1]
    space(form.saves)
    qtbot.waitUntil(lambda: not isValid(form) or form.isHidden())
    settle(qtbot, at_home.window)

    assert "Thursday 12 March 2026" in dialog.noted.text()
    assert "Before: no test written" in dialog.noted.text()


def test_with_the_first_plan_one_question_is_asked_and_answered_once(
    qtbot: QtBot, tmp_path: Path
) -> None:
    def new_plan(diary: Diary) -> None:
        set_plan(diary, tilde(diary), read_plan(PLAN, date(2026, 3, 10)), now=NOW)

    at_home = home(qtbot, tmp_path, new_plan)
    page = page_of(at_home)
    question, session = page.body.question, at_home.session
    asked = question.isVisible()
    space(question.none)
    settle(qtbot, at_home.window)

    assert asked
    assert not question.isVisible()
    rules = {each.kind: each.on for each in follow_rules_of(session.diary, session.person)}
    assert rules == dict.fromkeys(CHOICES, False)
    assert not any(box.isChecked() for box in page.body.reminders.kinds.values())

    at_home.window.menus.undo.trigger()
    settle(qtbot, at_home.window)
    assert question.isVisible()
    assert all(box.isChecked() for box in page.body.reminders.kinds.values())


def test_who_has_had_a_plan_for_long_is_not_asked(qtbot: QtBot, tmp_path: Path) -> None:
    def old_plan(diary: Diary) -> None:
        set_plan(diary, tilde(diary), read_plan(PLAN, date(2026, 1, 5)), now=NOW)

    assert not page_of(home(qtbot, tmp_path, old_plan)).body.question.isVisible()
