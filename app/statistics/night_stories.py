"""Bedtime, night and waking told together: what belongs to one night, and its lowest value."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple


class Part(IntEnum):
    """Which part of a night a reading belongs to."""

    BEDTIME = 0
    NIGHT = 1
    WAKING = 2


class NightReading(NamedTuple):
    """A reading of a night: `night` its number, `instant` seconds, `key` the caller's own.

    `value` may be infinite where the result is off the scale.
    """

    night: int
    part: Part
    instant: int
    value: float
    key: int = 0


@dataclass(frozen=True, slots=True)
class NightParts:
    """One night: the last reading at bedtime, the first on waking, and those between them."""

    night: int
    bedtime: NightReading | None
    between: tuple[NightReading, ...]
    waking: NightReading | None

    @property
    def lowest(self) -> NightReading | None:
        """The lowest of those between, the earliest of equal ones; None without any."""
        return min(self.between, key=lambda each: (each.value, each.instant), default=None)

    @property
    def has_all(self) -> bool:
        """Whether it has a value at bedtime, in the night and on waking."""
        return bool(self.bedtime and self.between and self.waking)


def night_stories(readings: Iterable[NightReading]) -> tuple[NightParts, ...]:
    """Gather readings into nights, in the order of the nights; nights without any have none.

    A reading on waking that is not after bedtime is none of that night's, nor is one of the night
    that is not between the two.

    Parameters
    ----------
    readings : iterable of NightReading
        In any order.

    Examples
    --------
    >>> (one,) = night_stories(
    ...     [
    ...         NightReading(7, Part.WAKING, 30_000, 134),
    ...         NightReading(7, Part.NIGHT, 18_000, 118),
    ...         NightReading(7, Part.BEDTIME, 0, 150),
    ...     ]
    ... )
    >>> one.has_all, one.lowest.value
    (True, 118)
    """
    nights: dict[int, list[NightReading]] = {}
    for each in sorted(readings, key=lambda one: (one.instant, one.part, one.value, one.key)):
        nights.setdefault(each.night, []).append(each)
    return tuple(_story(night, nights[night]) for night in sorted(nights))


def _story(night: int, parts: list[NightReading]) -> NightParts:
    bedtime = next((each for each in reversed(parts) if each.part is Part.BEDTIME), None)
    since = bedtime.instant if bedtime else None
    after = [each for each in parts if since is None or each.instant > since]
    waking = next((each for each in after if each.part is Part.WAKING), None)
    between = tuple(
        each
        for each in after
        if each.part is Part.NIGHT and (waking is None or each.instant < waking.instant)
    )
    return NightParts(night, bedtime, between, waking)
