"""Two copies of one diary brought together: one transaction, the same result from either side.

What the other copy knows and this one does not is found by the entries of the journals. Rows that
are new there are added; what one side changed since both knew the same holds; what both changed in
two ways stays visible and is kept as to settle. Nothing is joined that only looks alike.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table

from app.store import schema
from app.store.diary import Diary
from app.store.emptying import forget, neutral
from app.store.file import uri
from app.store.history import TOGETHER
from app.store.journal import Change
from app.store.links import HANGING, by_table, put
from app.store.rows import rows_with
from app.store.to_settle import keep_to_settle
from app.store.together_counts import Brought, Counts
from app.store.together_days import begins_days, same_day
from app.store.together_journal import bring_entries, bring_lines, point_entries
from app.store.together_memory import Numbered, number_anew
from app.store.together_names import Names, doubled, has_keys, is_once, met
from app.store.together_owners import bring_back_owners
from app.store.together_private import private_notes
from app.store.together_row import Conflict, Merged, Version, merge
from app.store.together_sides import ENTRY, Head, Row, Side, Touched, tables
from app.store.together_write import Writer

_AT_ONCE = 500


class _Nothing(Exception):
    """The other copy has nothing that is missing here: the transaction leaves no trace."""


def bring_together(
    diary: Diary, copy: Path, *, now: datetime, words: dict[str, Any] | None = None
) -> Brought:
    """Bring what another copy of the diary holds into this one, by one entry of its own.

    Parameters
    ----------
    copy : Path
        A private copy that was checked (`other_copy`); it is only read.
    words : dict, optional
        What the entry says beside the counts: the name of the file, the backup made before.

    Raises
    ------
    StoreUnavailable
        The diary can't be written. In every case but success nothing was changed.
    """
    with closing(sqlite3.connect(uri(copy, writable=False), uri=True)) as there:
        bringing = _Bringing(Side(there), diary.installation.bytes)
        try:
            with diary.change(TOGETHER, words or {}, now=now, first=bringing.begin) as change:
                bringing.go_on(change)
                if bringing.brought.is_nothing:
                    raise _Nothing
                change.says({**(words or {}), **bringing.brought.told()})
        except _Nothing:
            pass
    return bringing.brought


class _Bringing:
    def __init__(self, theirs: Side, installation: bytes) -> None:
        self._theirs = theirs
        self._installation = installation
        self._names = Names()
        self._conflicts: list[tuple[str, bytes, Conflict]] = []
        self._erased: list[tuple[str, bytes, bytes]] = []  # table, uid, the entry it was of before
        self._private: frozenset[bytes] = frozenset()
        self._stand_ins: list[tuple[Table, bytes, bytes]] = []
        self._differing = 0  # rows of the table in hand that are live there and not the same here
        self.brought = Brought()

    def begin(self, connection: Connection) -> None:
        """Find what only one side knows, and bring the entries over."""
        self._driver = _driver(connection)
        self._ours = Side(self._driver)
        ours, theirs = self._ours.entries, self._theirs.entries
        self._news_here = {uid: head for uid, head in ours.items() if uid not in theirs}
        self._news_there = {uid: head for uid, head in theirs.items() if uid not in ours}
        self._touched_here = self._ours.touched(self._news_here)
        self._touched_there = self._theirs.touched(self._news_there)
        self._numbered = (Numbered(self._driver), Numbered(self._theirs.driver))
        bring_entries(self._driver, self._theirs, self._news_there)
        self.brought.entries = sum(head.kind != TOGETHER for head in self._news_there.values())

    def go_on(self, change: Change) -> None:
        """Bring the rows over, then what the journal says of them."""
        self._change = change
        self._writer = Writer(self._driver, self._names)
        ids = self._writer.ids(ENTRY)
        self._mine = next(uid for uid, row_id in ids.items() if row_id == change.entry_id)
        for table in tables():
            self._table(table)
        for table, gone, kept in self._stand_ins:
            if gone in self._writer.ids(table.name):
                self._writer.let_stand_for(table, gone, kept)
        number_anew(*self._numbered, self._names, self._writer)
        self._writer.finish()
        entries = {uid: ids[uid] for uid in self._news_there}
        point_entries(self._driver, self._theirs, entries, self._local)
        bring_lines(
            self._driver,
            self._theirs,
            entries,
            uid_of=self._names.of,
            local=self._local,
            private=self._private,
        )
        self._conflicts += bring_back_owners(change)
        self.brought.to_settle = keep_to_settle(change, self._conflicts)
        self._forget_erased()
        self._writer.hash_entries(entries.values())

    def _table(self, table: Table) -> None:
        mine, others = self._ours.revs(table), self._theirs.revs(table)
        only_here, only_there = mine.keys() - others.keys(), others.keys() - mine.keys()
        if table is schema.note:
            notes = private_notes(self._driver, self._theirs.driver, self._installation)
            self._private = notes.theirs
            self.brought.private = len(only_there & notes.theirs_live)
            only_there -= notes.theirs
        pairs = [(uid, uid) for uid in mine.keys() & others.keys() if mine[uid] != others[uid]]
        if table is schema.note:
            pairs = [pair for pair in pairs if pair[0] not in notes.theirs | notes.ours]
        added = self._known(table, self._theirs.rows(table, only_there))
        if has_keys(table) and added:
            apart = self._known(table, self._ours.rows(table, only_here))
            for uid, other in met(table, apart.values(), added.values()):
                self._names.one(table, uid, other)
                pairs.append((uid, other))
                del added[other]
        if begins_days(table) and added:
            apart = self._known(table, self._ours.rows(table, only_here))
            heads = {**self._ours.entries, **self._theirs.entries}
            days = same_day(table, apart.values(), added.values(), heads)
            self._conflicts += [(table.name, uid, each) for uid, each in days]
        before = self._known(table, self._ours.rows(table, (pair[0] for pair in pairs)))
        after = self._known(table, self._theirs.rows(table, (pair[1] for pair in pairs)))
        merged: dict[bytes, Merged] = {}
        for uid, other in sorted(pairs):
            here = self._version(table, uid, before[uid], here=True)
            there = self._version(table, other, after[other], here=False)
            found = merge(table, here, there)
            found.row["uid"] = kept = self._names.of(table.name, uid)
            merged[kept] = found
            if uid != kept:
                self._writer.rename(table, uid, kept)
            self._conflicts += [(table.name, kept, each) for each in found.conflicts]
            self._count(table, here, there, found, is_met=uid != other)
        self._once(table, merged, added, lambda uid: uid in mine and uid in others)
        self._write(table, merged, added, before, pairs)
        counts = self._counts(table)
        live = f"SELECT count(*) FROM {table.name} WHERE deleted_at IS NULL"
        (there_now,) = self._theirs.driver.execute(live).fetchone()
        new = sum(row["deleted_at"] is None for row in added.values())
        counts.new += new
        private = self.brought.private if table is schema.note else 0
        counts.same += there_now - new - self._differing - private
        self._differing = 0

    def _count(
        self, table: Table, here: Version, there: Version, found: Merged, *, is_met: bool
    ) -> None:
        counts = self._counts(table)
        counts.met += is_met
        is_gone = found.row["deleted_at"] is not None
        counts.erased += found.erased and found.whose == "there"
        counts.deleted += is_gone and not here.is_dead and not found.erased
        follows = found.whose != "here" and not is_gone
        counts.changed += follows
        self._differing += not there.is_dead and (follows or is_gone)
        if found.erased:
            before = here if found.whose == "there" else there
            self._erased.append((table.name, found.row["uid"], before.rev.uid))

    def _once(
        self,
        table: Table,
        merged: dict[bytes, Merged],
        added: dict[bytes, Row],
        is_shared: Callable[[bytes], bool],
    ) -> None:
        """See that what may be there once is; what is one too many goes into the bin."""
        if not is_once(table) or not (merged or added):
            return
        written = {**{uid: each.row for uid, each in merged.items()}, **added}
        rivals = {uid: row for uid, row in self._rivals(table, written) if uid not in written}
        for gone, kept in doubled(table, (*written.values(), *rivals.values()), is_shared).items():
            row = written.get(gone) or rivals[gone]
            if gone not in added:
                merged.setdefault(gone, Merged(row, "both")).whose = "both"
            if table is schema.person:  # two people; who they are only people know
                row["name"] = f"{row['name']} (2)"
                continue
            row["deleted_at"] = self._change.at
            if "source_key" in row:
                row["source_key"] = None
            row["rev"] = self._mine
            self._names.stands_for(table, gone, kept)
            self._stand_ins.append((table, gone, kept))

    def _rivals(self, table: Table, written: dict[bytes, Row]) -> Iterator[tuple[bytes, Row]]:
        if "source_key" not in table.c:
            found = self._ours.every(table, "deleted_at IS NULL")
        else:
            keys = [row["source_key"] for row in written.values() if row["source_key"]]
            held: list[bytes] = []
            for start in range(0, len(keys), _AT_ONCE):
                part = keys[start : start + _AT_ONCE]
                places = ", ".join("?" * len(part))
                query = f"SELECT uid FROM {table.name} WHERE source_key IN ({places})"
                held += [uid for (uid,) in self._driver.execute(query, part)]
            found = self._ours.rows(table, held)
        for row in self._known(table, found).values():
            yield row["uid"], row

    def _write(
        self,
        table: Table,
        merged: dict[bytes, Merged],
        added: dict[bytes, Row],
        before: dict[bytes, Row],
        pairs: list[tuple[bytes, bytes]],
    ) -> None:
        born = {self._names.of(table.name, uid): before[uid]["born"] for uid, _ in pairs}
        changing = {
            uid: each
            for uid, each in merged.items()
            if each.whose != "here" or each.row["born"] != born.get(uid)
        }
        if is_once(table):
            self._writer.make_way(table, changing)
        for each in changing.values():
            if each.whose == "both":
                each.row["rev"] = self._mine
            self._writer.update(table, each.row)
        for row in added.values():
            self._writer.insert(table, row)

    def _version(self, table: Table, uid: bytes, row: Row, *, here: bool) -> Version:
        side, other, touched = self._ours, self._theirs, self._touched_here
        if not here:
            side, other, touched = self._theirs, self._ours, self._touched_there
        rev: Head = side.entries[row["rev"]]
        is_news = rev.uid not in other.entries
        changed = touched.get((table.name, uid)) or Touched()
        return Version(dict(row), side.entries[row["born"]], rev, is_news, changed)

    def _known(self, table: Table, rows: dict[bytes, Row]) -> dict[bytes, Row]:
        return {uid: self._names.known_as(table, row) for uid, row in rows.items()}

    def _counts(self, table: Table) -> Counts:
        return self.brought.readings if table is schema.reading else self.brought.others

    def _local(self, name: str, row_id: int) -> int | None:
        uid = self._theirs.uids(name).get(row_id)
        return None if uid is None else self._writer.ids(name).get(self._names.of(name, uid))

    def _forget_erased(self) -> None:
        """Take what erased rows said out of the journal, with what was hung from them since."""
        connection, entries = self._change.connection, self._writer.ids(ENTRY)
        rows: dict[str, dict[int, Any]] = {}
        for name, uid, rev in self._erased:
            for row in rows_with(connection, by_table(name), "uid", [uid]):
                put(rows, name, [{**row, "rev": entries[rev]}])
                for table in HANGING:
                    where = f"tbl = '{name}' AND rev != {row['rev']}"
                    hanging = rows_with(connection, table, "row_uid", [uid], where=where)
                    put(rows, table.name, hanging)
                    gone = {**neutral(table), "deleted_at": self._change.at, "rev": row["rev"]}
                    self._writer.over(table, hanging, gone)
        if rows:
            forget(self._change, rows)
            self._writer.finish()


def _driver(connection: Connection) -> sqlite3.Connection:
    driver = connection.connection.driver_connection
    if not isinstance(driver, sqlite3.Connection):
        raise RuntimeError("the connection to the diary is closed")
    return driver
