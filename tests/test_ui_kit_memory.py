"""May this memory be cleared? In the window: every record, a backup, and a memory to be kept."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.store.diary_file import open_diary
from app.ui.kit.memory_box import MemoryBox
from app.ui.kit.page import KitPage
from app.ui.readings.page import ReadingsPage
from app.ui.window import Window
from app.work.backup import backup_now
from tests.commands import Terminal
from tests.households import INSTALLATION
from tests.kit_windows import back, kit_page, press, tab_to, texts
from tests.test_cli_memory import CONTROLS, JULY, OTHERS, TYPED, a_file, a_memory, answers, line
from tests.test_cli_memory import terminal as terminal  # its kit, and what was typed
from tests.windows import settle

LATER = JULY + timedelta(minutes=10)


@pytest.fixture
def copied(terminal: Terminal) -> Terminal:
    """A copy of 250 records: two are probably one with a typed reading, and wait for an answer."""
    file = a_file(terminal, a_memory(250))
    said = [*answers(CONTROLS, "control"), *answers(OTHERS, "not-mine")]
    terminal.ok("import", file, "--meter", "blue", *said)
    return terminal


@pytest.fixture
def shown(copied: Terminal, qtbot: QtBot) -> Iterator[tuple[Window, KitPage]]:
    with open_diary(copied.diary, INSTALLATION) as diary:
        yield kit_page(qtbot, diary, now=LATER)


def opened(qtbot: QtBot, window: Window, page: KitPage) -> MemoryBox:
    """Open the memory of the first meter by the keyboard."""
    table = tab_to("Meters, and whether their memory")
    QTest.keyClick(table, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page.memories.box is not None)
    box = page.memories.box
    assert box is not None
    qtbot.waitUntil(box.isActiveWindow)
    settle(qtbot, window)
    return box


def taken_in(terminal: Terminal) -> None:
    """Answer for the two records, as the import asks."""
    file = str(terminal.folder / "blue.csv")
    asked = terminal.ok("import", file, "--meter", "blue", "--json").json["asked"]
    said = [part for each in asked for part in each["answers"][0].split()]
    terminal.ok("import", file, "--meter", "blue", *said)


def test_two_of_250_are_not_copied_and_are_listed(
    qtbot: QtBot, shown: tuple[Window, KitPage]
) -> None:
    window, page = shown

    row = [texts(page.memories.table, column)[0] for column in range(7)]
    box = opened(qtbot, window, page)

    assert row == ["blue", "Not yet", "250", "241", "4", "3", "2"]
    assert box.answer.text() == (
        "Not yet: 2 of 250 not copied. Clearing a meter can't be taken back."
    )
    assert box.counts.text() == (
        "250 records = 241 mine + 4 control tests + 3 not mine + 2 not copied"
    )
    assert texts(box.table, 0) == [str(line(place)) for place in TYPED]
    assert box.why.text().startswith("probably one with the")


def test_each_of_the_250_records_is_one_of_the_four(
    qtbot: QtBot, shown: tuple[Window, KitPage]
) -> None:
    window, page = shown
    box = opened(qtbot, window, page)
    choice = tab_to("Which records")

    QTest.keyClick(choice, Qt.Key.Key_Home)

    assert len(texts(box.table, 0)) == 250
    where = texts(box.table, 2)
    kinds = ("mine", "control test", "not mine", "not copied")
    assert [where.count(each) for each in kinds] == [241, 4, 3, 2]
    QTest.keyClicks(choice, "control")
    assert len(texts(box.table, 0)) == 4


def test_all_are_accounted_for_once_taken_in_and_backed_up(
    qtbot: QtBot, shown: tuple[Window, KitPage], copied: Terminal
) -> None:
    window, page = shown
    taken_in(copied)
    page.session.changed()
    settle(qtbot, window)
    box = opened(qtbot, window, page)
    unsaved = box.answer.text()

    press("Make a backup now")
    qtbot.waitUntil(lambda: box.answer.text() != unsaved)

    assert unsaved.startswith("Not yet: all 250 accounted for, but no backup was checked since.")
    assert box.answer.text() == (
        "All 250 accounted for; backup checked Fri 24 Jul 10:10. "
        "Clearing a meter can't be taken back."
    )
    QTest.keyClick(box, Qt.Key.Key_Escape)
    back(qtbot, window)
    assert texts(page.memories.table, 1) == ["Yes: all accounted for"]


def test_the_two_are_taken_in_and_the_memory_is_accounted_for_in_the_window_alone(
    qtbot: QtBot,
    shown: tuple[Window, KitPage],
    copied: Terminal,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    window, page = shown
    before = texts(page.memories.table, 6)
    window.show_page("readings")
    readings = window.page("readings")
    assert isinstance(readings, ReadingsPage)
    readings.bring_in(copied.folder / "blue.csv")
    settle(qtbot, window)
    QTest.keyClicks(tab_to("Meter"), "blue")
    settle(qtbot, window)
    QTest.keyClick(tab_to("All 2 are one"), Qt.Key.Key_Space)
    settle(qtbot, window)
    QTest.keyClick(tab_to("Save"), Qt.Key.Key_Return)
    settle(qtbot, window)
    page.session.changed()
    window.show_page("kit")
    back(qtbot, window)
    taken = [texts(page.memories.table, column)[0] for column in range(1, 7)]
    box = opened(qtbot, window, page)
    monkeypatch.setattr(page.session, "now", lambda: LATER + timedelta(minutes=1))
    press("Make a backup now")
    qtbot.waitUntil(lambda: box.answer.text().startswith("All 250 accounted for; backup checked"))

    assert before == ["2"]
    assert taken == ["Not yet", "250", "243", "4", "3", "0"]
    QTest.keyClick(box, Qt.Key.Key_Escape)
    back(qtbot, window)
    assert texts(page.memories.table, 1) == ["Yes: all accounted for"]


def test_a_memory_that_must_be_kept_is_never_cleared(
    qtbot: QtBot, shown: tuple[Window, KitPage], copied: Terminal
) -> None:
    window, page = shown
    taken_in(copied)
    copied.ok("backup", now=LATER)
    page.session.changed()
    settle(qtbot, window)
    box = opened(qtbot, window, page)
    assert box.answer.text().startswith("All 250 accounted for")

    press("Its memory must be kept")
    qtbot.waitUntil(lambda: box.answer.text().startswith("Do not clear blue"))
    settle(qtbot, window)

    assert box.keep.isChecked()
    QTest.keyClick(box, Qt.Key.Key_Escape)
    back(qtbot, window)
    assert texts(page.memories.table, 1) == ["Never: it must be kept"]
    copied.ok("backup", now=LATER + timedelta(minutes=1))
    page.session.changed()
    settle(qtbot, window)
    assert texts(page.memories.table, 1) == ["Never: it must be kept"]


def test_a_check_is_kept_once_and_a_look_at_the_page_keeps_nothing(
    qtbot: QtBot, shown: tuple[Window, KitPage], copied: Terminal
) -> None:
    window, page = shown
    diary = page.session.diary

    def checks() -> int:
        with diary.reading() as connection:
            found = connection.exec_driver_sql("SELECT count(*) FROM memory_check")
            return int(found.scalar_one())

    looked = checks()
    for _ in range(2):
        box = opened(qtbot, window, page)
        QTest.keyClick(box, Qt.Key.Key_Escape)
        back(qtbot, window)

    assert looked == 0
    assert checks() == 1


def test_when_it_writes_over_is_told_or_said_to_be_unknown(
    qtbot: QtBot, shown: tuple[Window, KitPage], copied: Terminal
) -> None:
    window, page = shown
    known = texts(page.memories.table, 7)
    copied.ok("kit", "meter", "add", "spare")
    page.session.changed()
    settle(qtbot, window)

    assert known == ["about Wed 14 Oct"]
    assert texts(page.memories.table, 7) == ["about Wed 14 Oct", "unknown"]
    table = tab_to("Meters, and whether their memory")
    QTest.keyClick(table, Qt.Key.Key_Down)
    box = opened(qtbot, window, page)
    assert box.found.meter.name == "spare"
    assert box.answer.text().startswith("Not yet: no copy of its memory was brought in.")
    assert "unknown, for that needs how many results its memory holds" in box.more.text()
    assert QApplication.focusWidget() is box.leave


def test_a_backup_of_the_window_is_seen_at_once(qtbot: QtBot, copied: Terminal) -> None:
    taken_in(copied)
    with open_diary(copied.diary, INSTALLATION) as diary:
        window, page = kit_page(qtbot, diary, now=LATER)
        before = texts(page.memories.table, 1)
        backup_now(diary, now=LATER)
        page.session.backed_up.emit()
        qtbot.waitUntil(lambda: texts(page.memories.table, 1) != before)
        settle(qtbot, window)
        after = texts(page.memories.table, 1)

    assert before == ["Not yet"]
    assert after == ["Yes: all accounted for"]
