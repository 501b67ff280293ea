"""The rows of an import, gathered for writing in bulk: names looked up once, notes and tags."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from app.domain.person import Person
from app.exchange.file_read import ControlRow, DoseRow, ReadingRow
from app.store import imports
from app.store.journal import Change
from app.store.readings import keeper_named, tag_labelled
from app.work.file_rows import (
    Placed,
    control_values,
    dose_values,
    event_values,
    reading_values,
)
from app.work.reconcile import TABLES, Beside, level_of


class ImportRows:
    """Gathers the rows of an import for writing in bulk; looks each name up once."""

    def __init__(
        self, change: Change, person: Person, memory: str | None, zone: str, beside: Beside
    ) -> None:
        self.rows: dict[str, list[tuple[Any, ...]]] = {table: [] for table in TABLES}
        self.notes: list[tuple[Any, ...]] = []
        self.tags: list[tuple[Any, ...]] = []
        self.batch = 0
        self.orders: dict[bytes, int] = {}
        self._change, self._person, self._memory, self._zone = change, person, memory, zone
        self._beside = beside
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
            self.batch,
            row.line,
            each.key,
            self._keeper(more.keeper if more else None),
            (more.entered_at if more else None) or self._change.at,
        )
        if isinstance(row, ReadingRow):
            order = None if each.key is None else self.orders.get(each.key)
            memory = self._memory is not None
            meter = self.meter_of(each)
            return tuple(reading_values(each, row, source, meter, order, from_memory=memory))
        if isinstance(row, ControlRow):
            meter = self.meter_of(each)
            if meter is None:
                raise ValueError(f"a control test of no meter: line={row.line}")
            kit = self._beside.kit
            level = level_of(row, kit, self._beside.known_meter, each.moment[0])
            return control_values(each, row, source, meter, level)
        if isinstance(row, DoseRow):
            return dose_values(each, row, source)
        return event_values(each, row, source)

    def _keeper(self, name: str | None) -> int | None:
        if name is None:
            return None
        if name not in self._keepers:
            self._keepers[name] = keeper_named(self._change, name)
        return self._keepers[name]

    def meter_of(self, each: Placed) -> int | None:
        """The local id of the meter that a reading came from, added where there is none."""
        row = each.row
        if not isinstance(row, ReadingRow | ControlRow):
            return None
        said = row.more.meter if isinstance(row, ReadingRow) and row.more else None
        name = said or self._memory
        return None if name is None else self._meter(name, row.glucose.unit.value)

    @property
    def is_memory(self) -> bool:
        """Whether the file is a copy of a meter's memory."""
        return self._memory is not None

    def memory_meter(self, unit: str) -> int | None:
        """The local id of the meter whose memory the file is a copy of."""
        return None if self._memory is None else self._meter(self._memory, unit)

    def _meter(self, name: str, unit: str) -> int:
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
