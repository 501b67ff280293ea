"""What every page has in common: it shows a session, and draws itself anew when that changed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import ClassVar

from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import QWidget

from app.ui.session import Session


class Page(QWidget):
    """A page right of the Now column. A subclass sets `key` and `title` and writes `refresh`."""

    key: ClassVar[str]  # its name for `draw` and the settings: "day"
    title: ClassVar[str]  # its word on the tab, untranslated

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self._stale = True
        session.record_changed.connect(self.mark_stale)
        session.person_changed.connect(self.mark_stale)

    def menu_actions(self) -> Sequence[tuple[str, QAction]]:
        """The actions of this page for the menu bar, each with its menu: "edit", "view", "go"."""
        return ()

    def take_focus(self) -> None:
        """Put the keyboard focus on the first thing of the page."""
        self.setFocus()

    def refresh(self) -> None:
        """Show the session as it is now; called only while somebody is in the diary."""
        raise RuntimeError(f"{type(self).__name__} shows nothing")

    def mark_stale(self) -> None:
        """Draw anew, at once if the page is seen, else when it next is."""
        self._stale = True
        if self.isVisible():
            self._freshen()

    def showEvent(self, event: QShowEvent) -> None:
        """Draw what changed while the page was away."""
        super().showEvent(event)
        self._freshen()

    def go_to_line(self) -> None:
        """Put the focus into the entry line, where the window has one."""
        focus_entry = getattr(self.window(), "focus_entry", None)
        if focus_entry is not None:
            focus_entry()

    def go_to_day(self, day: date) -> None:
        """Show one day on the Day page, where the window has one."""
        self.session.show_day(day)
        show_page = getattr(self.window(), "show_page", None)
        if show_page is not None:
            show_page("day")

    def _freshen(self) -> None:
        if self._stale and self.session.has_person:
            self._stale = False
            self.refresh()
