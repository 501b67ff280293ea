"""Doubt worked out for rows of the diary: what the file holds, given to the rules of the domain."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.domain.doubt import (
    AFTER_FOOD,
    AFTER_MINUTES,
    AS_IF_FINGER,
    CLOCK_BITS,
    DEVICE_BITS,
    HANDS_NOT_WASHED,
    LOW_ELSEWHERE,
    TIME_TO_COME,
    KitDoubt,
    ReadingFacts,
    Told,
    doubt_bits,
    kit_doubt,
)
from app.domain.marks import MARKS
from app.domain.person import Person
from app.domain.vials_used import vials_used
from app.store.diary import Diary
from app.store.kit_rows import kit_in, kit_rev

_KIT = "kit_doubt"
_FINGER = ", ".join(f"'{site}'" for site in AS_IF_FINGER)
_CLOCK = (
    f"(status_bits & {CLOCK_BITS} OR time_state = '{TIME_TO_COME}'"
    " OR ifnull(clock_repair_id IN (SELECT id FROM clock_repair"
    " WHERE state != 'applied' AND deleted_at IS NULL), 0))"
)
# One number in place of five columns: fifty years of readings are loaded with it.
TOLD = (
    f"(hands = '{HANDS_NOT_WASHED}') * {Told.UNWASHED.value}"
    f" + (status_bits & {DEVICE_BITS} != 0) * {Told.DEVICE.value}"
    f" + {_CLOCK} * {Told.CLOCK.value}"
    f" + ifnull(site NOT IN ({_FINGER}), 0) * {Told.ELSEWHERE.value}"
    f" + (odd_ok != 0) * {Told.UNIT_SURE.value}"
)
# What a person ate, took or did: the end of it, where that is known.
_TAKEN = """
    SELECT ifnull(end_instant, instant) FROM event WHERE person_id = :person AND instant IS NOT NULL
        AND deleted_at IS NULL AND kind IN ('meal', 'snack', 'exercise')
    UNION SELECT instant FROM event WHERE person_id = :person AND instant IS NOT NULL
        AND deleted_at IS NULL AND kind IN ('meal', 'snack')
    UNION SELECT instant FROM dose WHERE person_id = :person AND instant IS NOT NULL
        AND deleted_at IS NULL
    ORDER BY 1
"""
_TAKEN_REV = (
    "SELECT max(ifnull((SELECT max(rev) FROM event), 0), ifnull((SELECT max(rev) FROM dose), 0))"
)
_AFTER = np.array([mark in AFTER_FOOD for mark in MARKS])


@dataclass(frozen=True, slots=True)
class Doubted:
    """What came of it for each reading: the vial, said or by use (0 unknown), and the reasons."""

    vial: NDArray[np.int32]
    doubt: NDArray[np.int32]


def kit_doubt_in(diary: Diary, driver: sqlite3.Connection) -> KitDoubt:
    """What the kit in the diary says, from a connection that sees one whole state.

    Worked out anew only where the kit was changed: whatever touches a row of it bears the number
    of a newer entry.
    """
    rev = kit_rev(driver)
    known = diary.worked_out.get(_KIT)
    if known is None or known[0] != rev:
        known = diary.worked_out[_KIT] = rev, kit_doubt(kit_in(driver))
    found: KitDoubt = known[1]
    return found


def taken_rev(driver: sqlite3.Connection) -> int:
    """The newest change of what was eaten, taken or done."""
    return int(driver.execute(_TAKEN_REV).fetchone()[0])


def doubted(
    driver: sqlite3.Connection,
    person: Person,
    found: KitDoubt,
    *,
    instant: NDArray[np.int64],
    day: NDArray[np.int32],
    meter: NDArray[np.int32],
    vial_said: NDArray[np.int32],
    told: NDArray[np.int32],
    entered: NDArray[np.float64],
    mmol: NDArray[np.bool_],
    below: NDArray[np.bool_],
    exact: NDArray[np.bool_],
    mark: NDArray[np.int8],
    after_min: NDArray[np.int16],
) -> Doubted:
    """The vial and the doubt of readings that are sorted by instant.

    `day` are local calendar dates; `below` and `exact` say which are off the scale below and which
    have a number, `entered`, in the unit they were entered in.
    """
    vial = vials_used(meter, instant, vial_said, found.uses)
    nothing = np.zeros(instant.size, dtype=np.bool_)
    is_low = is_after = nothing
    taken = None
    if (told & Told.ELSEWHERE).any():
        limit = np.where(mmol, LOW_ELSEWHERE.mmol_l, LOW_ELSEWHERE.mg_dl)
        is_low = below | (exact & (entered < limit))
        is_after = _AFTER[mark] & (after_min <= AFTER_MINUTES)
        rows = driver.execute(_TAKEN, {"person": person.id})
        taken = np.fromiter((row[0] for row in rows), dtype=np.int64)
    facts = ReadingFacts(
        instant=instant,
        day=day,
        meter=meter,
        vial=vial,
        mmol=mmol,
        told=told,
        is_low=is_low,
        is_after=is_after,
    )
    return Doubted(vial, doubt_bits(facts, found, taken=taken))
