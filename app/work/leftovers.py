"""What stays open after two copies were brought together: pairs probably one, what is to settle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from app.domain.errors import Refused
from app.domain.person import Person
from app.store.diary import Diary
from app.store.history import Entry
from app.store.keepers import keeper_named_by
from app.store.people import persons_ever
from app.store.probably_one import ONE, SAID_ONE, SAID_TWO, Pair, probably_one, rule
from app.store.to_settle import SETTLED, ToSettle, Version, settle, to_settle
from app.store.together_row import IN_FORCE
from app.work.edit_words import reading_words
from app.work.entry_line import at_home, by_whom
from app.work.history import part_words
from app.work.row_words import row_words
from app.work.told import told

SHOWN, OTHER = "shown", "other"
_SAFE = "Nothing was changed."


@dataclass(frozen=True, slots=True)
class Written:
    """One reading of a pair, or one version: what it says, when that was written and by whom."""

    says: str
    at: datetime
    by: str

    @property
    def sentence(self) -> str:
        """All of it: "7.2 mmol/L, 2026-03-12 07:05 (written 12 Mar 2026 07:06, by whom)"."""
        return f"{self.says} (written {self.at.day} {self.at:%b %Y %H:%M}, {self.by})"


@dataclass(frozen=True, slots=True)
class OpenPair:
    """Two readings that are probably one; `stays` was typed first and stays where they are one."""

    pair: Pair
    person: str | None
    stays: Written
    goes: Written

    @property
    def at(self) -> datetime:
        """When the one that stays was measured, as the clocks showed it."""
        return datetime.fromisoformat(self.pair.first["wall"])

    @property
    def value(self) -> str:
        """The result of both: "7.2 mmol/L"."""
        return self.stays.says.partition(",")[0]

    @property
    def minutes(self) -> int:
        """How far they are apart, in whole minutes."""
        return int(abs(self.pair.second["instant"] - self.pair.first["instant"]) // 60)

    @property
    def sentence(self) -> str:
        """The pair in one sentence."""
        apart = "at the same minute" if self.minutes == 0 else f"{self.minutes} min apart"
        return f"Probably one, {apart}: {self.stays.sentence} and {self.goes.sentence}."


@dataclass(frozen=True, slots=True)
class Leftover:
    """Something to settle: what it is about, the version that is shown, and the other one."""

    item: ToSettle
    person: str | None
    what: str
    shown: Written
    other: Written

    @property
    def at(self) -> datetime:
        """When it was, as the clocks showed it; of what has no time, when that was written."""
        wall = self.item.row.get("wall")
        return self.shown.at if wall is None else datetime.fromisoformat(wall)

    @property
    def sentence(self) -> str:
        """The leftover in one sentence."""
        return (
            f"To settle, {self.what}: {self.shown.sentence} is shown; the other copy has "
            f"{self.other.sentence}."
        )


@dataclass(frozen=True, slots=True)
class Answered:
    """What was said of something open, in the past tense, and the change that it is."""

    sentence: str
    entry: int


@dataclass(frozen=True, slots=True)
class Leftovers:
    """Everything that is open: pairs first, then what is to settle; numbered through from 1."""

    pairs: tuple[OpenPair, ...]
    to_settle: tuple[Leftover, ...]

    @property
    def count(self) -> int:
        """How many things are open."""
        return len(self.pairs) + len(self.to_settle)

    def pair(self, number: int) -> OpenPair:
        """The pair with a number of the list.

        Raises
        ------
        Refused
            There is none.
        """
        if not 1 <= number <= len(self.pairs):
            raise Refused(f"Number {number} is no pair of readings that is open. {_SAFE}")
        return self.pairs[number - 1]

    def leftover(self, number: int) -> Leftover:
        """What is to settle under a number of the list.

        Raises
        ------
        Refused
            There is nothing.
        """
        place = number - len(self.pairs)
        if not 1 <= place <= len(self.to_settle):
            raise Refused(f"Number {number} is nothing that is to settle. {_SAFE}")
        return self.to_settle[place - 1]


def leftovers(diary: Diary) -> Leftovers:
    """What is open now."""
    people = {person.id: person for person in persons_ever(diary)}
    keepers = keeper_named_by(diary)
    pairs = tuple(_pair(each, people) for each in probably_one(diary))
    return Leftovers(pairs, tuple(_leftover(each, people, keepers) for each in to_settle(diary)))


def say_of_pairs(
    diary: Diary, pairs: Sequence[OpenPair], verdict: str, *, now: datetime
) -> Answered:
    """Say of pairs that each is one, or that they are two; returns what was done.

    Raises
    ------
    Refused
        None was named, or one is no longer open; nothing was changed.
    """
    if not pairs:
        raise Refused(f"No pair of readings is open. {_SAFE}")
    words: dict[str, Any] = {"count": len(pairs)}
    entry = rule(diary, [each.pair for each in pairs], verdict, words, now=now)
    return Answered(told(SAID_ONE if verdict == ONE else SAID_TWO, words), entry)


def settle_it(diary: Diary, leftover: Leftover, keep: str, *, now: datetime) -> Answered:
    """Keep the version that is shown, or the other one; returns what was done.

    Raises
    ------
    Refused
        It was settled meanwhile; nothing was changed.
    """
    item = leftover.item
    version = item.shown if keep == SHOWN else item.other
    words: dict[str, Any] = {"keep": keep}
    if item.table == "reading":
        words["reading"] = reading_words({**item.row, **version.values})
        words["deleted"] = int(version.deleted)
    person_id = item.row.get("person_id")
    entry = settle(diary, item, version, words, now=now, person_id=person_id)
    return Answered(told(SETTLED, words), entry)


def _pair(pair: Pair, people: dict[int, Person]) -> OpenPair:
    person = people.get(pair.first["person_id"])
    stays, goes = (
        Written(reading_words(row), at_home(row["entered_at"], person), by_whom(entry))
        for row, entry in ((pair.first, pair.first_by), (pair.second, pair.second_by))
    )
    return OpenPair(pair, person.name if person else None, stays, goes)


def _leftover(item: ToSettle, people: dict[int, Person], keepers: dict[int, str]) -> Leftover:
    person = people.get(item.row.get("person_id") or 0)
    if item.table == "person":
        person = people.get(item.row["id"])
    shown, other = (
        Written(_says(item, version, keepers), at_home(version.at, person), _by(version.entry))
        for version in (item.shown, item.other)
    )
    what = row_words(item.table, item.row)
    return Leftover(item, person.name if person else None, what, shown, other)


def _says(item: ToSettle, version: Version, keepers: dict[int, str]) -> str:
    if item.field == IN_FORCE:
        return "another in its place" if version.deleted else "kept, beside one from the same day"
    if version.deleted:
        return "deleted"
    row = {**item.row, **version.values}
    if not version.values:  # one copy deleted what the other changed
        kept = reading_words(row).partition(",")[0] if item.table == "reading" else "as it stands"
        return f"kept: {kept}"
    if item.table == "reading":
        row["keeper"] = keepers.get(row["keeper_id"] or 0)
        said = part_words(row, version.values)
        if said is not None:
            return said
    held = [
        f"{name.replace('_', ' ')} {'not said' if value is None else value}"
        for name, value in version.values.items()
    ]
    return ", ".join(held)


def _by(entry: Entry | None) -> str:
    return "on another computer" if entry is None else by_whom(entry)
