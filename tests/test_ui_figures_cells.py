from __future__ import annotations

from PySide6.QtCore import Qt
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from app.ui.figures.cells import Cell, Cells, Head

HEADS = [Head("Days", at_end=False), Head("7"), Head("30", "30 days to 6 May", chosen=True)]
ROWS = [
    [Cell("Readings", "n", at_end=False), Cell("33"), Cell("148", bold=True)],
    [Cell("SD", "mmol/L", at_end=False), Cell("–", said="not shown: needs 14"), Cell("2.5")],
]


def test_the_model_keeps_qts_rules(qtmodeltester: ModelTester, qtbot: QtBot) -> None:
    cells = Cells()
    cells.set_cells(HEADS, ROWS)

    qtmodeltester.check(cells)


def test_what_is_missing_is_said_and_not_only_drawn(qtbot: QtBot) -> None:
    cells = Cells()
    cells.set_cells(HEADS, ROWS)

    at = cells.index(1, 1)

    assert cells.data(at, Qt.ItemDataRole.DisplayRole) == "–"
    assert cells.data(at, Qt.ItemDataRole.AccessibleTextRole) == "not shown: needs 14"
    assert cells.data(at, Qt.ItemDataRole.ToolTipRole) == "not shown: needs 14"
    assert cells.headerData(2, Qt.Orientation.Horizontal, Qt.ItemDataRole.AccessibleTextRole) == (
        "30 days to 6 May"
    )


def test_other_numbers_of_the_same_shape_do_not_reset_the_table(qtbot: QtBot) -> None:
    cells = Cells()
    cells.set_cells(HEADS, ROWS)

    with qtbot.assertNotEmitted(cells.modelReset), qtbot.waitSignal(cells.dataChanged):
        cells.set_cells(HEADS, [[*row[:2], Cell("9")] for row in ROWS])

    assert cells.data(cells.index(0, 2)) == "9"
