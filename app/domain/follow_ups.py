"""What follows from something that was entered: kinds, the person's choice, and the texts."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from app.domain.errors import Refused
from app.domain.glucose import LimitPair
from app.domain.shipped import shipped

LOW_CAUTION, LOW_RECHECK, LOW_LATER = "low_caution", "low_recheck", "low_later"
LOW_AGAIN, LOW_HELP = "low_again", "low_help"
KETONES_HIGH, SICK_GLUCOSE, SICK_KETONES = "ketones_high", "sick_glucose", "sick_ketones"
AFTER_MEAL, KIT = "after_meal", "kit"

# Nothing of these is due to the minute: they are said late without the time.
NO_MINUTE = (LOW_CAUTION, LOW_HELP, KIT)

# What a person can switch off; a low's caution is in no list: it is always shown once.
CHOICES = (LOW_RECHECK, LOW_LATER, KETONES_HIGH, SICK_GLUCOSE, SICK_KETONES, AFTER_MEAL, KIT)
_WITH_MINUTES = (LOW_RECHECK, LOW_LATER, SICK_GLUCOSE, SICK_KETONES)
_SHORTEST, _LONGEST = 5, 1440  # minutes; beyond it is no reminder of the day

# What the ketone prompt holds readings against: a pair that guidelines print.
HIGH_ABOVE = LimitPair(250, 13.9)
TIMES = 2
_MOST_TIMES = 10

CLOSED, ELSEWHERE = "closed", "elsewhere"


@dataclass(frozen=True, slots=True)
class FollowRule:
    """One kind of follow-up as the person wants it.

    `minutes` is how long after, or how often. `limits` belong to the prompt for ketones: "above" as
    a pair in "mg" and "mmol", and "times".
    """

    kind: str
    on: bool = True
    minutes: int | None = None
    limits: Mapping[str, Any] = field(default_factory=dict)

    @property
    def seconds(self) -> int:
        """Its minutes in seconds."""
        return 60 * (self.minutes or int(follow_texts()[self.kind].get("minutes", 0)))

    @property
    def high_above(self) -> LimitPair:
        """Above which readings ask for ketones; the usual pair where none was chosen."""
        above = self.limits.get("above")
        return LimitPair(above["mg"], above["mmol"]) if above else HIGH_ABOVE

    @property
    def times(self) -> int:
        """How many highs in a row ask for ketones."""
        return int(self.limits.get("times", TIMES))


@dataclass(frozen=True, slots=True)
class DueState:
    """What became of something that was due, in UTC seconds: shown, snoozed, closed and how."""

    key: str
    shown_at: int | None = None
    snoozed_to: int | None = None
    closed_at: int | None = None
    how: str | None = None


@dataclass(frozen=True, slots=True)
class KitDue:
    """Something about the kit that is due on a day (a date ordinal).

    `key` names it for good, the day among it · `title` is what is due · `urgent` where strips or
    solution are out of date already.
    """

    key: str
    title: str
    due_day: int
    source: str
    says: tuple[str, ...] = ()
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class ReminderWishes:
    """How a person wants to be reminded; `quiet` is from a minute of the local day to another."""

    quiet: tuple[int, int] | None = None
    with_values: bool = True
    beep: bool = False
    tray: bool = True


def follow_rule(held: Sequence[FollowRule], kind: str) -> FollowRule:
    """The person's choice for a kind; on, with the usual minutes, where none was made."""
    return next((each for each in held if each.kind == kind), FollowRule(kind))


def checked_rule(rule: FollowRule) -> FollowRule:
    """A choice as it will be kept.

    Raises
    ------
    Refused
        The kind is unknown, or minutes or limits make no sense. Nothing was changed.
    """
    if rule.kind not in CHOICES:
        raise Refused(
            f'"{rule.kind}" is no follow-up that can be switched. Nothing was changed; say one of: '
            f"{', '.join(CHOICES).replace('_', '-')}."
        )
    if rule.minutes is not None:
        if rule.kind not in _WITH_MINUTES:
            raise Refused("That follow-up has no minutes of its own. Nothing was changed.")
        if not _SHORTEST <= rule.minutes <= _LONGEST:
            raise Refused(
                f"Minutes are {_SHORTEST} to {_LONGEST}; {rule.minutes} were given. "
                "Nothing was changed."
            )
    if not 1 <= rule.times <= _MOST_TIMES:
        raise Refused(f"So many in a row are 1 to {_MOST_TIMES}. Nothing was changed.")
    return rule


def checked_wishes(wishes: ReminderWishes) -> ReminderWishes:
    """How a person wants to be reminded, as it will be kept; refuses quiet hours that are none."""
    quiet = wishes.quiet
    if quiet is not None and (quiet[0] == quiet[1] or not all(0 <= each < 1440 for each in quiet)):
        raise Refused("Quiet hours go from one time of the day to another. Nothing was changed.")
    return wishes


def rule_name(kind: str) -> str:
    """A kind of follow-up as a person reads it; an unknown code as written."""
    found = follow_texts().get(kind, {})
    return str(found.get("name") or kind.replace("_", " "))


@lru_cache(maxsize=1)
def follow_texts() -> dict[str, Any]:
    """Every text of resources/follow_ups.toml, by its kind."""
    return tomllib.loads(shipped("resources", "follow_ups.toml").read_text(encoding="utf-8"))
