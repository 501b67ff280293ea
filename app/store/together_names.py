"""Rows that two copies wrote apart and that are one all the same: met by what names them.

The same record of a meter's file, a person, a tag, a place of the same name: under two uids they
are one row, and the smaller uid stays, whichever side looks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from sqlalchemy import Table

from app.store.together_sides import Row, references_of

Key = tuple[Any, ...]

# What may be there once only; of rows in the bin too where a file's record is meant.
_ONCE: dict[str, tuple[str, ...]] = {
    "person_setting": ("person_id", "key", "from_day"),
    "tag": ("person_id", "label"),
    "tag_on": ("tag_id", "row_uid"),
    "recipe": ("name",),
    "vial_range": ("vial_id", "level"),
    "plan_exception": ("rule_id", "wall"),
    "follow_rule": ("person_id", "kind"),
    "due_state": ("person_id", "key"),
    "ruling": ("kind", "row_uid", "other_uid"),
}
# No index says so, but people mean one by one name.
_NAMED: dict[str, tuple[str, ...]] = {
    "keeper": ("name",),
    "place": ("name",),
    "meter": ("person_id", "name"),
    "care_text": ("person_id", "kind", "from_day"),
}


class Names:
    """Which uid a row has from now on, where two were met; others keep theirs."""

    def __init__(self) -> None:
        self._of: dict[tuple[str, bytes], bytes] = {}

    def one(self, table: Table, uid: bytes, other: bytes) -> bytes:
        """Say that two rows are one; returns the uid that stays."""
        kept, gone = sorted((uid, other))
        self._of[table.name, gone] = kept
        return kept

    def stands_for(self, table: Table, gone: bytes, kept: bytes) -> None:
        """Say that whatever names one row means another from now on."""
        self._of[table.name, gone] = kept

    def of(self, name: str, uid: bytes) -> bytes:
        """The uid of a row from now on."""
        while (name, uid) in self._of:
            uid = self._of[name, uid]
        return uid

    def renamed(self) -> Mapping[tuple[str, bytes], bytes]:
        """Every uid that another one stands for."""
        return {key: self.of(*key) for key in self._of}

    def known_as(self, table: Table, row: Row) -> Row:
        """A row with every uid in it as it is from now on."""
        known = dict(row, uid=self.of(table.name, row["uid"]))
        for column, target in references_of(table):
            if row[column] is not None:
                known[column] = self.of(target, row[column])
        if "row_uid" in row and row["row_uid"] is not None:
            known["row_uid"] = self.of(row["tbl"], row["row_uid"])
        if row.get("other_uid") is not None:
            known["other_uid"] = self.of(row["tbl"], row["other_uid"])
        return known


def is_once(table: Table) -> bool:
    """Whether the file refuses two rows of one key in this table."""
    return table.name in _ONCE or table.name == "person" or "source_key" in table.c


def key_of(table: Table, row: Row) -> Key | None:
    """What a row is met by, None where it is one of its own."""
    if "source_key" in row:
        return None if row["source_key"] is None else (row["person_id"], row["source_key"])
    if row["deleted_at"] is not None:
        return None
    if table.name == "person":
        return (_lower(row["name"]),)
    columns = _ONCE.get(table.name) or _NAMED.get(table.name)
    if columns is None or (table.name == "ruling" and row["other_uid"] is None):
        return None
    # The index of settings takes no first day for the first of all.
    return tuple(row[name] or 0 if name == "from_day" else row[name] for name in columns)


def has_keys(table: Table) -> bool:
    """Whether rows of this table can be met by what names them."""
    return is_once(table) or table.name in _NAMED


def met(table: Table, here: Iterable[Row], there: Iterable[Row]) -> list[tuple[bytes, bytes]]:
    """Pairs of uids, one of each side, that are one row: of several the smallest uids meet."""
    mine: dict[Key, bytes] = {}
    for row in sorted(here, key=_uid, reverse=True):
        key = key_of(table, row)
        if key is not None:
            mine[key] = row["uid"]
    pairs = []
    for row in sorted(there, key=_uid):
        key = key_of(table, row)
        if key is not None and key in mine:
            pairs.append((mine.pop(key), row["uid"]))
    return pairs


def doubled(table: Table, rows: Iterable[Row], shared: Callable[[bytes], bool]) -> dict[Any, Any]:
    """Rows, as they are to be written, that would be there twice: by uid, the uid of the one kept.

    One that both copies had is kept, else the one with the smaller uid.
    """
    by_key: dict[Key, list[Row]] = {}
    for row in rows:
        key = key_of(table, row)
        if key is not None:
            by_key.setdefault(key, []).append(row)
    gone: dict[bytes, bytes] = {}
    for found in by_key.values():
        if len(found) > 1:
            kept, *others = sorted(found, key=lambda row: (not shared(row["uid"]), row["uid"]))
            gone.update({row["uid"]: kept["uid"] for row in others})
    return gone


def _uid(row: Row) -> bytes:
    return bytes(row["uid"])


def _lower(name: str) -> str:
    """As SQLite's lower() has it: the letters A to Z alone."""
    return "".join(char.lower() if char.isascii() else char for char in name)
