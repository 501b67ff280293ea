"""Says what is due, once and quietly: a bar in the window, and the system's own tray if it has one.

It is no alarm. It says something only while this program runs and somebody may look.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication, QHBoxLayout, QMenu, QSystemTrayIcon

from app.domain.errors import DiaryError
from app.domain.follow_ups import (
    LOW_AGAIN,
    LOW_CAUTION,
    LOW_HELP,
    LOW_LATER,
    LOW_RECHECK,
    SICK_GLUCOSE,
)
from app.look.icons import program_icon
from app.look.theme import tokens_now
from app.ui.controls.drawing import px
from app.ui.due.doing import note_shown
from app.ui.due.now_rows import About
from app.ui.due.tell_bar import TellBar
from app.ui.due.watched import Watched
from app.ui.due.words import missed_text, said_text, tr
from app.ui.job import Job

if TYPE_CHECKING:
    from app.domain.person import Person
    from app.statistics.schedule.remind import Say
    from app.ui.due.part import DuePart
    from app.ui.session import Session
    from app.ui.window import Window

LATER_MINUTES = 10
NOT_AN_ALARM = "Thimblebook is not an alarm and wakes nobody."
_SHOWN_MS = 20_000  # as long as the notice in the window
_TESTS = (LOW_RECHECK, LOW_AGAIN, LOW_LATER, SICK_GLUCOSE)  # what a reading answers


@dataclass(frozen=True, slots=True)
class _Told:
    """One reminder that the bar tells: what it is about, its sentences, and the key it has."""

    about: About
    lines: tuple[str, ...]

    @property
    def key(self) -> tuple[UUID, str]:
        return self.about.watched.person.uid, self.about.reminder.due.key


class Reminding(QObject):
    """Connects what the watch finds with the window; it writes down what was shown.

    Parameters
    ----------
    has_tray, beep : callable
        Whether the desktop has a tray, and what makes the sound; the system's own by default.
    """

    def __init__(
        self,
        window: Window,
        session: Session,
        part: DuePart,
        *,
        has_tray: Callable[[], bool] = QSystemTrayIcon.isSystemTrayAvailable,
        beep: Callable[[], object] = QApplication.beep,
    ) -> None:
        super().__init__(part)  # it goes when another diary comes
        self._window, self._session, self._part = window, session, part
        self._has_tray, self._beep = has_tray, beep
        self._told: tuple[_Told, ...] = ()
        self._owed: list[tuple[Person, tuple[str, ...]]] = []
        self.tray: QSystemTrayIcon | None = None
        self.job = Job(self)
        self.job.answered.connect(self._on_noted)
        self.job.failed.connect(self._on_failed)
        self.now = TellBar(tr("Due"))
        self.missed = TellBar(
            tr("While nobody looked"),
            tr("It is told as past: nothing of it is asked for now. ") + tr(NOT_AN_ALARM),
        )
        for bar in (self.missed, self.now):
            row = QHBoxLayout()
            row.setContentsMargins(px(24), 0, px(24), px(8))
            row.addWidget(bar)
            window.add_above_notice(row)
            part.destroyed.connect(bar.deleteLater)
        self.now.write_wanted.connect(self._on_write)
        self.now.later_wanted.connect(self._on_later)
        self.now.elsewhere_wanted.connect(self._on_elsewhere)
        self.now.closed.connect(self._on_closed)
        part.watch.looked.connect(self._on_looked)
        part.watch.found.connect(self.say)
        session.person_changed.connect(self._on_looked)
        if part.watch.watched:  # it looked before there was anybody to say it
            self.say(part.watch.watched)

    def say(self, everybody: Sequence[Watched]) -> None:
        """Say what is new, once for each, and tell what was missed as past."""
        several = len(everybody) > 1
        self._tell_missed(everybody, several=several)
        new = [(watched, say) for watched in everybody for say in watched.look.say]
        if new:
            self._tell_new(new, several=several)
        self._note(everybody)

    def _tell_missed(self, everybody: Sequence[Watched], *, several: bool) -> None:
        lines = [
            missed_text(each.reminders, missed, each.person, each.today, several=several)
            for each in everybody
            for missed in each.look.missed
        ]
        if lines:
            self.missed.tell((*self.missed.lines, *lines))

    def _tell_new(self, new: Sequence[tuple[Watched, Say]], *, several: bool) -> None:
        told, in_tray, beeps = [], [], False
        for watched, say in new:
            reminder, wishes = watched.reminders.by_key(say.due.key), watched.reminders.wishes
            line = said_text(
                reminder,
                watched.person,
                with_values=wishes.with_values,
                was_due=say.was_due,
                several=several,
            )
            more: tuple[str, ...] = ()
            followed = reminder.follow_up
            if followed is not None and followed.kind in (LOW_CAUTION, LOW_HELP):
                # What a low asks for is shown once in any case; it names no value.
                more = tuple(tr(each) for each in (*followed.says, followed.care_team_line))
            told.append(_Told(About(watched, reminder, is_due=True), (line, *more)))
            in_tray += [line] if wishes.tray else []
            beeps = beeps or wishes.beep
        if in_tray:
            self._say_in_tray("\n".join(in_tray))
        if beeps:
            self._beep()
        again = {each.key for each in told}
        self._told = (*(each for each in self._told if each.key not in again), *told)
        self._show_told(aloud=True)

    def _show_told(self, *, aloud: bool) -> None:
        """Tell what is told; where it is one thing, with the ways to answer it."""
        alone = self._told[0].about.reminder if len(self._told) == 1 else None
        answers = alone is not None and self._session.diary.writable
        is_test = alone is not None and (alone.follow_up is None or alone.follow_up.kind in _TESTS)
        self.now.tell(
            [line for each in self._told for line in each.lines],
            answers=answers,
            is_test=is_test,
            aloud=aloud,
        )

    def _say_in_tray(self, line: str) -> None:
        if not self._has_tray():
            return
        if self.tray is None:
            self.tray = QSystemTrayIcon(program_icon(tokens_now()), self)
            self.tray.setToolTip("Thimblebook")
            menu = QMenu(self._window)
            menu.addAction(tr("Show Thimblebook"), self._come_forward)
            self.tray.setContextMenu(menu)
            self.tray.activated.connect(self._come_forward)
            self.tray.messageClicked.connect(self._come_forward)
            self.tray.show()
        no_icon = QSystemTrayIcon.MessageIcon.NoIcon
        self.tray.showMessage("Thimblebook", line, no_icon, _SHOWN_MS)

    def _note(self, everybody: Sequence[Watched]) -> None:
        """Write down what was shown: after the next start it is not said again."""
        for each in everybody:
            keys = [say.due.key for say in each.look.say]
            keys += [key for missed in each.look.missed for key in missed.keys]
            if keys:
                self._owed.append((each.person, tuple(keys)))
        self._write_owed()

    def _write_owed(self) -> None:
        if self._owed and self._session.diary.writable:
            now = self._session.now()
            self.job.start(partial(note_shown, self._session.diary, tuple(self._owed), now=now))

    def _on_noted(self, owed: list[tuple[Person, tuple[str, ...]]]) -> None:
        self._owed = owed

    def _on_looked(self) -> None:
        """What is done or over by now needs no bar any more."""
        if self._owed and not self.job.busy:
            self._write_owed()  # the diary was busy before
        still_due = {
            (each.person.uid, due.key) for each in self._part.watch.watched for due in each.look.due
        }
        left = tuple(each for each in self._told if each.key in still_due)
        if len(left) == len(self._told):
            return
        self._told = left
        if left:
            self._show_told(aloud=False)
        else:
            self.now.put_away()

    def _alone(self) -> About | None:
        """The one thing that is told, which the buttons answer."""
        return self._told[0].about if len(self._told) == 1 else None

    def _on_write(self) -> None:
        about = self._alone()
        if about is not None:
            planned = about.reminder.planned
            mark = planned.mark if planned else None
            self._part.write_wanted.emit(mark, about.watched.person)
            self.now.put_away()

    def _on_later(self) -> None:
        about = self._alone()
        if about is not None:
            self._part.put_off(about, LATER_MINUTES)
            self.now.put_away()

    def _on_elsewhere(self) -> None:
        about = self._alone()
        if about is not None:
            self._part.doing.elsewhere(about.watched.person, about.reminder)
            self.now.put_away()

    def _on_closed(self) -> None:
        self._told = ()

    def _come_forward(self, *_how: object) -> None:
        self._window.showNormal()
        self._window.raise_()
        self._window.activateWindow()

    def _on_failed(self, problem: BaseException) -> None:
        if not isinstance(problem, DiaryError):  # busy just now: it is written at the next look
            raise problem
