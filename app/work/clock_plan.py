"""What the repair of a clock would do: new times from known moments, or why it cannot be."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Literal

from app.domain.clock import FUTURE_SECONDS, Moment, moment_at, offsets_of
from app.domain.clock_anchors import Anchor, Fit, fitted, in_order, moment_of, true_moment
from app.domain.errors import Refused
from app.domain.stamped import Stamped

_UNCHANGED = "Nothing was changed."


@dataclass(frozen=True, slots=True)
class Earlier:
    """A repair that these records have already: its local id, its known moments and their ids."""

    repair_id: int
    anchors: tuple[Anchor, ...]
    anchor_ids: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class RepairPlan:
    """New times for a run of records, not written yet.

    `moments` follow from the first known moment (and the rate, where two fit one). Where they
    disagree, `versions` has the times by each of them and `moments` is empty: nothing is chosen.
    `kind` "repair" is by known moments, "stay" by the zone of a stay (`zone`).
    """

    kind: Literal["repair", "stay"]
    meter_id: int
    meter: str
    records: tuple[Stamped, ...]
    moments: tuple[Moment, ...] = ()
    versions: tuple[tuple[Anchor, tuple[Moment, ...]], ...] = ()
    anchors: tuple[Anchor, ...] = ()
    new_anchors: tuple[Anchor, ...] = ()
    fit: Fit | None = None
    earlier: Earlier | None = None
    dropped: tuple[int, ...] = ()
    zone: str | None = None

    @property
    def disagrees(self) -> bool:
        """Whether the known moments contradict each other."""
        return self.fit is not None and self.fit.state == "disagrees"

    @property
    def shift_s(self) -> int:
        """What the first known moment adds to the stamps."""
        return in_order(self.anchors)[0].shift_s if self.anchors else 0


def plan_repair(
    memory: Sequence[Stamped],
    first: int,
    last: int,
    anchors: Sequence[Anchor],
    *,
    meter_id: int,
    meter: str,
    now: datetime,
    earlier: Earlier | None = None,
    instead: bool = False,
    doubtful: Collection[int] = (),
) -> RepairPlan:
    """Work out new times for the records from one place of a memory to another, both included.

    Parameters
    ----------
    memory : sequence of Stamped
        All records of the meter in the order of its memory.
    anchors : sequence of Anchor
        Known moments, new ones; those of `earlier` hold too, unless `instead` is given.
    doubtful : collection of int
        Ids of records that no order is measured by, since their own clock looks wrong.

    Raises
    ------
    Refused
        There is no known moment, a record has no readable stamp, or the new times can't be: they
        would break the order of the memory or lie in the future. Nothing was changed.
    """
    records = tuple(memory[first : last + 1])
    kept = () if earlier is None or instead else earlier.anchors
    whole = tuple(in_order([*kept, *(each for each in anchors if each not in kept)]))
    if not whole:
        raise Refused(f"A repair needs one known moment at least. {_UNCHANGED}")
    if any(each.shown is None for each in records):
        raise Refused(f"A stamp of these records can't be read as a time. {_UNCHANGED}")
    fit = fitted(whole)
    versions: tuple[tuple[Anchor, tuple[Moment, ...]], ...] = ()
    moments: tuple[Moment, ...] = ()
    if fit.state == "disagrees":
        versions = tuple((each, _moments(records, each, 0)) for each in whole)
    else:
        moments = _moments(records, whole[0], fit.drift_ppm)
        must_be_possible(memory, first, last, moments, now=now, doubtful=doubtful)
    return RepairPlan(
        kind="repair",
        meter_id=meter_id,
        meter=meter,
        records=records,
        moments=moments,
        versions=versions,
        anchors=whole,
        new_anchors=tuple(each for each in whole if each not in kept),
        fit=fit,
        earlier=earlier,
        dropped=earlier.anchor_ids if earlier is not None and instead else (),
    )


def plan_stay(
    memory: Sequence[Stamped],
    first: int,
    last: int,
    *,
    zone: str,
    kept_home: bool,
    meter_id: int,
    meter: str,
    now: datetime,
    doubtful: Collection[int] = (),
) -> RepairPlan:
    """Work out the wall times of a stay in another zone.

    A meter left on home time keeps its instants and gets the wall times of the place; one that was
    set to the place's time keeps its wall times and gets the instants that they mean there.

    Raises
    ------
    Refused
        The new times can't be. Nothing was changed.
    """
    records = tuple(memory[first : last + 1])
    moments = tuple(_of_stay(each, zone, kept_home=kept_home) for each in records)
    must_be_possible(memory, first, last, moments, now=now, doubtful=doubtful)
    return RepairPlan("stay", meter_id, meter, records, moments, zone=zone)


def must_be_possible(
    memory: Sequence[Stamped],
    first: int,
    last: int,
    moments: Sequence[Moment],
    *,
    now: datetime,
    doubtful: Collection[int] = (),
) -> None:
    """Refuse times that break the order of the memory, or that have not come yet.

    Raises
    ------
    Refused
        It says which neighbour they would pass.
    """
    instants = [each.instant for each in moments]
    for earlier, later in pairwise(moments):
        if later.instant < earlier.instant:
            raise Refused(
                f"In the memory, {_wall(later)} comes after {_wall(earlier)}: the records would "
                f"change their order. {_UNCHANGED}"
            )
    before = _neighbour(reversed(memory[:first]), doubtful)
    if before is not None and before.instant is not None and instants[0] < before.instant:
        raise Refused(
            f"The first record would be at {_wall(moments[0])}, before the one that precedes it in "
            f"the memory ({_held(before)}). That order cannot be. {_UNCHANGED} "
            "Look at the known moment."
        )
    after = _neighbour(memory[last + 1 :], doubtful)
    if after is not None and after.instant is not None and instants[-1] > after.instant:
        raise Refused(
            f"The last record would be at {_wall(moments[-1])}, after the one that follows it in "
            f"the memory ({_held(after)}). That order cannot be. {_UNCHANGED} "
            "Look at the known moment."
        )
    if max(instants) > now.timestamp() + FUTURE_SECONDS:
        raise Refused(
            f"The last record would be at {_wall(moments[-1])}, which has not come yet. "
            f"{_UNCHANGED} Look at the known moment."
        )


def anchor_at(shown: datetime, true: datetime, zone: str, *, why: str | None = None) -> Anchor:
    """A known moment from two wall times.

    Raises
    ------
    Refused
        The true time never was, or came twice when the clocks were put back.
    """
    offsets = offsets_of(true, zone)
    if len(offsets) != 1:
        what = "came twice" if offsets else "never was"
        raise Refused(
            f"{true:%Y-%m-%d %H:%M} {what} in {zone}, for the clocks were changed then. "
            f"{_UNCHANGED} Give another known moment."
        )
    return Anchor(shown, moment_at(true, zone, offsets[0]), why)


def _moments(records: Sequence[Stamped], anchor: Anchor, ppm: int) -> tuple[Moment, ...]:
    return tuple(
        true_moment(each.shown, anchor, drift_ppm=ppm) for each in records if each.shown is not None
    )


def _of_stay(record: Stamped, zone: str, *, kept_home: bool) -> Moment:
    if record.instant is None or record.shown is None:
        raise Refused(f"A record of the stay has no time yet; repair its clock first. {_UNCHANGED}")
    if kept_home:
        return moment_of(record.instant, zone)
    offsets = offsets_of(record.shown, zone)
    if not offsets:
        raise Refused(f"{record.shown:%Y-%m-%d %H:%M} never was in {zone}. {_UNCHANGED}")
    return moment_at(record.shown, zone, offsets[0])


def _neighbour(records: Iterable[Stamped], doubtful: Collection[int]) -> Stamped | None:
    return next(
        (each for each in records if each.instant is not None and each.id not in doubtful), None
    )


def _wall(moment: Moment) -> str:
    return moment.wall.replace("T", " ")


def _held(record: Stamped) -> str:
    return "undated" if record.wall is None else f"{record.wall:%Y-%m-%d %H:%M}"
