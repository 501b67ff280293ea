"""How far to trust an average: good, partly or no, with every reason that applies.

All limits are rules of this diary. The verdict is about the record, never about the person.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from app.statistics.values import as_count

Verdict = Literal["no", "partly", "good"]
Code = Literal["few_readings", "few_days", "one_slot", "few_slots", "in_doubt", "unmarked"]

EVENED_SLOTS = 7  # the first so many of the slots, waking to bedtime, are those that can be covered

READINGS_NO_BELOW, READINGS_GOOD_FROM = 14, 60
DAYS_NO_BELOW, DAYS_GOOD_FROM = 5, 20
SLOTS_NO_BELOW, SLOTS_GOOD_FROM = 3, 5
# In percent of all readings.
ONE_SLOT_NO_FROM, ONE_SLOT_GOOD_UP_TO = 80, 40
DOUBT_NO_FROM, DOUBT_GOOD_BELOW = 25, 5
UNMARKED_GOOD_UP_TO = 10


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason against trusting the average: what was counted, of how many, and the line missed.

    `line` is a count for readings, days and slots, a percentage of all readings for the rest.
    """

    code: Code
    weighs: Literal["no", "partly"]
    count: int
    of: int
    line: int
    slot: int | None = None  # which slot, for "one_slot"


@dataclass(frozen=True, slots=True)
class Trust:
    """The verdict on an average, and its reasons, those for "no" first; none if it is good."""

    verdict: Verdict
    reasons: tuple[Reason, ...]


def trust_in_average(
    slot_counts: Sequence[int], *, n: int, days: int, in_doubt: int, unmarked: int
) -> Trust:
    """Judge how far an average of readings can be trusted.

    "No" with fewer than 14 readings, on fewer than 5 days, with one slot at 80 % or more, with
    fewer than 3 of 7 slots, or with 25 % or more in doubt. "Good" with 60 readings on 20 days, no
    slot over 40 %, 5 slots, under 5 % in doubt and at most 10 % unmarked. Else "partly".
    Percentages are of all readings.

    Parameters
    ----------
    slot_counts : sequence of int, length 7 or more
        Readings in each slot, waking to bedtime and then those (night) that can outweigh the rest
        but are no part of the seven.
    n : int
        All readings of the average, marked or not.
    days : int
        Days with a reading.
    in_doubt, unmarked : int
        How many of the `n` are in doubt, and how many have no mark.

    Raises
    ------
    ValueError
        If a count is negative, there are fewer than seven slots, or a part exceeds `n`.

    Examples
    --------
    >>> found = trust_in_average([28, 0, 0, 0, 0, 0, 4], n=32, days=28, in_doubt=0, unmarked=0)
    >>> found.verdict, [reason.code for reason in found.reasons]
    ('no', ['one_slot', 'few_slots', 'few_readings'])
    """
    counts = [as_count(count, "slot_counts") for count in slot_counts]
    if len(counts) < EVENED_SLOTS:
        raise ValueError(f"slot_counts must name seven slots or more: {len(counts)} given")
    n, days = as_count(n, "n"), as_count(days, "days")
    parts = {"slot_counts": sum(counts), "in_doubt": in_doubt, "unmarked": unmarked}
    for name, part in parts.items():
        if as_count(part, name) > n:
            raise ValueError(f"{name} cannot exceed n: {name}={part}, n={n}")
    covered = sum(count > 0 for count in counts[:EVENED_SLOTS])
    fullest = max(range(len(counts)), key=counts.__getitem__)
    found = [
        _too_few("few_readings", n, n, READINGS_NO_BELOW, READINGS_GOOD_FROM),
        _too_few("few_days", days, days, DAYS_NO_BELOW, DAYS_GOOD_FROM),
        _lopsided(counts[fullest], n, fullest),
        _too_few("few_slots", covered, EVENED_SLOTS, SLOTS_NO_BELOW, SLOTS_GOOD_FROM),
        _doubtful(in_doubt, n),
        _unmarked(unmarked, n),
    ]
    reasons = [reason for reason in found if reason is not None]
    reasons.sort(key=lambda reason: reason.weighs != "no")  # stable: the order above otherwise
    return Trust(reasons[0].weighs if reasons else "good", tuple(reasons))


def _too_few(code: Code, count: int, of: int, no_below: int, good_from: int) -> Reason | None:
    if count < no_below:
        return Reason(code, "no", count, of, no_below)
    return Reason(code, "partly", count, of, good_from) if count < good_from else None


def _lopsided(count: int, n: int, slot: int) -> Reason | None:
    # Whole numbers throughout: 28 of 35 is 80 %, whatever 28 / 35 is in binary.
    if n and 100 * count >= ONE_SLOT_NO_FROM * n:
        return Reason("one_slot", "no", count, n, ONE_SLOT_NO_FROM, slot)
    if 100 * count > ONE_SLOT_GOOD_UP_TO * n:
        return Reason("one_slot", "partly", count, n, ONE_SLOT_GOOD_UP_TO, slot)
    return None


def _doubtful(count: int, n: int) -> Reason | None:
    if n and 100 * count >= DOUBT_NO_FROM * n:
        return Reason("in_doubt", "no", count, n, DOUBT_NO_FROM)
    if n and 100 * count >= DOUBT_GOOD_BELOW * n:
        return Reason("in_doubt", "partly", count, n, DOUBT_GOOD_BELOW)
    return None


def _unmarked(count: int, n: int) -> Reason | None:
    if 100 * count > UNMARKED_GOOD_UP_TO * n:
        return Reason("unmarked", "partly", count, n, UNMARKED_GOOD_UP_TO)
    return None
