"""The history of the diary, readable; and what a reading said before it was corrected."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from app.domain.errors import Refused
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.marks import known_mark
from app.domain.person import Person, same_name
from app.domain.reading import Reading, Standing
from app.store.diary import Diary
from app.store.formers import Former, formers_of
from app.store.history import entries, next_redo, next_undo
from app.store.people import persons, persons_ever
from app.work.entry_line import Line, at_home, by_whom, line_of, lines_of
from app.work.people import chosen_person


@dataclass(frozen=True, slots=True)
class Correction:
    """What one change made of one part of a reading: the old words, the new, when and by whom.

    `old` or `new` is None where there was nothing, or where it was emptied from the bin.
    """

    at: datetime
    by: str
    entry: int
    part: str
    old: str | None
    new: str | None

    @property
    def sentence(self) -> str:
        """The correction in one sentence."""
        old, new = self.old or "nothing", self.new or "nothing"
        when = f"{self.at.day} {self.at:%b %Y %H:%M}"
        return f"{self.part}: {old}, from {when} on {new} ({self.by})."


@dataclass(frozen=True, slots=True)
class Next:
    """What undo would take back and what redo would do again, as sentences; None for nothing."""

    undo: Line | None
    redo: Line | None


def history(
    diary: Diary,
    person: Person | None = None,
    *,
    limit: int | None = None,
    before: int | None = None,
) -> tuple[Line, ...]:
    """Every change of a person, or of everybody, the newest first; with `before`, older ones."""
    return lines_of(diary, entries(diary, person, limit=limit, before=before))


def next_steps(diary: Diary, person: Person | None) -> Next:
    """What undo and redo would do now: for the words of their menu entries."""
    undo, again = next_undo(diary, person), next_redo(diary, person)
    return Next(
        line_of(diary, undo) if undo else None,
        line_of(diary, again) if again else None,
    )


def person_ever(diary: Diary, name: str | None) -> Person | None:
    """Whose changes are meant, also where that person was taken out of the diary.

    Returns None where no name was given and nobody is in the diary.

    Raises
    ------
    Refused
        Nobody has or had that name, or several people are there and none was named.
    """
    living = persons(diary)
    if name is None:
        return chosen_person(living, None) if living else None
    gone = [each for each in persons_ever(diary) if each.id not in {one.id for one in living}]
    for person in (*living, *reversed(gone)):
        if person.name and same_name(person.name, name):
            return person
    return chosen_person(living, name)


def whose_turn(diary: Diary, name: str | None, *, redo: bool = False) -> Person | None:
    """Whose change an undo or a redo is about, where the command names nobody.

    It is the person who is in the diary; but where the newest step is about one who is not, since
    a removal or an addition is what it is about, it is that one.

    Raises
    ------
    Refused
        Several people are there and none was named, or nobody has that name.
    """
    gone = _gone_whose_step(diary, redo=redo) if name is None else None
    return gone or person_ever(diary, name)


def turn_beside(diary: Diary, shown: Person | None, *, redo: bool = False) -> Person | None:
    """Whose change an undo or a redo in the window is about, where `shown` is looked at.

    The newest step may be the removal of a person who is no longer there to be shown.
    """
    return _gone_whose_step(diary, redo=redo) or shown


def history_of(diary: Diary, person: Person, reading: Reading | UUID) -> tuple[Correction, ...]:
    """What a reading said before, part by part, the oldest correction first.

    Changes that were taken back are told too, and the taking back as one more change.
    """
    uid = reading if isinstance(reading, UUID) else reading.uid
    return tuple(
        Correction(at_home(former.entry.at, person), by_whom(former.entry), former.entry.id, *parts)
        for former in formers_of(diary, uid)
        for parts in _parts(former)
    )


def whose_history(diary: Diary, name: str | None) -> Person | None:
    """Whose history is meant; everybody's where several people are there and none was named."""
    try:
        return person_ever(diary, name)
    except Refused:
        if name is None:
            return None
        raise


def part_words(row: Mapping[str, Any], columns: Iterable[str]) -> str | None:
    """What a reading says in the part that these columns make, None for none that has words.

    `row` holds its columns and the `keeper` by name.
    """
    wanted = set(columns)
    for _, names, says in _PARTS:
        if not wanted.isdisjoint(names):
            return says(row) or "nothing"
    return None


def _gone_whose_step(diary: Diary, *, redo: bool) -> Person | None:
    """The person whom the newest step of all is about, where that one is not in the diary."""
    step = (next_redo if redo else next_undo)(diary, None)
    if step is not None:
        living = {person.id for person in persons(diary)}
        for person in persons_ever(diary):
            if person.id == step.person_id and person.id not in living:
                return person
    return None


def _parts(former: Former) -> list[tuple[str, str | None, str | None]]:
    """The parts of a reading that one step changed: its name, the old words, the new words."""
    if former.table != "reading":
        part, column = ("Note", "text") if former.table == "note" else ("Tag", "label")
        old, new = former.before.get(column), former.after.get(column)
        if former.op in ("add", "restore"):
            return [(part, None, new)]
        return [(part, old, None if former.op == "delete" else new)]
    if former.op == "delete":
        return [("Place", "in the diary", "in the bin")]
    if former.op == "restore":
        return [("Place", "in the bin", "in the diary")]
    return [
        (part, says(former.before), says(former.after))
        for part, columns, says in _PARTS
        if not former.changed.isdisjoint(columns)
    ]


def _value(row: Mapping[str, Any]) -> str | None:
    unit = Unit(row["unit"])
    glucose = Glucose(row["value"], unit, Bound(row["bound"]))
    said = glucose.shown(unit)
    return said if glucose.number is None else f"{said} {unit}"


def _time(row: Mapping[str, Any]) -> str | None:
    return None if row["wall"] is None else f"{row['wall'].replace('T', ' ')}, {row['zone']}"


def _mark(row: Mapping[str, Any]) -> str | None:
    mark = known_mark(row["mark"])
    return str(row["mark"]) if mark is None else mark.words


def _after(row: Mapping[str, Any]) -> str | None:
    return None if row["after_min"] is None else f"{row['after_min']} min"


def _site(row: Mapping[str, Any]) -> str | None:
    return " ".join(filter(None, (row["site"], row["site_detail"]))) or None


def _hands(row: Mapping[str, Any]) -> str | None:
    return str(row["hands"])


def _standing(row: Mapping[str, Any]) -> str | None:
    why = f" ({row['standing_why']})" if row["standing_why"] else ""
    return f"{Standing(row['standing']).words}{why}"


def _keeper(row: Mapping[str, Any]) -> str | None:
    return None if row["keeper"] is None else str(row["keeper"])


_PARTS: tuple[tuple[str, frozenset[str], Callable[[Mapping[str, Any]], str | None]], ...] = (
    ("Value", frozenset({"bound", "value", "unit"}), _value),
    ("Time", frozenset({"wall", "zone", "offset_min"}), _time),
    ("Mark", frozenset({"mark"}), _mark),
    ("Minutes after the meal", frozenset({"after_min"}), _after),
    ("Sampling site", frozenset({"site", "site_detail"}), _site),
    ("Hands", frozenset({"hands"}), _hands),
    ("Standing", frozenset({"standing", "standing_why"}), _standing),
    ("Keeper", frozenset({"keeper_id"}), _keeper),
)
