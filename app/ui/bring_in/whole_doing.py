"""Looking at a whole diary in a file and bringing it in, off the GUI thread; it can be stopped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from threading import Event

from PySide6.QtCore import QObject, Signal

from app.domain.steps import Step, Stopped
from app.exchange.json_lines import Lines, is_whole_diary
from app.ui.bring_in.doing import read_picked
from app.ui.bring_in.words import tr
from app.ui.job import Job
from app.work.whole_diary import read_whole

Make = Callable[[Lines, str, Step], int]  # the file's lines and name; returns how many rows
_BEGINNING = 200


@dataclass(frozen=True, slots=True)
class LookedAtWhole:
    """A whole diary in a file: its lines, the file's name, and who is in it."""

    lines: Lines
    name: str
    persons: tuple[str, ...]

    @property
    def rows(self) -> int:
        """How many rows it has in all."""
        return sum(self.lines.header.rows.values())


def begins_as_whole(path: Path) -> bool:
    """Whether a file begins as a whole diary does; not where it can't be read."""
    try:
        with path.open("rb") as stream:
            return is_whole_diary(stream.read(_BEGINNING))
    except OSError:
        return False


class WholeDoing(QObject):
    """Works on one file.

    Signals: looked(LookedAtWhole), made(int) how many rows came in, failed(exception),
    stepped(done, of), busy_changed(bool) while rows come in.
    """

    looked = Signal(object)
    made = Signal(int)
    failed = Signal(object)
    stepped = Signal(int, int)
    busy_changed = Signal(bool)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._stop = Event()
        self._looking, self._making = Job(self), Job(self)
        self._looking.answered.connect(self.looked)
        self._making.answered.connect(self._on_made)
        for job in (self._looking, self._making):
            job.failed.connect(self.failed)
        self._making.busy_changed.connect(self.busy_changed)

    @property
    def making(self) -> bool:
        """Whether rows are coming in."""
        return self._making.busy

    def look(self, path: Path) -> None:
        """Look at the whole file."""
        self._looking.start(partial(_looked_at, path))

    def make(self, looked: LookedAtWhole, make: Make) -> None:
        """Bring it in: all of it or nothing."""
        self._stop.clear()
        self._making.start(partial(make, looked.lines, looked.name, self._step))

    def stop(self) -> None:
        """Stop; nothing of it is kept then."""
        self._stop.set()

    def _step(self, done: int, of: int) -> None:
        """Heard in the thread that writes."""
        if self._stop.is_set():
            raise Stopped(tr("It was stopped; nothing was made."))
        self.stepped.emit(done, of)

    def _on_made(self, rows: object) -> None:
        self.made.emit(rows)


def _looked_at(path: Path) -> LookedAtWhole:
    picked = read_picked(path)
    lines = read_whole(picked.data)
    wanted = lines.header.rows.get("person", 0)
    names: list[str] = []
    for table, said in lines.rows():
        if len(names) == wanted:
            break
        if table == "person":
            names.append(str(said.get("name", "")))
    return LookedAtWhole(lines, picked.name, tuple(names))
