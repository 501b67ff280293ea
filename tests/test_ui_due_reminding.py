"""Reminders in the window by two fake clocks: once each, past told as past, quiet where chosen."""

from __future__ import annotations

import threading
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QSystemTrayIcon
from pytestqt.qtbot import QtBot

from app.domain.follow_ups import ReminderWishes
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.plan_files import read_plan
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.follow_ups import due_states_of
from app.ui.due.doing import note_shown
from app.work.plan import set_plan
from app.work.reminding import set_reminders
from tests.commands import Terminal
from tests.households import INSTALLATION, corwin, new_diary, tilde, written
from tests.reminded import Desk, reminded

# In Lisbon the wall time is UTC on these days.
MORNING = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
PLAN = """
name = "Every day"
[[tests]]
mark = "before_lunch"
at = "12:30"
[[tests]]
mark = "bedtime"
at = "21:15"
"""
HOUR = 3600


def planned(folder: Path, *, wishes: ReminderWishes | None = None) -> Diary:
    """A diary of one child with two tests a day since the day before."""
    diary = new_diary(folder)
    person = tilde(diary)
    set_plan(diary, person, read_plan(PLAN, date(2026, 3, 11)), now=MORNING)
    if wishes is not None:
        set_reminders(diary, person, wishes, now=MORNING)
    return diary


def with_low(folder: Path, at: str) -> tuple[Diary, Person]:
    diary = new_diary(folder)
    person = tilde(diary)
    written(diary, person, at, "3.1")
    return diary, person


def shown_keys(desk: Desk) -> set[str]:
    states = due_states_of(desk.session.diary, desk.session.person)
    return {key for key, state in states.items() if state.shown_at is not None}


def test_a_planned_test_is_said_at_its_time_once_and_written_down(
    qtbot: QtBot, tmp_path: Path
) -> None:
    desk = reminded(qtbot, planned(tmp_path), MORNING.replace(hour=12, minute=29))
    before = desk.told

    desk.after(70)
    said = desk.told
    desk.reminding.now.close_it.click()
    for _ in range(4):
        desk.after(30)

    assert before == ()
    assert said == ("Test now: Before lunch",)
    assert desk.told == ()
    assert any("T12:30" in key for key in shown_keys(desk))


def test_after_a_new_start_what_was_said_is_not_said_again(qtbot: QtBot, tmp_path: Path) -> None:
    at = MORNING.replace(hour=12, minute=31)
    first = reminded(qtbot, planned(tmp_path), at)
    assert first.told == ("Test now: Before lunch",)
    path = first.session.diary.path
    first.close()

    second = reminded(qtbot, open_diary(path, INSTALLATION, now=at), at + timedelta(minutes=1))

    assert second.told == ()
    assert [row.title for row in second.part.sections.due.rows][:1] == ["Before lunch"]


def test_at_the_start_one_panel_tells_what_was_missed_as_past(qtbot: QtBot, tmp_path: Path) -> None:
    desk = reminded(qtbot, planned(tmp_path), MORNING)

    assert desk.told == ()
    assert [line.partition(" was due")[0].split(": ")[1] for line in desk.missed] == [
        "Before lunch",
        "Bedtime",
    ]
    assert all("nothing is written" in line for line in desk.missed)
    assert desk.reminding.missed.isVisible()
    assert "not an alarm and wakes nobody" in desk.reminding.missed._hint.text()
    desk.reminding.missed.close_it.click()
    desk.after(30)
    assert desk.missed == ()


def test_after_suspend_a_recheck_of_the_night_is_told_as_past_with_its_time(
    qtbot: QtBot, tmp_path: Path
) -> None:
    diary, _ = with_low(tmp_path, "2026-03-12 02:50")
    desk = reminded(qtbot, diary, MORNING.replace(hour=2, minute=52))
    desk.reminding.now.close_it.click()

    desk.clock.sleeps(5 * HOUR)
    desk.look()

    assert desk.told == ()
    recheck, later = desk.missed  # a line for each rule and day
    assert "03:05" in recheck
    assert "03:50" in later
    assert not any("now" in line.casefold() for line in desk.missed)


def test_after_a_short_sleep_what_is_still_asked_for_says_when_it_was_due(
    qtbot: QtBot, tmp_path: Path
) -> None:
    desk = reminded(qtbot, planned(tmp_path), MORNING.replace(hour=12, minute=20))
    past = desk.missed  # of the day before

    desk.clock.sleeps(20 * 60)
    desk.look()

    assert desk.told == ("Test now: Before lunch. It was due at 12:30.",)
    assert desk.missed == past


@pytest.mark.parametrize("by", [-2 * HOUR, -86_400, 20 * 60, 2 * 86_400])
def test_setting_the_clock_says_nothing_twice(qtbot: QtBot, tmp_path: Path, by: int) -> None:
    desk = reminded(qtbot, planned(tmp_path), MORNING.replace(hour=12, minute=31))
    heard = [each.key for each in desk.reminding._told]
    desk.reminding.now.close_it.click()

    desk.clock.set_by(by)
    for _ in range(2):
        desk.after(30)
        heard += [each.key for each in desk.reminding._told]
        desk.reminding.now.close_it.click()
    desk.clock.set_by(-by)
    desk.after(30)
    heard += [each.key for each in desk.reminding._told]

    assert heard
    assert len(heard) == len(set(heard))


def test_a_recheck_comes_by_the_running_clock_though_the_wall_was_set_back(
    qtbot: QtBot, tmp_path: Path
) -> None:
    diary, _ = with_low(tmp_path, "2026-03-12 09:00")
    desk = reminded(qtbot, diary, MORNING + timedelta(minutes=1))
    desk.reminding.now.close_it.click()

    desk.clock.set_by(-HOUR)
    desk.after(60)
    before = desk.told
    desk.after(14 * 60)

    assert before == ()
    assert any("3.1 mmol/L at 09:00 was a low" in line for line in desk.told)


@pytest.mark.parametrize(
    ("hour", "day"),
    [
        # Lisbon skips 01:00 to 02:00 on 29 March: the test stands once, an hour later by the clock.
        ("01:30", datetime(2026, 3, 29, 0, 20, tzinfo=UTC)),
        # ... and has 01:00 to 02:00 twice on 25 October: it is said in the first of them alone.
        ("01:30", datetime(2026, 10, 25, 0, 20, tzinfo=UTC)),
    ],
)
def test_the_hour_that_is_skipped_or_repeated_reminds_once(
    qtbot: QtBot, tmp_path: Path, hour: str, day: datetime
) -> None:
    diary = new_diary(tmp_path)
    plan = f'name = "Night"\n[[tests]]\nmark = "night"\nat = "{hour}"\n'
    set_plan(diary, tilde(diary), read_plan(plan, day.date()), now=day)
    desk = reminded(qtbot, diary, day)
    heard = 0
    for _ in range(20):  # two hours and more
        desk.after(400)
        if desk.told:
            heard += len(desk.told)
            desk.reminding.now.close_it.click()

    assert heard == 1


def test_quiet_hours_hold_a_planned_test_back_but_not_what_belongs_to_a_low(
    qtbot: QtBot, tmp_path: Path
) -> None:
    diary = planned(tmp_path, wishes=ReminderWishes(quiet=(21 * 60, 7 * 60)))
    desk = reminded(qtbot, diary, MORNING.replace(hour=21, minute=16))
    held_back = desk.told
    listed = [row.title for row in desk.part.sections.due.rows]
    written(diary, desk.session.person, "2026-03-12 21:16", "3.1")
    desk.session.follow()

    desk.after(15 * 60 + 30)

    assert held_back == ()
    assert "Bedtime" in listed
    assert any("was a low" in line for line in desk.told)


def test_without_values_neither_bar_nor_tray_says_what_it_is(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    in_tray: list[str] = []
    monkeypatch.setattr(
        QSystemTrayIcon, "showMessage", lambda _self, _title, line, *_rest: in_tray.append(line)
    )
    monkeypatch.setattr(QSystemTrayIcon, "show", lambda _self: None)
    diary = planned(tmp_path, wishes=ReminderWishes(with_values=False, beep=True))

    desk = reminded(qtbot, diary, MORNING.replace(hour=12, minute=31), has_tray=lambda: True)

    assert desk.told == ("A test is due.",)
    assert in_tray == ["A test is due."]
    assert len(desk.beeps) == 1


def test_without_a_tray_the_window_says_it_alone_and_nothing_beeps_unasked(
    qtbot: QtBot, tmp_path: Path
) -> None:
    desk = reminded(qtbot, planned(tmp_path), MORNING.replace(hour=12, minute=31))

    assert desk.told
    assert desk.reminding.tray is None
    assert desk.beeps == []


def test_later_says_it_once_more_and_done_elsewhere_never(qtbot: QtBot, tmp_path: Path) -> None:
    desk = reminded(qtbot, planned(tmp_path), MORNING.replace(hour=12, minute=31))

    QTest.keyClick(desk.reminding.now.later, Qt.Key.Key_Space)
    desk.look()
    put_off = desk.told
    desk.after(10 * 60 + 1)
    again = desk.told
    QTest.keyClick(desk.reminding.now.elsewhere, Qt.Key.Key_Space)
    desk.after(30)
    desk.after(30)

    assert (put_off, again) == ((), ("Test now: Before lunch",))
    assert desk.told == ()
    assert "Before lunch" not in [row.title for row in desk.part.sections.due.rows]


def test_what_was_written_meanwhile_leaves_the_bar(qtbot: QtBot, tmp_path: Path) -> None:
    desk = reminded(qtbot, planned(tmp_path), MORNING.replace(hour=12, minute=31))
    assert desk.told

    written(desk.session.diary, desk.session.person, "2026-03-12 12:31", "6.2", Mark.BEFORE_LUNCH)
    desk.session.follow()
    desk.after(30)

    assert desk.told == ()
    assert desk.reminding.now.isHidden()


def test_two_at_once_stand_together_and_the_one_that_is_left_can_be_answered(
    qtbot: QtBot, tmp_path: Path
) -> None:
    diary = planned(tmp_path)
    other = corwin(diary)
    set_plan(diary, other, read_plan(PLAN, date(2026, 3, 12)), now=MORNING)
    # Chicago is five hours behind: at 17:30 in London it is 12:30 there.
    written(diary, other, "2026-03-12 08:00", "65")
    desk = reminded(qtbot, diary, MORNING.replace(hour=12, minute=31))
    one = desk.told

    desk.after(30 * 60)
    both = desk.told

    assert one[0].startswith("Tilde · Test now: Before lunch")
    assert any(line.startswith("Corwin · ") for line in both)
    assert any(line.startswith("Tilde · ") for line in both)
    assert not desk.reminding.now.later.isVisible()


def test_a_low_s_caution_that_was_shown_beside_the_line_is_not_said_again(
    qtbot: QtBot, tmp_path: Path
) -> None:
    diary = new_diary(tmp_path)
    tilde(diary)
    desk = reminded(qtbot, diary, MORNING)
    column = desk.window._now
    assert column is not None

    QTest.keyClicks(column.line, "3.1")
    QTest.keyClick(column.line, Qt.Key.Key_Return)
    desk.look()
    desk.after(30)

    assert column.caution.isVisible()
    assert any(key.startswith("low-caution/") for key in shown_keys(desk))
    assert desk.told == ()


def test_a_low_is_not_looked_at_while_it_is_being_saved(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    saved, looked = threading.Event(), threading.Event()

    def held(*args: Any, **named: Any) -> Any:
        saved.set()
        looked.wait(10)
        return note_shown(*args, **named)

    monkeypatch.setattr("app.ui.now.saving.note_shown", held)
    diary = new_diary(tmp_path)
    tilde(diary)
    desk = reminded(qtbot, diary, MORNING)
    column = desk.window._now
    assert column is not None

    QTest.keyClicks(column.line, "3.1")
    QTest.keyClick(column.line, Qt.Key.Key_Return)
    qtbot.waitUntil(saved.is_set, timeout=5000)
    desk.part.watch.look_again()
    looks = desk.part.watch.job.busy
    looked.set()
    desk.look()
    desk.after(30)

    assert not looks
    assert column.caution.isVisible()
    assert desk.told == ()


def test_a_low_written_elsewhere_has_its_caution_said_once_with_the_care_team_line(
    qtbot: QtBot, tmp_path: Path
) -> None:
    diary, _ = with_low(tmp_path, "2026-03-12 08:58")

    desk = reminded(qtbot, diary, MORNING)
    said = desk.told
    desk.reminding.now.close_it.click()
    desk.after(30)

    assert said[0].endswith("a low")
    assert any("care team" in line for line in said)
    assert desk.told == ()


def kit_out_of_date(folder: Path) -> Terminal:
    """A diary with a vial in use that lapsed."""
    terminal = Terminal(folder, now=MORNING)
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    terminal.ok("kit", "meter", "add", "blue")
    terminal.ok("kit", "vial", "add", "B1", "--printed", "2026-03-01")
    terminal.ok("kit", "use", "B1", "--meter", "blue", "--from", "2026-01-01 08:00")
    return terminal


def test_the_kit_stands_in_its_section_and_is_said_once(qtbot: QtBot, tmp_path: Path) -> None:
    terminal = kit_out_of_date(tmp_path)
    desk = reminded(qtbot, open_diary(terminal.diary, INSTALLATION, now=MORNING), MORNING)
    (row,) = desk.part.sections.kit.rows
    told, can_write = desk.told, desk.reminding.now.write.isVisible()

    desk.part.sections.kit.opened.emit(row)
    box = desk.part._box
    read = box.accessibleName()
    box.put_away.emit(box.about)
    desk.look()
    gone = desk.part.sections.kit.rows
    desk.window.menus.undo.trigger()
    desk.look()

    assert (row.when, row.title) == ("now", "Strips B1 are out of date")
    assert row.note.startswith("Last good day Sun 1 Mar")
    assert told[0].startswith("Strips B1 are out of date")
    assert not can_write  # no reading answers it
    assert "care team" in read
    assert gone == ()
    assert [each.title for each in desk.part.sections.kit.rows] == [row.title]


def test_what_was_switched_off_is_neither_listed_nor_said(qtbot: QtBot, tmp_path: Path) -> None:
    terminal = kit_out_of_date(tmp_path)
    terminal.ok("follow-ups", "off", "kit")

    desk = reminded(qtbot, open_diary(terminal.diary, INSTALLATION, now=MORNING), MORNING)

    assert desk.part.sections.kit.rows == ()
    assert desk.told == ()


def test_a_recheck_that_is_due_says_whose_it_is(qtbot: QtBot, tmp_path: Path) -> None:
    diary, _ = with_low(tmp_path, "2026-03-12 08:44")
    written(diary, corwin(diary), "2026-03-12 03:44", "60")

    desk = reminded(qtbot, diary, MORNING)
    box = desk.part._box

    assert box.isVisible()
    (title,) = [
        label.text()
        for label in box.findChildren(QLabel)
        if label.isVisible() and "Test again" in label.text()
    ]
    assert title.partition(" · ")[0] in ("Tilde", "Corwin")
    rows = [row.title for row in desk.part.sections.due.rows]
    assert any("Test again" in row for row in rows)  # the other person's stands below
