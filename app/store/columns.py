"""A person's readings as columns: numpy arrays sorted by instant, for figures and charts."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, fields, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from app.domain.doubt import KitDoubt, Told
from app.domain.marks import MARKS
from app.domain.person import Person
from app.domain.reading import STANDINGS
from app.store.diary import Diary
from app.store.doubting import TOLD, doubted, kit_doubt_in, taken_rev
from app.store.kit_rows import kit_rev

# A diary day is that of the place: within two days of UTC, whatever its zone and start.
_EPOCH, _DAY = date(1970, 1, 1).toordinal(), 86400

BELOW, EXACT, ABOVE, NO_VALUE = -1, 0, 1, 2  # codes of `Columns.bound`
MG_DL, MMOL_L = 0, 1  # codes of `Columns.unit`


@dataclass(frozen=True, slots=True)
class Columns:
    """One entry for each dated reading in every array, sorted by instant, ties by row number.

    `instant` UTC seconds · `minute` of the local day · `day` the diary day's date ordinal · `mg_dl`
    and `entered` (the number in the unit it was entered in), both 0 where there is no number and
    for a bound its limit · `unit`, `bound` by the codes above · `mark`, `standing` as places in
    `MARKS` and `STANDINGS` · `after_min` minutes after the meal began, -1 unsaid · `doubt` bits of
    `Doubt`, worked out from the kit and from `told`, bits of `Told` · `meter`, `vial`, `keeper`
    local ids, 0 none; `vial` as said, else as its meter used it then; `vial_said` only where it was
    said. Every number is finite.
    """

    id: NDArray[np.int64]
    instant: NDArray[np.int64]
    minute: NDArray[np.int16]
    day: NDArray[np.int32]
    mg_dl: NDArray[np.float64]
    entered: NDArray[np.float64]
    unit: NDArray[np.int8]
    bound: NDArray[np.int8]
    mark: NDArray[np.int8]
    after_min: NDArray[np.int16]
    standing: NDArray[np.int8]
    doubt: NDArray[np.int32]
    meter: NDArray[np.int32]
    vial: NDArray[np.int32]
    keeper: NDArray[np.int32]
    told: NDArray[np.int32]
    vial_said: NDArray[np.int32]
    undated: int  # readings without a time, which are in no column
    seen: int  # the newest journal entry that was there when they were loaded

    def __len__(self) -> int:
        """The number of dated readings."""
        return int(self.id.size)

    def where(self, chosen: NDArray[np.bool_]) -> Columns:
        """The columns of the chosen readings, still in order."""
        places = np.flatnonzero(chosen)  # by places a choice of few out of many is ten times faster
        if places.size == len(self):
            return self
        return self.where_places(places)

    def where_places(self, places: NDArray[np.int64]) -> Columns:
        """The columns of the readings in some places, in the order of these."""
        return replace(self, **{name: getattr(self, name)[places] for name in ARRAYS})

    def between(self, first_day: int, last_day: int) -> Columns:
        """The readings of the diary days from `first_day` to `last_day`, both included."""
        ends = (first_day - _EPOCH - 2) * _DAY, (last_day - _EPOCH + 3) * _DAY
        near = slice(*np.searchsorted(self.instant, ends).tolist())
        part = replace(self, **{name: getattr(self, name)[near] for name in ARRAYS})
        inside = (part.day >= first_day) & (part.day <= last_day)
        return part if inside.all() else part.where(inside)

    def from_about(self, first_day: int) -> Columns:
        """The readings from a diary day on, with some of the two days before it; not copied."""
        start = int(np.searchsorted(self.instant, (first_day - _EPOCH - 2) * _DAY))
        return replace(self, **{name: getattr(self, name)[start:] for name in ARRAYS})


ARRAYS = tuple(each.name for each in fields(Columns) if each.name not in ("undated", "seen"))

ROW = np.dtype(
    [
        ("id", "i8"),
        ("instant", "i8"),
        ("minute", "i2"),
        ("day", "i4"),
        ("mg_dl", "f8"),
        ("entered", "f8"),
        ("unit", "i1"),
        ("bound", "i1"),
        ("mark", "i1"),
        ("after_min", "i2"),
        ("standing", "i1"),
        ("told", "i4"),
        ("meter", "i4"),
        ("vial_said", "i4"),
        ("keeper", "i4"),
    ]
)


def _case(column: str, codes: dict[str, int], other: int) -> str:
    whens = " ".join(f"WHEN '{text}' THEN {code}" for text, code in codes.items())
    return f"CASE {column} {whens} ELSE {other} END"


# A code of a newer list has no place here and counts as unmarked; lists show it as written.
_MARK = _case("mark", {mark.value: place for place, mark in enumerate(MARKS)}, len(MARKS) - 1)
_STANDING = _case("standing", {each.value: place for place, each in enumerate(STANDINGS)}, 0)
_BOUND = _case("bound", {"exact": EXACT, "below": BELOW, "above": ABOVE}, NO_VALUE)

_SELECT = (
    "SELECT id, instant, minute, day, ifnull(mg_dl, 0.0), ifnull(CAST(value AS REAL), 0.0),"
    f" unit = 'mmol/L', {_BOUND}, {_MARK}, ifnull(after_min, -1), {_STANDING},"
    f" {TOLD},"
    " ifnull(meter_id, 0), ifnull(vial_id, 0), ifnull(keeper_id, 0)"
    " FROM reading WHERE person_id = ? AND deleted_at IS NULL"
)
SELECT = f"{_SELECT} AND instant >= ? AND instant < ? ORDER BY instant, id"
_CHANGED = "SELECT id FROM reading WHERE rev > ? AND person_id = ?"
_SELECT_CHANGED = f"{_SELECT} AND rev > ? AND instant IS NOT NULL ORDER BY instant, id"
_UNDATED = (
    "SELECT count(*) FROM reading WHERE person_id = ? AND deleted_at IS NULL AND instant IS NULL"
)
_NEWEST = "SELECT ifnull(max(id), 0) FROM journal_entry"
_LAST = (
    "SELECT ifnull(max(instant), 0) FROM reading"
    " WHERE person_id = ? AND deleted_at IS NULL AND instant <= ?"
)
_EARLIEST, _LATEST = 0, 1 << 62


def columns_of(
    diary: Diary, person: Person, *, since: int = _EARLIEST, until: int = _LATEST
) -> Columns:
    """Load a person's readings with ``since <= instant < until`` (UTC seconds; default all)."""
    with diary.driver() as driver:
        rows = np.fromiter(driver.execute(SELECT, (person.id, since, until)), dtype=ROW)
        return _columns(driver, person, rows, kit_doubt_in(diary, driver))


def last_instant(diary: Diary, person: Person, *, until: int) -> int:
    """When the person's last reading was, no later than `until` (UTC seconds); 0 without any."""
    with diary.driver() as driver:
        return int(driver.execute(_LAST, (person.id, until)).fetchone()[0])


def refreshed(diary: Diary, person: Person, columns: Columns) -> Columns:
    """The same columns brought up to what the diary holds now; only changed rows are read.

    Where the kit was changed, doubt is worked out anew for all of them: a corrected date or a
    control test changes no row of a reading.
    """
    with diary.driver() as driver:
        if driver.execute(_NEWEST).fetchone()[0] == columns.seen:
            return columns
        changed = np.fromiter(
            (row[0] for row in driver.execute(_CHANGED, (columns.seen, person.id))), dtype=np.int64
        )
        rows = np.fromiter(driver.execute(_SELECT_CHANGED, (person.id, columns.seen)), dtype=ROW)
        found = kit_doubt_in(diary, driver)
        merged = _merged(columns, changed, _columns(driver, person, rows, found))
        if kit_rev(driver) > columns.seen or _taken_matters(driver, columns):
            return _doubted_anew(driver, person, merged, found)
        return merged


def _taken_matters(driver: sqlite3.Connection, columns: Columns) -> bool:
    """Whether a meal, a dose or exercise was changed, and a reading is there that asks for it."""
    elsewhere = bool((columns.told & Told.ELSEWHERE).any())
    return elsewhere and taken_rev(driver) > columns.seen


def _merged(columns: Columns, changed: NDArray[np.int64], fresh: Columns) -> Columns:
    kept = columns.where(~np.isin(columns.id, changed)) if changed.size else columns
    joined = {name: np.concatenate((getattr(kept, name), getattr(fresh, name))) for name in ARRAYS}
    order = np.lexsort((joined["id"], joined["instant"]))
    return Columns(
        **{name: found[order] for name, found in joined.items()},
        undated=fresh.undated,
        seen=fresh.seen,
    )


def _columns(
    driver: sqlite3.Connection, person: Person, rows: NDArray[np.void], found: KitDoubt
) -> Columns:
    minute = np.ascontiguousarray(rows["minute"])
    same = ("id", "instant", "mg_dl", "entered", "unit", "bound", "mark", "after_min", "standing")
    kit = ("meter", "keeper", "told", "vial_said")
    arrays = {name: np.ascontiguousarray(rows[name]) for name in (*same, *kit)}
    columns = Columns(
        **arrays,
        minute=minute,
        day=rows["day"] - (minute < person.day_start * 60),
        vial=arrays["vial_said"],
        doubt=np.zeros(minute.size, dtype=np.int32),
        undated=int(driver.execute(_UNDATED, (person.id,)).fetchone()[0]),
        seen=int(driver.execute(_NEWEST).fetchone()[0]),
    )
    return _doubted_anew(driver, person, columns, found)


def _doubted_anew(
    driver: sqlite3.Connection, person: Person, columns: Columns, found: KitDoubt
) -> Columns:
    made = doubted(
        driver,
        person,
        found,
        instant=columns.instant,
        # A printed date is one of the calendar, whatever hour the person's day begins at.
        day=columns.day + (columns.minute < person.day_start * 60),
        meter=columns.meter,
        vial_said=columns.vial_said,
        told=columns.told,
        entered=columns.entered,
        mmol=columns.unit == MMOL_L,
        below=columns.bound == BELOW,
        exact=columns.bound == EXACT,
        mark=columns.mark,
        after_min=columns.after_min,
    )
    return replace(columns, vial=made.vial, doubt=made.doubt)
