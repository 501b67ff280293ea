"""What the window looks at: one diary, one person, the record kept in step, and the time."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from functools import partial
from typing import NamedTuple

from PySide6.QtCore import QObject, QTimer, Signal

from app.domain.clock import Period, last_days
from app.domain.errors import Damaged, DiaryError, StoreUnavailable
from app.domain.person import Person, today_of
from app.review.record import Record, kept_in_step, newest_of, record_of
from app.store.diary import Diary
from app.store.people import persons
from app.ui.job import Job
from app.ui.said import Said

DEFAULT_DAYS = 30
SOON_MS = 1000  # when older readings are loaded: the page that needs none is painted by then
FOLLOW_MS = 2000  # how soon a change made by a command is seen here


class _Seen(NamedTuple):
    """What the diary holds now, and the record that it was compared with."""

    before: Record | None
    record: Record | None
    persons: tuple[Person, ...]


class Session(QObject):
    """The diary and the person that the window shows.

    Pages read `person`, `record`, `now()` and `today()`; what a page changes goes through a
    function of `app.work` and then `changed()`. Signals: `person_changed()`, `record_changed()`
    (readings or goals are other than before), `period_changed()`, `said(Said)` for the notice bar,
    `reading_chosen(int)` a reading's local id that another page should show, `day_chosen(date)`,
    `backed_up()` a backup was made and checked,
    `damage_met()` the file turned out to be damaged while it was read, `writer_changed(str)` who
    writes from now on, empty where nobody is named,
    `writing_changed(str)` why nothing can be written from now on, or empty where it can again.

    Parameters
    ----------
    newest_days : int, optional
        Begin with so many days up to the last reading, and take in all a moment later; `complete`
        takes them in at once, for whoever needs more than these days.
    """

    person_changed = Signal()
    record_changed = Signal()
    period_changed = Signal()
    said = Signal(object)
    reading_chosen = Signal(int)
    day_chosen = Signal(object)
    writing_changed = Signal(str)
    writer_changed = Signal(str)
    damage_met = Signal()
    backed_up = Signal()

    def __init__(
        self,
        diary: Diary,
        clock: Callable[[], datetime],
        parent: QObject | None,
        *,
        newest_days: int | None = None,
    ) -> None:
        super().__init__(parent)
        self.diary = diary
        self._clock = clock
        self._persons = tuple(persons(diary))
        self._record: Record | None = None
        self._days = DEFAULT_DAYS
        self._ending: date | None = None
        self._own_period: Period | None = None
        self._day: date | None = None
        self._fell_back: date | None = None
        self._failures = 0
        self._why_not = ""
        self._looking = Job(self)
        self._looking.answered.connect(self._on_seen)
        self._looking.failed.connect(self._on_not_seen)
        if self._persons:
            first = self._persons[0]
            if newest_days is None:
                self._record = record_of(diary, first)
            else:
                self._record = newest_of(diary, first, days=newest_days, now=clock())
                QTimer.singleShot(SOON_MS, self, self.follow)
            self._begin_where_readings_are()
        self._follow = QTimer(self)
        self._follow.setInterval(FOLLOW_MS)
        self._follow.timeout.connect(self.follow)
        self._follow.start()

    @property
    def persons(self) -> tuple[Person, ...]:
        """Everyone in the diary."""
        return self._persons

    @property
    def has_person(self) -> bool:
        """Whether anybody is in the diary yet."""
        return self._record is not None

    @property
    def record(self) -> Record:
        """The readings and goals of the person shown."""
        if self._record is None:
            raise RuntimeError("nobody is in the diary yet")
        return self._record

    @property
    def person(self) -> Person:
        """The person shown."""
        return self.record.person

    def now(self) -> datetime:
        """The aware time, read anew."""
        return self._clock()

    def today(self) -> date:
        """The diary day that it is for the person shown."""
        return today_of(self.person, self.now())

    def all_days(self) -> Period:
        """Every day there is, to today at the least."""
        return self.record.all_days(self.today())

    @property
    def days(self) -> int | None:
        """How many days the period has that was chosen by its length; None for from - to."""
        return None if self._own_period else self._days

    @property
    def period(self) -> Period:
        """The whole diary days that the pages speak of; they end today unless chosen otherwise."""
        return self._own_period or last_days(self._days, self._ending or self.today())

    def show_days(self, days: int, ending: date | None = None) -> None:
        """Let the pages speak of so many days, ending today or on a day."""
        self._days, self._ending, self._own_period = days, ending, None
        self.period_changed.emit()

    def show_period(self, period: Period) -> None:
        """Let the pages speak of a period from one day to another."""
        self._own_period = period
        self.period_changed.emit()

    def show_newest(self) -> None:
        """Let the pages speak of the days up to the last reading."""
        last = self.record.last_day
        if last is not None:
            self.show_days(self.days or DEFAULT_DAYS, last)

    @property
    def day(self) -> date:
        """The one day that the Day page shows; today unless another was chosen."""
        return self._day or self.today()

    def show_day(self, day: date | None) -> None:
        """Show one day; None follows today."""
        self.complete()
        self._day = day
        self.day_chosen.emit(self.day)

    def choose(self, person: Person) -> None:
        """Show another person."""
        known = tuple(persons(self.diary))
        self._show(record_of(self.diary, person), known)

    def changed(self, said: Said | None = None) -> None:
        """Take in what was just changed, and tell the notice bar what was done."""
        try:
            self._accept(_look(self.diary, self._record))
        except StoreUnavailable:  # another program holds it just now: taken in once it lets go
            self.follow()
        if said is not None:
            self.said.emit(said)

    def complete(self) -> None:
        """Take in all readings, where only the newest are there yet."""
        if self._record is not None and not self._record.whole:
            self.changed()

    def tell_trouble(self, problem: BaseException) -> None:
        """Say what went wrong, where it is trouble of the surroundings and no fault of ours."""
        if not isinstance(problem, DiaryError):
            raise problem
        if not isinstance(problem, Damaged):
            self.said.emit(Said(str(problem), undo=False))
            return
        self.diary.distrust()
        self.damage_met.emit()
        sentence = self.tr(
            "A part of the diary can't be read, so what lies in it is not shown here. Nothing was "
            "changed; the ways out stand above."
        )
        self.said.emit(Said(sentence, undo=False))

    @property
    def why_not(self) -> str:
        """Why nothing can be written in the diary just now; empty where it can."""
        return self._why_not

    def stop_writing(self, why: str) -> None:
        """Show only, from now on, and say why; an empty reason lets everybody write again."""
        if why != self._why_not:
            self._why_not = why
            self.writing_changed.emit(why)

    def write_as(self, name: str | None) -> None:
        """Let readings and changes name who makes them from now on; None names nobody."""
        self.diary.writer = name
        self.writer_changed.emit(name or "")

    def follow(self) -> None:
        """Take in what a command or another program changed meanwhile, off the GUI thread."""
        if not self._looking.busy:
            self._looking.start(partial(_look, self.diary, self._record))

    def close(self) -> None:
        """Stop following; the diary itself is closed by who opened it."""
        self._follow.stop()
        self._looking.close()

    def _begin_where_readings_are(self) -> None:
        """Look at today; at the day of the last reading where all of them lie further back."""
        self._ending = self._day = self._own_period = self._fell_back = None
        last = self.record.last_day
        if last is not None and last < self.period.first:
            self._ending = self._day = self._fell_back = last

    def _on_seen(self, seen: _Seen) -> None:
        self._failures = 0
        if seen.before is self._record:  # else it speaks of what is no longer shown
            self._accept(seen)

    def _on_not_seen(self, trouble: Exception) -> None:
        if not isinstance(trouble, DiaryError):
            raise trouble
        self._failures += 1
        if isinstance(trouble, Damaged):
            if self._failures == 1:
                self.tell_trouble(trouble)
            return
        # Most locks are short; it is told once, and not where it is the reason shown already.
        if self._failures == 2 and not self._why_not:
            self.said.emit(Said(str(trouble), undo=False))

    def _accept(self, seen: _Seen) -> None:
        record = seen.record
        if record is self._record:
            return
        if record is None:  # who was shown is no longer there, and nobody else is
            self._persons, self._record = seen.persons, None
            self.person_changed.emit()
        elif self._record is None or record.person != self._record.person:
            self._show(record, seen.persons)
        else:
            self._persons, self._record = seen.persons, record
            self._come_forward()
            self.record_changed.emit()

    def _come_forward(self) -> None:
        """Where the pages stand at the last reading of an old diary, let them see a newer one."""
        back, last = self._fell_back, self.record.last_day
        moved = (self._ending, self._day) != (back, back)
        if back is None or moved or last is None or last <= back:
            return
        self._begin_where_readings_are()
        self.period_changed.emit()
        self.day_chosen.emit(self.day)

    def _show(self, record: Record, known: tuple[Person, ...]) -> None:
        self._persons, self._record = known, record
        self._begin_where_readings_are()
        self.person_changed.emit()
        self.record_changed.emit()


def _look(diary: Diary, before: Record | None) -> _Seen:
    """Read what the diary holds now; of `before` only what has changed, the same where nothing has.

    The zone, the unit or the start of the day may be another: then everything is read anew.
    """
    record = None
    if before is not None:
        record = kept_in_step(diary, before) if before.whole else record_of(diary, before.person)
    if record is not None and record is before:
        return _Seen(before, record, ())
    known = tuple(persons(diary))
    if record is not None and record.person in known:
        return _Seen(before, record, known)
    same = [each for each in known if before is not None and each.uid == before.person.uid]
    shown = next(iter((*same, *known)), None)
    return _Seen(before, None if shown is None else record_of(diary, shown), known)
