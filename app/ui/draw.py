"""Pages drawn into PNG files, the whole window with the page in it, with no screen at all."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from app.domain.errors import StoreUnavailable

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from app.ui.session import Session

NOW = "now"  # the column alone, as it stands in a window of that size
WIDTH, HEIGHT = 1280, 800
ROUNDS = 20  # of waiting for answers from other threads, each until one comes


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is to be drawn: which page, of which days, how large, in which theme."""

    page: str
    out: Path
    days: int | None = None
    ending: date | None = None
    dark: bool = False
    width: int = WIDTH
    height: int = HEIGHT


def draw(session: Session, drawing: Drawing) -> None:
    """Draw one page; the session's person, and its period unless days are named.

    Raises
    ------
    StoreUnavailable
        The picture can't be written there.
    """
    from PySide6.QtCore import QEvent
    from PySide6.QtWidgets import QApplication

    from app.look.theme import Theme
    from app.ui.window import Window

    app = QApplication.instance()
    assert isinstance(app, QApplication)
    Theme.current().choose("dark" if drawing.dark else "light")
    if drawing.days is not None or drawing.ending is not None:
        session.show_days(drawing.days or session.days or 30, drawing.ending)
    if drawing.ending is not None:
        session.show_day(drawing.ending)
    window = Window(remember=None)
    try:
        window.resize(drawing.width, drawing.height)
        if drawing.page != NOW:
            window.show_page(drawing.page)
        window.fill(session)
        window.show()
        _settle(app, window)
        picture = (window.now_place if drawing.page == NOW else window).grab()
        drawing.out.unlink(missing_ok=True)
        if not picture.save(str(drawing.out), "PNG"):
            raise StoreUnavailable(
                f"The picture could not be written to {drawing.out}. The diary is as it was; "
                "name a folder where you may write."
            )
        drawing.out.chmod(0o600)
    except OSError as problem:
        raise StoreUnavailable(
            f"The picture could not be written to {drawing.out} ({problem.strerror}). "
            "The diary is as it was."
        ) from problem
    finally:
        window.close()
        window.deleteLater()
        # With no event loop nothing is deleted for good: each theme would dress all that is left.
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def offscreen(scale: float = 1.0) -> QApplication:
    """An application that needs no screen; the scale is that of the pixels."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    if scale != 1.0:
        os.environ["QT_SCALE_FACTOR"] = f"{scale:g}"
    from PySide6.QtWidgets import QApplication

    found = QApplication.instance()
    return found if isinstance(found, QApplication) else QApplication(["thimblebook"])


def _settle(app: QApplication, window: object) -> None:
    """Let timers and answers from other threads arrive, until nothing is busy any more."""
    from PySide6.QtCore import QDeadlineTimer, QEventLoop, QObject

    from app.ui.job import Job

    assert isinstance(window, QObject)
    deadline = QDeadlineTimer(10_000)
    quiet = 0
    while quiet < ROUNDS and not deadline.hasExpired():
        app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 20)
        busy = any(job.busy for job in window.findChildren(Job))
        quiet = 0 if busy else quiet + 1
