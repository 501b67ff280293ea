from __future__ import annotations

from pathlib import Path

from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from app.domain.marks import Mark
from app.domain.reading import Standing
from app.look.type import text_scale
from app.review.day import DayView
from app.ui.day.table import DayTable
from app.ui.day.table_model import Column, DayTableModel
from tests.households import new_diary, tilde, written
from tests.test_review_day import viewed


def busy_day(folder: Path) -> DayView:
    with new_diary(folder) as diary:
        person = tilde(diary)
        written(diary, person, "2026-03-12 07:15", "4.3", Mark.WAKING)
        written(diary, person, "2026-03-12 09:15", "6.0", hands="not", tags=("party",))
        written(diary, person, "2026-03-12 12:15", "5.1", standing=Standing.NOT_MINE)
        written(diary, person, "2026-03-12 14:15", "HI", Mark.AFTER_LUNCH, after_min=90)
        note = "the neighbours came with pancakes and we tested later than usual, then again"
        written(diary, person, "2026-03-12 18:07", "2.4", Mark.BEFORE_EVENING_MEAL, note=note)
        return viewed(diary, person)


def texts(model: DayTableModel, column: Column) -> list[str]:
    return [model.text(at, column) for at in range(model.rowCount())]


def test_the_model_keeps_its_promises_to_qt(qtmodeltester: ModelTester, tmp_path: Path) -> None:
    model = DayTableModel()
    qtmodeltester.check(model)

    model.show_day(busy_day(tmp_path))

    qtmodeltester.check(model)


def test_only_what_differs_is_written_beside_the_mark(qapp: object, tmp_path: Path) -> None:
    model = DayTableModel()

    model.show_day(busy_day(tmp_path))

    assert texts(model, Column.VALUE) == ["2.4", "HI", "5.1", "6.0", "4.3"]
    assert texts(model, Column.SIGN) == ["LL", "HH", "x", "?", ""]
    marks = [text.removesuffix(" · added later") for text in texts(model, Column.MARK)]
    assert marks == [
        "before evening meal",
        "after lunch, 90 min after it began",
        "– · not mine: for a test",
        "– · in doubt: hands not washed",
        "waking",
    ]


def test_columns_give_way_from_the_keeper_on_and_the_note_wraps_in_a_list(
    qtbot: QtBot, tmp_path: Path
) -> None:
    table = DayTable()
    qtbot.addWidget(table)
    table.show_day(busy_day(tmp_path))

    table.resize(round(900 * text_scale()), 300)
    table.show()
    wide = table.shown_columns()
    low = table.rowHeight(0)
    table.resize(round(430 * text_scale()), 300)

    assert Column.NOTE in wide
    assert Column.NOTE in table.shown_columns()
    assert table.rowHeight(0) > low
    assert sum(table.columnWidth(each) for each in table.shown_columns()) <= table.width()


def test_the_table_is_as_high_as_its_rows(qtbot: QtBot, tmp_path: Path) -> None:
    table = DayTable()
    qtbot.addWidget(table)
    table.resize(900, 300)
    table.show_day(busy_day(tmp_path))
    table.show()

    rows = sum(table.rowHeight(at) for at in range(5))

    assert table.height() == table.horizontalHeader().height() + rows + 1
    assert table.verticalScrollBar().maximum() == 0
