"""A failed control test on the Kit page: what it puts in doubt, and the person's word on it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.state_hash import state_hash
from app.ui.kit.fail_box import FailBox
from app.ui.kit.page import KitPage
from app.ui.window import Window
from tests.commands import Terminal
from tests.households import INSTALLATION
from tests.kits import JULY, three_vials
from tests.windows import settle, shown_on


def failed(folder: Path) -> Terminal:
    """Readings with vials A, B and C of one meter, and a control test that failed with B."""
    there = three_vials(folder)
    there.ok("kit", "control", "9.5", "--at", "2026-07-24 07:10")
    return there


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    return failed(tmp_path)


@pytest.fixture
def passed(terminal: Terminal) -> Iterator[Diary]:
    """The same, after a pass with vial C and one more reading."""
    terminal.ok("kit", "control", "6.6", "--at", "2026-07-24 07:25")
    terminal.ok("add", "7.0", "--at", "2026-07-24 07:40")
    with open_diary(terminal.diary, INSTALLATION) as opened:
        yield opened


def kit(qtbot: QtBot, diary: Diary) -> tuple[Window, KitPage]:
    window = shown_on(qtbot, diary, now=JULY)
    window.show_page("kit")
    settle(qtbot, window)
    page = window.page("kit")
    assert isinstance(page, KitPage)
    return window, page


def in_doubt(page: KitPage) -> list[str]:
    columns = page.session.record.columns
    return [f"{day} {minute}" for day, minute, bits in zip(
        columns.day.tolist(), columns.minute.tolist(), columns.doubt.tolist(), strict=True
    ) if bits]  # fmt: skip


def reached(box: FailBox, text: str) -> QPushButton:
    """The button of a text, gone to by Tab alone."""
    for _ in range(60):
        at = QApplication.focusWidget()
        if isinstance(at, QPushButton) and at.text() == text and box.isAncestorOf(at):
            return at
        QTest.keyClick(at or box.window(), Qt.Key.Key_Tab)
    raise AssertionError(f"Tab never came to {text!r}")


def test_after_the_fail_four_readings_are_in_doubt_and_the_steps_are_told(
    terminal: Terminal, qtbot: QtBot
) -> None:
    with open_diary(terminal.diary, INSTALLATION) as diary:
        window, page = kit(qtbot, diary)

        (box,) = page.boxes
        said = "\n".join(each.text() for each in box.findChildren(QLabel))

        assert "4 readings are in doubt" in said
        assert "7. Still outside: do not use the results; ask the maker and your care team." in said
        assert len(in_doubt(page)) == 4
        assert [each.accessibleName() for each in box.buttons] == ["Show the 4 in doubt"]
        window.close()


def test_a_pass_with_another_vial_offers_to_narrow_and_waits(qtbot: QtBot, passed: Diary) -> None:
    before = state_hash(passed)

    _, page = kit(qtbot, passed)

    (box,) = page.boxes
    said = " ".join(each.text() for each in box.findChildren(QLabel))
    assert "Vial C passed on the same meter, so the vial may be the cause" in said
    assert "Narrowed to B, 2 readings would stay in doubt, 2 not." in said
    assert len(in_doubt(page)) == 4
    assert state_hash(passed) == before


def test_the_keyboard_narrows_to_the_vial_and_one_undo_takes_it_back(
    qtbot: QtBot, passed: Diary
) -> None:
    window, page = kit(qtbot, passed)
    before = state_hash(passed)
    page.take_focus()

    QTest.keyClick(reached(page.boxes[0], "Narrow to B"), Qt.Key.Key_Return)
    settle(qtbot, window)

    assert len(in_doubt(page)) == 2
    assert page.boxes == []
    window.activateWindow()
    qtbot.waitUntil(lambda: window.isActiveWindow() and window.menus.undo.isEnabled())
    page.take_focus()
    QTest.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, window)
    assert state_hash(passed) == before
    assert len(in_doubt(page)) == 4
    assert len(page.boxes) == 1


def test_the_person_may_keep_all_of_them_in_doubt(qtbot: QtBot, passed: Diary) -> None:
    window, page = kit(qtbot, passed)
    page.take_focus()

    QTest.keyClick(reached(page.boxes[0], "Keep all in doubt"), Qt.Key.Key_Space)
    settle(qtbot, window)

    assert len(in_doubt(page)) == 4
    assert page.boxes == []


def test_the_readings_in_doubt_are_listed_and_enter_goes_to_one(
    qtbot: QtBot, passed: Diary
) -> None:
    window, page = kit(qtbot, passed)
    page.take_focus()
    QTest.keyClick(reached(page.boxes[0], "Show the 4 in doubt"), Qt.Key.Key_Return)
    table = page.doubtful.area.table
    model = table.model()
    whens = [model.index(row, 0).data() for row in range(model.rowCount())]
    results = [model.index(row, 1).data() for row in range(model.rowCount())]
    vials = [model.index(row, 4).data() for row in range(model.rowCount())]
    table.setCurrentIndex(model.index(3, 0))

    with qtbot.waitSignal(page.session.reading_chosen) as chosen:
        QTest.keyClick(table, Qt.Key.Key_Return)

    settle(qtbot, window)
    assert whens == ["Fri 3 Jul 07:00", "Fri 10 Jul 07:00", "Thu 23 Jul 22:00", "Fri 24 Jul 07:05"]
    assert results == ["7.0 mmol/L"] * 4
    assert vials == ["A", "A", "B", "B"]
    assert chosen.args == [page.session.record.columns.id.tolist()[4]]
