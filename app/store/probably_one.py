"""Readings that two copies wrote apart and that are probably one test: listed until a person says.

Two readings were written apart where neither copy had the other's when it wrote its own; the
entries say so, since each names what its copy had seen by then. So the list follows from the diary
alone, and is the same in every copy.
"""

from __future__ import annotations

import json
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from app.domain.errors import Refused
from app.store import schema
from app.store.amend import into_the_bin
from app.store.by_hand import PROBABLY_ONE
from app.store.diary import Diary
from app.store.history import Entry, entries_with
from app.store.journal import Change
from app.store.rows import Row, rows_with, select

ONE, TWO = "one", "two"
SAID_ONE, SAID_TWO = "said_one", "said_two"  # kinds of the entries that say so
SAME_SECONDS = 600  # as for a row of a file and a result by hand: a rule of this diary

# A meter keeps a test once: two records of meters are two tests.
_READINGS = """
    SELECT r.id, r.uid, r.person_id, r.bound, r.value, r.unit, r.instant, r.wall, r.born,
        r.entered_at,
        r.source_key IS NOT NULL AND r.meter_id IS NOT NULL AS of_memory
    FROM reading r JOIN journal_entry e ON e.id = r.born
    WHERE r.deleted_at IS NULL AND r.instant IS NOT NULL AND r.bound != 'no_value'
    ORDER BY r.instant, r.uid
"""
_FILLED = {  # what the one that stays takes over where it says nothing itself
    "mark": ("none", ("mark", "mark_from", "after_min")),
    "site": (None, ("site", "site_detail")),
    "hands": ("unknown", ("hands",)),
    "meal_id": (None, ("meal_id",)),
    "meter_id": (None, ("meter_id",)),
    "vial_id": (None, ("vial_id",)),
    "keeper_id": (None, ("keeper_id",)),
    "place_id": (None, ("place_id",)),
}


@dataclass(frozen=True, slots=True)
class Pair:
    """Two readings that are probably one; `first` was typed first and stays where they are one."""

    first: Row
    second: Row
    first_by: Entry
    second_by: Entry

    @property
    def uids(self) -> tuple[bytes, bytes]:
        """What the pair is known by: both uids, the smaller first."""
        one, other = sorted((self.first["uid"], self.second["uid"]))
        return one, other


def probably_one(diary: Diary) -> tuple[Pair, ...]:
    """The pairs that nobody has ruled on, by time: each reading once, the nearest first met."""
    with diary.reading() as connection:
        return _pairs(connection, diary)


def rule(
    diary: Diary, pairs: Iterable[Pair], verdict: str, words: dict[str, Any], *, now: datetime
) -> int:
    """Say of pairs whether each is one or two, by one change that undo takes back.

    Of what is one the reading that was typed later goes into the bin; the other takes over its
    notes and tags, and a mark, site or the like where it has none itself. Returns the local id of
    the entry.

    Raises
    ------
    Refused
        One of them is no longer open; nothing was changed.
    """
    wanted = [pair.uids for pair in pairs]
    persons = {pair.first["person_id"] for pair in pairs}
    with diary.change(SAID_ONE if verdict == ONE else SAID_TWO, words, now=now) as change:
        if len(persons) == 1:
            change.concerns(persons.pop())
        there = {pair.uids: pair for pair in _pairs(change.connection, diary)}
        for uids in wanted:
            pair = there.get(uids)
            if pair is None:
                raise Refused(
                    "One of these pairs is no longer open: somebody said what it is, or changed a "
                    "reading of it. Nothing was changed; look again."
                )
            change.add(
                schema.ruling,
                kind=PROBABLY_ONE,
                tbl="reading",
                row_uid=uids[0],
                other_uid=uids[1],
                verdict=verdict,
            )
            if verdict == ONE:
                _join(change, pair)
    return change.entry_id


def _join(change: Change, pair: Pair) -> None:
    kept, gone = (
        rows_with(change.connection, schema.reading, "uid", [row["uid"]])[0]
        for row in (pair.first, pair.second)
    )
    fields: dict[str, Any] = {}
    for column, (unsaid, names) in _FILLED.items():
        if kept[column] == unsaid and gone[column] != unsaid:
            fields.update({name: gone[name] for name in names})
    change.edit_all(schema.reading, [(kept, fields)])
    for table in (schema.note, schema.tag_on):
        there = _hanging(change, table.name, kept["uid"])
        tags = {row.get("tag_id") for row in there}
        moving = [
            row
            for row in _hanging(change, table.name, gone["uid"])
            if "tag_id" not in row or row["tag_id"] not in tags
        ]
        change.edit_all(table, [(row, {"row_uid": kept["uid"]}) for row in moving])
    tied = rows_with(
        change.connection,
        schema.help_record,
        "reading_id",
        [gone["id"]],
        where="deleted_at IS NULL",
    )
    change.edit_all(schema.help_record, [(row, {"reading_id": kept["id"]}) for row in tied])
    into_the_bin(change, [gone])


def _hanging(change: Change, name: str, uid: bytes) -> list[Row]:
    table = schema.metadata.tables[name]
    where = "tbl = 'reading' AND deleted_at IS NULL"
    return rows_with(change.connection, table, "row_uid", [uid], where=where)


def _pairs(connection: Connection, diary: Diary) -> tuple[Pair, ...]:
    if len(select(connection, "SELECT DISTINCT copy_id FROM journal_entry LIMIT 2")) < 2:
        return ()
    ruled = {
        (row["row_uid"], row["other_uid"])
        for row in select(
            connection,
            f"SELECT row_uid, other_uid FROM ruling WHERE kind = '{PROBABLY_ONE}'"
            " AND deleted_at IS NULL AND other_uid IS NOT NULL",
        )
    }
    found = list(_alike(connection, _Apart(connection)))
    close = sorted(
        (later["instant"] - earlier["instant"], *sorted((earlier["uid"], later["uid"])), number)
        for number, (earlier, later) in enumerate(found)
    )
    met: set[bytes] = set()
    chosen: list[tuple[Row, Row]] = []
    for _, one, other, number in close:
        if (one, other) in ruled or one in met or other in met:
            continue
        met |= {one, other}
        chosen.append(found[number])
    made = {
        each.id: each
        for each in entries_with(
            connection, {row["born"] for pair in chosen for row in pair}, diary.installation
        )
    }
    pairs = []
    for pair in chosen:
        first, second = sorted(pair, key=lambda row: (row["entered_at"], row["uid"]))
        pairs.append(Pair(first, second, made[first["born"]], made[second["born"]]))
    return tuple(sorted(pairs, key=lambda pair: (pair.first["instant"], pair.first["uid"])))


def _alike(connection: Connection, apart: _Apart) -> Iterable[tuple[Row, Row]]:
    """Pairs of one person, one value and unit, ten minutes apart at most, and written apart."""
    by_value: dict[tuple[Any, ...], list[Row]] = defaultdict(list)
    for row in select(connection, _READINGS):
        value = None if row["value"] is None else float(row["value"])
        by_value[row["person_id"], row["bound"], value, row["unit"]].append(row)
    for rows in by_value.values():
        for place, later in enumerate(rows):
            since = later["instant"] - SAME_SECONDS
            begin = bisect_left(rows, since, hi=place, key=lambda row: int(row["instant"]))
            for earlier in rows[begin:place]:
                both_of_memory = earlier["of_memory"] and later["of_memory"]
                if not both_of_memory and apart.are(earlier["born"], later["born"]):
                    yield earlier, later


class _Apart:
    """Says of two entries whether neither copy knew the other's when it wrote its own."""

    def __init__(self, connection: Connection) -> None:
        self._entries: dict[int, tuple[str, int, str]] = {}
        self._seen: dict[int, dict[str, int]] = {}
        for row in select(
            connection,
            "SELECT e.id, e.no, e.seen, c.uid FROM journal_entry e JOIN copy c ON c.id = e.copy_id",
        ):
            self._entries[row["id"]] = (row["uid"].hex(), row["no"], row["seen"])

    def are(self, one: int, other: int) -> bool:
        """Whether two entries, by their local ids, were made apart."""
        return not (self._knows(one, other) or self._knows(other, one))

    def _knows(self, entry: int, other: int) -> bool:
        copy, number, seen = self._entries[entry]
        other_copy, other_number, _ = self._entries[other]
        if copy == other_copy:
            return other_number <= number
        if entry not in self._seen:
            self._seen[entry] = json.loads(seen)
        return int(self._seen[entry].get(other_copy, 0)) >= other_number
