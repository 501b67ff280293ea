"""The ways of a file to the window: picked from the menu, or dropped on it."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QMimeData

if TYPE_CHECKING:
    from app.ui.window import Window


def pick(window: Window) -> None:
    """Ask which file to bring in, and begin with it."""
    from app.ui.bring_in.picking import ask_for_file

    if _has_person(window):
        ask_for_file(window, partial(begin, window))


def begin(window: Window, path: Path) -> None:
    """Begin to bring a file in, on the Readings page; a whole diary makes one of its own."""
    from app.ui.bring_in.whole_ways import took_whole
    from app.ui.readings.page import ReadingsPage
    from app.ui.said import Said

    session = window.session
    if session is None or not session.has_person or took_whole(window, path):
        return
    if session.why_not:  # a file that is dropped asks no action
        session.said.emit(Said(session.why_not, undo=False))
        return
    page = window.page(ReadingsPage.key)
    window.show_page(ReadingsPage.key)
    if isinstance(page, ReadingsPage):
        page.bring_in(path)


def dropped(window: Window, data: QMimeData) -> Path | None:
    """The one file of this computer that is being dropped, where one is wanted."""
    files = [url.toLocalFile() for url in data.urls() if url.isLocalFile()]
    return Path(files[0]) if len(files) == 1 and _has_person(window) else None


def _has_person(window: Window) -> bool:
    return window.session is not None and window.session.has_person
