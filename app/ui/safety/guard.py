"""What watches over the open diary: notes, checks, the backup of the day, and the file itself."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal

from app.domain.errors import DiaryError
from app.store.backup_facts import BackupFacts, newest_verified
from app.ui.job import Job
from app.ui.now import NowColumn
from app.ui.now.saver import Saver
from app.ui.safety import chores
from app.ui.safety.errands import Errands
from app.ui.safety.told import AGAIN, ENDED, REOPEN, RESCUE, RESTORE, STOP, TOGETHER, Told
from app.ui.safety.words import (
    backed_up_words,
    foot_words,
    rescue_stopped_words,
    sound_words,
    tr,
)
from app.ui.safety.working import Working
from app.ui.said import Said

if TYPE_CHECKING:
    from app.store.check import Checked
    from app.store.salvage import Salvaged
    from app.ui.session import Session
    from app.ui.window import Window
    from app.work.keeping import Kept

TICK_MS = 30_000  # never one long timer: it stands still while the computer sleeps
_A_DAY_MS = 86_400_000


class Guard(QObject):
    """Everything here runs off the GUI thread; the band of the window tells what came of it.

    Signals: reopen_asked() the file at the path is to be opened anew, restore_asked(Path) a backup
    is to take its place, open_asked(Path) another file is to be opened.

    Parameters
    ----------
    was_left : bool
        The last window on this diary ended without closing it: everything is checked.
    crashed : bool
        The interpreter was taken down.
    """

    reopen_asked = Signal()
    restore_asked = Signal(object)
    open_asked = Signal(object)

    def __init__(
        self,
        window: Window,
        session: Session,
        state: Path,
        *,
        was_left: bool = False,
        crashed: bool = False,
        elapsed_ms: Callable[[], int] | None = None,
    ) -> None:
        super().__init__(window)
        self.session, self.state = session, state
        self._window = window
        self.told = Told(window.band)
        self._was_left, self._crashed = was_left, crashed
        self._newest: BackupFacts | None = None
        self._knows_newest = False
        self._kept_day: date | None = None
        self._kept_ms = 0
        self._gone = ""
        self._working: Working | None = None
        self._since = QElapsedTimer()
        self._since.start()
        self._elapsed_ms = elapsed_ms or self._since.elapsed
        self.errands = Errands(self)
        self.asked = Errands(self)  # what the person wants does not wait behind the rest
        self._there = Job(self)
        self._there.answered.connect(self._on_there)
        self._tick = QTimer(self)
        self._tick.setInterval(TICK_MS)
        self._tick.timeout.connect(self.tick)
        window.band.answered.connect(self._on_answer)
        window.activated.connect(self.look)
        for saver in window.findChildren(Saver):
            saver.refused.connect(self.look)
        session.person_changed.connect(self._show_foot)
        session.damage_met.connect(self._tell_state)
        self._tell_state()

    def start(self) -> None:
        """Begin to watch: the page is seen by now."""
        diary, state = self.session.diary, self.state
        self._tick.start()
        self.errands.run(chores.make_ready, _nothing)
        self.errands.run(partial(chores.look_around, diary), self._on_looked, self._on_trouble)
        thorough = self._was_left or self._crashed
        if thorough:
            self.told.ended(crashed=self._crashed, sound=False)
        call = partial(chores.check, diary, state, self.session.now(), thorough=thorough)
        self.errands.run(call, partial(self._on_checked, told=thorough), self._on_trouble)
        self._keep()

    def close(self) -> None:
        """Watch no longer; what is under way is waited for."""
        self._tick.stop()
        self.stop_working()
        self.told.done()
        self.errands.forget()
        self.asked.forget()
        self._there.close()
        self._window.band.answered.disconnect(self._on_answer)
        self._window.activated.disconnect(self.look)

    def tick(self) -> None:
        """Follow the clock: a new day has its backup, and perhaps its check.

        A clock that was put back brings no second backup, and one that stands still keeps none
        away: a whole day by the clock that only goes on is a new day too.
        """
        self._show_foot()
        self.look()
        if not self.session.has_person or self._kept_day is None or self.errands.busy:
            return
        waited = self._elapsed_ms() - self._kept_ms >= _A_DAY_MS
        if self.session.today() > self._kept_day or waited:
            call = partial(chores.check, self.session.diary, self.state, self.session.now())
            self.errands.run(call, self._on_checked, self._on_trouble)
            self._keep()

    def look(self, *_: object) -> None:
        """Look whether the open file still lies at its path."""
        if not self._there.busy:
            self._there.start(partial(chores.gone, self.session.diary))

    def back_up(self) -> None:
        """Make a backup now, and say where it is."""
        session = self.session
        self.told.doing(tr("Copying the diary and checking the copy."))
        call = partial(chores.back_up, session.diary, self.state, session.now())
        self.asked.run(call, self._on_backed_up, self._on_trouble)

    def check(self) -> None:
        """Look at the whole file, and say what was found."""
        self.told.doing(tr("Looking at the whole file."))
        now = self.session.now()
        call = partial(chores.check, self.session.diary, self.state, now, thorough=True)
        self.asked.run(call, partial(self._on_checked, asked=True), self._on_trouble)

    def stop_working(self) -> None:
        """Let a rescue end that is under way; there is no new file then."""
        if self._working is not None:
            self._working.stop()

    def rescue(self) -> None:
        """Ask where what can still be read is to be saved."""
        from app.ui.safety.rescue import ask_where

        ask_where(self.session.diary.path, self.rescue_into, self._window)

    def rescue_into(self, out: Path) -> None:
        """Save what can be read into a new file, filled up from the newest checked backup."""
        words = tr("Reading row by row what can be read; the diary is left untouched.")
        self.told.doing(words, stops=True)
        working = Working(rescue_stopped_words(), self)
        working.come.connect(self.told.come)
        diary, now = self.session.diary, self.session.now()
        call = partial(chores.rescue, diary.path, out, diary.installation, now, working.step)
        self._working = working
        self.asked.run(call, self._on_rescued, self._on_trouble)

    def show_backups(self, chosen: Path | None = None) -> None:
        """Show the backups there are."""
        from app.ui.safety.backups import BackupsDialog

        dialog = BackupsDialog(self.session, self.state, self.asked, self._window, chosen=chosen)
        dialog.restore_asked.connect(self.restore_asked)
        dialog.made.connect(self._on_kept)
        dialog.open()

    # What came of it.

    def _keep(self) -> None:
        session = self.session
        if session.has_person:
            self._kept_day, self._kept_ms = session.today(), self._elapsed_ms()
            call = partial(chores.keep, session.diary, self.state, session.now())
            self.errands.run(call, self._on_kept, self._on_trouble)

    def _tell_state(self) -> None:
        """Say whether the diary can be written, and turn off what writes where it can't."""
        diary, stop = self.session.diary, self.session.stop_writing
        if diary.damaged:
            stop(tr("This diary is damaged; nothing can be changed in it."))
            self.told.damaged(_newest(diary.path))
        elif not diary.writable:
            stop(tr("This diary can only be read here; nothing can be changed in it."))
            self.told.read_only()
        else:
            stop(self._gone)

    def _on_looked(self, _: object) -> None:
        self._tell_state()
        self.told.place(self.session.diary.notes)

    def _on_checked(
        self, found: Checked | None, *, told: bool = False, asked: bool = False
    ) -> None:
        self.told.done()
        self._tell_state()
        if found is None or self.session.diary.damaged:
            self.told.band.drop(ENDED)
        elif found.wrong:
            self.told.disagrees(found.wrong)
        elif told:
            self.told.ended(crashed=self._crashed, sound=True)
        elif asked:
            self._say(sound_words(found.readings, found.changes))

    def _on_kept(self, kept: Kept) -> None:
        self._newest, self._knows_newest = kept.newest, True
        self._show_foot()
        self.told.kept(kept)
        if kept.made:
            self.session.backed_up.emit()

    def _on_backed_up(self, kept: Kept) -> None:
        self.told.done()
        self._on_kept(kept)
        self._say(backed_up_words(kept.made[0]))

    def _on_rescued(self, found: Salvaged) -> None:
        from app.ui.safety.rescue import show_report

        self.told.done()
        show_report(found, self._window, opens=lambda: self.open_asked.emit(found.out))

    def _on_trouble(self, trouble: DiaryError) -> None:
        self.told.done()
        self._tell_state()
        self.told.trouble(str(trouble))

    def _on_there(self, sentence: str) -> None:
        if sentence != self._gone:
            self._gone = sentence
            self.told.gone(sentence)
            self._tell_state()

    def _on_answer(self, code: str, key: str) -> None:
        if key == RESTORE:
            newest = _newest(self.session.diary.path)
            self.show_backups(None if newest is None else newest.path)
        elif key == RESCUE:
            self.rescue()
        elif key == STOP:
            self.stop_working()
        elif key == TOGETHER:
            self._window.menus.together.open(self.told.others[code])
        elif key == AGAIN:
            self.look()
        elif key == REOPEN:
            self.reopen_asked.emit()

    def _say(self, sentence: str) -> None:
        self.session.said.emit(Said(sentence, undo=False))

    def _show_foot(self) -> None:
        session = self.session
        if self._knows_newest and session.has_person:
            words, is_old = foot_words(self._newest, session.now(), session.person)
            for column in self._window.findChildren(NowColumn):
                column.show_backup_age(words, is_old=is_old)


def _newest(path: Path) -> BackupFacts | None:
    try:
        return newest_verified(path)
    except DiaryError:
        return None


def _nothing(_: object) -> None:
    return None
