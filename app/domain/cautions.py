"""General first aid that is said once beside a low or a very high reading; it never blocks a save.

The texts and their sources are in resources/cautions.toml. They hold no dose of a medicine, never
say that somebody is safe, and end by deferring to the care team and the emergency number.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from app.domain.glucose import Bound, Glucose, LimitPair, Unit
from app.domain.levels import VERY_HIGH_ABOVE, VERY_LOW_BELOW, Level, level_of, ordered
from app.domain.safety import USUAL, SafetyLine, cautious_low
from app.domain.shipped import shipped

# Clinics and public-health texts call for help where glucose stays above it (read second-hand).
STAYS_HIGH_ABOVE = LimitPair(300, 16.7)


@dataclass(frozen=True, slots=True)
class CareTexts:
    """What the person wrote down from the care team; None where nothing was."""

    emergency_number: str | None = None
    team_phone: str | None = None
    low_plan: str | None = None
    sick_plan: str | None = None
    hand_over: str | None = None
    contacts: str | None = None
    what_to_watch: str | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution in plain words.

    `heads_up` is one line for the time before the reading is saved; `title`, `says` and
    `care_team_line` are for after it; `source` says where they come from.
    """

    level: Level
    heads_up: str
    title: str
    says: tuple[str, ...]
    care_team_line: str
    source: str

    @property
    def lines(self) -> tuple[str, ...]:
        """Title, sentences and the care-team line, in the order they are read."""
        return (self.title, *self.says, self.care_team_line)


def caution_for(
    glucose: Glucose, *, care: CareTexts | None, line: SafetyLine = USUAL
) -> Caution | None:
    """The caution that belongs to a result, or None for one that needs none.

    Parameters
    ----------
    glucose : Glucose
        The result; its level is taken in the unit it was typed in, and the texts name that unit.
    care : CareTexts, optional
        With an emergency number, that is named in place of "your local emergency number"; with a
        plan for lows, a low has it said first, as it was typed.
    line : SafetyLine, default the usual one
        The person's own low line: one above 70 mg/dL (3.9 mmol/L) brings the caution of a low
        earlier, one below it never later.
    """
    if glucose.bound is Bound.NO_VALUE:
        return None
    level, low = level_of(glucose), cautious_low(line)
    if level is Level.IN_RANGE and ordered(glucose) < low.in_unit(glucose.unit):
        level = Level.LOW
    key = _key(level, glucose.bound)
    if key is None:
        return None
    texts = caution_texts()
    words = _words(glucose, low, texts["local_number"], care)
    own = texts[key]
    plan = own_plan(care) if level in (Level.LOW, Level.VERY_LOW) else ()
    return Caution(
        level=level,
        heads_up=own["heads_up"].format(**words),
        title=own["title"].format(**words),
        says=(*plan, *(each.format(**words) for each in own["says"])),
        care_team_line=texts["care_team"].format(**words),
        source=own["source"],
    )


def own_plan(care: CareTexts | None) -> tuple[str, ...]:
    """The plan for lows that the family typed, as a sentence; nothing where there is none."""
    plan = " ".join((care.low_plan or "").split()) if care else ""
    return (f"Your own plan says: “{plan}”",) if plan else ()


def _key(level: Level, bound: Bound) -> str | None:
    if level in (Level.LOW, Level.VERY_LOW):
        return level.value
    if level is Level.VERY_HIGH:
        return "off_high" if bound is Bound.ABOVE else level.value
    return None


def _words(
    glucose: Glucose, low: LimitPair, local_number: str, care: CareTexts | None
) -> dict[str, str]:
    number = care.emergency_number if care else None
    return {
        "low": _limit(low, glucose.unit),
        "very_low": _limit(VERY_LOW_BELOW, glucose.unit),
        "very_high": _limit(VERY_HIGH_ABOVE, glucose.unit),
        "stays_high": _limit(STAYS_HIGH_ABOVE, glucose.unit),
        "shown": "HI" if glucose.number is None else f"{glucose.shown(glucose.unit)}",
        "emergency": (number or "").strip() or local_number,
    }


def _limit(pair: LimitPair, unit: Unit) -> str:
    return f"{pair.in_unit(unit):.{unit.places}f} {unit}"


@lru_cache(maxsize=1)
def caution_texts() -> dict[str, Any]:
    """Every text of resources/cautions.toml, by its key."""
    return tomllib.loads(shipped("resources", "cautions.toml").read_text(encoding="utf-8"))
