"""The part of the Diary menu that keeps the file safe: check it, copy it, go back to a copy."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QAction

if TYPE_CHECKING:
    from app.ui.safety.guard import Guard


class Adds(Protocol):
    """How a menu takes an action with its key."""

    def __call__(self, menu: str, text: str, keys: str, does: Callable[[], object], /) -> QAction:
        """Add it to one of the menus."""


class MenuOfSafety:
    """Off until a guard watches over a diary.

    Parameters
    ----------
    add : callable
        Puts an action into a menu by that menu's key.
    guard : callable
        The guard of the window, None while there is none.
    """

    def __init__(self, add: Adds, guard: Callable[[], Guard | None]) -> None:
        self._guard = guard
        self.back_up = add("diary", tr("Back up now"), "Ctrl+Shift+B", self._on_back_up)
        self.backups = add("diary", tr("Backups…"), "Ctrl+Shift+K", self._on_backups)
        self.set_enabled(False)

    def set_enabled(self, enabled: bool) -> None:
        """Whether there is a diary."""
        self.back_up.setEnabled(enabled)
        self.backups.setEnabled(enabled)

    def _on_back_up(self) -> None:
        guard = self._guard()
        if guard is not None:
            guard.back_up()

    def _on_backups(self) -> None:
        guard = self._guard()
        if guard is not None:
            guard.show_backups()


def tr(text: str) -> str:
    """Translate a text of this menu."""
    return QCoreApplication.translate("Menus", text)
