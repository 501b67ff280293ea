"""What comes after the shell was painted: the diary is opened, or the first start makes one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from importlib import import_module
from pathlib import Path

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QApplication

from app.domain.errors import Damaged, DiaryError
from app.store.damage import damage_sentence
from app.store.diary import Diary
from app.store.diary_file import open_inspected
from app.store.file import SCHEMA_VERSION, DiaryFile
from app.store.installation import installation_id
from app.store.known import is_known, remember_place, remember_writer, writer_here
from app.store.looking import Looking
from app.ui.door import Door
from app.ui.pages import PAGES
from app.ui.safety.errands import Errands
from app.ui.session import Session
from app.ui.window import Window

# A Day and the days before it that it speaks of, several times over.
NEWEST_DAYS = 90
READY_MS = 1500
DUE_MS = 300  # as soon as the page was painted
HEARD_MS = 600  # a second start rings for longer than that

Clock = Callable[[], datetime]


def fill_window(
    window: Window,
    path: Path,
    looking: Looking,
    state: Path,
    clock: Clock,
    *,
    person: str | None,
    door: Door | None = None,
    crashed: bool = False,
) -> Filling:
    """Open the diary and show it; where there is none, or nobody in it, ask who begins.

    Parameters
    ----------
    looking : Looking
        The look over the file at `path`, which may not be done yet.
    door : Door, optional
        The lock that lets one window at a time in; without it nobody is kept out.
    crashed : bool
        The interpreter was taken down last time.
    """
    window.furnish()
    at = window.tabs.currentIndex()
    for module in ("app.ui.now", PAGES[at].module):  # while the file is still looked over
        import_module(module)
    filling = Filling(window, state, clock, door, crashed=crashed)
    filling.open(path, looking, person=person)
    return filling


class Filling(QObject):
    """Opens one file after the other in a window, and says why where one can't be opened."""

    def __init__(
        self, window: Window, state: Path, clock: Clock, door: Door | None, *, crashed: bool = False
    ) -> None:
        super().__init__(window)
        self._window, self.state, self.clock, self._door = window, state, clock, door
        self._crashed = crashed
        self.path = Path()
        self.errands = Errands(self)
        self._after: Callable[[], None] | None = None

    def open(
        self,
        path: Path,
        looking: Looking | None = None,
        *,
        person: str | None = None,
        after: Callable[[], None] | None = None,
    ) -> None:
        """Open the file at a path; `after` is called once it is shown, or why it is not."""
        self.path, self._after = path, after
        if self._door is not None and not self._door.enter(path):
            if self._door.rang(path) and self._window.session is None:
                self._window.close()
            elif self._door.refused is not None:
                self._block(self._door.refused)
            return
        file = None
        try:
            file = (looking or Looking(path)).found()
            if file is None:
                self._begin_or_ask()
            elif file.version < SCHEMA_VERSION and file.writable and not file.damaged:
                self._bring_up(file, person)
            else:
                self._show_diary(self._opened(file), person)
        except DiaryError as trouble:
            self._block(trouble)
        except Exception as trouble:
            if file is None or not file.damaged:
                raise
            # What stands in a damaged file is anything at all, so anything may go wrong with it.
            damaged = Damaged(damage_sentence(path, shown=False))
            damaged.__cause__ = trouble
            self._block(damaged)

    def begin_new(self) -> None:
        """Ask who begins a new diary at the path."""
        self._first_start(None)

    def _opened(self, file: DiaryFile) -> Diary:
        installation = installation_id(self.state)
        return open_inspected(file, installation, now=self.clock(), state=self.state)

    def _bring_up(self, file: DiaryFile, person: str | None) -> None:
        """Bring an older file up to date off the GUI thread: a backup of it goes before."""
        from app.ui.ways_in import show_working

        show_working(
            self._window, self.tr("Bringing the diary up to date; a backup of it goes before.")
        )
        call = partial(self._opened, file)
        self.errands.run(call, partial(self._show_diary, person=person), self._block)

    def _show_diary(self, diary: object, person: str | None = None) -> None:
        if not isinstance(diary, Diary):
            raise TypeError(type(diary))
        try:
            self._fill(diary, person)
        except BaseException:
            if self._window.session is None:
                diary.close()
            raise

    def _fill(self, diary: Diary, person: str | None) -> None:
        window = self._window
        days = NEWEST_DAYS if window.tabs.currentIndex() == 0 else None
        session = Session(diary, self.clock, window, newest_days=days)
        if not session.has_person and diary.writable:
            session.close()
            self._first_start(diary)
            return
        if session.has_person and person is not None:
            from app.work.people import chosen_person

            session.choose(chosen_person(session.persons, person))
        self._show(session)

    def _show(self, session: Session) -> None:
        window, diary = self._window, session.diary
        diary.writer = writer_here(self.state, self.path)
        session.writer_changed.connect(partial(self._remember_writer, self.path))
        window.fill(session, whole=False)
        QTimer.singleShot(HEARD_MS, self, partial(self._be_heard, self.path))
        if diary.writable:
            QTimer.singleShot(READY_MS, self, partial(self._watch, session))
        else:
            self._watch(session)
        QTimer.singleShot(DUE_MS, self, partial(self._remind, session))
        self._end()

    def _remind(self, session: Session) -> None:
        if session is self._window.session:
            remind(self._window)

    def _be_heard(self, path: Path) -> None:
        """Hang the bell for second starts: Qt's network module is imported after the page."""
        remember_place(self.state, path)
        if self._door is not None and path == self.path and self._window.isVisible():
            self._door.listen(partial(bring_forward, self._window), self._window)

    def _remember_writer(self, path: Path, name: str) -> None:
        remember_writer(self.state, path, name or None)

    def _watch(self, session: Session) -> None:
        """Begin to watch over the diary; its page is seen by now."""
        if session is not self._window.session or self._window.guard is not None:
            return
        from app.ui.ways_in import watched

        was_left = self._door is not None and self._door.was_left
        guard = watched(self, self._window, session, was_left=was_left, crashed=self._crashed)
        self._crashed = False
        if self._door is not None:
            self._door.was_left = False
        if session.diary.writable:
            guard.start()
        else:
            QTimer.singleShot(READY_MS, guard, guard.start)

    def _first_start(self, diary: Diary | None) -> None:
        from app.ui.first_start import FirstStart

        window = self._window
        beside = window.remember.parent if window.remember else self.state
        left = beside / "first-start.json"
        installation = installation_id(self.state)
        first = FirstStart(self.path, diary, installation, self.clock, left, window)
        first.begun.connect(self._on_begun)
        first.brought.connect(lambda: self.open(self.path))
        window.show_first_start(first)
        first.take_focus()
        self._end()

    def _on_begun(self, diary: Diary) -> None:
        if self._door is not None:
            self._door.enter(self.path)
        self._show(Session(diary, self.clock, self._window))

    def _begin_or_ask(self) -> None:
        if not is_known(self.state, self.path):
            self._first_start(None)
            return
        from app.ui.ways_in import show_missing

        show_missing(self, self._window)
        self._end()

    def _block(self, trouble: DiaryError) -> None:
        from app.ui.ways_in import show_blocked

        show_blocked(self, self._window, trouble)
        self._end()

    def _end(self) -> None:
        after, self._after = self._after, None
        if after is not None:
            after()


def bring_forward(window: Window) -> None:
    """Let a window come to the front: somebody started the program again."""
    if window.isMinimized():
        window.showNormal()
    window.raise_()
    window.activateWindow()
    QApplication.alert(window)  # where a window may not come forward by itself, it says so


def remind(window: Window) -> None:
    """Say what is due in a window that somebody may look at; pictures say nothing."""
    from app.ui.due.reminding import Reminding

    window.add_dues()
    if window.dues is not None and window.session is not None:
        Reminding(window, window.session, window.dues)  # what is due owns it
