"""What is due in the window: listed, said once, put off, told as past, taken back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.domain.follow_ups import CHOICES, LOW_RECHECK, ReminderWishes, follow_rule
from app.domain.marks import Mark
from app.domain.plan_files import read_plan
from app.look.theme import apply_theme
from app.look.tokens import LIGHT
from app.store.diary import Diary
from app.store.follow_ups import due_states_of, follow_rules_of
from app.store.happenings import helps_between
from app.ui.due.part import DuePart
from app.ui.due.reminding import Reminding
from app.ui.session import Session
from app.ui.window import Window
from app.ui.write_down.dialog import WriteDownDialog
from app.work.care import set_care_text
from app.work.follow_ups import set_all_follow_rules, set_follow_rule
from app.work.kit_things import add_solution
from app.work.plan import set_plan
from app.work.reminding import set_reminders
from app.work.take_back import undo_last
from tests.households import corwin, new_diary, tilde, written
from tests.windows import settle

EVENING = datetime(2026, 3, 12, 21, 30, tzinfo=UTC)  # a Thursday; in Lisbon the same wall time
TERM = """
name = "Term"
[[tests]]
mark = "waking"
at = "07:00"
[[tests]]
mark = "bedtime"
at = "21:15"
"""


@dataclass(slots=True)
class Home:
    """A window with clocks that can be set, and what made a sound or stood in the tray."""

    bot: QtBot
    window: Window
    session: Session
    reminding: Reminding
    clock: list[datetime]
    running: list[float]
    beeps: list[int] = field(default_factory=list)

    @property
    def part(self) -> DuePart:
        assert self.window.dues is not None
        return self.window.dues

    def pass_time(self, minutes: float, *, running: float | None = None) -> None:
        """Let both clocks go on, or the running one by another time, and look."""
        self.clock[0] += timedelta(minutes=minutes)
        self.running[0] += 60 * (minutes if running is None else running)
        self.look()

    def look(self) -> None:
        self.part.watch.look_again()
        settle(self.bot, self.window)

    def type(self, text: str) -> None:
        """Type a reading into the entry line and save it."""
        line = self.window.now_place.findChild(type(self.part._column.line))
        assert line is not None
        QTest.keyClicks(line, text)
        QTest.keyClick(line, Qt.Key.Key_Return)
        settle(self.bot, self.window)

    def due(self) -> list[str]:
        return [row.title for row in self.part.sections.due.rows]


def home(
    bot: QtBot, folder: Path, fill: Callable[[Diary], object], *, now: datetime = EVENING
) -> Home:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    apply_theme(app, LIGHT)
    diary = new_diary(folder)
    fill(diary)
    clock, running = [now], [1000.0]
    session = Session(diary, lambda: clock[0], None)
    window = Window(remember=None)
    bot.addWidget(window)
    window.resize(1280, 800)
    window.fill(session)
    assert window.dues is not None
    window.dues.watch._running = lambda: running[0]
    window.show()
    settle(bot, window)
    beeps: list[int] = []
    reminding = Reminding(
        window,
        session,
        window.dues,
        has_tray=lambda: False,
        beep=lambda: beeps.append(1),
    )
    settle(bot, window)
    return Home(bot, window, session, reminding, clock, running, beeps)


def with_plan(diary: Diary) -> None:
    person = tilde(diary)
    set_plan(diary, person, read_plan(TERM, date(2026, 3, 2)), now=EVENING)
    written(diary, person, "2026-03-12 07:04", "6.1", Mark.WAKING)


# What a person gets who chose nothing, and what can be chosen.


def test_who_chose_nothing_is_reminded_of_every_kind(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        rules = follow_rules_of(diary, tilde(diary))

    assert rules == ()
    assert all(follow_rule(rules, kind).on for kind in CHOICES)


def test_all_are_switched_off_in_one_step_and_one_undo_brings_them_back(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        said = set_all_follow_rules(diary, person, on=False, now=EVENING)
        off = {each.kind for each in follow_rules_of(diary, person) if not each.on}
        undo_last(diary, person, now=EVENING)
        rules = follow_rules_of(diary, person)

    assert said == "The follow-up “all of them” was switched off."
    assert off == set(CHOICES)
    assert rules == ()


def test_switching_all_keeps_the_minutes_of_each(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        set_follow_rule(diary, person, LOW_RECHECK, minutes=10, now=EVENING)
        set_all_follow_rules(diary, person, on=False, now=EVENING)
        rule = follow_rule(follow_rules_of(diary, person), LOW_RECHECK)

    assert (rule.on, rule.minutes) == (False, 10)


# A low: its caution, its recheck, and the offer of one.


def test_a_low_asks_for_a_recheck_a_quarter_of_an_hour_later(qtbot: QtBot, tmp_path: Path) -> None:
    at_home = home(qtbot, tmp_path, tilde)

    at_home.type("2.9 bedtime")
    to_come = at_home.due()
    at_home.pass_time(15)

    assert to_come[0] == "Recheck after a low"
    assert at_home.part._box.isVisible()
    assert "2.9 mmol/L" in at_home.part._box.accessibleName()


def test_the_caution_beside_a_low_is_noted_as_shown_and_not_said_again(
    qtbot: QtBot, tmp_path: Path
) -> None:
    at_home = home(qtbot, tmp_path, tilde)

    at_home.type("2.9 bedtime")
    at_home.pass_time(1)

    states = due_states_of(at_home.session.diary, at_home.session.person)
    caution = next(state for key, state in states.items() if key.startswith("low-caution/"))
    assert caution.shown_at is not None
    assert not at_home.reminding.now.lines
    assert not at_home.part.sections.follow_up.rows


def test_with_everything_off_the_caution_is_shown_and_a_recheck_offered_there(
    qtbot: QtBot, tmp_path: Path
) -> None:
    def none_wanted(diary: Diary) -> None:
        set_all_follow_rules(diary, tilde(diary), on=False, now=EVENING)

    at_home = home(qtbot, tmp_path, none_wanted)
    at_home.type("2.9 bedtime")
    box = at_home.part._column.caution

    assert box.isVisible()
    assert box.recheck.isVisible()
    assert box.recheck.text() == "Remind of a recheck at 21:45"
    assert at_home.due() == []

    box.recheck.setFocus()
    QTest.keyClick(box.recheck, Qt.Key.Key_Space)
    settle(qtbot, at_home.window)
    assert at_home.due() == ["Recheck after a low"]
    assert not box.recheck.isVisible()

    at_home.window.menus.undo.trigger()
    settle(qtbot, at_home.window)
    assert at_home.due() == []


def test_where_rechecks_are_on_nothing_more_is_offered(qtbot: QtBot, tmp_path: Path) -> None:
    at_home = home(qtbot, tmp_path, tilde)

    at_home.type("2.9 bedtime")

    assert at_home.part._column.caution.isVisible()
    assert not at_home.part._column.caution.recheck.isVisible()


def test_a_low_that_a_file_brought_is_cautioned_of_once(qtbot: QtBot, tmp_path: Path) -> None:
    def low(diary: Diary) -> None:
        person = tilde(diary)
        set_all_follow_rules(diary, person, on=False, now=EVENING)
        written(diary, person, "2026-03-12 21:20", "2.9")

    at_home = home(qtbot, tmp_path, low)
    said = at_home.reminding.now.lines
    at_home.reminding.now.put_away()
    at_home.pass_time(1)

    assert said
    assert "2.9 mmol/L" in said[0]
    assert at_home.reminding.now.lines == ()
    states = due_states_of(at_home.session.diary, at_home.session.person)
    assert [state.shown_at is not None for state in states.values()] == [True]


def test_that_help_was_needed_is_written_down_from_the_recheck(
    qtbot: QtBot, tmp_path: Path
) -> None:
    at_home = home(qtbot, tmp_path, tilde)
    at_home.type("2.4 bedtime")
    at_home.pass_time(15)

    at_home.part._box.helped.setFocus()
    QTest.keyClick(at_home.part._box.helped, Qt.Key.Key_Space)
    dialog = at_home.window.findChildren(WriteDownDialog)[-1]
    kind = dialog.kind.value()
    dialog.saves.click()

    def helps() -> int:
        day = EVENING.date().toordinal()
        return len(helps_between(at_home.session.diary, at_home.session.person, day, day))

    qtbot.waitUntil(lambda: helps() == 1)
    settle(qtbot, at_home.window)
    assert kind == "help"
    assert helps() == 1


def test_the_family_s_own_plan_for_a_low_stands_in_the_recheck(
    qtbot: QtBot, tmp_path: Path
) -> None:
    def with_text(diary: Diary) -> None:
        set_care_text(diary, tilde(diary), "low plan", "juice, ring Bram {at}", now=EVENING)

    at_home = home(qtbot, tmp_path, with_text)
    at_home.type("2.4 bedtime")
    at_home.pass_time(15)

    shown = at_home.part._box.accessibleName()
    assert "Your own plan says: “juice, ring Bram {at}”" in shown


# The kit stands in the column.


def test_what_is_due_about_the_kit_stands_in_the_column_with_its_source(
    qtbot: QtBot, tmp_path: Path
) -> None:
    def old_bottle(diary: Diary) -> None:
        add_solution(diary, tilde(diary), "normal", lot="C1", printed="2026-02", now=EVENING)

    at_home = home(qtbot, tmp_path, old_bottle)
    rows = at_home.part.sections.kit.rows

    assert any("out of date" in row.title for row in rows)
    lapsed = next(row for row in rows if "out of date" in row.title)
    assert lapsed.when == "now"
    at_home.part._on_opened(lapsed)
    assert "label" in at_home.part._box._source.text()


# Said once, put off, done elsewhere.


def test_what_is_due_is_said_once_and_noted(qtbot: QtBot, tmp_path: Path) -> None:
    at_home = home(qtbot, tmp_path, with_plan)

    first = at_home.reminding.now.lines
    at_home.reminding.now.put_away()
    at_home.pass_time(0.5)

    assert first == ("Test now: Bedtime. It was due at 21:15.",)
    assert at_home.reminding.now.lines == ()
    assert any(
        state.shown_at
        for state in due_states_of(at_home.session.diary, at_home.session.person).values()
    )


def test_text_without_values_names_no_test(qtbot: QtBot, tmp_path: Path) -> None:
    def discreet(diary: Diary) -> None:
        with_plan(diary)
        person = Session(diary, lambda: EVENING, None).person
        set_reminders(diary, person, ReminderWishes(with_values=False), now=EVENING)

    at_home = home(qtbot, tmp_path, discreet)

    assert at_home.reminding.now.lines == ("A test is due. It was due at 21:15.",)


@pytest.mark.parametrize("wanted", [True, False])
def test_a_beep_is_made_only_where_it_was_asked_for(
    qtbot: QtBot, tmp_path: Path, wanted: bool
) -> None:
    def beeping(diary: Diary) -> None:
        with_plan(diary)
        person = Session(diary, lambda: EVENING, None).person
        set_reminders(diary, person, ReminderWishes(beep=wanted), now=EVENING)

    at_home = home(qtbot, tmp_path, beeping)

    assert len(at_home.beeps) == wanted


def test_in_quiet_hours_it_is_listed_and_said_after_them(qtbot: QtBot, tmp_path: Path) -> None:
    def quiet(diary: Diary) -> None:
        with_plan(diary)
        person = Session(diary, lambda: EVENING, None).person
        quiet_hours = ReminderWishes(quiet=(21 * 60, 21 * 60 + 40))
        set_reminders(diary, person, quiet_hours, now=EVENING)

    at_home = home(qtbot, tmp_path, quiet)
    in_them = at_home.reminding.now.lines
    listed = at_home.due()
    at_home.pass_time(11)

    assert in_them == ()
    assert listed[0] == "Bedtime"
    assert at_home.reminding.now.lines == ("Test now: Bedtime. It was due at 21:15.",)


def test_put_off_it_comes_again_by_the_keyboard_alone(qtbot: QtBot, tmp_path: Path) -> None:
    at_home = home(qtbot, tmp_path, with_plan)

    at_home.reminding.now.later.setFocus()
    QTest.keyClick(at_home.reminding.now.later, Qt.Key.Key_Space)
    settle(qtbot, at_home.window)
    at_once = at_home.reminding.now.lines
    at_home.pass_time(10)

    assert at_once == ()
    assert at_home.reminding.now.lines
    assert at_home.reminding.now.lines[0].startswith("Test now: Bedtime")


def test_done_elsewhere_it_is_due_no_more_until_taken_back(qtbot: QtBot, tmp_path: Path) -> None:
    at_home = home(qtbot, tmp_path, with_plan)

    at_home.reminding.now.elsewhere.setFocus()
    QTest.keyClick(at_home.reminding.now.elsewhere, Qt.Key.Key_Space)
    settle(qtbot, at_home.window)
    done = at_home.due()
    at_home.window.menus.undo.trigger()
    settle(qtbot, at_home.window)

    assert done == ["Waking"]
    assert at_home.due() == ["Bedtime", "Waking"]


# Clocks, and what was missed.


def test_a_recheck_missed_in_the_night_is_told_as_past_with_its_time(
    qtbot: QtBot, tmp_path: Path
) -> None:
    def low_at_night(diary: Diary) -> None:
        written(diary, tilde(diary), "2026-03-13 03:00", "2.9")

    morning = datetime(2026, 3, 13, 8, 0, tzinfo=UTC)
    at_home = home(qtbot, tmp_path, low_at_night, now=morning)
    told = at_home.reminding.missed.lines

    assert any("03:15" in line and "was due at" in line for line in told)
    assert not any("03:15" in line for line in at_home.reminding.now.lines)
    assert "wakes nobody" in at_home.reminding.missed._hint.text()
    assert not at_home.part._box.isVisible()


def test_after_days_off_there_is_at_most_a_line_for_each_rule_and_day(
    qtbot: QtBot, tmp_path: Path
) -> None:
    later = datetime(2026, 3, 16, 12, 0, tzinfo=UTC)
    at_home = home(qtbot, tmp_path, with_plan, now=later)

    told = at_home.reminding.missed.lines

    assert len(told) == len(set(told)) == 2  # bedtime of the day before, and this day's waking


def test_a_clock_set_back_says_nothing_twice(qtbot: QtBot, tmp_path: Path) -> None:
    at_home = home(qtbot, tmp_path, with_plan)
    at_home.reminding.now.put_away()

    at_home.pass_time(-60, running=0.5)
    set_back = at_home.reminding.now.lines
    at_home.pass_time(60)

    assert set_back == ()
    assert at_home.reminding.now.lines == ()


def test_a_recheck_comes_after_its_minutes_although_the_clock_was_set_back(
    qtbot: QtBot, tmp_path: Path
) -> None:
    at_home = home(qtbot, tmp_path, tilde)
    at_home.type("2.9 bedtime")

    at_home.pass_time(-45, running=15)

    assert at_home.reminding.now.lines
    assert "2.9 mmol/L" in at_home.reminding.now.lines[0]


def test_children_stand_side_by_side_with_their_names(qtbot: QtBot, tmp_path: Path) -> None:
    def two(diary: Diary) -> None:
        with_plan(diary)
        other = corwin(diary)
        set_plan(diary, other, read_plan(TERM, date(2026, 3, 2)), now=EVENING)

    at_home = home(qtbot, tmp_path, two)

    assert {title.partition(" · ")[0] for title in at_home.due()} == {"Tilde", "Corwin"}
