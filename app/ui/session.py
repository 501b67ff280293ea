"""What the window looks at: one diary, one person, the record kept in step, and the time."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime

from PySide6.QtCore import QObject, QTimer, Signal

from app.domain.clock import Period, last_days
from app.domain.errors import DiaryError
from app.domain.person import Person
from app.review.figures import today_of
from app.review.record import Record, kept_in_step, record_of
from app.store.diary import Diary
from app.store.people import persons
from app.ui.said import Said

DEFAULT_DAYS = 30
FOLLOW_MS = 2000  # how soon a change made by a command is seen here


class Session(QObject):
    """The diary and the person that the window shows.

    Pages read `person`, `record`, `now()` and `today()`; what a page changes goes through a
    function of `app.work` and then `changed()`. Signals: `person_changed()`, `record_changed()`
    (readings or goals are other than before), `period_changed()`, `said(Said)` for the notice bar,
    `reading_chosen(int)` a reading's local id that another page should show, `day_chosen(date)`.
    """

    person_changed = Signal()
    record_changed = Signal()
    period_changed = Signal()
    said = Signal(object)
    reading_chosen = Signal(int)
    day_chosen = Signal(object)

    def __init__(self, diary: Diary, clock: Callable[[], datetime], parent: QObject | None) -> None:
        super().__init__(parent)
        self.diary = diary
        self._clock = clock
        self._persons = persons(diary)
        self._record: Record | None = None
        self._days = DEFAULT_DAYS
        self._ending: date | None = None
        self._own_period: Period | None = None
        self._day: date | None = None
        if self._persons:
            self._record = record_of(diary, self._persons[0])
            self._begin_where_readings_are()
        self._follow = QTimer(self)
        self._follow.setInterval(FOLLOW_MS)
        self._follow.timeout.connect(self.follow)
        self._follow.start()

    @property
    def persons(self) -> tuple[Person, ...]:
        """Everyone in the diary."""
        return tuple(self._persons)

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

    @property
    def day(self) -> date:
        """The one day that the Day page shows; today unless another was chosen."""
        return self._day or self.today()

    def show_day(self, day: date | None) -> None:
        """Show one day; None follows today."""
        self._day = day
        self.day_chosen.emit(self.day)

    def choose(self, person: Person) -> None:
        """Show another person."""
        self._persons = persons(self.diary)
        self._record = record_of(self.diary, person)
        self._begin_where_readings_are()
        self.person_changed.emit()
        self.record_changed.emit()

    def changed(self, said: Said | None = None) -> None:
        """Take in what was just changed, and tell the notice bar what was done."""
        self._take_in()
        if said is not None:
            self.said.emit(said)

    def follow(self) -> None:
        """Take in what a command or another program changed meanwhile."""
        try:
            self._take_in()
        except DiaryError as trouble:
            self._follow.stop()
            self.said.emit(Said(str(trouble), undo=False))

    def close(self) -> None:
        """Stop following; the diary itself is closed by who opened it."""
        self._follow.stop()

    def _begin_where_readings_are(self) -> None:
        """Look at today; at the day of the last reading where all of them lie further back."""
        self._ending = self._day = self._own_period = None
        days = self.record.columns.day
        if days.size and int(days.max()) < self.period.first.toordinal():
            self._ending = self._day = date.fromordinal(int(days.max()))

    def _take_in(self) -> None:
        if self._record is None:
            self._persons = persons(self.diary)
            if self._persons:
                self.choose(self._persons[0])
            return
        record = kept_in_step(self.diary, self._record)
        if record is self._record:
            return
        self._persons = persons(self.diary)
        mine = [each for each in self._persons if each.uid == record.person.uid]
        if not mine:
            self._record = None
            if self._persons:
                self.choose(self._persons[0])
            else:
                self.person_changed.emit()
            return
        if mine[0] != record.person:  # the zone, the unit or the start of the day is another
            self.choose(mine[0])
            return
        self._record = record
        self.record_changed.emit()
