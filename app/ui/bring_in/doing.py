"""Reading, looking at and saving a picked file, all off the GUI thread; a save can be stopped."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from threading import Event
from typing import NamedTuple, TypeVar

from PySide6.QtCore import QObject, QTimer, Signal

from app.domain.errors import DiaryError, Refused
from app.domain.person import Person
from app.exchange.encodings import LARGEST_BYTES, too_large
from app.ui.bring_in.quietly import quietly
from app.ui.bring_in.words import tr
from app.ui.job import Job
from app.ui.session import Session
from app.work.picked import LookedAtPicked, Wish, bring_in_picked, let_go, look_at_picked

_Found = TypeVar("_Found")
_PAINTED_MS, _SETTLED_MS = 30, 300  # both threads at once would hold each other up
_TICK_MS = 100
_LONGEST_SECONDS = 1.0  # where the window is gone, nothing is waited for


class StoppedError(DiaryError):
    """The person stopped a save; nothing was saved."""


class Picked(NamedTuple):
    """A file as it was read: its name without folders, and its bytes."""

    name: str
    data: bytes


class Doing(QObject):
    """Works on one picked file.

    Signals: opened(Picked), looked(LookedAtPicked), saved(BroughtIn), failed(exception),
    stepped(rows, of rows), busy_changed(bool).
    """

    opened = Signal(object)
    looked = Signal(object)
    saved = Signal(object)
    failed = Signal(object)
    stepped = Signal(int, int)
    busy_changed = Signal(bool)

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._stop = Event()
        self._reached: tuple[int, int] | None = None  # rows saved, of so many
        self._tick = QTimer(self)
        self._tick.setInterval(_TICK_MS)
        self._tick.timeout.connect(self._on_tick)
        self._wanted = 0  # the number of the look that still matters
        self._opening, self._looking, self._saving = Job(self), Job(self), Job(self)
        self._freeing = Job(self)
        for job, answered in (
            (self._opening, self.opened),
            (self._saving, self.saved),
        ):
            job.answered.connect(answered)
        self._looking.answered.connect(self._on_looked)
        for job in (self._opening, self._looking, self._saving):
            job.failed.connect(self.failed)
            job.busy_changed.connect(self._on_busy)

    @property
    def busy(self) -> bool:
        """Whether anything goes on."""
        return self._opening.busy or self._looking.busy or self._saving.busy

    @property
    def saving(self) -> bool:
        """Whether rows are being written."""
        return self._saving.busy

    def open(self, path: Path) -> None:
        """Read a file from the disk."""
        self._opening.start(partial(read_picked, path))

    def look(self, picked: Picked, person: Person, wish: Wish) -> None:
        """Say what would become of each row; an older answer no longer matters."""
        session = self._session
        self._wanted += 1
        look = partial(look_at_picked, session.diary, person, picked.name, picked.data, wish)
        self._looking.start(
            partial(self._look, self._wanted, partial(quietly, look, now=session.now()))
        )

    def drop(self) -> None:
        """No look matters any more: what is under way is let go of."""
        self._wanted += 1

    def save(self, picked: Picked, person: Person, wish: Wish) -> None:
        """Bring the file in."""
        session = self._session
        self._stop.clear()
        self._reached = None
        self._tick.start()
        self._saving.start(
            partial(
                _after,
                self._in(_PAINTED_MS),
                quietly,
                bring_in_picked,
                session.diary,
                person,
                picked.name,
                picked.data,
                wish,
                now=session.now(),
                step=self._step,
            )
        )

    def let_go(self, looked: LookedAtPicked) -> None:
        """Free what a look at a file brought, off the GUI thread."""
        self._freeing.start(partial(_after, self._in(_SETTLED_MS), quietly, let_go, looked))

    def stop(self) -> None:
        """Stop a save, of which nothing is kept then."""
        self._stop.set()

    def _look(self, number: int, look: Callable[[], LookedAtPicked]) -> LookedAtPicked | None:
        """In the other thread: look, where it still matters, and free there what does not."""
        if number != self._wanted:
            return None
        looked = look()
        if number == self._wanted:
            return looked
        let_go(looked)
        return None

    def _on_looked(self, looked: LookedAtPicked | None) -> None:
        if looked is not None:
            self.looked.emit(looked)

    def _in(self, milliseconds: int) -> Event:
        """What is set once the window had so long to paint."""
        event = Event()
        QTimer.singleShot(milliseconds, event.set)
        return event

    def _step(self, done: int, of: int) -> None:
        """Heard in the thread that writes: what is raised takes everything back."""
        if self._stop.is_set():
            raise StoppedError(tr("The import was stopped; nothing was saved."))
        self._reached = (done, of)

    def _on_tick(self) -> None:
        # Asked for, not sent: with threads changing this often, a signal across them can crash.
        if self._reached is not None:
            self.stepped.emit(*self._reached)

    def _on_busy(self, _busy: bool) -> None:
        if not self.saving:
            self._tick.stop()
        self.busy_changed.emit(self.busy)


def _after(event: Event, does: Callable[..., _Found], *with_: object, **more: object) -> _Found:
    """In the other thread: call, once the window has painted what it knows already."""
    event.wait(_LONGEST_SECONDS)
    return does(*with_, **more)


def read_picked(path: Path) -> Picked:
    """Read a file from the disk, where it is not too large."""
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise too_large(path.stat().st_size)
        with path.open("rb") as stream:
            data = stream.read(LARGEST_BYTES + 1)
    except OSError as problem:
        raise Refused(
            tr("{name} can't be read ({why}). Nothing was changed.").format(
                name=path.name, why=problem.strerror
            )
        ) from problem
    if len(data) > LARGEST_BYTES:
        raise too_large(len(data))
    return Picked(path.name.encode("utf-8", "surrogateescape").decode("utf-8", "replace"), data)
