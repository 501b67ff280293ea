"""What is due for everybody in the diary, read off the GUI thread and looked at by both clocks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from app.statistics.schedule.walls import wall_at, zone_at

if TYPE_CHECKING:
    from app.domain.person import Person
    from app.review.reminders import Reminder, Reminders
    from app.statistics.schedule.remind import Look
    from app.store.diary import Diary

NEWEST_DAYS = 10  # readings that can settle what is due now, and whole low spells
STALE_SECONDS = 900  # read anew after so long all the same: the days that are planned move on


@dataclass(frozen=True, slots=True)
class Read:
    """Everything that each person can be reminded of, as the diary held it at a time.

    `newest` is the last entry of the journal then, `at` the time in UTC seconds.
    """

    persons: tuple[Person, ...]
    newest: int
    at: int
    reminders: tuple[Reminders, ...]


@dataclass(frozen=True, slots=True)
class Watched:
    """One person's reminders and what the last look found of them."""

    person: Person
    reminders: Reminders
    look: Look

    @property
    def today(self) -> date:
        """The date by the clocks of the place."""
        return wall_at(self.now, zone_at(self.now, self.reminders.ground.places)).date()

    def due(self) -> list[Reminder]:
        """What is due now, by time."""
        return [self.reminders.by_key(each.key) for each in self.look.due]

    def to_come(self, *, until: int) -> list[Reminder]:
        """What is to come up to an instant, by time; a snoozed one when it comes again."""
        due = {each.key for each in self.look.due}
        found = [
            each
            for each in self.reminders.items
            if not each.due.closed
            and each.due.key not in due
            and (each.due.snoozed_to or each.due.at) <= until
            and (each.due.until is None or each.due.until >= self.now)
            and not (each.due.until is None and each.due.at <= self.now)
        ]
        return sorted(found, key=lambda each: each.due.snoozed_to or each.due.at)

    @property
    def now(self) -> int:
        """When it was looked, in UTC seconds."""
        clocks = self.look.memory.clocks
        return 0 if clocks is None else clocks.wall


def read_dues(
    diary: Diary, persons: Sequence[Person], known: Read | None, *, now: datetime, anew: bool
) -> Read:
    """Read what is due for each person; `known` itself where nothing was changed since.

    Parameters
    ----------
    anew : bool
        Read it whatever is known: the clock was set, or the computer slept.
    """
    # Imported here, off the GUI thread: the first page is seen before the database tools are there.
    from app.review.kit_dues import kit_dues_of
    from app.review.record import newest_of
    from app.review.reminders import reminders_of
    from app.review.schedule import ground_of
    from app.store.journal_end import newest_entry

    people, at = tuple(persons), int(now.timestamp())
    newest = newest_entry(diary)
    if (
        known is not None
        and not anew
        and (known.newest, known.persons) == (newest, people)
        and 0 <= at - known.at < STALE_SECONDS
    ):
        return known
    found = []
    for person in people:
        record = newest_of(diary, person, days=NEWEST_DAYS, now=now)
        kit = kit_dues_of(diary, person, now=now)
        found.append(reminders_of(diary, record, ground_of(diary, person), now=now, kit=kit))
    return Read(people, newest, at, tuple(found))
