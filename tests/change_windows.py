"""The windows about changes as the program opens them, for tests that press their keys."""

from __future__ import annotations

from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAction
from PySide6.QtWidgets import QDialog, QWidget
from pytestqt.qtbot import QtBot

from app.store.diary import Diary
from app.ui.changes.table import ListModel
from app.ui.window import Window
from tests.windows import settle

_Dialog = TypeVar("_Dialog", bound=QDialog)


def diary_of(window: Window) -> Diary:
    """The diary that a window shows."""
    assert window.session is not None
    return window.session.diary


def said_by(bot: QtBot, action: QAction, begins: str) -> str:
    """The text of an entry of a menu, once it begins like this."""
    bot.waitUntil(lambda: action.text().startswith(begins), timeout=10_000)
    return action.text()


def open_dialogs(window: Window, kind: type[_Dialog]) -> list[_Dialog]:
    """The windows of a kind that are seen."""
    return [each for each in window.findChildren(kind) if each.isVisible()]


def opened_by(bot: QtBot, window: Window, action: QAction, kind: type[_Dialog]) -> _Dialog:
    """What an entry of a menu opens, once everything is listed."""
    action.trigger()
    settle(bot, window)
    (dialog,) = open_dialogs(window, kind)
    bot.waitUntil(dialog.isActiveWindow, timeout=10_000)
    return dialog


def column(model: ListModel, title: str) -> list[str]:
    """The texts below a title, from the top."""
    at = model.titles.index(title)
    return [row.texts[at] for row in model.rows]


def nameless(dialog: QWidget) -> list[str]:
    """Controls that Tab comes to and that a screen reader has no name for."""
    found = []
    for widget in dialog.findChildren(QWidget):
        by_tab = widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        if by_tab and widget.isVisible():
            spoken = QAccessible.queryAccessibleInterface(widget)
            if spoken is None or not spoken.text(QAccessible.Text.Name).strip():
                found.append(type(widget).__name__)
    return found
