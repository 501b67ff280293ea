"""What two homes put in force from one day: goals, a plan, a low line; it is asked which stays.

Of two from one day that holds which came last into a file, so two copies could judge differently.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sqlalchemy import Table

from app.store.together_row import DELETED, IN_FORCE, Conflict
from app.store.together_sides import Head, Row

_SAYS = {
    "target_set": ("name",),
    "plan": ("name", "to_day"),
    "safety_line": ("very_low_mg", "low_mg", "very_high_mg"),
}


def begins_days(table: Table) -> bool:
    """Whether rows of this table hold from a day on, in the place of those before."""
    return table.name in _SAYS


def same_day(
    table: Table,
    here: Iterable[Row],
    there: Iterable[Row],
    heads: Mapping[bytes, Head],
) -> list[tuple[bytes, Conflict]]:
    """What both sides put in force from one day in two ways: whether the earlier word stays.

    Parameters
    ----------
    here, there : iterable of rows
        Those that only one side has.
    heads : mapping
        The entries of both sides by uid.
    """
    mine, theirs = _newest(here, heads), _newest(there, heads)
    found = []
    for key in sorted(mine.keys() & theirs.keys()):
        both = (mine[key], theirs[key])
        if all(both[0][name] == both[1][name] for name in _SAYS[table.name]):
            continue
        first, second = sorted(both, key=lambda row: heads[row["born"]])
        sides = ((heads[first["born"]], {DELETED: 0}), (heads[second["born"]], {DELETED: 1}))
        found.append((first["uid"], Conflict(IN_FORCE, sides)))
    return found


def _newest(rows: Iterable[Row], heads: Mapping[bytes, Head]) -> dict[tuple[bytes, int], Row]:
    """Of each person and day the row that was written last."""
    live = (row for row in rows if row["deleted_at"] is None)
    ordered = sorted(live, key=lambda row: heads[row["born"]])
    return {(row["person_id"], row["from_day"]): row for row in ordered}
