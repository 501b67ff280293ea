"""Buttons that stand for actions of the menu: on and off with them, with the same words."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from app.look.icons import Icon
from app.ui.controls import Button


class ActionButton(Button):
    """A button for one action; it says the action's words unless it has its own or an icon."""

    def __init__(
        self,
        action: QAction,
        parent: QWidget | None = None,
        *,
        text: str = "",
        icon: Icon | None = None,
        main: bool = False,
    ) -> None:
        words = "" if icon is not None else text or action.text()
        super().__init__(words, parent, main=main, icon=icon, name=action.text())
        self._action = action
        self.clicked.connect(action.trigger)
        action.changed.connect(self._on_changed)
        self._on_changed()

    def _on_changed(self) -> None:
        self.setEnabled(self._action.isEnabled())
        keys = self._action.shortcut().toString()
        self.setToolTip(f"{self._action.text()} ({keys})" if keys else self._action.text())


class MoreButton(Button):
    """A button that opens the actions for which a button each would be too many."""

    def __init__(
        self, text: str, actions: Sequence[QAction], parent: QWidget | None = None
    ) -> None:
        super().__init__(text, parent)
        self._menu = QMenu(self)
        self._menu.addActions(list(actions))
        self.setMenu(self._menu)
