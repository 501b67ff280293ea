"""What a carer or a school is given: the goals in force, the family's own texts, days to fill in.

It is the least that is needed: no reading but the last one, and no text that was not chosen.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from app.domain.cautions import CareTexts
from app.domain.errors import Refused
from app.domain.glucose import LimitPair, Unit
from app.domain.person import Person
from app.domain.safety import line_on
from app.domain.targets import TargetSet, in_force
from app.review.last import Last, last_of
from app.review.record import Record
from app.store.diary import Diary
from app.store.people import care_texts
from app.store.safety import safety_lines

MOST_DAYS = 14
GRID_DAYS = (1, 3, 5, 7, MOST_DAYS)
USUAL_DAYS = 5  # a school week (a choice to begin with, our own)


class CardPart(StrEnum):
    """A part of the card that can be left out."""

    LIMITS = "limits"
    LOW_PLAN = "low-plan"
    TO_WATCH = "what-to-watch"
    CONTACTS = "contacts"
    HAND_OVER = "hand-over"
    SICK_PLAN = "sick-plan"
    LAST = "last-reading"


# The plan for sick days is long, and a sick child mostly is at home.
USUAL_PARTS = frozenset(CardPart) - {CardPart.SICK_PLAN}


@dataclass(frozen=True, slots=True)
class CardChoice:
    """What the card is to hold: its first day, how many days the grid has, its unit, its parts."""

    first: date
    days: int = USUAL_DAYS
    unit: Unit | None = None
    parts: frozenset[CardPart] = USUAL_PARTS


@dataclass(frozen=True, slots=True)
class HandOverCard:
    """The card before it is put into words.

    `low` is the person's low line, `targets` the goals in force on the first day or None, `care`
    what the family wrote, `last` the newest reading where it was asked for.
    """

    person: Person
    unit: Unit
    days: tuple[date, ...]
    parts: frozenset[CardPart]
    low: LimitPair
    targets: TargetSet | None
    care: CareTexts
    last: Last | None
    made: datetime


def hand_over_card(
    diary: Diary, record: Record, choice: CardChoice, *, now: datetime
) -> HandOverCard:
    """Bring together what the card says.

    Parameters
    ----------
    choice : CardChoice
        Without a unit it is the person's own.
    now : datetime
        Aware; no reading after it is the last one.

    Raises
    ------
    Refused
        The grid has no day, or too many.
    """
    if not 1 <= choice.days <= MOST_DAYS:
        raise Refused(
            f"A card has 1 to {MOST_DAYS} days; {choice.days} were asked for. Nothing was written."
        )
    person, first = record.person, choice.first.toordinal()
    return HandOverCard(
        person=person,
        unit=choice.unit or person.unit,
        days=tuple(choice.first + timedelta(days=at) for at in range(choice.days)),
        parts=choice.parts,
        low=line_on(safety_lines(diary, person), first).low,
        targets=in_force(record.targets, first),
        care=care_texts(diary, person, day=first),
        last=last_of(record, now) if CardPart.LAST in choice.parts else None,
        made=now,
    )


def parts_named(names: list[str]) -> frozenset[CardPart]:
    """The parts of these names; refuses one that there is not."""
    known = {part.value: part for part in CardPart}
    found = set()
    for name in names:
        said = name.strip().casefold().replace("_", "-").replace(" ", "-")
        if said not in known:
            raise Refused(
                f'"{name}" is no part of the card. Nothing was written; say one of: '
                f"{', '.join(known)}."
            )
        found.add(known[said])
    return frozenset(found)
