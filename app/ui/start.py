"""The window is begun: the shell is painted first, and what takes time to import comes after."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from app.domain.errors import Refused
from app.ui.door import Door

if TYPE_CHECKING:
    from uuid import UUID

    from app.domain.pictures import Pictures
    from app.ui.draw import Drawing
    from app.ui.window import Window

Clock = Callable[[], datetime]

SHEET, SHEET_DAYS = "appointment.pdf", 90  # days: common practice, no source


def has_screen() -> bool:
    """Whether a window can be seen: some display, and nobody asked for none."""
    if os.environ.get("QT_QPA_PLATFORM", "").startswith("offscreen"):
        return False
    platform: str = sys.platform  # typed so that the checker looks at every system
    if platform.startswith("linux"):
        return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    return True


def open_window(
    diary: Path,
    state: Path,
    clock: Clock,
    *,
    person: str | None,
    runtime: Path,
    say: Callable[[str], object],
) -> int:
    """Show the window until it is closed; with no diary at `diary` the first start makes one.

    Parameters
    ----------
    runtime : Path
        The runtime folder of the user: there a second start rings at the window that is open.
    say : callable
        Told in a sentence that the diary is open already and that its window was brought forward.
    """
    door = Door(runtime, clock)
    if door.may_be_shut(diary) and not door.enter(diary) and _rang(door, diary):
        say(f"{diary} is open already; its window was brought to the front.")
        return 0
    # What is imported stays: to look through it for rubbish takes a tenth of the start.
    gc.disable()
    spare_sources()
    from app.look.theme import application
    from app.ui.window import Window

    app = application(sys.argv[:1])
    app.setApplicationName("Thimblebook")
    app.setDesktopFileName("thimblebook")
    window = Window(remember=state / "window.ini")
    # What fills it takes longer to import than the shell to paint: the shell is seen first.
    window.painted.connect(lambda: _fill(window, diary, state, clock, person, door))
    window.show()
    try:
        return int(app.exec())
    finally:
        _close_jobs()
        door.leave()


def spare_sources() -> None:
    """Keep PySide6 from reading the source of every module that is imported after it.

    It looks there whether its other spellings (`__feature__`) may be used: no module here uses
    them, and the search takes a fifteenth of the start. Where it looks in another way, it does.
    """
    import PySide6.QtCore  # noqa: F401  (from now on it looks)

    feature = sys.modules.get("shibokensupport.feature")
    if feature is not None and hasattr(feature, "_mod_uses_pyside"):
        vars(feature)["_mod_uses_pyside"] = lambda _module: False


def _rang(door: Door, diary: Path) -> bool:
    """Ring at the window that has the diary, before there is one of our own."""
    from PySide6.QtCore import QCoreApplication

    app = QCoreApplication.instance() or QCoreApplication(sys.argv[:1])
    answered = door.rang(diary)
    if not answered:
        app.shutdown()  # a window says why, and needs an application of another kind
    return answered


def draw_pages(pictures: Pictures, installation: UUID, clock: Clock) -> list[Path]:
    """Draw pages with no screen; returns the absolute paths of the files, in order.

    With no page named it is every page, into the folder `out`, and the sheet for an appointment.
    """
    from app.store.diary_file import open_diary
    from app.ui.draw import draw, offscreen
    from app.ui.session import Session
    from app.work.people import chosen_person

    drawings = _drawings(pictures)
    offscreen(pictures.scale)
    for drawing in drawings:  # each with a diary and a window of its own
        session = Session(open_diary(pictures.diary, installation), clock, None)
        # Every page of a diary is that of the first person, as in the window.
        if pictures.person is not None or pictures.page is not None or not session.has_person:
            session.choose(chosen_person(session.persons, pictures.person))
        draw(session, drawing)  # its window lets go of the diary when it closes
        _close_jobs()
    made = [drawing.out.absolute() for drawing in drawings]
    if pictures.page is None:
        made.append(_write_sheet(pictures, installation, clock))
    return made


def _write_sheet(pictures: Pictures, installation: UUID, clock: Clock) -> Path:
    """Write the sheet for an appointment beside the pictures, for the newest days."""
    from app.domain.clock import last_days
    from app.report.out import write_pdf
    from app.review.visit import visit_page
    from app.store.diary_file import open_diary
    from app.ui.session import Session
    from app.work.people import chosen_person

    out = (pictures.out / SHEET).absolute()
    with open_diary(pictures.diary, installation) as diary:
        session = Session(diary, clock, None)
        try:
            if pictures.person is not None or not session.has_person:
                session.choose(chosen_person(session.persons, pictures.person))
            period = last_days(pictures.days or SHEET_DAYS, pictures.ending or session.period.last)
            write_pdf(visit_page(diary, session.record, period, now=session.now()), out)
        finally:
            session.close()
            session.deleteLater()
    return out


def _close_jobs() -> None:
    from app.ui.job import close_all

    close_all()


def _drawings(pictures: Pictures) -> list[Drawing]:
    from app.ui.draw import NOW, Drawing
    from app.ui.pages import KEYS

    if pictures.page is not None and pictures.page not in (NOW, *KEYS):
        there = ", ".join((NOW, *KEYS))
        raise Refused(f'There is no page "{pictures.page}". Those there are: {there}.')
    pages = {pictures.page: pictures.out}
    if pictures.page is None:
        pages = {key: pictures.out / f"{key}.png" for key in KEYS}
    return [
        Drawing(
            page=key,
            out=out,
            days=pictures.days,
            ending=pictures.ending,
            dark=pictures.dark,
            width=pictures.width,
            height=pictures.height,
        )
        for key, out in pages.items()
        if key is not None
    ]


def _fill(
    window: Window, path: Path, state: Path, clock: Clock, person: str | None, door: Door
) -> None:
    from app.store.looking import Looking

    looking = Looking(path)  # meanwhile Python imports what comes next
    from app.ui.crash import watch_for_crash
    from app.ui.fill import fill_window
    from app.ui.trouble_hook import TroubleHook

    TroubleHook(window, state, clock)  # the window owns it
    crashed = watch_for_crash(state)
    try:
        fill_window(window, path, looking, state, clock, person=person, door=door, crashed=crashed)
    finally:
        gc.freeze()
        gc.enable()
