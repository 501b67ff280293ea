"""Meters' clocks on the Kit page, by the keyboard: found, set right, left, in doubt, undated."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QCheckBox, QWidget
from pytestqt.qtbot import QtBot

from app.review.clocks import clocks_of
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.state_hash import state_hash
from app.ui.kit.clocks_box import ClockBox
from app.ui.kit.clocks_forms import SettingForm, StayForm, StretchForm
from app.ui.kit.clocks_repair import RepairDialog
from app.ui.kit.page import KitPage
from app.ui.window import Window
from app.work.note_days import note_days
from sample_db import corwin_life
from tests.commands import Terminal
from tests.households import INSTALLATION
from tests.memories import brought_in
from tests.test_ui_reach import cut
from tests.windows import settle, shown_on

LATER = datetime(2026, 11, 24, 12, 0, tzinfo=UTC)
RESTARTED = (
    "Date,Time,Glucose (mmol/L)\n2020-01-01,00:20,6.1\n2020-01-05,22:10,9.9\n2020-01-10,13:05,7.7\n"
)
TRUE = ["2026-11-14T18:40", "2026-11-19T16:30", "2026-11-24T07:25"]
BY_LAST = ["2026-11-14T19:20", "2026-11-19T17:10", "2026-11-24T08:05"]


@pytest.fixture
def begun(tmp_path: Path) -> Terminal:
    """A child's diary with nothing in it."""
    there = Terminal(tmp_path, now=LATER)
    there.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return there


@pytest.fixture
def terminal(begun: Terminal) -> Terminal:
    """The same with a copy of blue's memory, whose clock began anew on 14 November."""
    copied(begun, RESTARTED)
    return begun


@pytest.fixture
def with_undated(begun: Terminal) -> Iterator[Diary]:
    """Two weeks before the clock began anew, too: the records after that have no time."""
    before = "".join(f"2026-11-{day:02},07:05,7.0\n" for day in range(1, 15))
    copied(begun, "Date,Time,Glucose (mmol/L)\n" + before + RESTARTED.partition("\n")[2])
    with open_diary(begun.diary, INSTALLATION) as opened:
        yield opened


@pytest.fixture
def diary(terminal: Terminal) -> Iterator[Diary]:
    with open_diary(terminal.diary, INSTALLATION) as opened:
        yield opened


def copied(terminal: Terminal, text: str) -> None:
    path = terminal.folder / "blue.csv"
    path.write_text(text)
    terminal.ok("import", str(path), "--meter", "blue")


def kit(qtbot: QtBot, diary: Diary, *, now: datetime = LATER) -> tuple[Window, KitPage]:
    window = shown_on(qtbot, diary, now=now)
    window.show_page("kit")
    settle(qtbot, window)
    page = window.page("kit")
    assert isinstance(page, KitPage)
    return window, page


def times(diary: Diary) -> list[str | None]:
    (memory,) = clocks_of(diary, persons(diary)[0]).memories
    return [None if each.held is None else each.held.wall for each in memory.records]


def preview(dialog: RepairDialog, column: int = 3) -> list[str]:
    model = dialog.preview.table.model()
    return [model.index(row, column).data() for row in range(model.rowCount())]


def pressed(qtbot: QtBot, window: Window, widget: QWidget) -> None:
    QTest.keyClick(widget, Qt.Key.Key_Return)
    settle(qtbot, window)


def undone(qtbot: QtBot, window: Window) -> None:
    """Press the keys of Undo in the page, as soon as the menu knows what they are about."""
    window.activateWindow()  # with no screen nobody does so when a dialog closes
    qtbot.waitUntil(lambda: window.isActiveWindow() and window.menus.undo.isEnabled())
    window.page("kit").take_focus()
    QTest.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, window)


def the_box(page: KitPage) -> ClockBox:
    (box,) = page.clocks.open_boxes
    return box


def opened(qtbot: QtBot, window: Window, page: KitPage) -> RepairDialog:
    pressed(qtbot, window, the_box(page).buttons[0])
    dialog = page.clocks.dialog
    assert isinstance(dialog, RepairDialog)
    return dialog


def typed(dialog: RepairDialog, at: int, shown: str, true: str, why: str = "") -> None:
    moment = dialog.moments[at]
    for field, text in ((moment.shown, shown), (moment.true, true), (moment.why, why)):
        field.selectAll()
        QTest.keyClick(field, Qt.Key.Key_Delete)
        QTest.keyClicks(field, text)


def battery(dialog: RepairDialog) -> None:
    typed(dialog, 0, "2020-01-01 00:00", "14 Nov 18:20", "battery")


def set_right(qtbot: QtBot, window: Window, page: KitPage) -> None:
    dialog = opened(qtbot, window, page)
    battery(dialog)
    pressed(qtbot, window, dialog.save)


def reopened(qtbot: QtBot, window: Window, page: KitPage) -> RepairDialog:
    """The repair that was made, opened from the history of clocks."""
    table = page.clocks.table
    table.setFocus()
    table.setCurrentIndex(table.model().index(0, 0))
    pressed(qtbot, window, table)
    dialog = page.clocks.dialog
    assert isinstance(dialog, RepairDialog)
    return dialog


def test_a_stretch_that_looks_wrong_stands_on_the_page_and_nothing_is_changed(
    qtbot: QtBot, diary: Diary
) -> None:
    before = state_hash(diary)

    _, page = kit(qtbot, diary)

    said = the_box(page).accessibleName()
    assert "blue: the clock began anew at a date of the maker's." in said
    assert "3 records, stamped 2020-01-01 00:20 to 2020-01-10 13:05." in said
    assert said.endswith("Nothing was changed.")
    assert state_hash(diary) == before


def test_every_key_shows_old_and_new_times_and_writes_nothing(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit(qtbot, diary)
    before = state_hash(diary)
    dialog = opened(qtbot, window, page)
    assert preview(dialog) == ["–", "–", "–"]
    assert not dialog.save.isEnabled()

    battery(dialog)

    assert preview(dialog, 0) == ["2020-01-01 00:20", "2020-01-05 22:10", "2020-01-10 13:05"]
    assert preview(dialog) == ["Sat 14 Nov 18:40", "Thu 19 Nov 16:30", "Tue 24 Nov 07:25"]
    assert "One known moment" in dialog.words.text()
    assert state_hash(diary) == before


def test_the_clock_is_set_right_and_one_undo_restores_exactly(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit(qtbot, diary)
    before, stamped = state_hash(diary), times(diary)
    dialog = opened(qtbot, window, page)
    battery(dialog)

    QTest.keyClick(dialog.moments[0].true, Qt.Key.Key_Return)
    assert times(diary) == stamped
    assert dialog.save.hasFocus()
    pressed(qtbot, window, dialog.save)

    assert times(diary) == TRUE
    assert page.clocks.open_boxes == []
    raw = [each.raw for each in clocks_of(diary, persons(diary)[0]).memories[0].records]
    assert raw == ["2020-01-01 00:20", "2020-01-05 22:10", "2020-01-10 13:05"]
    undone(qtbot, window)
    assert state_hash(diary) == before
    assert len(page.clocks.open_boxes) == 1


def test_a_second_moment_that_disagrees_is_shown_and_nothing_is_chosen(
    qtbot: QtBot, diary: Diary
) -> None:
    window, page = kit(qtbot, diary)
    set_right(qtbot, window, page)
    dialog = reopened(qtbot, window, page)
    assert [box.text() for box in dialog.held] == [
        "2020-01-01 00:00 was Sat 14 Nov 18:20 (battery)"
    ]

    typed(dialog, 0, "2020-01-10 13:05", "24 Nov 08:05")

    assert "disagree by 40 min. Nothing is chosen" in dialog.words.text()
    assert preview(dialog, 3)[2] == "Tue 24 Nov 07:25"
    assert preview(dialog, 4)[2] == "Tue 24 Nov 08:05"
    assert not dialog.save.isEnabled()
    assert dialog.keep.isVisible()
    QTest.keyClick(dialog.moments[0].true, Qt.Key.Key_Return)
    assert times(diary) == TRUE


def test_moments_that_disagree_can_be_kept_and_settled_later(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit(qtbot, diary)
    set_right(qtbot, window, page)
    dialog = reopened(qtbot, window, page)
    typed(dialog, 0, "2020-01-10 13:05", "24 Nov 08:05")

    pressed(qtbot, window, dialog.keep)

    assert times(diary) == [None, None, None]
    said = the_box(page).accessibleName()
    assert "blue: two known moments disagree by 40 min." in said
    assert "3 readings stand without a time" in said
    dialog = opened(qtbot, window, page)
    QTest.keyClick(dialog.held[0], Qt.Key.Key_Space)
    assert preview(dialog) == ["Sat 14 Nov 19:20", "Thu 19 Nov 17:10", "Tue 24 Nov 08:05"]
    pressed(qtbot, window, dialog.save)
    assert times(diary) == BY_LAST
    assert page.clocks.open_boxes == []


def test_a_steady_drift_is_told(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit(qtbot, diary)
    dialog = opened(qtbot, window, page)
    battery(dialog)

    typed(dialog, 1, "2020-01-10 13:05", "24 Nov 07:29")

    assert "fit one rate" in dialog.words.text()
    assert preview(dialog) == ["Sat 14 Nov 18:40", "Thu 19 Nov 16:32", "Tue 24 Nov 07:29"]


def test_enter_on_a_line_takes_its_stamp_for_the_moment_that_was_typed_in_last(
    qtbot: QtBot, diary: Diary
) -> None:
    window, page = kit(qtbot, diary)
    dialog = opened(qtbot, window, page)
    table = dialog.preview.table
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_Down)
    QTest.keyClick(table, Qt.Key.Key_Down)

    QTest.keyClick(table, Qt.Key.Key_Return)

    assert dialog.moments[0].shown.text() == "2020-01-10 13:05"
    assert dialog.moments[0].true.hasFocus()
    QTest.keyClicks(dialog.moments[0].true, "24 Nov 08:05")
    assert preview(dialog)[2] == "Tue 24 Nov 08:05"


def test_an_order_that_cannot_be_is_refused_in_words(terminal: Terminal, qtbot: QtBot) -> None:
    copied(terminal, RESTARTED + "2026-11-24,09:00,8.8\n")
    with open_diary(terminal.diary, INSTALLATION) as diary:
        window, page = kit(qtbot, diary)
        dialog = opened(qtbot, window, page)

        typed(dialog, 0, "2020-01-10 13:05", "24 Nov 09:30")

        assert "That order cannot be." in dialog.words.text()
        assert not dialog.save.isEnabled()
        assert preview(dialog) == ["–", "–", "–", "after them"]
        window.close()


@pytest.mark.parametrize(
    ("shown", "true", "said"),
    [
        ("2020-01-01 00:20", "20 Nov 2026 18:40", "has not come yet"),
        ("2020-01-01 00:20", "1 Dec 2026 10:00", "has not come yet"),
        ("noon", "14 Nov 18:20", "is no stamp"),
        ("2020-01-01 00:20", "some day", "is not a time"),
        ("2020-01-01 00:20", "2026-10-25 01:30", "came twice"),
    ],
)
def test_what_cannot_be_is_said_and_what_was_typed_stays(
    qtbot: QtBot, diary: Diary, shown: str, true: str, said: str
) -> None:
    window, page = kit(qtbot, diary)
    dialog = opened(qtbot, window, page)

    typed(dialog, 0, shown, true)

    assert said in dialog.words.text()
    assert dialog.moments[0].true.text() == true
    assert not dialog.save.isEnabled()


def test_a_stretch_can_be_left_as_it_is(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit(qtbot, diary)
    before = times(diary)

    pressed(qtbot, window, the_box(page).button("It is right: leave as it is"))

    assert page.clocks.open_boxes == []
    assert times(diary) == before
    undone(qtbot, window)
    assert len(page.clocks.open_boxes) == 1


def test_a_stretch_can_be_kept_in_doubt(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit(qtbot, diary)

    pressed(qtbot, window, the_box(page).button("Cannot say: keep in doubt"))

    assert "Kept in doubt until more is known." in the_box(page).accessibleName()
    assert len(the_box(page).buttons) == 2
    assert int(page.session.record.columns.doubt.astype(bool).sum()) == 3


def test_a_setting_is_entered_and_proposes_the_repair(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit(qtbot, diary)
    pressed(qtbot, window, page.clocks.set)
    form = page.clocks.dialog
    assert isinstance(form, SettingForm)
    for line, text in (
        (form.when, "14 Nov 18:20"),
        (form.after, "2020-01-01 00:00"),
        (form.cause, "battery"),
    ):
        line.selectAll()
        QTest.keyClicks(line, text)

    pressed(qtbot, window, form.save)

    table = page.clocks.table.model()
    assert [table.index(0, column).data() for column in range(4)] == [
        "Sat 14 Nov 18:20",
        "blue",
        "showed 2020-01-01 00:00 from then on",
        "battery",
    ]
    dialog = opened(qtbot, window, page)
    assert preview(dialog) == ["Sat 14 Nov 18:40", "Thu 19 Nov 16:30", "Tue 24 Nov 07:25"]


def test_a_setting_that_cannot_be_read_keeps_what_was_typed(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit(qtbot, diary)
    pressed(qtbot, window, page.clocks.set)
    form = page.clocks.dialog
    assert isinstance(form, SettingForm)
    QTest.keyClicks(form.before, "ten past")

    pressed(qtbot, window, form.save)

    assert "is no stamp" in form.trouble.text()
    assert form.before.text() == "ten past"


def test_any_stretch_can_be_chosen_by_its_stamps(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit(qtbot, diary)
    pressed(qtbot, window, page.clocks.another)
    form = page.clocks.dialog
    assert isinstance(form, StretchForm)
    form.first.selectAll()
    QTest.keyClicks(form.first, "2020-01-05 00:00")

    pressed(qtbot, window, form.save)

    dialog = page.clocks.dialog
    assert isinstance(dialog, RepairDialog)
    assert preview(dialog, 0) == ["2020-01-01 00:20", "2020-01-05 22:10", "2020-01-10 13:05"]
    assert preview(dialog) == ["before them", "–", "–"]


def test_a_stay_is_entered(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit(qtbot, diary)
    pressed(qtbot, window, page.clocks.stay)
    form = page.clocks.dialog
    assert isinstance(form, StayForm)
    pressed(qtbot, window, form.save)
    assert "Say which zone" in form.trouble.text()
    for line, text in (
        (form.zone, "America/New_York"),
        (form.first, "2026-11-01 15:00"),
        (form.last, "2026-11-08 11:00"),
    ):
        QTest.keyClicks(line, text)

    with qtbot.waitSignal(page.clocks.done_with) as said:
        pressed(qtbot, window, form.save)

    assert said.args is not None
    assert "A stay in the zone America/New_York was written down" in said.args[0]


def test_a_journey_on_home_time_asks_where_it_was_and_then_shows_its_wall_times(
    qtbot: QtBot, tmp_path: Path
) -> None:
    diary, _ = brought_in(tmp_path, corwin_life.household())
    with diary:
        first, last = corwin_life.HOME.spans[-1].first, corwin_life.HOME.spans[-1].last
        later = datetime(2026, 9, 1, 12, tzinfo=UTC)
        note_days(diary, persons(diary)[0], "journey", first, last, now=later, text="Lisbon")
        window, page = kit(qtbot, diary, now=later)
        pressed(qtbot, window, page.clocks.more_boxes)
        box = page.clocks.open_boxes[-1]
        pressed(qtbot, window, box.button("Say where it was…"))
        form = page.clocks.dialog
        assert isinstance(form, StayForm)
        assert form.first.text() == "2026-06-27 00:09"
        for line, text in (
            (form.zone, "Europe/Lisbon"),
            (form.first, "2026-06-27 06:00"),
            (form.last, "2026-07-05 12:00"),
        ):
            line.selectAll()
            QTest.keyClicks(line, text)
        pressed(qtbot, window, form.save)

        pressed(qtbot, window, page.clocks.open_boxes[-1].button("Set right…"))

        dialog = page.clocks.dialog
        assert isinstance(dialog, RepairDialog)
        assert dialog.words.text() == "By the clocks of Europe/Lisbon, as the stay says."
        assert preview(dialog, 0)[1] == "2026-06-27 00:09"
        assert preview(dialog)[1] == "Sat 27 Jun 06:09"
        instants = page.session.record.columns.instant.tolist()
        pressed(qtbot, window, dialog.save)
        assert len(page.clocks.open_boxes) == 2
        assert page.session.record.columns.instant.tolist() == instants
        window.close()


def test_undated_records_are_listed_apart(qtbot: QtBot, with_undated: Diary) -> None:
    _, page = kit(qtbot, with_undated)

    table = page.clocks.undated.table.model()
    rows = [table.index(row, 0).data() for row in range(table.rowCount())]

    assert rows == ["2020-01-01 00:20", "2020-01-05 22:10", "2020-01-10 13:05"]
    assert "in no figure · n 3" in page.clocks.undated.title.accessibleName()


def test_enter_on_an_undated_record_goes_to_what_would_date_it(
    qtbot: QtBot, with_undated: Diary
) -> None:
    window, page = kit(qtbot, with_undated)
    page.clocks.undated.table.setFocus()

    pressed(qtbot, window, page.clocks.undated.table)

    dialog = page.clocks.dialog
    assert isinstance(dialog, RepairDialog)
    assert preview(dialog, 2) == ["Sat 14 Nov 07:05", "undated", "undated", "undated"]
    battery(dialog)
    pressed(qtbot, window, dialog.save)
    assert times(with_undated)[-3:] == TRUE
    assert not page.clocks.undated.isVisible()


@pytest.mark.parametrize("text", [1.0, 2.0])
def test_nothing_of_a_repair_is_cut_in_the_smallest_window(
    qtbot: QtBot, qapp: QApplication, diary: Diary, text: float
) -> None:
    usual = QFont(qapp.font())
    large = QFont(usual)
    large.setPointSizeF(usual.pointSizeF() * text)
    qapp.setFont(large)
    try:
        window, page = kit(qtbot, diary)
        window.resize(1000, 700)
        settle(qtbot, window)
        assert cut(page.clocks.boxes) == []
        dialog = opened(qtbot, window, page)
        battery(dialog)
        typed(dialog, 1, "2020-01-10 13:05", "24 Nov 08:05")
        settle(qtbot, window)
        assert dialog.width() <= 1000
        assert dialog.height() <= 700
        assert cut(dialog) == []
    finally:
        qapp.setFont(usual)


def test_every_control_of_a_repair_has_a_name_and_tab_comes_to_it(
    qtbot: QtBot, diary: Diary
) -> None:
    window, page = kit(qtbot, diary)
    set_right(qtbot, window, page)
    dialog = reopened(qtbot, window, page)
    typed(dialog, 0, "2020-01-10 13:05", "24 Nov 08:05")
    wanted: set[QWidget] = {
        *dialog.held,
        *(field for each in dialog.moments for field in (each.shown, each.true, each.why)),
        *(dialog.preview.table, dialog.leave, dialog.keep),
    }

    seen = set()
    for _ in range(2 * len(wanted)):
        at = QApplication.focusWidget()
        assert at is not None
        seen.add(at)
        QTest.keyClick(at, Qt.Key.Key_Tab)

    assert wanted <= seen
    assert all(each.accessibleName() or isinstance(each, QCheckBox) for each in seen)


def test_with_no_meter_there_is_nothing_about_clocks(qtbot: QtBot, begun: Terminal) -> None:
    with open_diary(begun.diary, INSTALLATION) as diary:
        window, page = kit(qtbot, diary)

        assert not page.clocks.isVisible()
        assert not page.clocks.boxes.isVisible()
        window.close()
