"""When a control test is due: common practice, no source; the label of the strips comes first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from app.domain.control import Judged, Verdict
from app.domain.kit import Kit, Meter, Vial
from app.domain.vials_used import stretches_of, vial_at

# Events that ask for a test; cleaning and a new lancet do not.
AFTER_EVENTS = ("battery", "dropped", "heat", "doubtful", "unit")
WORDS = {
    "failed": "the last one failed",
    "new_vial": "a new vial was begun",
    "dropped": "it was dropped",
    "heat": "it lay in heat or cold",
    "doubtful": "a result did not fit how it felt",
    "battery": "the battery was changed",
    "unit": "the unit was looked at",
    "by_days": "so many days have passed",
}


@dataclass(frozen=True, slots=True)
class ControlDue:
    """A control test that is due on a meter: why, by code, and since when (UTC seconds).

    `range_known` says whether the vial's printed range is written down: without it no test can
    pass or fail.
    """

    meter: Meter
    vial: Vial | None
    why: str
    since: int
    range_known: bool

    @property
    def words(self) -> str:
        """Why, in plain words."""
        return WORDS[self.why]


def control_due(
    kit: Kit, judged: Sequence[Judged], *, now: int, every_days: int | None = None
) -> tuple[ControlDue, ...]:
    """The control tests that are due, at most one for each reason and meter in use.

    Parameters
    ----------
    judged : sequence of Judged
        Its control tests; the order does not matter.
    now : int
        UTC seconds; what comes after it is not looked at.
    every_days : int, optional
        After how many days the label wants one.
    """
    stretches = stretches_of(kit.uses)
    vials = {each.id: each for each in kit.vials}
    found: list[ControlDue] = []
    for meter in kit.meters:
        vial = vials.get(vial_at(stretches, meter.id, now))
        if meter.last_day is not None and meter.last_day < _day(now):
            continue
        own = sorted(
            (each for each in judged if each.test.meter == meter.id and each.at <= now),
            key=lambda each: (each.at, each.test.id),
        )
        known = bool(vial and vial.ranges)
        why = dict(_reasons(kit, meter, vial, own, judged, now=now))
        if every_days is not None and own:
            since = own[-1].at + every_days * 86_400
            if since <= now:
                why["by_days"] = since
        found += [ControlDue(meter, vial, code, why[code], known) for code in WORDS if code in why]
    return tuple(found)


def _reasons(
    kit: Kit,
    meter: Meter,
    vial: Vial | None,
    own: Sequence[Judged],
    judged: Sequence[Judged],
    *,
    now: int,
) -> Sequence[tuple[str, int]]:
    """The code of each reason with the instant from which on it holds."""
    last = own[-1].at if own else -1
    found: list[tuple[str, int]] = []
    if own and own[-1].verdict is Verdict.FAILED:
        found.append(("failed", own[-1].at))
    if vial is not None:
        begun = [use.start for use in kit.uses if (use.vial, use.meter) == (vial.id, meter.id)]
        if not any(each.vial == vial.id and each.at <= now for each in judged):
            found.append(("new_vial", min(begun)))
    for event in kit.events:
        of = event.meter == meter.id or (vial is not None and event.vial == vial.id)
        if of and event.kind in AFTER_EVENTS and last < event.at <= now:
            found.append((event.kind, event.at))
    return found


def _day(at: int) -> int:
    return datetime.fromtimestamp(at, UTC).toordinal()
