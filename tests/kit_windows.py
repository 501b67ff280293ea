"""The Kit page in a whole window, and its forms filled in by the keyboard alone."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QDialog, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from app.store.diary import Diary
from app.ui.figures.table import FigureTable
from app.ui.kit.page import KitPage
from app.ui.window import Window
from tests.windows import settle, shown_on


def kit_page(qtbot: QtBot, diary: Diary, *, now: datetime) -> tuple[Window, KitPage]:
    """A window that shows the Kit page."""
    window = shown_on(qtbot, diary, now=now)
    window.show_page("kit")
    settle(qtbot, window)
    page = window.page("kit")
    assert isinstance(page, KitPage)
    page.take_focus()
    return window, page


def tab_to(name: str) -> QWidget:
    """Go on by Tab until what has the focus is called so."""
    for _ in range(90):
        here = QApplication.focusWidget()
        assert here is not None
        if here.accessibleName().startswith(name):
            return here
        QTest.keyClick(here, Qt.Key.Key_Tab)
    raise AssertionError(f"Tab never came to {name!r}")


def press(name: str, key: Qt.Key = Qt.Key.Key_Space) -> None:
    """Go to a control by Tab and press a key there."""
    QTest.keyClick(tab_to(name), key)


def fill_in(qtbot: QtBot, form: QDialog | None, **typed: str) -> None:
    """Type into fields by their names ("_" for a blank), and choose by the first letters."""
    assert form is not None
    qtbot.waitUntil(form.isActiveWindow)
    for name, text in typed.items():
        field = tab_to(name.replace("_", " "))
        if isinstance(field, QComboBox):
            QTest.keyClicks(field, text.partition(" ")[0])  # a blank would open the list
            assert field.currentText().startswith(text), field.currentText()
        else:
            assert isinstance(field, QLineEdit)
            field.selectAll()
            QTest.keyClick(field, Qt.Key.Key_Delete)
            QTest.keyClicks(field, text)


def saved(qtbot: QtBot, window: Window, form: QDialog | None) -> None:
    """Press Enter in a form, and wait until the page shows what was saved."""
    assert form is not None
    here = QApplication.focusWidget()
    assert here is not None
    assert form.isAncestorOf(here)
    with qtbot.waitSignal(form.accepted):
        QTest.keyClick(here, Qt.Key.Key_Return)
    back(qtbot, window)


def back(qtbot: QtBot, window: Window) -> None:
    """Wait until the window itself listens to the keys again."""
    settle(qtbot, window)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    page = window.page("kit")
    assert isinstance(page, KitPage)
    page.take_focus()


def texts(table: FigureTable, column: int) -> list[str]:
    """What a column of a table says, from top to bottom."""
    model = table.model()
    return [model.index(row, column).data() for row in range(model.rowCount())]
