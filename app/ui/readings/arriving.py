"""A file that is brought in, in the place of the page's own table."""

from __future__ import annotations

from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.ui.job import Job
from app.ui.session import Session

if TYPE_CHECKING:
    from app.ui.bring_in.assistant import Assistant


class Arriving(QObject):
    """Makes the import when the first file comes. Signals: made(widget), begun(), left()."""

    made = Signal(object)
    begun = Signal()
    left = Signal()

    def __init__(self, session: Session, page: QWidget) -> None:
        super().__init__(page)
        self._session, self._page = session, page
        self.assistant: Assistant | None = None
        self._loading = Job(self)
        self._loading.answered.connect(self._on_file)
        self._loading.failed.connect(session.tell_trouble)

    @property
    def is_shown(self) -> bool:
        """Whether a file stands in the place of the table."""
        return self.assistant is not None and self.assistant.isVisibleTo(self._page)

    def bring_in(self, path: Path) -> None:
        """Begin with a file."""
        if self.assistant is None:
            self._loading.start(partial(_loaded, path))
        else:
            self._on_file(path)

    def _on_file(self, path: Path) -> None:
        if self.assistant is None:
            self.assistant = self._new_assistant()
            self.assistant.hide()
            self.made.emit(self.assistant)
            self._loading.start(partial(_loaded, path))  # made and shown at once would be a wait
            return
        self.begun.emit()
        self.assistant.show()
        self.assistant.open(path)

    def _new_assistant(self) -> Assistant:
        from app.ui.bring_in.assistant import Assistant

        made = Assistant(self._session, self._page)
        made.closed.connect(self._on_closed)
        made.another_asked.connect(self._on_another)
        gate = getattr(self._page.window(), "gate", None)
        if gate is not None:
            gate.adopt(made)
        return made

    def _on_closed(self) -> None:
        if self.assistant is not None:
            self.assistant.hide()
        self.left.emit()

    def _on_another(self) -> None:
        ask = getattr(self._page.window(), "ask_for_file", None)
        if ask is not None:
            ask()


def _loaded(path: Path) -> Path:
    """In another thread: load what the import needs, which would hold the window up."""
    import_module("app.ui.bring_in.assistant")
    return path
