"""The pages of the window in the order of their tabs, with nothing in the place of those unseen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget, QWidget

from app.ui.pages import PAGES

if TYPE_CHECKING:
    from app.ui.page import Page
    from app.ui.session import Session


class PageStack(QStackedWidget):
    """Pages by their keys."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._made: dict[str, Page] = {}
        for _ in PAGES:
            self.addWidget(QWidget(self))

    def made(self, key: str) -> Page | None:
        """The page of a key, None where it was not seen yet."""
        return self._made.get(key)

    def make(self, key: str, session: Session) -> Page:
        """Make the page of a key, in its place."""
        page = next(kind for kind in PAGES if kind.key == key).make(session, self)
        self._replace(key, page)
        self._made[key] = page
        return page

    def empty(self) -> None:
        """Let go of every page; the same place stays to be seen."""
        at = self.currentIndex()
        for key in list(self._made):
            self._replace(key, QWidget(self))
        self._made.clear()
        self.setCurrentIndex(at)

    def _replace(self, key: str, widget: QWidget) -> None:
        at = [kind.key for kind in PAGES].index(key)
        take_out(self, self.widget(at))
        self.insertWidget(at, widget)


def take_out(stack: QStackedWidget, widget: QWidget | None) -> None:
    """Take a widget out of a stack for good."""
    if widget is not None:
        stack.removeWidget(widget)
        widget.deleteLater()
