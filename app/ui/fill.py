"""What comes after the shell was painted: the diary is opened, or the first start makes one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from importlib import import_module
from pathlib import Path

from PySide6.QtCore import QTimer

from app.domain.errors import DiaryError
from app.store.diary import Diary, open_inspected
from app.store.installation import installation_id
from app.store.looking import Looking
from app.ui.job import Job
from app.ui.pages import PAGES
from app.ui.session import Session
from app.ui.window import Window

# A Day and the days before it that it speaks of, several times over.
NEWEST_DAYS = 90
READY_MS = 1500

Clock = Callable[[], datetime]


def fill_window(
    window: Window,
    path: Path,
    looking: Looking,
    state: Path,
    clock: Clock,
    *,
    person: str | None,
) -> None:
    """Open the diary and show it; where there is none, or nobody in it, ask who begins.

    Parameters
    ----------
    looking : Looking
        The look over the file at `path`, which may not be done yet.
    """
    window.furnish()
    at = window.tabs.currentIndex()
    for module in ("app.ui.now", PAGES[at].module):  # while the file is still looked over
        import_module(module)
    try:
        installation = installation_id(state)
        file = looking.found()
        diary = None if file is None else open_inspected(file, installation)
        days = NEWEST_DAYS if at == 0 else None
        session = None if diary is None else Session(diary, clock, window, newest_days=days)
        if session is not None and session.has_person and person is not None:
            from app.work.people import chosen_person

            session.choose(chosen_person(session.persons, person))
    except DiaryError as trouble:
        from app.ui.dialogs import show_trouble

        show_trouble(window, str(trouble))
        return
    if session is not None and session.has_person:
        window.fill(session)
        remind(window)
        _make_ready_to_save(window)
        return
    if session is not None:
        session.close()
    from app.ui.first_start import FirstStart

    left = window.remember.with_name("first-start.json") if window.remember else path
    first = FirstStart(path, diary, installation, clock, left, window)
    first.begun.connect(lambda begun: _begin(window, begun, clock))
    window.show_first_start(first)
    first.take_focus()


def _make_ready_to_save(window: Window) -> None:
    """Import what a first save needs once the page is seen: it takes a quarter of a second."""
    job = Job(window)
    QTimer.singleShot(READY_MS, window, lambda: job.start(partial(import_module, "app.work.enter")))


def _begin(window: Window, diary: Diary, clock: Clock) -> None:
    window.fill(Session(diary, clock, window))
    remind(window)


def remind(window: Window) -> None:
    """Say what is due in a window that somebody may look at; pictures say nothing."""
    from app.ui.due.reminding import Reminding

    if window.dues is not None and window.session is not None:
        Reminding(window, window.session, window.dues)  # the window owns it
