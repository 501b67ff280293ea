"""Goals agreed with the care team: limits by mark, in force from a day on."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from app.domain.errors import Refused
from app.domain.glucose import LimitPair
from app.domain.marks import Mark
from app.domain.shipped import shipped

CARE_TEAM_LINE = "The goals agreed with your own care team come first."

# What a limit may be for: a mark's own code, one of these groups, or all marks.
WAKING, BEFORE, AFTER, BEDTIME, ALL = "waking", "before", "after", "bedtime", "all"


@dataclass(frozen=True, slots=True)
class Limit:
    """A goal for one mark or group: low and high end, each as a pair; either may be missing.

    Both ends belong to the goal, except that with `high_open` the high one does not: guidelines
    print "less than 180". After a meal the minutes may say which of two limits holds.
    """

    mark: str
    low: LimitPair | None
    high: LimitPair | None
    high_open: bool = False
    after_from: int | None = None
    after_to: int | None = None

    def holds_after(self, minutes: int | None) -> bool:
        """Whether the limit speaks of a reading so many minutes after the meal began."""
        if self.after_from is None or self.after_to is None:
            return True
        return minutes is not None and self.after_from <= minutes <= self.after_to


@dataclass(frozen=True, slots=True)
class TargetSet:
    """Goals in force from a day on (`from_day`, a date ordinal), with where they come from."""

    from_day: int
    name: str
    source: str
    limits: tuple[Limit, ...]
    preset: str | None = None


@dataclass(frozen=True, slots=True)
class Preset:
    """Published goals to choose from: named, cited, never more than a place to start."""

    key: str
    name: str
    source: str
    limits: tuple[Limit, ...]

    def from_day(self, day: int) -> TargetSet:
        """These goals, in force from a day on."""
        return TargetSet(day, self.name, self.source, self.limits, self.key)


def limit_for(targets: TargetSet, mark: Mark, after_min: int | None) -> Limit | None:
    """The limit by which a reading is judged, or None where the set has no word on it.

    Waking and fasting by the waking limit, before a meal by before, after a meal by after (by
    minutes where the set has two), bedtime by its own or else the general one, the rest by the
    general one. A limit for the very mark comes before its group's.
    """
    for wanted in _asked(mark):
        for limit in targets.limits:
            if limit.mark == wanted and limit.holds_after(after_min):
                return limit
    return None


def in_force(sets: Sequence[TargetSet], day: int) -> TargetSet | None:
    """The set in force on a day (a date ordinal); `sets` is sorted by its first day."""
    held = None
    for targets in sets:
        if targets.from_day <= day:
            held = targets
    return held


def presets() -> tuple[Preset, ...]:
    """The published goals that come with the program, from resources/targets.toml."""
    content = tomllib.loads(shipped("resources", "targets.toml").read_text(encoding="utf-8"))
    return tuple(_preset(key, entry) for key, entry in content.items())


def preset(key: str) -> Preset:
    """The published goals of a key; refuses an unknown one with the keys there are."""
    for found in presets():
        if found.key == key:
            return found
    keys = ", ".join(found.key for found in presets())
    raise Refused(f'There are no published goals named "{key}". Those there are: {keys}.')


def _asked(mark: Mark) -> tuple[str, ...]:
    if mark in (Mark.WAKING, Mark.FASTING):
        return (mark.value, WAKING, ALL)
    if mark.is_before_meal:
        return (mark.value, BEFORE, ALL)
    if mark.is_after_meal:
        return (mark.value, AFTER, ALL)
    return (mark.value, ALL)


def _preset(key: str, entry: dict[str, Any]) -> Preset:
    limits = tuple(_limit(mark, each) for mark, each in _listed(entry["limits"]))
    return Preset(key, entry["name"], entry["source"], limits)


def _listed(limits: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    return [
        (mark, each)
        for mark, found in limits.items()
        for each in (found if isinstance(found, list) else [found])
    ]


def _limit(mark: str, entry: dict[str, Any]) -> Limit:
    minutes = entry.get("minutes", (None, None))
    return Limit(
        mark=mark,
        low=LimitPair(*map(float, entry["low"])) if "low" in entry else None,
        high=LimitPair(*map(float, entry["high"])) if "high" in entry else None,
        high_open=bool(entry.get("high_open", False)),
        after_from=minutes[0],
        after_to=minutes[1],
    )
