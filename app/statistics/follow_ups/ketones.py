"""When high readings ask for a ketone test: so many in a row, with none tested lately."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

# Rules of this diary, but for the last: ketones are tested again every 3 to 4 hours (Danne et al.,
# Diabetes Care 2019;42:1147-1154, table 1).
TIMES = 2
APART_SECONDS = 30 * 60  # sooner it is the same test done twice
WITHIN_SECONDS = 6 * 3600
AGAIN_SECONDS = 4 * 3600


@dataclass(frozen=True, slots=True)
class KetonesAsked:
    """A ketone test that highs ask for; `since` and `high` are the places of the first and last.

    `until` is the last instant at which it is still asked for; `answered` the instant of the test.
    """

    since: int
    high: int
    at: int
    until: int
    answered: int | None


def ketones_asked(
    instants: Sequence[int],
    is_high: Sequence[bool],
    tested: Sequence[int],
    *,
    times: int = TIMES,
    within_s: int = WITHIN_SECONDS,
    again_s: int = AGAIN_SECONDS,
) -> tuple[KetonesAsked, ...]:
    """Every ketone test that readings ask for, by time.

    Parameters
    ----------
    instants, is_high : sequences of length n
        Seconds, sorted, and whether each reading lies above the limit.
    tested : sequence of int
        When ketones were tested, sorted: a test asks for silence for `again_s`.
    times : int, default 2
        So many highs in a row, half an hour apart or more, within `within_s`.

    Raises
    ------
    ValueError
        If the lengths differ or `times` is below 1.

    Examples
    --------
    >>> [each.at for each in ketones_asked([0, 7200, 9000], [True, True, True], [])]
    [7200]
    """
    if len(instants) != len(is_high):
        raise ValueError(f"as many highs as instants: {len(is_high)}, {len(instants)}")
    if times < 1:
        raise ValueError(f"at least one high asks for a test: times={times}")
    found: list[KetonesAsked] = []
    streak: list[int] = []
    asked: int | None = None
    for place, (at, high) in enumerate(zip(instants, is_high, strict=True)):
        if not high:
            streak.clear()
            continue
        if streak and at - instants[streak[-1]] < APART_SECONDS:
            continue
        streak = [each for each in streak if at - instants[each] <= within_s] + [place]
        if len(streak) < times or (asked is not None and at - asked < again_s):
            continue
        next_test = bisect_left(tested, at)
        if next_test and at - tested[next_test - 1] < again_s:
            continue
        answered = tested[next_test] if next_test < len(tested) else None
        if answered is not None and answered > at + again_s:
            answered = None
        found.append(KetonesAsked(streak[0], place, at, at + again_s, answered))
        asked = at
    return tuple(found)
