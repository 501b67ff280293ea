"""What comes after the shell was painted: the diary is opened, or the first start makes one."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from datetime import datetime
from pathlib import Path

from app.domain.errors import DiaryError
from app.store.diary import Diary, open_inspected
from app.store.file import DiaryFile
from app.store.installation import installation_id
from app.ui.dialogs import show_trouble
from app.ui.session import Session
from app.ui.window import Window
from app.work.people import chosen_person

# A Day and the days before it that it speaks of, several times over.
NEWEST_DAYS = 90

Clock = Callable[[], datetime]


def fill_window(
    window: Window,
    path: Path,
    looked: Future[DiaryFile] | None,
    state: Path,
    clock: Clock,
    *,
    person: str | None,
) -> None:
    """Open the diary and show it; where there is none, or nobody in it, ask who begins.

    Parameters
    ----------
    looked : Future of DiaryFile, optional
        What was found at `path`; None where nothing is there.
    """
    from app.ui.first_start import FirstStart

    window.furnish()
    try:
        installation = installation_id(state)
        diary = None if looked is None else open_inspected(looked.result(), installation)
        days = NEWEST_DAYS if window.tabs.currentIndex() == 0 else None
        session = None if diary is None else Session(diary, clock, window, newest_days=days)
        if session is not None and session.has_person and person is not None:
            session.choose(chosen_person(session.persons, person))
    except DiaryError as trouble:
        show_trouble(window, str(trouble))
        return
    if session is not None and session.has_person:
        window.fill(session)
        return
    if session is not None:
        session.close()
    left = window.remember.with_name("first-start.json") if window.remember else path
    first = FirstStart(path, diary, installation, clock, left, window)
    first.begun.connect(lambda begun: _begin(window, begun, clock))
    window.show_first_start(first)
    first.take_focus()


def _begin(window: Window, diary: Diary, clock: Clock) -> None:
    window.fill(Session(diary, clock, window))
