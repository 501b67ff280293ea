"""What is done with something due: later, done elsewhere, put away, written; off the GUI thread."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.domain.errors import DiaryError
from app.ui.due.words import due_name, tr
from app.ui.job import Job
from app.ui.said import Said

if TYPE_CHECKING:
    from app.domain.person import Person
    from app.review.reminders import Reminder
    from app.store.diary import Diary
    from app.ui.session import Session


class DueDoing(QObject):
    """Does it one after the other, and tells the session what was done."""

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._job = Job(self)
        self._job.answered.connect(self._on_done)
        self._job.failed.connect(session.tell_trouble)

    @property
    def busy(self) -> bool:
        """Whether something is being done."""
        return self._job.busy

    def later(self, person: Person, reminder: Reminder, minutes: int) -> None:
        """Remind of it again after some minutes."""
        self._start(partial(_later, person=person, reminder=reminder, minutes=minutes))

    def elsewhere(self, person: Person, reminder: Reminder) -> None:
        """It was done, and is not written here."""
        self._start(partial(_close, person=person, reminder=reminder, elsewhere=True))

    def put_away(self, person: Person, reminder: Reminder) -> None:
        """Ask for it no more."""
        self._start(partial(_close, person=person, reminder=reminder, elsewhere=False))

    def begin_meal(self, person: Person) -> None:
        """A meal has just begun: the test two hours after it becomes due."""
        self._start(partial(_begin_meal, person=person))

    def remind_of_rechecks(self, person: Person) -> None:
        """Switch the recheck after a low on again, from the place where one was entered."""
        self._start(partial(_rechecks_on, person=person))

    def _start(self, call: partial[str]) -> None:
        if not self.busy and self._session.diary.writable:
            self._job.start(partial(call, self._session.diary, now=self._session.now()))

    def _on_done(self, sentence: str) -> None:
        self._session.changed(Said(sentence))


def note_shown(
    diary: Diary, shown: Sequence[tuple[Person, Sequence[str]]], *, now: datetime
) -> list[tuple[Person, tuple[str, ...]]]:
    """Write down what was shown, so that it is said once; returns what could not be written."""
    from app.work.follow_ups import note_shown as note

    owed = []
    for person, keys in shown:
        try:
            note(diary, person, keys, now=now)
        except DiaryError:
            owed.append((person, tuple(keys)))
    return owed


def _later(diary: Diary, *, now: datetime, person: Person, reminder: Reminder, minutes: int) -> str:
    from app.work.follow_ups import snooze

    until = now + timedelta(minutes=minutes)
    return snooze(diary, person, reminder.due.key, due_name(reminder), until=until, now=now)


def _close(
    diary: Diary, *, now: datetime, person: Person, reminder: Reminder, elsewhere: bool
) -> str:
    from app.domain.follow_ups import CLOSED
    from app.domain.follow_ups import ELSEWHERE as DONE_ELSEWHERE
    from app.domain.plans import ELSEWHERE, SKIP
    from app.work.follow_ups import close_due
    from app.work.plan import put_aside

    planned = reminder.planned
    if planned is not None and planned.rule is not None:  # the plan keeps it as its own exception
        at, kind = planned.settled.occurrence.planned, ELSEWHERE if elsewhere else SKIP
        return put_aside(diary, person, planned.rule.id, at, now=now, kind=kind).sentence
    how = DONE_ELSEWHERE if elsewhere else CLOSED
    return close_due(diary, person, reminder.due.key, due_name(reminder), now=now, how=how)


def _rechecks_on(diary: Diary, *, now: datetime, person: Person) -> str:
    from app.domain.follow_ups import LOW_RECHECK, rule_name
    from app.work.follow_ups import set_follow_rule

    set_follow_rule(diary, person, LOW_RECHECK, now=now, on=True)
    return tr("Reminds: {what}.").format(what=tr(rule_name(LOW_RECHECK)))


def _begin_meal(diary: Diary, *, now: datetime, person: Person) -> str:
    from app.domain.clock import moment_now
    from app.domain.plans import meal_at
    from app.store.wishes import usual_times
    from app.work.plan import begin_meal

    at = moment_now(now, person.zone)
    meal = meal_at(at.minute, usual_times(diary, person))
    return begin_meal(diary, person, at, now=now, meal=meal).sentence
