"""The part of the Diary menu that brings another home's copy of the diary in."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QCoreApplication, QObject
from PySide6.QtGui import QAction

from app.ui.gate import writes

if TYPE_CHECKING:
    from app.ui.safety.errands import Errands
    from app.ui.session import Session
    from app.ui.window import Window


class Adds(Protocol):
    """How a menu takes an action with its key."""

    def __call__(self, menu: str, text: str, keys: str, does: Callable[[], object], /) -> QAction:
        """Add it to one of the menus."""


class MenuOfTogether(QObject):
    """Off until `fill` gives a diary; what is open since stands in the same window."""

    def __init__(self, add: Adds, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._session: Session | None = None
        self._errands: Errands | None = None
        text = QCoreApplication.translate("Menus", "Bring together…")
        self.action = writes(add("diary", text, "Ctrl+Shift+G", self.open))
        self.action.setEnabled(False)

    def fill(self, session: Session) -> None:
        """Turn it on."""
        self._session = session
        self.action.setEnabled(True)

    def empty(self) -> None:
        """Turn it off: the diary is let go of."""
        self._session = None
        if self._errands is not None:
            self._errands.forget()
        self.action.setEnabled(False)

    def open(self, file: Path | None = None) -> None:
        """Show the window for it; with a file, what bringing that in would give."""
        from app.ui.safety.errands import Errands
        from app.ui.together.dialog import TogetherDialog

        if self._session is None:
            return
        if self._errands is None:
            self._errands = Errands(self)
        dialog = TogetherDialog(self._session, self._errands, self._window)
        dialog.open()
        if file is not None:
            dialog.look_at(file)
