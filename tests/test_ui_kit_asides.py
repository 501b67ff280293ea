"""The private note, and the meter against the laboratory, reached from the Kit page."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.domain.glucose import Unit
from app.review.hints import FOR_YOU_ALONE, NOT_IN_MEMORY
from app.review.pairs_drawn import limit_line
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.ui.kit.lab_box import LabBox
from app.ui.kit.page import KitPage
from app.ui.kit.private_note import PrivateNote
from app.ui.window import Window
from tests.commands import Terminal
from tests.households import INSTALLATION, sample_of
from tests.kit_windows import kit_page, press, texts
from tests.windows import settle

JULY = datetime(2026, 7, 24, 9, tzinfo=UTC)
# Reference and meter in mg/dL, with the verdict of ISO 15197:2013 (worked in whole numbers).
PAIRS = (
    *((60, 74, True), (60, 76, False), (85, 99, True), (99, 115, False), (100, 115, True)),
    *((100, 116, False), (150, 172, True), (150, 173, False), (200, 171, True)),
)


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    """Nine laboratory results, each with a reading four minutes later, and one without."""
    there = Terminal(tmp_path, now=JULY)
    there.ok("person", "add", "Corwin", "--unit", "mg/dL", "--zone", "America/Chicago")
    there.ok("kit", "meter", "add", "grey")
    for at, (reference, meter, _) in enumerate(PAIRS):
        sample = datetime(2026, 6, 1 + at, 7, 30, tzinfo=UTC)
        there.ok("note", "lab", f"{reference} mg/dL", "--at", f"{sample:%Y-%m-%d %H:%M}")
        there.ok("add", str(meter), "--at", f"{sample + timedelta(minutes=4):%Y-%m-%d %H:%M}")
    there.ok("note", "lab", "120 mg/dL", "--at", "2026-06-20 07:30")
    return there


@pytest.fixture
def diary(terminal: Terminal) -> Iterator[Diary]:
    with open_diary(terminal.diary, INSTALLATION) as opened:
        yield opened


def lab_of(qtbot: QtBot, window: Window, page: KitPage) -> LabBox:
    press("Meter against laboratory", Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page.asides.form is not None)
    box = page.asides.form
    assert isinstance(box, LabBox)
    qtbot.waitUntil(box.isActiveWindow)
    settle(qtbot, window)
    return box


def note_of(qtbot: QtBot, window: Window, page: KitPage) -> PrivateNote:
    press("Private note", Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page.asides.form is not None)
    box = page.asides.form
    assert isinstance(box, PrivateNote)
    qtbot.waitUntil(box.isActiveWindow)
    settle(qtbot, window)
    return box


def test_each_pair_stands_with_its_limit_and_no_verdict_is_given(
    qtbot: QtBot, diary: Diary
) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)

    box = lab_of(qtbot, window, page)

    held = {
        (each.pair.lab.value, each.pair.glucose.shown(Unit.MG_DL)): each.pair.held.within
        for each in box.chart.pairs
    }
    assert held == {(str(reference), str(meter)): ok for reference, meter, ok in PAIRS}
    assert box.together.text() == (
        "5 of 9 within their limit. No verdict: the standard's study has 100 people. "
        "1 result of a laboratory has no reading within 15 minutes."
    )
    assert texts(box.table, 4)[0] in ("+14", "+16")
    assert set(texts(box.table, 6)) == {"within", "outside"}


def test_the_differences_are_walked_by_keys_and_said(qtbot: QtBot, diary: Diary) -> None:
    window, page = kit_page(qtbot, diary, now=JULY)
    box = lab_of(qtbot, window, page)

    QTest.keyClick(box.chart, Qt.Key.Key_End)
    last = box.beside.text()
    row = box.table.currentIndex().row()
    with qtbot.waitSignal(page.session.reading_chosen) as chosen:
        QTest.keyClick(box.chart, Qt.Key.Key_Return)

    assert "laboratory 200 mg/dL" in last
    assert "4 min after" in last
    assert "difference \u221229, limit ±30.0 mg/dL · within" in last
    assert row == len(PAIRS) - 1
    assert chosen.args == [page.session.record.columns.id.tolist()[-1]]
    settle(qtbot, window)


def test_the_line_of_the_limits_bends_where_the_standard_does() -> None:
    assert limit_line(Unit.MG_DL, 400) == ((0.0, 15.0), (100.0, 15.0), (400, 60.0))
    assert limit_line(Unit.MMOL_L, 4.0) == ((0.0, 0.83), (4.0, 0.83))


def test_without_pairs_the_box_says_what_is_missing(qtbot: QtBot, tmp_path: Path) -> None:
    there = Terminal(tmp_path, now=JULY)
    there.ok("person", "add", "Corwin", "--unit", "mg/dL", "--zone", "America/Chicago")
    with open_diary(there.diary, INSTALLATION) as diary:
        window, page = kit_page(qtbot, diary, now=JULY)

        box = lab_of(qtbot, window, page)

        assert not box.chart.isVisible()
        assert box.together.text().startswith("No result of a laboratory has a reading")
        QTest.keyClick(box, Qt.Key.Key_Escape)
        settle(qtbot, window)
        window.close()


def test_the_private_note_lists_what_is_in_no_memory_in_neutral_words(
    qtbot: QtBot, tmp_path: Path
) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, _):
        window, page = kit_page(qtbot, diary, now=JULY)

        box = note_of(qtbot, window, page)

        what = dict(zip(texts(box.table, 0), texts(box.table, 2), strict=True))
        lost = [when for when, said in what.items() if said.startswith(NOT_IN_MEMORY)]
        assert lost == [
            "Sat 21 Mar 10:00",
            "Sat 21 Mar 16:00",
            "Sun 22 Mar 10:00",
            "Sun 22 Mar 12:00",
        ]
        said = " ".join(each.text() for each in box.findChildren(QLabel))
        assert FOR_YOU_ALONE in said
        for blaming in ("invented", "made up", "false", "cheat", "wrong", "should have"):
            assert blaming not in said.casefold()
        with qtbot.waitSignal(page.session.reading_chosen):
            QTest.keyClick(box.table, Qt.Key.Key_Return)
        settle(qtbot, window)
        window.close()


def test_what_is_private_stands_on_no_page_until_it_is_asked_for(
    qtbot: QtBot, tmp_path: Path
) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, _):
        window, _ = kit_page(qtbot, diary, now=JULY)
        window.show_page("appointment")
        settle(qtbot, window)

        shown = " ".join(each.text() for each in window.findChildren(QLabel))

        assert "Control tests" in shown
        assert NOT_IN_MEMORY not in shown
        window.close()
