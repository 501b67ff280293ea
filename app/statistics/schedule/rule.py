"""A rule of a plan, and the occurrences that it makes, in plain times."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, tzinfo

from app.statistics.schedule.walls import Hour

LATE_MINUTES, LATE_FACTOR = 120, 4


@dataclass(frozen=True, slots=True, eq=False)
class Rule:
    """A test that repeats, in wall time.

    `key` names the rule, `group` its plan; of two tests with one `label` on one day of different
    groups only that of the higher `rank` is asked. `start` is naive; without `zone` it is that of
    wherever the person is. `recurs` is an RRULE's value, `dates` are single dates (ordinals); with
    neither it happens once. `first_day` to `last_day` (ordinals) is when it is in force.
    `minutes` are (from day, minute of the day) pairs, sorted, that take the place of the time of
    `start`. `agrees` are the codes of marks that a reading may have, None for any.
    """

    key: int
    start: datetime
    recurs: str | None = None
    dates: tuple[int, ...] = ()
    group: int = 0
    rank: int = 0
    label: int | None = None
    zone: tzinfo | None = None
    first_day: int = 1
    last_day: int | None = None
    minutes: tuple[tuple[int, int], ...] = ()
    speaks_on: Callable[[int], bool] | None = None
    agrees: frozenset[int] | None = None
    before_min: int = 60
    after_min: int = 60
    skipped: frozenset[datetime] = frozenset()
    elsewhere: frozenset[datetime] = frozenset()
    moved: Mapping[datetime, datetime] = field(default_factory=dict)

    @property
    def late_min(self) -> int:
        """Minutes after its time up to which a test is still this one, done late.

        A rule of this diary: two hours beyond the tolerance, less for a narrow one, so that a test
        two hours after a meal, give or take half an hour, can be late until four hours after it.
        """
        return min(self.after_min + LATE_MINUTES, LATE_FACTOR * self.after_min)


@dataclass(frozen=True, slots=True)
class Occurrence:
    """One planned test: `planned` is the wall time of the rule, `wall` the one that holds now.

    `instant` is UTC seconds; `hour` says whether the clocks skip or repeat its wall time.
    """

    rule: Rule
    planned: datetime
    wall: datetime
    instant: int
    hour: Hour

    @property
    def opens(self) -> int:
        """The first instant at which a test is this one."""
        return self.instant - 60 * self.rule.before_min

    @property
    def closes(self) -> int:
        """The last instant at which a test is this one, in time."""
        return self.instant + 60 * self.rule.after_min

    @property
    def late_until(self) -> int:
        """The last instant at which a test is this one, done late."""
        return self.instant + 60 * self.rule.late_min
