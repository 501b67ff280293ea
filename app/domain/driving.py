"""A rule about testing and driving that a person chose: held beside journeys, never a verdict."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from app.domain.errors import Refused
from app.domain.glucose import LimitPair
from app.domain.shipped import shipped


@dataclass(frozen=True, slots=True)
class DrivingRule:
    """What a rule asks for; None where it says nothing.

    `before_min` a test so many minutes before the start, `every_min` and then so often ·
    `above` a result has to be above it (`included`: or at it) · `under` below it there is no
    driving, and `wait_min` minutes after it is over.
    """

    key: str
    name: str
    says: tuple[str, ...]
    source: str
    check: str
    before_min: int | None = None
    every_min: int | None = None
    above: LimitPair | None = None
    included: bool = False
    under: LimitPair | None = None
    wait_min: int | None = None


def driving_rule(key: str) -> DrivingRule:
    """A rule by its key; refuses an unknown one."""
    for rule in driving_rules():
        if rule.key == key.strip().casefold():
            return rule
    raise Refused(
        f'"{key}" is no rule that is here. Nothing was changed; say one of: '
        f"{', '.join(rule.key for rule in driving_rules())}, none."
    )


@lru_cache(maxsize=1)
def driving_rules() -> tuple[DrivingRule, ...]:
    """Every rule of resources/driving.toml."""
    held = tomllib.loads(shipped("resources", "driving.toml").read_text(encoding="utf-8"))
    return tuple(_rule(key, each) for key, each in held.items())


def _rule(key: str, held: dict[str, Any]) -> DrivingRule:
    return DrivingRule(
        key=key,
        name=held["name"],
        says=tuple(held["says"]),
        source=held["source"],
        check=held["check"],
        before_min=held.get("before_minutes"),
        every_min=held.get("every_minutes"),
        above=_pair(held.get("above")),
        included=bool(held.get("included", False)),
        under=_pair(held.get("under")),
        wait_min=held.get("wait_minutes"),
    )


def _pair(held: dict[str, float] | None) -> LimitPair | None:
    return LimitPair(held["mg"], held["mmol"]) if held else None
