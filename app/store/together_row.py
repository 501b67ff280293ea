"""One row as two copies have it: what each changed holds; what both changed in two ways is told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from sqlalchemy import Table

from app.store.history import BIN_EMPTIED, REDO, UNDO
from app.store.together_sides import Head, Row, Touched, columns_of

DELETED = "deleted"  # what is to settle where one side deleted what the other changed
IN_FORCE = "in_force"  # and where both put something in force from the same day
OPEN = "open"
SETTLE = "to_settle"  # kind of a ruling

# Columns that only make sense together, by what is said of them.
_MOMENT = ("instant", "wall", "zone", "offset_min", "day", "minute")
_UNITS = ("mg", "mmol")
_TOGETHER: dict[str, tuple[tuple[str, ...], ...]] = {
    "reading": (
        ("value", "bound", "unit", "mg_dl"),
        ("wall", *(name for name in _MOMENT if name != "wall"), "time_state", "time_precision"),
        ("mark", "mark_from", "after_min"),
        ("site", "site_detail"),
        ("standing", "standing_why"),
    ),
    "dose": (("amount", "amount_num", "unit"), _MOMENT),
    "event": ((*_MOMENT, "end_instant"),),
    "ketone": (("value", "method", "bound", "unit", "level"), _MOMENT),
    "control_test": (("value", "bound", "unit"), _MOMENT),
    "lab_result": (("value", "kind", "unit"), _MOMENT),
    "help": (_MOMENT,),
    "span": (("from_day", "to_day", "from_instant", "to_instant"),),
    "plan": (("from_day", "to_day"),),
    "meter": (("low_mg", "low_mmol"), ("high_mg", "high_mmol")),
    "target_limit": (("low_mg", "low_mmol", "high_mg", "high_mmol", "high_open"),),
    "safety_line": (
        tuple(f"{name}_{unit}" for name in ("very_low", "low", "very_high") for unit in _UNITS),
    ),
    "clock_repair": (("shift_s", "from_order", "to_order", "drift_ppm", "state"),),
}
# Where a record came from: nobody decides it, the row that was written first says it.
_ORIGIN = frozenset(
    {
        *("origin", "import_id", "line", "entered_at", "source_key", "time_from", "memory_order"),
        *("seq", "status_bits", "raw_wall", "raw_value", "raw_unit", "raw_code", "raw_bytes"),
    }
)
_UNSAID = (None, "none", "unknown", "", 0)
# What the program notes for itself: the later word holds, and nobody is asked.
_QUIET = frozenset(
    {"due_state", "question", "import_batch", "import_row", "memory_check", "ruling"}
)
_HEAD = frozenset({"uid", "born", "rev", "deleted_at"})


@dataclass(frozen=True, slots=True)
class Version:
    """One side of a row: what it says, what was changed, and whether its last entry is news."""

    row: Row
    born: Head
    rev: Head
    is_news: bool
    touched: Touched

    @property
    def is_dead(self) -> bool:
        """Whether it lies in the bin."""
        return self.row["deleted_at"] is not None

    @property
    def is_emptied(self) -> bool:
        """Whether its content was blanked for good."""
        return self.rev.kind == BIN_EMPTIED

    @property
    def last(self) -> Head:
        """The newest entry that changed it."""
        return self.touched.last or self.rev


@dataclass(frozen=True, slots=True)
class Conflict:
    """What both sides changed in two ways; each side is its entry and what it says."""

    field: str
    sides: tuple[tuple[Head, dict[str, Any]], tuple[Head, dict[str, Any]]]


@dataclass(slots=True)
class Merged:
    """What a row says from now on, whose it is (a side, or of both), what is to settle."""

    row: Row
    whose: str  # "here", "there", "both"
    conflicts: list[Conflict] = field(default_factory=list)
    erased: bool = False


def merge(table: Table, here: Version, there: Version) -> Merged:
    """Bring two versions of one row together; the same from either side."""
    if here.is_emptied or there.is_emptied:
        kept = here if here.is_emptied else there
        both = here.is_emptied and there.is_emptied
        return Merged(dict(kept.row), "here" if kept is here else "there", erased=not both)
    conflicts: list[Conflict] = []
    row = dict(here.row)
    for names in _groups(table):
        kept = _kept(names, here, there, conflicts)
        row.update({name: kept.row[name] for name in names})
    if here.is_dead != there.is_dead:
        stays = _stays(here, there, conflicts)
        kept = here if here.is_dead != stays else there
        row["deleted_at"] = kept.row["deleted_at"]
    elif here.is_dead:
        row["deleted_at"] = min(here.row["deleted_at"], there.row["deleted_at"])
    if table.name == "ruling" and conflicts and row["kind"] == SETTLE:
        row["verdict"] = OPEN  # settled in two ways: asked again
    if table.name in _QUIET:
        conflicts = []
    row["born"] = min(here.born, there.born).uid
    whose = next(
        (
            side
            for side, version in (("here", here), ("there", there))
            if all(row[name] == version.row[name] for name in _said(table))
            and (row["deleted_at"] is None) is (not version.is_dead)
        ),
        "both",
    )
    row["rev"] = (there if whose == "there" else here).rev.uid
    return Merged(row, whose, conflicts)


def _kept(
    names: tuple[str, ...], here: Version, there: Version, conflicts: list[Conflict]
) -> Version:
    """The side whose columns hold."""
    mine, theirs = ({name: side.row[name] for name in names} for side in (here, there))
    if mine == theirs:
        return here
    mine_by, theirs_by = (_by(side, names) for side in (here, there))
    if (mine_by is None) != (theirs_by is None):
        return here if mine_by else there
    if mine_by is None or theirs_by is None:
        if names[0] in _ORIGIN:
            return min((here, there), key=lambda side: (side.born, side.row["uid"]))
        unsaid = [all(value in _UNSAID for value in said.values()) for said in (mine, theirs)]
        if unsaid[0] != unsaid[1]:
            return there if unsaid[0] else here
        if here.is_news != there.is_news:
            return here if here.is_news else there
        mine_by, theirs_by = here.rev, there.rev
    if here.is_dead != there.is_dead:  # the one question is whether it is deleted
        return there if here.is_dead else here
    told = sorted(((mine_by, mine), (theirs_by, theirs)), key=lambda side: side[0])
    is_news = here.is_news or there.is_news  # else both knew the other's and kept their own
    if is_news and not here.is_dead and names[0] not in _ORIGIN:
        conflicts.append(Conflict(names[0], (told[0], told[1])))
    return here if mine_by > theirs_by else there


def _stays(here: Version, there: Version, conflicts: list[Conflict]) -> bool:
    """Whether a row stays that one side has in the bin: a change beats a deletion."""
    dead, live = (here, there) if here.is_dead else (there, here)
    gone_by = dead.touched.columns.get("deleted_at")
    if gone_by is None and dead.is_news and dead.rev.kind in (UNDO, REDO):
        gone_by = dead.rev  # an import that was taken back has no lines
    if live.touched.columns:
        if gone_by is not None:
            told = sorted(
                ((gone_by, {DELETED: 1}), (live.last, {DELETED: 0})), key=lambda side: side[0]
            )
            conflicts.append(Conflict(DELETED, (told[0], told[1])))
        return True
    if gone_by is not None:
        return False
    return live.is_news or not dead.is_news


def _by(side: Version, names: tuple[str, ...]) -> Head | None:
    return max((side.touched.columns[n] for n in names if n in side.touched.columns), default=None)


@cache
def _groups(table: Table) -> tuple[tuple[str, ...], ...]:
    grouped = _TOGETHER.get(table.name, ())
    within = {name for names in grouped for name in names}
    said = _said(table)
    origin = tuple(name for name in said if name in _ORIGIN)
    rest: Iterator[tuple[str, ...]] = (
        (name,) for name in said if name not in within and name not in _ORIGIN
    )
    return (*grouped, *((origin,) if origin else ()), *rest)


@cache
def _said(table: Table) -> tuple[str, ...]:
    return tuple(name for name in columns_of(table) if name not in _HEAD)
