"""When something that is seen at one slot may be called a pattern: a ladder of four words.

Two lows or three highs at the same time of day are where clinic handouts begin to look (a patient
handout of 2011, read); lows need fewer, since they cost more. What repetition proves is a rule of
this diary: the share of such days must lie, with 95 % confidence, above a tenth for lows and above
a half for highs.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from app.statistics.exact_bound import exact_lower_bound
from app.statistics.values import IntArray, as_labels


class Step(StrEnum):
    """A step of the ladder; the order runs from the strongest to nothing seen."""

    REPEATING = "repeating"
    SEEN_AGAIN = "seen_again"
    SEEN_ONCE = "seen_once"
    CANNOT_TELL = "cannot_tell"
    NOT_SEEN = "not_seen"


@dataclass(frozen=True, slots=True)
class Rule:
    """What each step asks for.

    `tests` on different days before anything is said · `again` seen for "seen again" · `lately` so
    many among the newest `last_tests` tests, or within `within_days` days, are worth a look ·
    `repeating` seen and the lower bound of the share above `share` for "repeating".
    """

    tests: int
    again: int
    repeating: int
    share: float
    within_days: int | None = None
    last_tests: int | None = None


LOWS = Rule(tests=3, again=2, repeating=3, share=0.10, within_days=14)
HIGHS = Rule(tests=5, again=3, repeating=5, share=0.50, last_tests=7)


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen on `count` of `n` days with a test, and the step that it stands on.

    `at_least` is the one-sided exact 95 % lower bound of the share; None without tests · `lately`
    whether it was seen often enough of late to be worth a look · `more_tests` are needed before
    anything is said · `more_in_a_row` further tests that show it again would make it repeating.
    """

    step: Step
    count: int
    n: int
    at_least: float | None
    lately: bool
    more_tests: int
    more_in_a_row: int


def seen_on_days(days: ArrayLike, hits: ArrayLike, rule: Rule) -> Seen:
    """Put what was seen at one slot on its step of the ladder.

    A day counts once, and shows it when any of its readings does.

    Parameters
    ----------
    days : array_like of int, shape (n,)
        The day of each reading of the slot, ordinary days and readings not in doubt alone; order
        does not matter.
    hits : array_like of bool, shape (n,)
        Whether each reading shows it.
    rule : Rule
        `LOWS` or `HIGHS`.

    Raises
    ------
    ValueError
        If the arrays differ in length.

    Examples
    --------
    >>> seen_on_days([1, 2, 3, 5], [True, True, False, True], LOWS).step.value
    'repeating'
    """
    hit = np.asarray(hits, dtype=np.bool_)
    day = as_labels(days, "days", hit.size)
    tested = np.unique(day)
    seen = np.unique(day[hit])
    count, n = int(seen.size), int(tested.size)
    return Seen(
        step=step_of(count, n, rule),
        count=count,
        n=n,
        at_least=exact_lower_bound(count, n) if n else None,
        lately=_lately(tested, seen, rule),
        more_tests=max(0, rule.tests - n),
        more_in_a_row=_more_in_a_row(count, n, rule),
    )


def step_of(count: int, n: int, rule: Rule) -> Step:
    """The step of something seen on `count` of `n` days with a test."""
    if n < rule.tests:
        return Step.CANNOT_TELL
    if _repeats(count, n, rule):
        return Step.REPEATING
    if count >= rule.again:
        return Step.SEEN_AGAIN
    return Step.SEEN_ONCE if count else Step.NOT_SEEN


def _repeats(count: int, n: int, rule: Rule) -> bool:
    return count >= rule.repeating and exact_lower_bound(count, n) > rule.share


def _more_in_a_row(count: int, n: int, rule: Rule) -> int:
    """How many more tests that all show it make it repeating; each one raises the bound."""
    low, high = 0, 1
    while not _repeats(count + high, n + high, rule):
        low, high = high, 2 * high
    if _repeats(count, n, rule):
        return 0
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if _repeats(count + middle, n + middle, rule) else (middle, high)
    return high


def _lately(tested: IntArray, seen: NDArray[np.int64], rule: Rule) -> bool:
    if rule.last_tests is not None:
        return int(np.isin(tested[-rule.last_tests :], seen).sum()) >= rule.again
    if rule.within_days is None:
        return False
    spans = seen[rule.again - 1 :] - seen[: seen.size - rule.again + 1]
    return bool((spans < rule.within_days).any())
