"""Vials opened and used up: a chapter for every moment at which a meter changes its strips."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from uuid import UUID

from app.store import schema
from sample_db.beginning import keeper_uid
from sample_db.chapters import Added, Chapter, Edited, Row, added
from sample_db.household import Household
from sample_db.ids import uid_named
from sample_db.kit import Vial, VialUse


def vial_chapters(home: Household) -> Iterator[Chapter]:
    """What is known then: when a vial is opened, nobody knows yet when it will be empty."""
    vials = {vial.name: vial for vial in home.vials}
    turns = [(use.start.instant, True, use) for use in home.vial_uses]
    turns += [(use.end.instant, False, use) for use in home.vial_uses if use.end]
    turns.sort(key=lambda turn: (turn[2].meter, turn[0], turn[1]))
    for (name, at), group in groupby(turns, key=lambda turn: (turn[2].meter, turn[0])):
        rows: list[Row] = []
        opened = None
        for _, is_start, use in group:
            vial = vials[use.vial]
            rows += _opened(home, vial, use) if is_start else _finished(vial, use)
            opened = use.vial if is_start else opened
        yield Chapter(
            at,
            "new_vial" if opened else "vial_finished",
            {"meter": name, "vial": opened} if opened else {"meter": name},
            home.wishes.uid,
            tuple(rows),
            keeper_uid(home, home.meter(name).keeper),
        )


def _opened(home: Household, vial: Vial, use: VialUse) -> Iterator[Added]:
    meter = home.meter(use.meter)
    yield added(
        schema.vial,
        vial.uid,
        kind="glucose",
        person_id=home.wishes.uid,
        lot=vial.name,
        strips=vial.strips,
        printed_expiry=vial.printed_expiry,
        opened_day=vial.opened.toordinal(),
        days_open=vial.days_open,
    )
    if vial.control_low is not None:
        yield added(
            schema.vial_range,
            uid_named(vial.uid, "vial_range", "normal"),
            vial_id=vial.uid,
            level="normal",
            low=vial.control_low,
            high=vial.control_high,
            unit=meter.unit.value,
        )
    yield added(
        schema.vial_use,
        _use_uid(vial),
        vial_id=vial.uid,
        meter_id=meter.uid,
        from_instant=use.start.instant,
    )


def _finished(vial: Vial, use: VialUse) -> Iterator[Edited]:
    if vial.finished is not None:
        yield Edited(schema.vial, vial.uid, {"finished_day": vial.finished.toordinal()})
    if use.end is not None:
        yield Edited(schema.vial_use, _use_uid(vial), {"to_instant": use.end.instant})


def _use_uid(vial: Vial) -> UUID:
    return uid_named(vial.uid, "vial_use")
