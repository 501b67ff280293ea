"""Numbers for the records of a copied memory, so that their order outlives their stamps."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from app.domain.memory_order import places_in_memory
from app.store.journal import Change
from app.store.memory_rows import numbered
from app.work.file_rows import Placed


def memory_numbers(
    change: Change, placed: Iterable[Placed], meter_of: Callable[[Placed], int | None]
) -> dict[bytes, int]:
    """The number of each record in its meter's memory, by source key.

    Parameters
    ----------
    placed : iterable of Placed
        The rows of one file, the oldest record first, those that the diary has already too.
    meter_of : callable
        The local id of the meter that a row came from, or None.
    """
    by_meter: dict[int, list[Placed]] = {}
    for each in placed:
        if each.key is not None and each.row.kind == "reading":
            meter = meter_of(each)
            if meter is not None:
                by_meter.setdefault(meter, []).append(each)
    found: dict[bytes, int] = {}
    for meter, rows in by_meter.items():
        there = numbered(change.connection, meter)
        keys = [each.key or b"" for each in rows]
        instants = [each.moment[0] for each in rows if each.moment[0] is not None]
        older = there.oldest is not None and bool(instants) and max(instants) < there.oldest
        known = [there.by_key.get(key) for key in keys]
        places = places_in_memory(known, first=there.first, last=there.last, older=older)
        found.update(zip(keys, places, strict=True))
    return found
