"""What a wrong clock really meant: known moments (anchors), a constant rate, or disagreement."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal

from app.domain.clock import Moment, moment_at, zone_named

# Rules of this diary. People tell a time to a minute or two; a clock on a quartz crystal that is
# off by more than 500 millionths (43 seconds a day) has another fault than its rate.
SAME_WITHIN_S = 120
MOST_DRIFT_PPM = 500

State = Literal["one", "same", "drift", "disagrees"]


@dataclass(frozen=True, slots=True)
class Anchor:
    """A known moment: when the clock showed `shown` (naive), it truly was `true`."""

    shown: datetime
    true: Moment
    why: str | None = None

    @property
    def shift_s(self) -> int:
        """What has to be added to the shown wall time to get the true one."""
        return int((self.true.local - self.shown).total_seconds())


@dataclass(frozen=True, slots=True)
class Fit:
    """How anchors go together: the first one holds, with a rate; or they contradict each other.

    `apart_s` is by how much the last anchor is later than the first one alone would have it.
    """

    state: State
    drift_ppm: int = 0
    apart_s: int = 0


def in_order(anchors: Sequence[Anchor]) -> list[Anchor]:
    """The anchors by what the clock showed."""
    return sorted(anchors, key=lambda each: each.shown)


def fitted(anchors: Sequence[Anchor]) -> Fit:
    """Whether anchors go together, and by which rate of the clock.

    Parameters
    ----------
    anchors : sequence of Anchor
        At least one; their order does not matter.

    Returns
    -------
    Fit
        "one" anchor; "same": all within two minutes of what the first says; "drift": all within two
        minutes of one constant rate of at most 500 millionths; else "disagrees".

    Raises
    ------
    ValueError
        Without any anchor.
    """
    if not anchors:
        raise ValueError("a clock needs at least one anchor")
    ordered = in_order(anchors)
    first, last = ordered[0], ordered[-1]
    if len(ordered) == 1:
        return Fit("one")
    off = [_apart_s(each, first, 0) for each in ordered]
    apart = max(off, key=abs)
    if abs(apart) <= SAME_WITHIN_S:
        return Fit("same", 0, apart)
    elapsed = (last.shown - first.shown).total_seconds()
    ppm = round(off[-1] / elapsed * 1e6) if elapsed else 0
    left = [abs(_apart_s(each, first, ppm)) for each in ordered]
    if elapsed and abs(ppm) <= MOST_DRIFT_PPM and max(left) <= SAME_WITHIN_S:
        return Fit("drift", ppm, off[-1])
    return Fit("disagrees", 0, apart)


def true_moment(shown: datetime, anchor: Anchor, *, drift_ppm: int = 0) -> Moment:
    """The moment at which the clock showed a wall time, in the anchor's zone.

    A clock runs on when summer time begins or ends, so it is the instants that are counted.
    """
    instant = anchor.true.instant + _since_s(shown, anchor, drift_ppm)
    if drift_ppm and not shown.second:
        instant = round(instant / 60) * 60  # a stamp to the minute knows no seconds
    return moment_of(instant, anchor.true.zone)


def moment_of(instant: int, zone: str) -> Moment:
    """The moment of an instant (UTC seconds) on the clocks of a zone."""
    local = datetime.fromtimestamp(instant, UTC).astimezone(zone_named(zone))
    offset = local.utcoffset() or timedelta(0)
    return moment_at(local.replace(tzinfo=None), zone, int(offset.total_seconds() // 60))


def moment_held(instant: int, wall: str, zone: str) -> Moment:
    """The moment that a diary holds as an instant with its wall time."""
    local = datetime.fromisoformat(wall)
    offset_s = local.replace(tzinfo=UTC).timestamp() - instant
    return Moment(instant, wall, zone, int(offset_s // 60))


def _apart_s(anchor: Anchor, first: Anchor, ppm: int) -> int:
    return anchor.true.instant - first.true.instant - _since_s(anchor.shown, first, ppm)


def _since_s(shown: datetime, anchor: Anchor, ppm: int) -> int:
    seconds = int((shown - anchor.shown).total_seconds())
    return seconds + round(seconds * ppm / 1e6)
