"""A question that a person asks of the diary: what is compared, in which slot, and by what."""

from __future__ import annotations

import json
from dataclasses import dataclass
from enum import StrEnum

from app.domain.marks import Mark


class Outcome(StrEnum):
    """What is looked at."""

    LOW = "low"
    HIGH = "high"
    MEAN = "mean"


class Kind(StrEnum):
    """What makes the two sides."""

    DAYS = "days"  # days with a tag, an event or a name, against the other days
    WEEKDAYS = "weekdays"  # Monday to Friday against the weekend
    METERS = "meters"
    KEEPERS = "keepers"
    PLACES = "places"


@dataclass(frozen=True, slots=True)
class Question:
    """One question; `what` is the word asked about, or the two names that are compared.

    `slot` is None for the whole day, `outcome` None where both sides are set side by side in full.
    `first_day` and `last_day` are date ordinals, both included.
    """

    kind: Kind
    what: tuple[str, ...]
    slot: Mark | None
    outcome: Outcome | None
    first_day: int
    last_day: int
    same_weekdays: bool = False

    @property
    def spec(self) -> str:
        """The question as JSON, the same text for the same question."""
        said = {
            "kind": self.kind.value,
            "what": [" ".join(each.split()).casefold() for each in self.what],
            "slot": self.slot.value if self.slot else None,
            "outcome": self.outcome.value if self.outcome else None,
            "first_day": self.first_day,
            "last_day": self.last_day,
            "same_weekdays": self.same_weekdays,
        }
        return json.dumps(said, ensure_ascii=False, separators=(",", ":"), sort_keys=True)

    @property
    def words(self) -> str:
        """The question in a few words, for the list of what was done."""
        if self.kind is Kind.DAYS:
            told = f"{self.what[0]}"
        elif self.what:
            told = f"{self.kind.value}: {' and '.join(self.what)}"
        else:
            told = "weekdays and weekends" if self.kind is Kind.WEEKDAYS else self.kind.value
        where = f", {self.slot.words}" if self.slot else ""
        by = f", {self.outcome.value}" if self.outcome else ""
        return f"{told}{where}{by}"


def question_of(spec: str) -> Question:
    """The question that a text stands for; its words come back in small letters.

    Raises
    ------
    ValueError
        The text is none of a question, or names what this version does not know.
    """
    try:
        said = json.loads(spec)
        return Question(
            kind=Kind(said["kind"]),
            what=tuple(str(each) for each in said["what"]),
            slot=Mark(said["slot"]) if said["slot"] else None,
            outcome=Outcome(said["outcome"]) if said["outcome"] else None,
            first_day=int(said["first_day"]),
            last_day=int(said["last_day"]),
            same_weekdays=bool(said["same_weekdays"]),
        )
    except (KeyError, TypeError) as problem:
        raise ValueError(f"no question: {spec!r}") from problem
