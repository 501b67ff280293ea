"""The doubt of whole rows of readings, as their columns have it."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

import numpy as np
from sqlalchemy import Connection, RowMapping

from app.domain.doubt import (
    AS_IF_FINGER,
    CLOCK_BITS,
    DEVICE_BITS,
    HANDS_NOT_WASHED,
    TIME_TO_COME,
    Told,
)
from app.domain.glucose import Bound, Unit
from app.domain.marks import MARKS
from app.domain.person import Person
from app.domain.reading import Doubt
from app.store.diary import Diary
from app.store.doubting import doubted, kit_doubt_in

_UNSETTLED = "SELECT id FROM clock_repair WHERE state != 'applied' AND deleted_at IS NULL"
_MARKS = {mark.value: place for place, mark in enumerate(MARKS)}


def doubts_of_rows(
    diary: Diary, connection: Connection, person: Person, rows: Sequence[RowMapping]
) -> dict[int, Doubt]:
    """Why each reading is in doubt, by local id; those without a time by what they say alone."""
    driver = connection.connection.driver_connection
    if not isinstance(driver, sqlite3.Connection):
        raise TypeError(f"not SQLite's own connection: {type(driver).__name__}")
    if not rows:
        return {}
    unsettled = {row[0] for row in driver.execute(_UNSETTLED)}
    # An undated one lies before all others: no vial's date and no control test reaches it.
    ordered = sorted(rows, key=lambda row: (_at(row), row["id"]))
    made = doubted(
        driver,
        person,
        kit_doubt_in(diary, driver),
        instant=np.array([_at(row) for row in ordered], dtype=np.int64),
        day=np.array([row["day"] or 0 for row in ordered], dtype=np.int32),
        meter=np.array([row["meter_id"] or 0 for row in ordered], dtype=np.int32),
        vial_said=np.array([row["vial_id"] or 0 for row in ordered], dtype=np.int32),
        told=np.array([_told(row, unsettled).value for row in ordered], dtype=np.int32),
        entered=np.array([float(row["value"] or 0) for row in ordered]),
        mmol=np.array([row["unit"] == Unit.MMOL_L.value for row in ordered]),
        below=np.array([row["bound"] == Bound.BELOW.value for row in ordered]),
        exact=np.array([row["bound"] == Bound.EXACT.value for row in ordered]),
        mark=np.array([_MARKS.get(row["mark"], len(MARKS) - 1) for row in ordered], dtype=np.int8),
        after_min=np.array(
            [-1 if row["after_min"] is None else row["after_min"] for row in ordered],
            dtype=np.int16,
        ),
    )
    return {row["id"]: Doubt(bits) for row, bits in zip(ordered, made.doubt.tolist(), strict=True)}


def _at(row: RowMapping) -> int:
    return -2 if row["instant"] is None else int(row["instant"])


def _told(row: RowMapping, unsettled: set[int]) -> Told:
    """What `TOLD` of `app.store.doubting` says of a row, of one that is in hand."""
    found = Told.NOTHING
    if row["hands"] == HANDS_NOT_WASHED:
        found |= Told.UNWASHED
    if row["status_bits"] & DEVICE_BITS:
        found |= Told.DEVICE
    clock = row["status_bits"] & CLOCK_BITS or row["time_state"] == TIME_TO_COME
    if clock or row["clock_repair_id"] in unsettled:
        found |= Told.CLOCK
    if row["site"] is not None and row["site"] not in AS_IF_FINGER:
        found |= Told.ELSEWHERE
    return found | (Told.UNIT_SURE if row["odd_ok"] else Told.NOTHING)
