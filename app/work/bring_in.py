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
from app.exchange.file_read import Account, FileRead, ReadingRow
from app.store import imports
from app.store.diary import Diary, Reader
from app.store.journal import Change
from app.work.backup import BEFORE_IMPORT, LARGE_IMPORT, backup_first
from app.work.file_rows import Placed, Sorted, placed_rows, problem_of
from app.work.file_times import UNDATED
from app.work.import_rows import ImportRows
from app.work.memory_numbers import memory_numbers

_FROM_ITS_FILE = "the diary has this record from the file it first came from; correct it there"
TABLES = {"reading": imports.READING, "dose": imports.DOSE, "event": imports.EVENT}


@dataclass(frozen=True, slots=True)
class File:
    """A file as it was picked: its name without folders, its bytes, what was read of it.

    With `meter`, the name of one, the file is a copy of that meter's memory.
    """

    name: str
    data: bytes
    read: FileRead
    meter: str | None = None


@dataclass(frozen=True, slots=True)
class BroughtIn:
    """The account of an import; `kinds` counts the new rows, `problems` what was not taken."""

    account: Account
    kinds: dict[str, int]
    undated: int  # new records of a memory whose clock said no possible time
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
    rows = _rows_of(file, person, now)
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
    rows = _rows_of(file, person, now)
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
        fresh = ImportRows(change, person, file.meter, zone)
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
            meter_id=fresh.memory_meter(_unit_of(file.read, person)),
        )
        change.names_import(batch, {"file": file.name, "new": account.new})
        imports.write_account(change, batch, found.refused, found.held)
        fresh.batch = batch
        _write(change, fresh, plan, rows.placed)
    return found


def _rows_of(file: File, person: Person, now: datetime) -> Sorted:
    read = file.read
    if read.questions:
        raise NeedsAnswer(read.questions)
    zone = read.zone or person.zone
    return placed_rows(
        read, person, zone=zone, now=int(now.timestamp()), from_memory=file.meter is not None
    )


def _plan(connection: Reader, person: Person, rows: Sorted) -> _Plan:
    plan = _Plan(held=[*rows.held])
    known = {table: imports.known(connection, table, person) for table in TABLES}
    uids = [each.uid for each in rows.placed if each.uid is not None]
    there = imports.held_under(connection, uids) if uids else {}
    met: set[bytes] = set()
    for each in rows.placed:
        if each.uid is not None:
            back_id = known[each.row.kind].back_by_uid.get(each.uid.bytes)
            if back_id is not None:
                plan.back.append((each, back_id, each.uid.bytes))
            elif each.uid not in there and _is_met(each, known[each.row.kind], met):
                plan.held.append(problem_of(each.row, _FROM_ITS_FILE))
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


def _is_met(each: Placed, known: imports.Known, met: set[bytes]) -> bool:
    """Whether the row of a file that a restored record came from is in the diary by itself."""
    if each.key is None:
        return False
    is_there = each.key in known.taken or each.key in known.back or each.key in met
    met.add(each.key)
    return is_there


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
        undated=sum(each.state == UNDATED for each in taken),
        refused=tuple(read.problems),
        held=tuple(plan.held),
        flagged=dict(flagged),
        notes=read.notes,
    )


def _unit_of(read: FileRead, person: Person) -> str:
    """The unit of a copied memory: that of its first reading."""
    units = (row.glucose.unit.value for row in read.rows if isinstance(row, ReadingRow))
    return next(units, person.unit.value)


def _newest(plan: _Plan) -> str | None:
    walls = [each.moment[1] for each in plan.new if each.moment[1] is not None]
    return max(walls, default=None)


def _write(change: Change, fresh: ImportRows, plan: _Plan, placed: Sequence[Placed]) -> None:
    fresh.orders = memory_numbers(change, placed, fresh.meter_of)
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
