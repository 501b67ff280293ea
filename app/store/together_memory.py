"""The running numbers of a meter's records, where two copies numbered one memory apart.

The side whose first record of that memory was brought in earlier keeps its numbers; those of the
other side are moved along by what records of both are apart.
"""

from __future__ import annotations

import sqlite3
from collections import Counter, defaultdict
from dataclasses import dataclass

from app.store import schema
from app.store.together_names import Names
from app.store.together_write import Writer

_RECORDS = """
    SELECT r.uid, m.uid, r.memory_order, e.at, e.uid FROM reading r
    JOIN meter m ON m.id = r.meter_id JOIN journal_entry e ON e.id = r.born
    WHERE r.memory_order IS NOT NULL
"""
_REPAIRS = "SELECT c.uid, m.uid FROM clock_repair c JOIN meter m ON m.id = c.meter_id"
_READING, _REPAIR = schema.reading.name, schema.clock_repair.name


@dataclass(frozen=True, slots=True)
class Record:
    """A record of a memory: its number, and the entry that brought it in (time, uid)."""

    number: int
    born: tuple[int, bytes]


class Numbered:
    """One copy's records and repairs by meter, as they were before anything was brought over."""

    def __init__(self, driver: sqlite3.Connection) -> None:
        self._records = driver.execute(_RECORDS).fetchall()
        self._repairs = driver.execute(_REPAIRS).fetchall()

    def records(self, names: Names) -> dict[bytes, dict[bytes, Record]]:
        """Records by meter and uid, as both are known from now on."""
        found: dict[bytes, dict[bytes, Record]] = defaultdict(dict)
        for uid, meter, number, at, entry in self._records:
            known = names.of(_READING, uid)
            found[names.of("meter", meter)][known] = Record(number, (at, entry))
        return found

    def repairs(self, names: Names, meter: bytes) -> set[bytes]:
        """The uids of the repairs of a meter's clock."""
        return {
            names.of(_REPAIR, uid) for uid, of in self._repairs if names.of("meter", of) == meter
        }


def number_anew(here: Numbered, there: Numbered, names: Names, writer: Writer) -> None:
    """Give the records of each memory one line of numbers, the same from either side."""
    mine, theirs = here.records(names), there.records(names)
    for meter in mine.keys() & theirs.keys():
        sides = (mine[meter], theirs[meter])
        common = sides[0].keys() & sides[1].keys()
        if all(sides[0][uid].number == sides[1][uid].number for uid in common):
            continue
        first = [min(side[uid].born for uid in common) for side in sides]
        kept, moved = sides if first[0] <= first[1] else sides[::-1]
        apart = Counter(kept[uid].number - moved[uid].number for uid in common)
        by = min(apart, key=lambda each: (-apart[each], each))
        numbers = {uid: kept[uid].number for uid in common}
        numbers.update({uid: moved[uid].number + by for uid in moved.keys() - common})
        for uid, number in sorted(numbers.items()):
            writer.put(schema.reading, uid, {"memory_order": number})
        repairs = (here.repairs(names, meter), there.repairs(names, meter))
        alone = repairs[1] - repairs[0] if kept is sides[0] else repairs[0] - repairs[1]
        for uid in sorted(alone):
            writer.move(schema.clock_repair, uid, ("from_order", "to_order"), by)
