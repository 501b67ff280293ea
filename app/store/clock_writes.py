"""Writing about clocks inside one change: repairs with their anchors, settings, stays, a no.

The raw stamp, the order of the memory and the anchors are the truth; `rewrite_times` is the one
place where instant, wall time, day and minute of a reading follow from them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from uuid import UUID

from app.domain.clock import Moment
from app.domain.clock_anchors import Anchor
from app.domain.person import Person
from app.store import schema
from app.store.amend import held
from app.store.journal import Change
from app.store.readings import moment_fields
from app.store.rows import rows_with

APPLIED, DISAGREES, PROPOSED = "applied", "disagrees", "proposed"
_REPAIRED, _SURE, _UNDATED = "repaired", "sure", "undated"


def rewrite_times(
    change: Change,
    person: Person,
    moments: Mapping[int, Moment | None],
    *,
    repair_id: int | None,
    state: str | None = None,
) -> int:
    """Give readings, by local id, the moments that follow from a repair or a stay.

    None leaves a reading without a time, kept apart. With a repair the time counts as repaired.
    Raw stamps are not touched. Returns how many were different.
    """
    usual = _SURE if repair_id is None else _REPAIRED
    return change.edit_all(
        schema.reading,
        [
            (
                row,
                {
                    **moment_fields(moments[row["id"]]),
                    "time_state": _UNDATED if moments[row["id"]] is None else state or usual,
                    "clock_repair_id": repair_id,
                },
            )
            for row in held(change.connection, person, moments)
        ],
    )


def write_repair(
    change: Change,
    *,
    meter_id: int,
    orders: tuple[int, int],
    shift_s: int,
    drift_ppm: int,
    state: str,
) -> int:
    """Write a repair of the records from one number of the memory to another; its local id."""
    return change.add(
        schema.clock_repair,
        meter_id=meter_id,
        from_order=orders[0],
        to_order=orders[1],
        shift_s=shift_s,
        drift_ppm=drift_ppm,
        state=state,
    )


def rewrite_repair(
    change: Change, repair_id: int, *, shift_s: int, drift_ppm: int, state: str
) -> None:
    """Say anew by how much a repair shifts, or that its anchors disagree."""
    change.edit(schema.clock_repair, repair_id, shift_s=shift_s, drift_ppm=drift_ppm, state=state)


def link_repair(change: Change, person: Person, ids: Iterable[int], repair_id: int | None) -> int:
    """Say of readings, by local id, which repair speaks of them; their times stay as they are."""
    rows = held(change.connection, person, ids)
    return change.edit_all(schema.reading, [(row, {"clock_repair_id": repair_id}) for row in rows])


def drop_repair(change: Change, repair_id: int) -> None:
    """Put a repair into the bin that changed no time."""
    change.delete(schema.clock_repair, repair_id)


def write_anchors(
    change: Change, repair_id: int, anchors: Iterable[tuple[Anchor, int | None]]
) -> None:
    """Write known moments of a repair, each with the reading it was told of, if any."""
    for anchor, reading_id in anchors:
        fine = "seconds" if anchor.shown.second else "minutes"
        change.add(
            schema.clock_anchor,
            repair_id=repair_id,
            reading_id=reading_id,
            raw_wall=anchor.shown.isoformat(timespec=fine),
            true_wall=anchor.true.wall,
            zone=anchor.true.zone,
            true_instant=anchor.true.instant,
            why=anchor.why,
        )


def drop_anchors(change: Change, anchor_ids: Iterable[int]) -> None:
    """Put known moments into the bin: others were said in their place."""
    change.delete_all(
        schema.clock_anchor, rows_with(change.connection, schema.clock_anchor, "id", anchor_ids)
    )


def write_setting(
    change: Change,
    *,
    meter_id: int,
    at: int,
    shown_before: str | None,
    shown_after: str | None,
    cause: str | None,
) -> int:
    """Write that a meter's clock was set (`at` in UTC seconds); returns the local id."""
    return change.add(
        schema.clock_setting,
        meter_id=meter_id,
        at=at,
        shown_before=shown_before,
        shown_after=shown_after,
        cause=cause,
    )


def write_stay(
    change: Change,
    person: Person,
    *,
    start: int,
    end: int | None,
    zone: str,
    meters_kept: str | None,
) -> int:
    """Write a stay in another zone, between two instants (UTC seconds); returns the local id."""
    return change.add(
        schema.zone_stretch,
        person_id=person.id,
        from_instant=start,
        to_instant=end,
        zone=zone,
        meters_kept=meters_kept,
    )


def write_no(change: Change, *, kind: str, first: UUID, last: UUID) -> int:
    """Remember that a proposal was refused: it is not made again; returns the local id."""
    return change.add(
        schema.ruling,
        kind="clock_no",
        tbl="reading",
        row_uid=first.bytes,
        other_uid=last.bytes,
        verdict=kind,
    )
