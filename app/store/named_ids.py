"""Meters, keepers and places by name, and where each reading was taken."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from app.domain.person import Person
from app.store.diary import Diary

Named = Literal["meter", "keeper", "place"]

_NAMES = (
    "SELECT id, name FROM {} WHERE deleted_at IS NULL AND (person_id = ? OR person_id IS NULL)"
    " ORDER BY id"
)
_PLACES = (
    "SELECT id, place_id FROM reading WHERE person_id = ? AND place_id IS NOT NULL ORDER BY id"
)


def names_of(diary: Diary, person: Person, table: Named) -> dict[int, str]:
    """The names of a person's meters, keepers or places by local id, those of all among them."""
    with diary.driver() as driver:
        return dict(driver.execute(_NAMES.format(table), (person.id,)).fetchall())


def places_of(diary: Diary, person: Person, readings: NDArray[np.int64]) -> NDArray[np.int64]:
    """The local id of the place of each reading, given by its own; 0 where none is written."""
    with diary.driver() as driver:
        rows = driver.execute(_PLACES, (person.id,)).fetchall()
    found = np.zeros(readings.size, dtype=np.int64)
    if not rows:
        return found
    known, places = np.array(rows, dtype=np.int64).T
    at = np.minimum(np.searchsorted(known, readings), known.size - 1)
    there = known[at] == readings
    found[there] = places[at[there]]
    return found
