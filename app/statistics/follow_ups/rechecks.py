"""The rechecks that a low asks for, one after another until a reading is not low, and a later one.

Again after 15 minutes: American Diabetes Association, Standards of Care, section 6; Korean Diabetes
Association, Diabetes Metab J 2024;48:546-708. Which reading answers, and for how long it is asked,
are rules of this diary.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from app.statistics.spells import CHAIN_SECONDS

RECHECK_SECONDS = 15 * 60
# Sooner than this a second low is the same test done twice, not a recheck.
SAME_TEST_SECONDS = 10 * 60
OVERDUE_SECONDS = 10 * 60

LATER_SECONDS = 60 * 60
LATER_BEFORE, LATER_AFTER, LATER_UNTIL = 15 * 60, 30 * 60, 60 * 60


@dataclass(frozen=True, slots=True)
class Recheck:
    """A test that a low asks for; `first`, `low` and `answered` are places of readings.

    `first` begins the spell · `low` is the low that asks · `still_low` how many rechecks before it
    were low too · `at` when it is due, `over` from when it is overdue, `until` the last instant at
    which it is still asked for (all in the seconds of the readings) · `answered` None while nothing
    is written · `is_later` for the check an hour after the last low.
    """

    first: int
    low: int
    still_low: int
    at: int
    over: int
    until: int
    answered: int | None = None
    is_later: bool = False


def rechecks_of(
    instants: Sequence[int],
    is_low: Sequence[bool],
    *,
    wait_s: int = RECHECK_SECONDS,
    later_s: int = LATER_SECONDS,
) -> tuple[Recheck, ...]:
    """Every recheck that readings ask for, by time, the later check of each spell behind its own.

    A low asks for a recheck after `wait_s`. A low within an hour of the last one of its spell
    answers it and asks for the next one, unless it is the same test done twice; the first reading
    that is not low answers it and ends the spell. Without any for an hour the recheck is past.
    An hour after its last low each spell asks for one more test, answered by any from a quarter of
    an hour before on.

    Parameters
    ----------
    instants : sequence of int, length n
        Seconds, sorted.
    is_low : sequence of bool, length n
        Whether each reading is a low.
    wait_s, later_s : int
        Seconds from a low to its recheck, and from the last low to the later check.

    Raises
    ------
    ValueError
        If the lengths differ, the instants step back, or a wait is not positive.

    Examples
    --------
    >>> asked = rechecks_of([0, 960, 1980], [True, True, False])
    >>> [(each.at // 60, each.still_low, each.answered) for each in asked]
    [(15, 0, 1), (31, 1, 2), (76, 1, None)]
    """
    _check(instants, is_low, wait_s, later_s)
    found: list[Recheck] = []
    open_one: Recheck | None = None
    last = 0  # the instant of the last low of the open spell
    for place, (at, low) in enumerate(zip(instants, is_low, strict=True)):
        if open_one is not None and at - last > CHAIN_SECONDS:
            found += [open_one, _later(open_one, last, instants, later_s)]
            open_one = None
        if open_one is None:
            if low:
                open_one, last = _asked(place, place, 0, at, wait_s), at
        elif not low:
            answered = replace(open_one, answered=place)
            found += [answered, _later(answered, last, instants, later_s)]
            open_one = None
        elif at - instants[open_one.low] >= SAME_TEST_SECONDS:
            found.append(replace(open_one, answered=place))
            open_one = _asked(open_one.first, place, open_one.still_low + 1, at, wait_s)
            last = at
        else:
            open_one = replace(open_one, until=max(open_one.at, at + CHAIN_SECONDS))
            last = at
    if open_one is not None:
        found += [open_one, _later(open_one, last, instants, later_s)]
    return tuple(found)


def _check(instants: Sequence[int], is_low: Sequence[bool], wait_s: int, later_s: int) -> None:
    if len(instants) != len(is_low):
        raise ValueError(f"as many lows as instants: {len(is_low)}, {len(instants)}")
    if any(after < before for before, after in pairwise(instants)):
        raise ValueError("the instants step back; sort the readings first")
    if wait_s <= 0 or later_s <= 0:
        raise ValueError(f"a wait is longer than nothing: wait_s={wait_s}, later_s={later_s}")


def _asked(first: int, low: int, still_low: int, at: int, wait_s: int) -> Recheck:
    due = at + wait_s
    return Recheck(first, low, still_low, due, due + OVERDUE_SECONDS, max(due, at + CHAIN_SECONDS))


def _later(last_asked: Recheck, last: int, instants: Sequence[int], later_s: int) -> Recheck:
    due = last + later_s
    opens = max(last + 1, due - LATER_BEFORE)
    answered = next(
        (
            place
            for place in range(last_asked.low + 1, len(instants))
            if opens <= instants[place] <= due + LATER_UNTIL
        ),
        None,
    )
    return Recheck(
        first=last_asked.first,
        low=last_asked.low,
        still_low=last_asked.still_low,
        at=due,
        over=due + LATER_AFTER,
        until=due + LATER_UNTIL,
        answered=answered,
        is_later=True,
    )
