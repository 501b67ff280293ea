"""A file becomes readings, doses and events: looked at first, then written in one transaction."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from app.domain.errors import NeedsAnswer, Problem
from app.domain.kit import Kit
from app.domain.person import Person
from app.exchange.file_read import Account, FileRead, ReadingRow
from app.store import imports
from app.store.by_hand import link, rule_one
from app.store.diary import Diary, Reader
from app.store.journal import Change
from app.store.kit_rows import kit_of
from app.work.backup import BEFORE_IMPORT, LARGE_IMPORT, backup_first
from app.work.file_rows import Placed, Sorted, placed_rows
from app.work.file_times import UNDATED
from app.work.import_rows import ImportRows
from app.work.memory_numbers import memory_numbers
from app.work.reconcile import TABLES, Beside, Plan, plan_rows
from app.work.row_answers import (
    NO_ANSWERS,
    ONE,
    TWO,
    RowAnswers,
    RowQuestion,
    with_answers,
)

Step = Callable[[int, int], None]  # rows written, rows in all
_AT_ONCE = 5000  # rows between two reports of progress


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
    """The account of an import; `kinds` counts the new rows, `problems` what was not taken.

    `asked` are the rows among those held that a person can answer about.
    """

    account: Account
    kinds: dict[str, int]
    undated: int  # new records of a memory whose clock said no possible time
    refused: tuple[Problem, ...]
    held: tuple[Problem, ...]
    flagged: dict[str, int]  # new rows whose hour the clocks skipped or repeated
    notes: tuple[str, ...]
    asked: tuple[RowQuestion, ...] = ()
    linked: int = 0  # rows that are one with a result written by hand
    written: bool = field(default=False, compare=False)  # whether anything was


@dataclass(frozen=True, slots=True)
class LookedAt:
    """A file, read and answered about, with the place of each of its rows and the account."""

    read: FileRead
    plan: Plan
    found: BroughtIn


def look_at_file(
    diary: Diary,
    person: Person,
    file: File,
    *,
    now: datetime,
    answers: RowAnswers = NO_ANSWERS,
) -> LookedAt:
    """Say where each row of a file would go; nothing is written.

    Raises
    ------
    NeedsAnswer
        The file can't be read before a question is answered.
    Refused
        An answer speaks of a row that is not there.
    """
    file, rows, beside = _looked_at(diary, person, file, answers, now)
    with diary.reading() as connection:
        plan = plan_rows(connection, person, rows, beside)
    return LookedAt(file.read, plan, _account(file.read, plan))


def try_file(
    diary: Diary,
    person: Person,
    file: File,
    *,
    now: datetime,
    answers: RowAnswers = NO_ANSWERS,
) -> BroughtIn:
    """Say what bringing a file in would do; nothing is written.

    Raises
    ------
    NeedsAnswer
        The file can't be read before a question is answered.
    Refused
        An answer speaks of a row that is not there.
    """
    return look_at_file(diary, person, file, now=now, answers=answers).found


def bring_in(
    diary: Diary,
    person: Person,
    file: File,
    *,
    now: datetime,
    recipe: tuple[str, str] | None,
    answers: RowAnswers = NO_ANSWERS,
    step: Step | None = None,
) -> BroughtIn:
    """Bring a file in: the whole of it or, if anything fails, nothing.

    Parameters
    ----------
    recipe : tuple of str, optional
        Name and TOML text of the recipe, to be kept for the next file of that source.
    answers : RowAnswers
        What a person said of single rows.
    step : callable, optional
        Told how many rows are written, of how many; what it raises stops the import, and nothing
        was changed.

    Raises
    ------
    NeedsAnswer
        The file can't be read before a question is answered; nothing was changed.
    Refused
        An answer speaks of a row that is not there; nothing was changed.
    StoreUnavailable
        It is a large one and no checked backup could be made before it; nothing was changed.
    """
    file, rows, beside = _looked_at(diary, person, file, answers, now)
    with diary.reading() as connection:
        looked_at = _account(file.read, plan_rows(connection, person, rows, beside))
        account, sha = looked_at.account, hashlib.sha256(file.data).digest()
        if not account.new and not looked_at.linked and _is_told(connection, file, sha, account):
            return looked_at  # nothing to write, so nothing for the journal
    if account.new > LARGE_IMPORT:
        backup_first(diary, why=BEFORE_IMPORT, now=now)
    zone = file.read.zone or person.zone
    with diary.change("import", {"file": file.name}, now=now, person=person) as change:
        # Planned anew: another program may have written since, and from here on none can.
        plan = plan_rows(change.connection, person, rows, beside)
        found = _account(file.read, plan)
        account = found.account
        fresh = ImportRows(change, person, file.meter, zone, beside)
        batch = imports.write_batch(
            change,
            person,
            name=file.name,
            sha=sha,
            bytes=len(file.data),
            seen=account.seen,
            new=account.new,
            already=account.already,
            refused=account.refused,
            held=account.held,
            recipe_id=_kept(change, recipe, file.read),
            newest_raw=_newest(plan),
            zone=zone,
            meter_id=fresh.memory_meter(_unit_of(file.read, person)),
        )
        change.names_import(batch, {"file": file.name, "new": account.new})
        imports.write_account(change, batch, found.refused, found.held)
        fresh.batch = batch
        _write(change, fresh, plan, rows.placed, step)
    # One after the other: freed all at once at the end, they would hold up every other thread.
    for ready in fresh.rows.values():
        ready.clear()
    for taken in (plan.new, plan.already, rows.placed):
        taken.clear()
    return replace(found, written=True)


def _looked_at(
    diary: Diary, person: Person, file: File, answers: RowAnswers, now: datetime
) -> tuple[File, Sorted, Beside]:
    if file.read.questions:
        raise NeedsAnswer(file.read.questions)
    file = replace(file, read=with_answers(file.read, answers))
    read = file.read
    rows = placed_rows(
        read,
        person,
        zone=read.zone or person.zone,
        now=int(now.timestamp()),
        from_memory=file.meter is not None,
    )
    kit = Kit() if file.meter is None else kit_of(diary)
    return file, rows, Beside(kit, file.meter, answers)


def _is_told(connection: Reader, file: File, sha: bytes, account: Account) -> bool:
    """Whether a file that adds nothing is no news: a new copy of a memory is, it was copied."""
    return file.meter is None or imports.has_copy(
        connection,
        file.meter,
        sha,
        there=account.already,
        refused=account.refused,
        held=account.held,
    )


def _account(read: FileRead, plan: Plan) -> BroughtIn:
    taken = [*plan.new, *(each for each, _, _ in plan.back)]
    account = Account(
        seen=read.seen,
        new=len(taken),
        already=len(plan.already) + len(plan.linked),
        refused=len(read.problems),
        held=len(plan.held),
    )
    kinds = Counter(each.row.kind for each in taken)
    flagged = Counter(each.state for each in taken if each.state in ("gap", "overlap"))
    asked = sorted(plan.asked, key=lambda question: question.line)
    return BroughtIn(
        account=account,
        kinds={
            kind: kinds.get(kind, 0) for kind in TABLES if kind in kinds or kind != "control_test"
        },
        undated=sum(each.state == UNDATED for each in taken),
        refused=tuple(read.problems),
        held=tuple(sorted(plan.held, key=lambda problem: problem.line)),
        flagged=dict(flagged),
        notes=read.notes,
        asked=tuple(asked),
        linked=len(plan.linked),
    )


def _kept(change: Change, recipe: tuple[str, str] | None, read: FileRead) -> int | None:
    return None if recipe is None else imports.keep_recipe(change, *recipe, read.signature or None)


def _unit_of(read: FileRead, person: Person) -> str:
    """The unit of a copied memory: that of its first reading."""
    units = (row.glucose.unit.value for row in read.rows if isinstance(row, ReadingRow))
    return next(units, person.unit.value)


def _newest(plan: Plan) -> str | None:
    walls = [each.moment[1] for each in plan.new if each.moment[1] is not None]
    return max(walls, default=None)


def _write(
    change: Change,
    fresh: ImportRows,
    plan: Plan,
    placed: Sequence[Placed],
    step: Step | None,
) -> None:
    fresh.orders = memory_numbers(change, placed, fresh.meter_of)
    records: list[tuple[int, str, str, bytes]] = []
    drawn = imports.new_uids(len(plan.new))
    for each, random in zip(plan.new, drawn, strict=True):
        uid = each.uid.bytes if each.uid is not None else random
        fresh.take(each, uid)
        fresh.rows[each.row.kind].append((uid, *fresh.values(each)))
        records.append((each.row.line, "new", each.row.kind, uid))
        if each.row.line in plan.two:
            there = plan.two[each.row.line]
            rule_one(change, there.table, there.uid, uid, TWO)
    returned: dict[str, list[tuple[Any, ...]]] = {table: [] for table in TABLES}
    for each, row_id, uid in plan.back:
        fresh.take(each, uid)
        returned[each.row.kind].append((*fresh.values(each), row_id))
        records.append((each.row.line, "new", each.row.kind, uid))
    for table, columns in TABLES.items():
        rows = fresh.rows[table]
        for start in range(0, len(rows), _AT_ONCE):
            imports.insert_rows(change, table, columns, rows[start : start + _AT_ONCE])
            if step is not None:
                step(min(start + _AT_ONCE, len(rows)), len(rows))
        imports.bring_back(change, table, columns, returned[table])
    imports.insert_rows(change, "note", ("tbl", "row_uid", "text"), fresh.notes)
    imports.insert_rows(change, "tag_on", ("tag_id", "tbl", "row_uid"), fresh.tags)
    for one in plan.linked:
        row, there = one.placed.row, one.there
        link(
            change,
            there,
            key=one.placed.key,
            raw_wall=row.raw_wall,
            raw_code=row.code,
            meter_id=fresh.meter_of(one.placed),
            order=None if one.placed.key is None else fresh.orders.get(one.placed.key),
        )
        if one.said:
            rule_one(change, there.table, there.uid, None, ONE)
        records.append((row.line, "one", there.table, there.uid))
    if fresh.is_memory:
        records += [(each.row.line, "already", table, uid) for each, table, uid in plan.already]
        imports.write_records(change, fresh.batch, records)
