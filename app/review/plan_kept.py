"""Planned and done side by side, as plain counts, and where it slips."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from app.domain.marks import MARKS, Mark
from app.review.schedule import Planned
from app.review.testmap import WEEKDAYS
from app.statistics.schedule.settle import OPEN, State

# Which slots and days of the week are named: a rule of this diary.
FEWEST_PLANNED, FEWEST_UNWRITTEN, MOST_NAMED = 3, 2, 3
K = TypeVar("K", bound=Hashable)
_SETTLED = (State.DONE, State.DONE_LATE, State.MISSED)


@dataclass(frozen=True, slots=True)
class Count:
    """Of `planned` tests whose time is over, `kept` were done, `late` of them late."""

    planned: int
    kept: int
    late: int

    @property
    def unwritten(self) -> int:
        """Planned, nothing written."""
        return self.planned - self.kept

    @property
    def words(self) -> str:
        """The two numbers: "41 of 56"."""
        return f"{self.kept} of {self.planned}"


@dataclass(frozen=True, slots=True)
class Kept:
    """What was kept of a plan: in all, by mark (None for any) and by day of the week (Monday 0).

    `still_open` are due or to come, `not_expected` counts by reason; neither is in the counts.
    `slip_marks` and `slip_days` are where the most is unwritten; `slips` says so in neutral words.
    """

    all: Count
    by_mark: dict[Mark | None, Count]
    by_weekday: dict[int, Count]
    still_open: int
    not_expected: dict[str, int]
    slip_marks: tuple[tuple[Mark | None, Count], ...]
    slip_days: tuple[tuple[int, Count], ...]

    @property
    def slips(self) -> tuple[str, ...]:
        """Where the most is unwritten, in words: "bedtime: 7 of 11 written"."""
        named = [
            *((mark.words if mark else "any time", count) for mark, count in self.slip_marks),
            *((WEEKDAYS[day], count) for day, count in self.slip_days),
        ]
        return tuple(f"{name}: {count.words} written" for name, count in named)


def kept_of(planned: Sequence[Planned]) -> Kept:
    """Count what was kept of these planned tests."""
    over = [each for each in planned if each.settled.state in _SETTLED]
    by_mark = _by(over, lambda each: each.mark)
    by_mark = {mark: by_mark[mark] for mark in (*MARKS, None) if mark in by_mark}
    by_weekday = dict(sorted(_by(over, lambda each: each.wall.weekday()).items()))
    whole = _count(over)
    reasons = Counter(
        each.settled.why or "" for each in planned if each.settled.state is State.NOT_EXPECTED
    )
    return Kept(
        all=whole,
        by_mark=by_mark,
        by_weekday=by_weekday,
        still_open=sum(each.settled.state in OPEN for each in planned),
        not_expected=dict(sorted(reasons.items())),
        slip_marks=_slips(by_mark, whole),
        slip_days=_slips(by_weekday, whole),
    )


def _by(planned: Iterable[Planned], key: Callable[[Planned], K]) -> dict[K, Count]:
    groups: dict[K, list[Planned]] = {}
    for each in planned:
        groups.setdefault(key(each), []).append(each)
    return {name: _count(group) for name, group in groups.items()}


def _count(planned: Sequence[Planned]) -> Count:
    late = sum(each.settled.state is State.DONE_LATE for each in planned)
    done = sum(each.settled.state is State.DONE for each in planned)
    return Count(len(planned), done + late, late)


def _slips(counts: dict[K, Count], whole: Count) -> tuple[tuple[K, Count], ...]:
    """Those with fewer kept than the whole has, the most unwritten first."""
    low = [
        (name, each)
        for name, each in counts.items()
        if each.planned >= FEWEST_PLANNED
        and each.unwritten >= FEWEST_UNWRITTEN
        and each.kept * whole.planned < whole.kept * each.planned
    ]
    low.sort(key=lambda pair: -pair[1].unwritten)
    return tuple(low[:MOST_NAMED])
