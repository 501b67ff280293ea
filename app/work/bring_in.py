"""A file becomes readings, doses and events: looked at first, then written in one transaction."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from app.domain.errors import NeedsAnswer, Problem
from app.domain.person import Person
from app.exchange.file_read import Account, DoseRow, FileRead, ReadingRow
from app.store import imports
from app.store.diary import Diary, Reader
from app.store.journal import Change
from app.store.readings import keeper_named, tag_labelled
from app.work.backup import BEFORE_IMPORT, LARGE_IMPORT, backup_first
from app.work.file_rows import (
    Placed,
    Sorted,
    dose_values,
    event_values,
    placed_rows,
    problem_of,
    reading_values,
)

TABLES = {"reading": imports.READING, "dose": imports.DOSE, "event": imports.EVENT}


@dataclass(frozen=True, slots=True)
class File:
    """A file as it was picked: its name without folders, its bytes, what was read of it."""

    name: str
    data: bytes
    read: FileRead


@dataclass(frozen=True, slots=True)
class BroughtIn:
    """The account of an import; `kinds` counts the new rows, `problems` what was not taken."""

    account: Account
    kinds: dict[str, int]
    refused: tuple[Problem, ...]
    held: tuple[Problem, ...]
    flagged: dict[str, int]  # new rows whose hour the clocks skipped or repeated
    notes: tuple[str, ...]


@dataclass(slots=True)
class _Plan:
    """Where each row goes: anew, back out of the bin, or nowhere since it is there."""

    new: list[Placed] = field(default_factory=list)
    back: list[tuple[Placed, int, bytes]] = field(default_factory=list)
    already: int = 0
    held: list[Problem] = field(default_factory=list)


def try_file(diary: Diary, person: Person, file: File, *, now: datetime) -> BroughtIn:
    """Say what bringing a file in would do; nothing is written.

    Raises
    ------
    NeedsAnswer
        The file can't be read before a question is answered.
    """
    rows = _rows_of(file.read, person, now)
    with diary.reading() as connection:
        return _account(file.read, _plan(connection, person, rows))


def bring_in(
    diary: Diary, person: Person, file: File, *, now: datetime, recipe: tuple[str, str] | None
) -> BroughtIn:
    """Bring a file in: the whole of it or, if anything fails, nothing.

    Parameters
    ----------
    recipe : tuple of str, optional
        Name and TOML text of the recipe, to be kept for the next file of that source.

    Raises
    ------
    NeedsAnswer
        The file can't be read before a question is answered; nothing was changed.
    StoreUnavailable
        It is a large one and no checked backup could be made before it; nothing was changed.
    """
    rows = _rows_of(file.read, person, now)
    with diary.reading() as connection:
        looked_at = _account(file.read, _plan(connection, person, rows))
    if not looked_at.account.new:
        return looked_at  # nothing to write, so nothing for the journal
    if looked_at.account.new > LARGE_IMPORT:
        backup_first(diary, why=BEFORE_IMPORT, now=now)
    zone = file.read.zone or person.zone
    with diary.change("import", {"file": file.name}, now=now, person=person) as change:
        # Planned anew: another program may have written since, and from here on none can.
        plan = _plan(change.connection, person, rows)
        found = _account(file.read, plan)
        account = found.account
        batch = imports.write_batch(
            change,
            person,
            name=file.name,
            sha=hashlib.sha256(file.data).digest(),
            bytes=len(file.data),
            seen=account.seen,
            new=account.new,
            already=account.already,
            refused=account.refused,
            held=account.held,
            recipe_id=imports.keep_recipe(change, *recipe) if recipe else None,
            newest_raw=_newest(plan),
            zone=zone,
        )
        change.names_import(batch, {"file": file.name, "new": account.new})
        imports.write_account(change, batch, found.refused, found.held)
        _write(change, person, plan, batch, zone)
    return found


def _rows_of(read: FileRead, person: Person, now: datetime) -> Sorted:
    if read.questions:
        raise NeedsAnswer(read.questions)
    return placed_rows(read, person, zone=read.zone or person.zone, now=int(now.timestamp()))


def _plan(connection: Reader, person: Person, rows: Sorted) -> _Plan:
    plan = _Plan(held=[*rows.held])
    known = {table: imports.known(connection, table, person) for table in TABLES}
    uids = [each.uid for each in rows.placed if each.uid is not None]
    there = imports.held_under(connection, uids) if uids else {}
    for each in rows.placed:
        if each.uid is not None:
            back_id = known[each.row.kind].back_by_uid.get(each.uid.bytes)
            if back_id is not None:
                plan.back.append((each, back_id, each.uid.bytes))
            else:
                _sort_restored(plan, each, there.get(each.uid), person)
            continue
        keys = known[each.row.kind]
        if each.key in keys.taken:
            plan.already += 1
        elif each.key in keys.back:
            plan.back.append((each, *keys.back[each.key]))
        else:
            plan.new.append(each)
    return plan


def _sort_restored(
    plan: _Plan, each: Placed, there: tuple[Any, ...] | None, person: Person
) -> None:
    """Place a row of our own export: it is known by its id, and never overwrites."""
    row = each.row
    if there is None or not isinstance(row, ReadingRow):
        plan.new.append(each)
        return
    glucose = row.glucose
    ours = (person.id, glucose.value, glucose.unit.value, glucose.bound.value, each.moment[1])
    emptied = there[0] == person.id and there[3:] == ("no_value", None)  # and does not come back
    if there == ours or emptied:
        plan.already += 1
        return
    why = "the diary holds this record with another value or time; correct it there"
    if there[0] != person.id:
        why = "this record belongs to another person of the diary"
    plan.held.append(problem_of(row, why))


def _account(read: FileRead, plan: _Plan) -> BroughtIn:
    taken = [*plan.new, *(each for each, _, _ in plan.back)]
    account = Account(
        seen=read.seen,
        new=len(taken),
        already=plan.already,
        refused=len(read.problems),
        held=len(plan.held),
    )
    kinds = Counter(each.row.kind for each in taken)
    flagged = Counter(each.state for each in taken if each.state in ("gap", "overlap"))
    return BroughtIn(
        account=account,
        kinds={kind: kinds.get(kind, 0) for kind in TABLES},
        refused=tuple(read.problems),
        held=tuple(plan.held),
        flagged=dict(flagged),
        notes=read.notes,
    )


def _newest(plan: _Plan) -> str | None:
    walls = [each.moment[1] for each in plan.new if each.moment[1] is not None]
    return max(walls, default=None)


def _write(change: Change, person: Person, plan: _Plan, batch: int, zone: str) -> None:
    fresh = _Rows(change, person, batch, zone)
    drawn = imports.new_uids(len(plan.new))
    for each, random in zip(plan.new, drawn, strict=True):
        uid = each.uid.bytes if each.uid is not None else random
        fresh.take(each, uid)
        fresh.rows[each.row.kind].append((uid, *fresh.values(each)))
    returned: dict[str, list[tuple[Any, ...]]] = {table: [] for table in TABLES}
    for each, row_id, uid in plan.back:
        fresh.take(each, uid)
        returned[each.row.kind].append((*fresh.values(each), row_id))
    for table, columns in TABLES.items():
        imports.insert_rows(change, table, columns, fresh.rows[table])
        imports.bring_back(change, table, columns, returned[table])
    imports.insert_rows(change, "note", ("tbl", "row_uid", "text"), fresh.notes)
    imports.insert_rows(change, "tag_on", ("tag_id", "tbl", "row_uid"), fresh.tags)


class _Rows:
    """Gathers the rows of an import for writing in bulk; looks each name up once."""

    def __init__(self, change: Change, person: Person, batch: int, zone: str) -> None:
        self.rows: dict[str, list[tuple[Any, ...]]] = {table: [] for table in TABLES}
        self.notes: list[tuple[Any, ...]] = []
        self.tags: list[tuple[Any, ...]] = []
        self._change, self._person, self._batch, self._zone = change, person, batch, zone
        self._keepers: dict[str, int] = {}
        self._meters: dict[str, int] = {}
        self._tag_ids: dict[str, int] = {}

    def take(self, each: Placed, uid: bytes) -> None:
        """Keep the note and the tags of a row, where it has any."""
        row, tags = each.row, _tags(each)
        if not row.note and not tags:
            return
        note_uid, *tag_uids = imports.new_uids(1 + len(tags))
        if row.note:
            self.notes.append((note_uid, row.kind, uid, row.note))
        for tag_uid, label in zip(tag_uids, tags, strict=True):
            if label not in self._tag_ids:
                self._tag_ids[label] = tag_labelled(self._change, self._person, label)
            self.tags.append((tag_uid, self._tag_ids[label], row.kind, uid))

    def values(self, each: Placed) -> tuple[Any, ...]:
        """The columns of a row, in the store's order."""
        row = each.row
        more = row.more if isinstance(row, ReadingRow) else None
        source = (
            self._person.id,
            (more.origin if more else None) or "file",
            self._batch,
            row.line,
            each.key,
            self._keeper(more.keeper if more else None),
            (more.entered_at if more else None) or self._change.at,
        )
        if isinstance(row, ReadingRow):
            meter = self._meter(more.meter if more else None, row.glucose.unit.value)
            return tuple(reading_values(each, row, source, meter))
        if isinstance(row, DoseRow):
            return dose_values(each, row, source)
        return event_values(each, row, source)

    def _keeper(self, name: str | None) -> int | None:
        if name is None:
            return None
        if name not in self._keepers:
            self._keepers[name] = keeper_named(self._change, name)
        return self._keepers[name]

    def _meter(self, name: str | None, unit: str) -> int | None:
        if name is None:
            return None
        if name not in self._meters:
            self._meters[name] = imports.meter_named(
                self._change, self._person, name, unit, self._zone
            )
        return self._meters[name]


def _tags(each: Placed) -> Sequence[str]:
    row = each.row
    if not isinstance(row, ReadingRow) or row.more is None:
        return ()
    return tuple(dict.fromkeys(row.more.tags))  # a file may name a tag twice
