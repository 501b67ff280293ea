"""What became of each planned test: settled by one reading, still to come, or nothing written.

Which reading settles which test is a rule of this diary: of all that fit (in time within the
tolerance, the mark agreeing or none) the two that are nearest to each other, and so on; at the same
distance the earlier test. What is left over may be a test done late. One reading settles one test.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from app.statistics.schedule.rule import Occurrence


class State(StrEnum):
    """What became of a planned test; the value is its code in JSON."""

    UPCOMING = "upcoming"
    DUE = "due"
    DONE = "done"
    DONE_LATE = "done_late"
    MISSED = "missed"
    NOT_EXPECTED = "not_expected"


OPEN = (State.UPCOMING, State.DUE)

# Why a test is not expected, or done without a reading here; other reasons come from the caller.
SKIPPED, DOUBLED, ELSEWHERE = "skipped", "doubled", "elsewhere"


@dataclass(frozen=True, slots=True)
class Settled:
    """A planned test and what became of it; `reading` is the place of the one that settled it.

    `late` is how many minutes after its time it was done (negative: before). `is_overdue` is true
    for a due one whose tolerance is over.
    """

    occurrence: Occurrence
    state: State
    reading: int | None = None
    late: int | None = None
    why: str | None = None
    is_overdue: bool = False


def settle(
    occurrences: Sequence[Occurrence],
    instants: Sequence[int],
    marks: Sequence[int],
    *,
    now: int,
    not_expected: Callable[[Occurrence], str | None] | None = None,
) -> tuple[Settled, ...]:
    """Give each planned test its one state.

    Parameters
    ----------
    occurrences : sequence of Occurrence
        Sorted by instant.
    instants, marks : sequence of int, length n
        When each reading was (UTC seconds, sorted) and the code of its mark, both as plain ints.
    now : int
        UTC seconds.
    not_expected : callable
        Why a test is not expected (the person is away, ill ...), None where it is.

    Returns
    -------
    tuple of Settled
        One for each occurrence, in the same order.

    Raises
    ------
    ValueError
        If instants and marks differ in number.
    """
    if len(instants) != len(marks):
        raise ValueError(f"as many marks as instants: {len(marks)}, {len(instants)}")
    whys = _whys(occurrences, not_expected)
    open_ones = [place for place, why in enumerate(whys) if why is None]
    taken: dict[int, int] = {}
    used: set[int] = set()
    _match(occurrences, open_ones, instants, marks, taken, used, late=False)
    rest = [place for place in open_ones if place not in taken]
    _match(occurrences, rest, instants, marks, taken, used, late=True)
    return tuple(
        _state(each, whys[place], taken.get(place), instants, now)
        for place, each in enumerate(occurrences)
    )


def _whys(
    occurrences: Sequence[Occurrence], not_expected: Callable[[Occurrence], str | None] | None
) -> list[str | None]:
    top: dict[tuple[int, int], tuple[int, int]] = {}
    for each in occurrences:
        rule = each.rule
        if rule.label is not None:
            day = (rule.label, each.wall.toordinal())
            top[day] = max(top.get(day, (rule.rank, rule.group)), (rule.rank, rule.group))
    found: list[str | None] = []
    for each in occurrences:
        rule, why = each.rule, None
        if each.planned in rule.elsewhere:
            why = ELSEWHERE
        elif each.planned in rule.skipped:
            why = SKIPPED
        elif rule.label is not None:
            others = top[rule.label, each.wall.toordinal()]
            why = DOUBLED if others != (rule.rank, rule.group) else None
        if why is None and not_expected is not None:
            why = not_expected(each)
        found.append(why)
    return found


def _match(
    occurrences: Sequence[Occurrence],
    places: Sequence[int],
    instants: Sequence[int],
    marks: Sequence[int],
    taken: dict[int, int],
    used: set[int],
    *,
    late: bool,
) -> None:
    """Pair tests with readings, the nearest first; adds to `taken` and `used`."""
    pairs: list[tuple[int, int, int]] = []
    for place in places:
        each = occurrences[place]
        agrees, at = each.rule.agrees, each.instant
        opens, closes = (each.closes + 1, each.late_until) if late else (each.opens, each.closes)
        first = bisect_left(instants, opens)
        for reading in range(first, bisect_right(instants, closes, first)):
            if reading not in used and (agrees is None or marks[reading] in agrees):
                pairs.append((abs(instants[reading] - at), place, reading))
    pairs.sort()
    for _, place, reading in pairs:
        if place not in taken and reading not in used:
            taken[place] = reading
            used.add(reading)


def _state(
    each: Occurrence, why: str | None, reading: int | None, instants: Sequence[int], now: int
) -> Settled:
    if reading is not None:
        away = instants[reading] - each.instant
        state = State.DONE if instants[reading] <= each.closes else State.DONE_LATE
        return Settled(each, state, reading, round(away / 60))
    if why is not None:
        state = State.DONE if why == ELSEWHERE else State.NOT_EXPECTED
        return Settled(each, state, why=why)
    if now < each.instant:
        return Settled(each, State.UPCOMING)
    if now <= each.late_until:
        return Settled(each, State.DUE, is_overdue=now > each.closes)
    return Settled(each, State.MISSED)
