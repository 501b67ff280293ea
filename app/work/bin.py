"""The bin: what lies in it, taken out again, emptied for good; and a person put into it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.domain.errors import NeedsAnswer, Question, Refused
from app.domain.person import Person, same_name
from app.store.bin import BinItem, Key, bin_items, bin_person, look_into, take_out
from app.store.diary import Diary, Reader
from app.store.emptying import empty
from app.store.history import BIN_EMPTIED
from app.store.people import persons_ever
from app.store.restoring import NameTaken, OwnerInBin
from app.work.backup import BEFORE_EMPTYING, BEFORE_REMOVING, backup_first
from app.work.entry_line import at_home, by_whom
from app.work.row_words import row_words
from app.work.take_back import name_taken
from app.work.told import count, told, verb

RESTORE, REMOVE = "bin_restore", "person_remove"
_DAY = 86400  # seconds
KEPT_DAYS = 90  # then the bin offers to empty it; nothing is ever emptied unasked

_BACKUPS = (
    "Backups made before still hold it; a second place that you copied the diary to may as well."
)


@dataclass(frozen=True, slots=True)
class Item:
    """One thing in the bin: its code for commands, what it is, when and by whom it was put there.

    `along` says what went with it, for instance "2 notes"; `is_old` that it has lain there for 90
    days, `days_left` how many are left until then, none below 0; `how` is the sentence of the
    change that put it there, `entry` its number.
    """

    code: str
    key: Key
    what: str
    along: str | None
    person: str | None
    at: datetime
    by: str
    entry: int
    how: str
    is_old: bool
    days_left: int

    @property
    def when(self) -> str:
        """Day and time of day where the person lives: "12 Mar 2026 21:30"."""
        return f"{self.at.day} {self.at:%b %Y %H:%M}"


@dataclass(frozen=True, slots=True)
class Contents:
    """What is in the bin, the newest first; how many things have lain there for 90 days."""

    items: tuple[Item, ...]
    old: int

    @property
    def sentence(self) -> str:
        """How full it is, and what is offered."""
        if not self.items:
            return "The bin is empty."
        n = len(self.items)
        said = (
            f"{count(n, 'thing')} {verb(n)} in the bin; each can be restored until it is emptied."
        )
        if self.old:
            have = "has" if self.old == 1 else "have"
            said += f" {self.old:,} {have} been there for {KEPT_DAYS} days or more."
        return said


@dataclass(frozen=True, slots=True)
class Done:
    """What was done with the bin, in one or two sentences; how many rows that touched."""

    sentence: str
    rows: int


def in_bin(diary: Diary, person: Person | None = None, *, now: datetime) -> Contents:
    """What lies in the bin, of one person or of everybody."""
    people = {each.id: each for each in persons_ever(diary)}
    items = tuple(
        _item(each, people.get(each.person_id or 0), now) for each in bin_items(diary, person)
    )
    return Contents(items, sum(each.is_old for each in items))


def restore_from_bin(
    diary: Diary, codes: Iterable[str], person: Person | None = None, *, now: datetime
) -> Done:
    """Take things out of the bin, each with what went there with it: one change.

    Parameters
    ----------
    codes : iterable of str
        Codes of the list, for instance "reading/12".

    Raises
    ------
    Refused
        One is not in the bin, or can't come back now; nothing was changed.
    """
    wanted = tuple(dict.fromkeys(codes))
    there = {item.code: item for item in in_bin(diary, person, now=now).items}
    for code in wanted:
        if code not in there:
            raise Refused(f'There is nothing named "{code}" in the bin. Nothing was changed.')
    if not wanted:
        raise Refused("Say what to take out of the bin. Nothing was changed.")
    items = [there[code] for code in wanted]
    what = items[0].what if len(items) == 1 else None
    words = {"count": len(items), **({"what": what} if what else {})}
    whose = {item.person for item in items}
    owner = _named(diary, whose.pop()) if len(whose) == 1 else None
    try:
        with diary.change(RESTORE, words, now=now, person=owner) as change:
            rows = take_out(change, [item.key for item in items])
    except NameTaken as trouble:
        raise Refused(name_taken(trouble.name)) from trouble
    except OwnerInBin as trouble:
        above = row_words(trouble.table, trouble.row)
        raise Refused(
            f"It belongs to {above}, which is in the bin too. Nothing was changed; restore that "
            "first, or both in turn."
        ) from trouble
    except KeyError as trouble:
        raise Refused("It is no longer in the bin. Nothing was changed.") from trouble
    return Done(told(RESTORE, words), rows)


def empty_bin(
    diary: Diary,
    person: Person | None = None,
    *,
    now: datetime,
    old_only: bool = False,
    sure: bool = False,
) -> Done:
    """Empty the bin for good, after a backup; of one person or of everybody.

    Parameters
    ----------
    old_only : bool, default False
        Only what has lain there for 90 days or more.
    sure : bool, default False
        The person has answered the question.

    Raises
    ------
    Refused
        There is nothing to empty.
    NeedsAnswer
        It was not said to be meant. In both cases nothing was changed.
    """
    with diary.reading() as connection:
        keys = _to_empty(connection, person, now, old_only=old_only)
    if not keys:
        raise Refused(
            f"Nothing has been in the bin for {KEPT_DAYS} days. Nothing was changed."
            if old_only
            else "The bin is empty. Nothing was changed."
        )
    if not sure:
        raise NeedsAnswer((_emptying_question(person, keys, old_only=old_only),))
    backup_first(diary, why=BEFORE_EMPTYING, now=now)
    with diary.change(BIN_EMPTIED, {"count": 0}, now=now, person=person) as change:
        # Looked up anew: what was taken out of the bin meanwhile stays.
        keys = _to_empty(change.connection, person, now, old_only=old_only)
        rows = empty(change, look_into(change.connection), keys)
        change.says({"count": rows})
    return Done(f"{told(BIN_EMPTIED, {'count': rows})} {_BACKUPS}", rows)


def remove_person(diary: Diary, person: Person, *, name_again: str | None, now: datetime) -> Done:
    """Put a person and everything of theirs into the bin, in one change, after a backup.

    Parameters
    ----------
    name_again : str, optional
        The name typed a second time: it must be the person's.

    Raises
    ------
    NeedsAnswer
        The name was not typed again.
    Refused
        Another name was typed.
    StoreUnavailable
        No backup could be made. In every case nothing was changed.
    """
    if name_again is None:
        raise NeedsAnswer(
            (
                Question(
                    "name again",
                    f"This puts {person.name} into the bin, with every reading, note, goal and "
                    "setting. A backup is made first; undo and the bin bring all of it back. Type "
                    "the name again to do it. Nothing was changed yet.",
                    (f'--name-again "{person.name}"',),
                ),
            )
        )
    if not same_name(name_again, person.name):
        raise Refused(
            f'The name typed again is "{name_again}", not "{person.name}". Nothing was changed.'
        )
    backup_first(diary, why=BEFORE_REMOVING, now=now)
    words = {"name": person.name, "readings": 0}
    with diary.change(REMOVE, words, now=now, person=person) as change:
        gone = bin_person(change, person)
        words["readings"] = gone.get("reading", 0)
        change.says(words)
    return Done(
        f"{told(REMOVE, words)} Undo brings all of it back, as does the bin until it is emptied.",
        sum(gone.values()),
    )


def _item(item: BinItem, person: Person | None, now: datetime) -> Item:
    return Item(
        code=f"{item.table}/{item.id}",
        key=(item.table, item.id),
        what=row_words(item.table, item.row),
        along=_along(item),
        person=person.name if person else None,
        at=at_home(item.deleted_at, person),
        by=by_whom(item.entry),
        entry=item.entry.id,
        how=told(item.entry.kind, item.entry.words),
        is_old=item.deleted_at <= _old(now),
        days_left=_days_left(item.deleted_at, now),
    )


def _along(item: BinItem) -> str | None:
    names = {"note": "note", "tag_on": "tag", "reading": "reading"}
    said = [count(n, names[table]) for table, n in item.along.items() if table in names]
    rest = sum(n for table, n in item.along.items() if table not in names)
    return ", ".join([*said, *([count(rest, "other record")] if rest else [])]) or None


def _days_left(deleted_at: int, now: datetime) -> int:
    """Whole days until it has lain there for 90, the begun one counted; a clock may be put back."""
    return min(KEPT_DAYS, max(0, -(-(deleted_at - _old(now)) // _DAY)))


def _old(now: datetime) -> int:
    return int((now - timedelta(days=KEPT_DAYS)).timestamp())


def _to_empty(
    connection: Reader, person: Person | None, now: datetime, *, old_only: bool
) -> list[Key]:
    found = look_into(connection)
    return [
        (name, row_id)
        for name, rows in found.rows.items()
        for row_id, row in rows.items()
        if (person is None or found.person_of[name, row_id] == person.id)
        and (not old_only or row["deleted_at"] <= _old(now))
    ]


def _emptying_question(person: Person | None, keys: list[Key], *, old_only: bool) -> Question:
    readings = sum(name == "reading" for name, _ in keys)
    others = len(keys) - readings
    said = [count(readings, "reading")] if readings else []
    said += [count(others, "other record")] if others else []
    whose = f" of {person.name}" if person else ""
    old = f" that {'has' if len(keys) == 1 else 'have'} been there for {KEPT_DAYS} days"
    return Question(
        "empty",
        f"This empties the bin{whose} for good: {' and '.join(said)}{old if old_only else ''}, "
        "with what the journal says of them; undo does not bring them back. A backup is made "
        f"first. {_BACKUPS} Nothing was changed yet.",
        ("--sure",),
    )


def _named(diary: Diary, name: str | None) -> Person | None:
    return next((each for each in persons_ever(diary) if each.name == name), None)
