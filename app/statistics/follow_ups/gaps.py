"""Stretches without a test that are longer than was meant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True)
class Gap:
    """From one test to the next, in seconds."""

    start: int
    end: int

    @property
    def seconds(self) -> int:
        """How long it is."""
        return self.end - self.start


def gaps_over(instants: Sequence[int], longest_s: int) -> tuple[Gap, ...]:
    """The gaps between tests that are longer than `longest_s`; as long is no gap.

    Parameters
    ----------
    instants : sequence of int
        Seconds, sorted.

    Raises
    ------
    ValueError
        If the instants step back or `longest_s` is not positive.

    Examples
    --------
    >>> [each.seconds // 3600 for each in gaps_over([0, 14400, 36000], 14400)]
    [6]
    """
    if longest_s <= 0:
        raise ValueError(f"a gap is longer than nothing: longest_s={longest_s}")
    found = []
    for start, end in pairwise(instants):
        if end < start:
            raise ValueError("the instants step back; sort the tests first")
        if end - start > longest_s:
            found.append(Gap(start, end))
    return tuple(found)
