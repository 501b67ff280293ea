"""The Plan page: the grid and its words, single tests by keyboard, plans chosen and changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QDate, Qt, QTime
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.plan_files import planned_test, read_plan, trade_plan, trade_plans
from app.domain.plan_rows import AS_IT_IS, EVERY_N, ON_WEEKDAYS, RuleRow, row_of, rule_of
from app.domain.plans import Plan
from app.statistics.schedule.settle import State
from app.store.diary import Diary
from app.store.follow_ups import follow_rules_of
from app.store.plans import plans_of
from app.ui.autostart import autostart
from app.ui.controls import Notice
from app.ui.plan.acts import Act
from app.ui.plan.body import PlanBody
from app.ui.plan.calendar_dialog import CalendarDialog
from app.ui.plan.history_dialog import HistoryDialog
from app.ui.plan.page import PlanPage
from app.ui.plan.plan_dialog import PlanDialog
from app.ui.plan.reminder_box import ReminderBox
from app.ui.plan.sick_dialog import SickDialog
from app.ui.plan.signs import Sign
from app.ui.window import Window
from app.work.note_days import note_days
from app.work.plan import pause_plan, set_plan
from tests.households import NOW, corwin, tilde, written
from tests.windows import settle, shown

FIRST = date(2026, 3, 2)  # a Monday; NOW is Thursday 12 March 21:30 in Lisbon
TODAY = date(2026, 3, 12)
OWN = """
name = "Term"
[[tests]]
mark = "waking"
at = "07:00"
[[tests]]
mark = "before_lunch"
at = "12:30"
weekdays = ["Tue", "Thu"]
[[tests]]
mark = "bedtime"
at = "21:15"
"""


def child(diary: Diary) -> Person:
    """A child with a plan: waking written on all days but one, bedtime on none since the 10th."""
    person = tilde(diary)
    set_plan(diary, person, read_plan(OWN, FIRST), now=NOW)
    for back in range(11):
        day = TODAY - timedelta(days=back)
        if day != date(2026, 3, 8):
            written(diary, person, f"{day} 07:04", "6.1", Mark.WAKING)
        if back > 2:
            written(diary, person, f"{day} 21:10", "7.0", Mark.BEDTIME)
    written(diary, person, "2026-03-11 14:00", "8.0", Mark.AFTER_LUNCH)
    written(diary, person, "2026-03-10 14:10", "6.6", Mark.BEFORE_LUNCH)  # 100 min after its time
    return person


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Window:
    made = shown(qtbot, tmp_path, child)
    made.show_page("plan")
    settle(qtbot, made)
    return made


def page_of(window: Window) -> PlanPage:
    page = window.page("plan")
    assert isinstance(page, PlanPage)
    return page


def focused() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def go_to(window: Window, mark: Mark, day: date) -> None:
    """Walk to a cell by the arrow keys."""
    grid = page_of(window).body.grid
    grid.setFocus()
    rows = [row.mark for row in read_of(window).rows]
    column = grid.cells.column_of(day)
    assert column is not None
    while (down := rows.index(mark) - grid.currentIndex().row()) != 0:
        QTest.keyClick(grid, Qt.Key.Key_Down if down > 0 else Qt.Key.Key_Up)
    while (right := column - grid.currentIndex().column()) != 0:
        QTest.keyClick(grid, Qt.Key.Key_Right if right > 0 else Qt.Key.Key_Left)


def mark_spoken_of(body: PlanBody) -> Mark | None:
    """The mark of the test that the bar speaks of."""
    assert body.bar.planned is not None
    return body.bar.planned.mark


def read_of(window: Window):  # type: ignore[no-untyped-def]  # a PlanGrid
    read = page_of(window).read
    assert read is not None
    return read.grid


def signs(window: Window, mark: Mark) -> list[tuple[Sign, ...]]:
    """The signs of a slot from Monday 2 March to today."""
    cells = page_of(window).body.grid.cells
    row = [row.mark for row in read_of(window).rows].index(mark)
    first = cells.column_of(FIRST)
    assert first is not None
    return [cells.cell(cells.index(row, first + day)).signs for day in range(11)]


def dialog_of(window: Window, kind: type[QWidget]) -> QWidget:
    found = [each for each in window.findChildren(kind) if each.isVisible()]
    assert len(found) == 1
    return found[0]


def marks_of(plan: Plan) -> list[Mark | None]:
    return [rule.mark for rule in plan.rules]


# What is shown.


def test_the_grid_tells_each_state_by_a_sign_of_its_own(window: Window) -> None:
    done, nothing, extra = (Sign.DONE,), (Sign.NOTHING,), (Sign.EXTRA,)

    assert signs(window, Mark.WAKING) == [*[done] * 6, nothing, *[done] * 4]
    assert signs(window, Mark.BEDTIME) == [*[done] * 8, nothing, nothing, (Sign.OVERDUE,)]
    assert signs(window, Mark.BEFORE_LUNCH)[8:] == [(Sign.LATE,), (), nothing]
    assert signs(window, Mark.AFTER_LUNCH)[9] == extra


def test_counts_stand_beside_each_slot_and_for_the_whole(window: Window) -> None:
    body = page_of(window).body
    cells = body.grid.cells
    last = cells.columnCount() - 1
    counts = {
        cells.cell(cells.index(row, 0)).text: cells.cell(cells.index(row, last)).text
        for row in range(cells.rowCount())
    }

    assert counts["waking"] == "10 of 11"
    assert counts["bedtime"] == "8 of 10"
    assert counts["before lunch"] == "1 of 4"
    assert counts["after breakfast"] == "not planned"
    assert "kept 19 of 25 planned tests in 15 days" in body.head.accessibleDescription()


def test_every_cell_says_in_words_what_it_shows(window: Window) -> None:
    go_to(window, Mark.BEFORE_LUNCH, date(2026, 3, 10))
    bar = page_of(window).body.bar

    assert bar.sentence == "Tue 10 Mar 12:30 · before lunch · done late, 14:10"
    model = page_of(window).body.grid.cells
    at = page_of(window).body.grid.currentIndex()
    assert model.data(at) == "Tue 10 Mar, before lunch · 12:30 done late, 14:10"


def test_the_model_keeps_to_the_rules_of_models(window: Window, qtmodeltester) -> None:  # type: ignore[no-untyped-def]
    qtmodeltester.check(page_of(window).body.grid.cells)


def test_the_day_below_follows_the_cell(window: Window) -> None:
    body = page_of(window).body
    assert [row.note for row in body.tests.rows] == [
        "done 07:04",
        "planned, nothing written",
        "due",
    ]

    go_to(window, Mark.WAKING, date(2026, 3, 8))

    assert [(row.when, row.note) for row in body.tests.rows] == [
        ("07:00", "planned, nothing written"),
        ("21:15", "done 21:10"),
    ]


def test_where_it_slips_and_what_it_can_never_see_are_told_neutrally(window: Window) -> None:
    body = page_of(window).body

    slips = [row.words for row in body._slips.rows]
    gaps = [row.words for row in body._gaps.rows]

    assert slips[0] == "before lunch · 1 of 4 written"
    assert "after breakfast · not in the plan, so not seen" in gaps
    assert "before lunch · never on Mon, Wed, Fri, Sat, Sun" in gaps


def test_days_away_are_no_misses(qtbot: QtBot, tmp_path: Path) -> None:
    def away(diary: Diary) -> None:
        person = child(diary)
        first, last = date(2026, 3, 10), date(2026, 3, 11)
        note_days(diary, person, "away", first, last, now=NOW)

    window = shown(qtbot, tmp_path, away)
    window.show_page("plan")
    settle(qtbot, window)

    assert signs(window, Mark.BEDTIME)[8:10] == [(Sign.ASIDE,), (Sign.ASIDE,)]
    assert read_of(window).kept.by_mark[Mark.BEDTIME].words == "8 of 8"


def test_the_hour_that_the_clocks_skip_is_told(qtbot: QtBot, tmp_path: Path) -> None:
    def early(diary: Diary) -> None:
        person = tilde(diary)
        text = 'name = "Night"\n[[tests]]\nmark = "night"\nat = "01:30"\n'
        set_plan(diary, person, read_plan(text, FIRST), now=NOW)

    # In Lisbon the clocks go from 01:00 to 02:00 on Sunday 29 March 2026.
    window = shown(qtbot, tmp_path, early, now=datetime.fromisoformat("2026-03-29T12:00+00:00"))
    window.show_page("plan")
    settle(qtbot, window)

    assert page_of(window).body._hours.text() == (
        "The clocks skip 01:30; it is asked once, at 02:30."
    )


def test_without_a_plan_there_is_one_way_on(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, tilde)
    window.show_page("plan")
    settle(qtbot, window)
    page = page_of(window)
    page.take_focus()

    assert focused() is page.body.empty.choose
    assert not page.actions_of_plan.change.isEnabled()
    assert not page.body.change.isVisible()
    assert page.body.more.isVisible()  # sick days and journeys need no plan
    QTest.keyClick(focused(), Qt.Key.Key_Return)
    assert dialog_of(window, PlanDialog)


def test_another_person_sees_nothing_of_it(qtbot: QtBot, tmp_path: Path) -> None:
    def both(diary: Diary) -> None:
        child(diary)
        corwin(diary)

    window = shown(qtbot, tmp_path, both)
    window.show_page("plan")
    settle(qtbot, window)
    assert window.session is not None
    page = page_of(window)

    window.session.choose(window.session.persons[1])
    settle(qtbot, window)

    assert page.body.empty.isVisible()
    assert not page.body.grid.isVisible()


# What is done with one test, by keyboard alone.


def test_a_test_is_put_aside_by_a_key_and_taken_back(window: Window, qtbot: QtBot) -> None:
    go_to(window, Mark.BEDTIME, date(2026, 3, 11))

    QTest.keyClick(
        focused(),
        Qt.Key.Key_X,
        Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    )
    settle(qtbot, window)

    assert signs(window, Mark.BEDTIME)[9] == (Sign.ASIDE,)
    assert window.notice.isVisible()
    assert page_of(window).body.bar.planned is not None
    assert page_of(window).actions_of_plan.acts[Act.AGAIN].isEnabled()

    QTest.keyClick(focused(), Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, window)
    assert signs(window, Mark.BEDTIME)[9] == (Sign.NOTHING,)


def test_done_elsewhere_counts_as_kept_and_has_its_own_sign(window: Window, qtbot: QtBot) -> None:
    go_to(window, Mark.BEDTIME, date(2026, 3, 11))
    before = read_of(window).kept.all.kept

    page_of(window).body.bar.buttons[Act.ELSEWHERE].click()
    settle(qtbot, window)

    assert signs(window, Mark.BEDTIME)[9] == (Sign.ELSEWHERE,)
    assert read_of(window).kept.all.kept == before + 1


def test_a_test_is_moved_to_another_time(window: Window, qtbot: QtBot) -> None:
    go_to(window, Mark.BEDTIME, TODAY)
    bar = page_of(window).body.bar

    page_of(window).actions_of_plan.acts[Act.MOVE].trigger()
    assert focused() is bar.to_time
    bar.to_time.setTime(QTime(22, 45))
    QTest.keyClick(bar.to_time, Qt.Key.Key_Return)
    settle(qtbot, window)

    last = page_of(window).body.tests.rows[-1]
    assert (last.when, last.note) == ("22:45", "to come")
    assert bar.sentence.endswith("bedtime · to come")


def test_esc_leaves_a_move_as_it_was(window: Window, qtbot: QtBot) -> None:
    go_to(window, Mark.BEDTIME, TODAY)
    page_of(window).actions_of_plan.acts[Act.MOVE].trigger()

    QTest.keyClick(focused(), Qt.Key.Key_Escape)
    settle(qtbot, window)

    assert not page_of(window).body.bar.to_time.isVisible()
    assert signs(window, Mark.BEDTIME)[10] == (Sign.OVERDUE,)


def test_enter_on_what_is_due_begins_its_reading(window: Window) -> None:
    go_to(window, Mark.BEDTIME, TODAY)

    QTest.keyClick(focused(), Qt.Key.Key_Return)

    assert window._now is not None
    line = window._now.line
    assert focused() is line
    QTest.keyClicks(line, "7.2")
    assert line.text() == "7.2 bedtime"


def test_enter_on_what_is_done_shows_the_reading(window: Window, qtbot: QtBot) -> None:
    go_to(window, Mark.WAKING, TODAY)

    QTest.keyClick(focused(), Qt.Key.Key_Return)
    settle(qtbot, window)

    assert window.stack.currentWidget() is window.page("readings")


def test_the_list_of_the_day_speaks_of_the_same_test(window: Window) -> None:
    go_to(window, Mark.BEDTIME, date(2026, 3, 11))
    body = page_of(window).body

    body.tests.setFocus()

    assert mark_spoken_of(body) is Mark.BEDTIME
    QTest.keyClick(body.tests, Qt.Key.Key_Up)
    assert mark_spoken_of(body) is Mark.WAKING


# What is done with the plan.


def test_a_plan_is_chosen_and_the_running_one_ends(window: Window, qtbot: QtBot) -> None:
    page_of(window).actions_of_plan.choose.trigger()
    dialog = dialog_of(window, PlanDialog)
    assert isinstance(dialog, PlanDialog)
    dialog.kind.choose("staggered")
    dialog.kind.activated.emit(dialog.kind.currentIndex())

    dialog.saves.click()
    settle(qtbot, window)

    session = window.session
    assert session is not None
    old, new = plans_of(session.diary, session.person)
    assert old.to_day == TODAY.toordinal() - 1
    assert (new.kind, new.from_day) == ("staggered", TODAY.toordinal())
    assert tuple(replace(r, id=0, uid=None) for r in new.rules) == tuple(
        trade_plan("staggered").in_force(TODAY).rules
    )

    window.menus.undo.trigger()
    settle(qtbot, window)
    assert [each.to_day for each in plans_of(session.diary, session.person)] == [None]


def test_what_saving_does_is_said_before_it_is_done(window: Window) -> None:
    page_of(window).actions_of_plan.choose.trigger()
    dialog = dialog_of(window, PlanDialog)
    assert isinstance(dialog, PlanDialog)

    assert dialog._effect.text() == (
        "2 tests in force from 12 March 2026. “Term” ends on 11 March 2026; what it planned until "
        "then stays. Undo takes it back."
    )
    dialog.beside.setChecked(True)
    assert "ends on" not in dialog._effect.text()


def test_a_plan_for_a_few_days_goes_beside_the_running_one(window: Window, qtbot: QtBot) -> None:
    page_of(window).actions_of_plan.choose.trigger()
    dialog = dialog_of(window, PlanDialog)
    assert isinstance(dialog, PlanDialog)
    dialog.kind.choose("seven-point")
    dialog.kind.activated.emit(dialog.kind.currentIndex())
    dialog.first.setDate(QDate(2026, 3, 14))
    dialog.last.setDate(QDate(2026, 3, 16))

    dialog.saves.click()
    settle(qtbot, window)

    session = window.session
    assert session is not None
    old, new = plans_of(session.diary, session.person)
    assert old.to_day is None
    assert date.fromordinal(new.to_day or 0) == date(2026, 3, 16)


def test_one_time_is_changed_and_the_rest_stays_what_it_was(window: Window, qtbot: QtBot) -> None:
    session = window.session
    assert session is not None
    before = plans_of(session.diary, session.person)[0]
    page_of(window).actions_of_plan.change.trigger()
    dialog = dialog_of(window, PlanDialog)
    assert isinstance(dialog, PlanDialog)

    dialog.tests[2].time.setTime(QTime(20, 45))
    dialog.saves.click()
    settle(qtbot, window)

    old, new = plans_of(session.diary, session.person)
    assert old.to_day == TODAY.toordinal() - 1
    assert marks_of(new) == marks_of(before)
    assert f"{new.rules[2].start:%H:%M}" == "20:45"
    assert new.rules[1].recurs == before.rules[1].recurs
    assert page_of(window).body.tests.rows[-1].when == "20:45"


def test_a_test_is_added_and_one_left_out(window: Window, qtbot: QtBot) -> None:
    page_of(window).actions_of_plan.change.trigger()
    dialog = dialog_of(window, PlanDialog)
    assert isinstance(dialog, PlanDialog)

    dialog.tests[1].remove.click()
    dialog.add.click()
    form = dialog.tests[-1]
    assert form.isAncestorOf(dialog.focusWidget() or dialog)
    form.mark.choose(Mark.NIGHT)
    form.time.setTime(QTime(2, 30))
    form.repeat(ON_WEEKDAYS)
    for day in (1, 3):
        form.weekdays[day].setChecked(True)
    dialog.saves.click()
    settle(qtbot, window)

    session = window.session
    assert session is not None
    new = plans_of(session.diary, session.person)[-1]
    assert marks_of(new) == [Mark.WAKING, Mark.BEDTIME, Mark.NIGHT]
    assert new.rules[-1].rrule == "FREQ=WEEKLY;BYDAY=TU,TH"


def test_a_form_that_makes_no_sense_says_so_and_keeps_what_was_typed(window: Window) -> None:
    page_of(window).actions_of_plan.change.trigger()
    dialog = dialog_of(window, PlanDialog)
    assert isinstance(dialog, PlanDialog)
    dialog.name.setText("Mine")
    for form in list(dialog.tests):
        form.remove.click()

    dialog.saves.click()

    assert dialog.isVisible()
    assert dialog._trouble.error == "A plan needs at least one test. Nothing was changed."
    assert dialog.name.text() == "Mine"


def test_the_plan_is_paused_and_resumed(window: Window, qtbot: QtBot) -> None:
    pause = page_of(window).actions_of_plan.pause
    assert pause.text() == "Pause the plan from today"

    pause.trigger()
    settle(qtbot, window)
    assert signs(window, Mark.BEDTIME)[10] == (Sign.ASIDE,)
    assert pause.text() == "Resume the plan from today"

    pause.trigger()
    settle(qtbot, window)
    assert signs(window, Mark.BEDTIME)[10] == (Sign.OVERDUE,)


def test_every_version_can_be_read(window: Window, qtbot: QtBot) -> None:
    session = window.session
    assert session is not None
    plan = trade_plan("five-point").in_force(TODAY)
    set_plan(session.diary, session.person, plan, now=NOW)
    session.changed()
    page_of(window).mark_stale()
    settle(qtbot, window)

    page_of(window).actions_of_plan.history.trigger()

    dialog = dialog_of(window, HistoryDialog)
    said = [each.text() for each in dialog.findChildren(QWidget) if hasattr(each, "text")]
    assert "2. Five-point profile, in force since 12 March 2026" in said
    assert "1. Term, 2 March 2026 to 11 March 2026" in said
    assert "before lunch · Tue, Thu · 12:30" in said


def test_a_calendar_file_is_written_without_naming_anybody(
    window: Window, qtbot: QtBot, tmp_path: Path
) -> None:
    page_of(window).actions_of_plan.calendar.trigger()
    dialog = dialog_of(window, CalendarDialog)
    assert isinstance(dialog, CalendarDialog)
    dialog.quiet.setChecked(True)

    dialog.write(tmp_path / "plan.ics")

    text = (tmp_path / "plan.ics").read_text(encoding="utf-8")
    assert text.count("BEGIN:VEVENT") == 3
    assert "BEGIN:VALARM" in text
    assert "Tilde" not in text
    assert "bedtime" not in text
    assert window.notice.sentence == (
        "3 planned tests written to plan.ics; bring it into a calendar."
    )


def test_something_else_in_the_way_of_the_calendar_file_is_left_alone(
    window: Window, tmp_path: Path
) -> None:
    there = tmp_path / "letter.ics"
    there.write_text("Dear aunt", encoding="utf-8")
    page_of(window).actions_of_plan.calendar.trigger()
    dialog = dialog_of(window, CalendarDialog)
    assert isinstance(dialog, CalendarDialog)

    dialog.write(there)

    assert there.read_text(encoding="utf-8") == "Dear aunt"
    assert "left as it is" in dialog._trouble.error


def test_the_days_shown_step_by_weeks_and_come_back(window: Window, qtbot: QtBot) -> None:
    actions = page_of(window).actions_of_plan

    actions.later.trigger()
    settle(qtbot, window)
    assert read_of(window).period.last == TODAY + timedelta(days=7)
    assert page_of(window).body.tests.rows[0].note == "done 07:04"  # still today

    actions.today.trigger()
    settle(qtbot, window)
    assert read_of(window).period.last == TODAY


# Reminders, sick days, opening with the session.


def test_a_follow_up_is_switched_off_and_taken_back(window: Window, qtbot: QtBot) -> None:
    session = window.session
    assert session is not None
    box = page_of(window).body.reminders
    assert box.kinds["low_recheck"].isChecked()

    QTest.keyClick(box.kinds["low_recheck"], Qt.Key.Key_Space)
    settle(qtbot, window)
    rules = {each.kind: each.on for each in follow_rules_of(session.diary, session.person)}
    assert rules == {"low_recheck": False}

    window.menus.undo.trigger()
    settle(qtbot, window)
    assert box.kinds["low_recheck"].isChecked()


def test_everything_is_on_until_it_is_switched_off_by_itself(window: Window, qtbot: QtBot) -> None:
    session, box = window.session, page_of(window).body.reminders
    assert session is not None
    at_first = [each.isChecked() for each in box.kinds.values()]

    QTest.keyClick(box.kinds["kit"], Qt.Key.Key_Space)
    settle(qtbot, window)

    assert all(at_first)
    assert [kind for kind, each in box.kinds.items() if not each.isChecked()] == ["kit"]
    rules = {each.kind: each.on for each in follow_rules_of(session.diary, session.person)}
    assert rules == {"kit": False}


def test_quiet_hours_and_the_rest_are_kept_for_the_person(window: Window, qtbot: QtBot) -> None:
    box = page_of(window).body.reminders
    assert not box.begins.isEnabled()

    box.quiet.click()
    settle(qtbot, window)
    box.begins.setTime(QTime(21, 30))
    box.begins.editingFinished.emit()
    box.values.click()
    settle(qtbot, window)

    read = page_of(window).read
    assert read is not None
    assert read.wishes.quiet == (21 * 60 + 30, 7 * 60)
    assert not read.wishes.with_values
    assert box.begins.isEnabled()


def test_it_says_plainly_that_it_is_no_alarm(window: Window) -> None:
    said = page_of(window).body.reminders._no_alarm.text()

    assert "not an alarm and wakes nobody" in said
    assert "on a computer that is on and awake" in said


def test_opening_with_the_session_writes_one_file_and_removes_it(
    window: Window, home: Path
) -> None:
    box = page_of(window).body.reminders
    file = home / ".config" / "autostart" / "thimblebook.desktop"

    box.start.click()
    lines = file.read_text(encoding="utf-8").splitlines()
    assert lines[0] == "[Desktop Entry]"
    assert any(line.startswith("Exec=") and line.endswith("-m app open") for line in lines)

    box.start.click()
    assert not file.exists()


def test_a_path_with_odd_letters_is_quoted_as_the_desktop_reads_it(tmp_path: Path) -> None:
    found = autostart(("/opt/my $app/bin", "50%"), platform="linux", environment={}, home=tmp_path)

    assert found.path == tmp_path / ".config" / "autostart" / "thimblebook.desktop"
    assert 'Exec="/opt/my \\\\$app/bin" 50%%\n' in found.text
    assert found.tried


@pytest.mark.parametrize(
    ("platform", "end", "part"),
    [
        ("win32", "Startup/Thimblebook.cmd", '"C:\\Program Files\\py.exe" "-m"'),
        ("darwin", "LaunchAgents/thimblebook.plist", "<string>C:\\Program Files\\py.exe</string>"),
    ],
)
def test_other_systems_have_a_file_too_marked_as_untried(
    platform: str, end: str, part: str, tmp_path: Path
) -> None:
    command = ("C:\\Program Files\\py.exe", "-m")

    found = autostart(command, platform=platform, environment={}, home=tmp_path)

    assert found.path.as_posix().endswith(end)
    assert part in found.text
    assert not found.tried


def test_sick_days_begin_and_end_in_their_window(window: Window, qtbot: QtBot) -> None:
    page_of(window).actions_of_plan.sick.trigger()
    dialog = dialog_of(window, SickDialog)
    assert isinstance(dialog, SickDialog)
    settle(qtbot, window)
    assert focused() is dialog.begins

    QTest.keyClick(focused(), Qt.Key.Key_Return)
    settle(qtbot, window)

    assert dialog.ends.isVisible()
    assert dialog._when.text().startswith("since Thursday 12 March 2026, they go on")
    assert dialog.chart.accessibleName().startswith("Glucose: ")
    assert signs(window, Mark.BEDTIME)[10] == (Sign.ASIDE,)


# A rule as a form.


@pytest.mark.parametrize("key", [each.key for each in trade_plans()])
def test_every_plan_of_the_trade_goes_through_the_form_unchanged(key: str) -> None:
    for rule in trade_plan(key).in_force(FIRST).rules:
        row = row_of(rule)

        assert row.repeats != AS_IT_IS
        assert rule_of(row, FIRST) == rule
        # Made anew from what the form says alone it is the same test, on the same turns.
        anew = rule_of(replace(row, text="x"), FIRST)
        assert replace(anew, text=rule.text) == rule


def test_a_rule_that_no_form_shows_is_kept_and_only_its_time_is_changed() -> None:
    rule = planned_test({"mark": "waking", "at": "07:00", "rrule": "FREQ=MONTHLY;BYDAY=1MO"}, FIRST)

    row = row_of(rule)
    changed = rule_of(replace(row, minute=8 * 60), FIRST)

    assert row.repeats == AS_IT_IS
    assert changed.recurs == rule.recurs
    assert f"{changed.start:%Y-%m-%d %H:%M}" == "2026-03-02 08:00"


def test_a_changed_turn_keeps_its_day() -> None:
    rule = planned_test({"mark": "waking", "at": "07:00", "every": 3, "day": 1}, FIRST)

    changed = rule_of(replace(row_of(rule), minute=8 * 60), TODAY)

    assert (changed.start.date(), changed.start.hour) == (date(2026, 3, 3), 8)
    assert row_of(changed).repeats == EVERY_N


ROWS = st.builds(
    RuleRow,
    mark=st.sampled_from([None, Mark.WAKING, Mark.AFTER_LUNCH, Mark.NIGHT]),
    minute=st.integers(0, 1439),
    repeats=st.just(ON_WEEKDAYS),
    weekdays=st.sets(st.integers(0, 6), min_size=1).map(lambda days: tuple(sorted(days))),
    school=st.sampled_from(["any", "school", "free"]),
    until=st.none() | st.dates(date(2026, 1, 1), date(2030, 1, 1)),
    text=st.none() | st.just("after the swim"),
)


@given(row=ROWS)
def test_whatever_the_form_says_comes_back_from_its_rule(row: RuleRow) -> None:
    assert replace(row_of(rule_of(row, FIRST)), kept=None) == row


def test_a_state_never_stands_without_a_sign_or_a_reason() -> None:
    assert {state.value for state in State} == {
        "upcoming",
        "due",
        "done",
        "done_late",
        "missed",
        "not_expected",
    }
    assert len({sign.value for sign in Sign}) == len(list(Sign))


def test_a_pause_made_elsewhere_is_seen(window: Window, qtbot: QtBot) -> None:
    session = window.session
    assert session is not None
    pause_plan(session.diary, session.person, TODAY, None, now=NOW)

    page_of(window).mark_stale()
    settle(qtbot, window)

    read = page_of(window).read
    assert read is not None
    assert read.is_paused
    assert isinstance(window.notice, Notice)
    assert isinstance(page_of(window).body.reminders, ReminderBox)
