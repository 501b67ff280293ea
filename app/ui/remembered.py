"""What a window keeps of itself from one start to the next: its size, its page, its theme."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings

from app.look.theme import Theme
from app.ui.pages import PAGES

if TYPE_CHECKING:
    from app.ui.window import Window

USUAL = (1280, 800)


class Remembered:
    """One small file; None remembers nothing."""

    def __init__(self, file: Path | None) -> None:
        self._settings = None if file is None else QSettings(str(file), QSettings.Format.IniFormat)

    def recall_theme(self) -> None:
        """Dress as last time; before there are widgets, which would all be dressed twice."""
        if self._settings is not None:
            theme = self._settings.value("theme", "system")
            if theme in ("light", "dark", "system"):
                Theme.current().choose(theme)

    def recall(self, window: Window) -> None:
        """Give a window its size and page of last time."""
        window.resize(*USUAL)
        if self._settings is None:
            return
        size = self._settings.value("size")
        if size is not None:
            window.resize(size)
        page = self._settings.value("page", PAGES[0].key)
        if page in [kind.key for kind in PAGES]:
            window.show_page(str(page))

    def keep(self, window: Window) -> None:
        """Keep how a window stands."""
        if self._settings is None:
            return
        self._settings.setValue("theme", Theme.current().choice)
        self._settings.setValue("size", window.size())
        self._settings.setValue("page", PAGES[window.tabs.currentIndex()].key)
        self._settings.sync()
