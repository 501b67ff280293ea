"""Each vial with its use, its dates, the strips left and the readings made with it in doubt."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from app.domain.control import Judged
from app.domain.kit import STRIPS, Kit, Supply, Vial, VialUse
from app.domain.reading import Doubt
from app.statistics.supplies import Forecast, StripsLeft, runs_out, strips_left
from app.store.columns import Columns


@dataclass(frozen=True, slots=True)
class VialLine:
    """A vial as it stands.

    `uses` its stretches, the oldest first · `meters` their meters' names · `in_use` at the moment ·
    `last_good` the last good day (date ordinal), None where unknown · `readings` and `tests` made
    with it, `lapsed` of those readings after that day, `failed` in doubt by a control test, `heat`
    since it lay in heat or cold · `left` its strips · `forecast` when they run out.
    """

    vial: Vial
    uses: tuple[VialUse, ...]
    meters: tuple[str, ...]
    in_use: bool
    last_good: int | None
    readings: int
    tests: int
    lapsed: int
    failed: int
    heat: int
    left: StripsLeft
    forecast: Forecast


@dataclass(frozen=True, slots=True)
class StripsShown:
    """All strips of a person: those of vials in use and of vials and boxes not opened yet.

    `left` None where one of the vials in use has no count; `vials` how many were counted.
    """

    left: int | None
    vials: int
    uncounted: tuple[str, ...]
    forecast: Forecast


def vial_lines(
    kit: Kit, judged: tuple[Judged, ...], columns: Columns, *, now: int, today: int
) -> tuple[VialLine, ...]:
    """Every vial of the kit, the first opened first.

    Parameters
    ----------
    columns : Columns
        All readings of the person.
    now, today : int
        UTC seconds, and the diary day that it is (a date ordinal).
    """
    names = {each.id: each.name for each in kit.meters}
    uses: dict[int, list[VialUse]] = defaultdict(list)
    for use in kit.uses:
        uses[use.vial].append(use)
    tests: dict[int | None, list[Judged]] = defaultdict(list)
    for each in judged:
        tests[each.vial].append(each)
    order = np.argsort(columns.vial, kind="stable")
    ids = columns.vial[order]
    found = []
    for vial in kit.vials:
        at = order[slice(*np.searchsorted(ids, [vial.id, vial.id + 1]).tolist())]
        found.append(
            _line(
                vial,
                uses[vial.id],
                names,
                tests[vial.id],
                columns.where_places(at),
                kit,
                now,
                today,
            )
        )
    return tuple(found)


def strips_shown(
    lines: tuple[VialLine, ...], kit: Kit, columns: Columns, today: int
) -> StripsShown:
    """Add up what is left of all vials, and forecast from the tests of all meters."""
    running = [line for line in lines if line.in_use and line.vial.kind == "glucose"]
    uncounted = tuple(line.vial.name for line in running if line.left.left is None)
    unopened = [
        line.vial.strips or 0
        for line in lines
        if line.vial.opened_day is None and not line.uses and line.vial.kind == "glucose"
    ]
    counted = [line.left.left for line in running if line.left.left is not None]
    total = sum(counted) + sum(unopened) + _stock(kit, lines)
    left = total if counted or unopened or total else None
    made = columns.meter > 0
    days = columns.day[made]
    first = int(days.min()) if days.size else today
    forecast = runs_out(left if not uncounted else None, days, today=today, since=first)
    return StripsShown(left, len(counted) + len(unopened), uncounted, forecast)


def _line(
    vial: Vial,
    uses: list[VialUse],
    names: dict[int, str],
    tests: list[Judged],
    made: Columns,
    kit: Kit,
    now: int,
    today: int,
) -> VialLine:
    running = [use for use in uses if use.start <= now and (use.end is None or now < use.end)]
    is_over = vial.finished_day is not None and vial.finished_day <= today
    own = [each for each in kit.supplies if each.vial == vial.id]
    left = _left(vial, made, tests, own)
    since = int(made.day.min()) if len(made) else today
    return VialLine(
        vial=vial,
        uses=tuple(uses),
        meters=tuple(dict.fromkeys(names.get(use.meter, "") for use in uses)),
        in_use=bool(running) and not is_over,
        last_good=vial.last_good_day,
        readings=len(made),
        tests=len(tests),
        lapsed=_how_many(made, Doubt.VIAL),
        failed=_how_many(made, Doubt.CONTROL),
        heat=_how_many(made, Doubt.HEAT),
        left=left,
        forecast=runs_out(left.left, made.day, today=today, since=since),
    )


def _left(vial: Vial, made: Columns, tests: list[Judged], own: list[Supply]) -> StripsLeft:
    times = np.concatenate(
        (made.instant, np.array([each.at for each in tests], dtype=np.int64))
    ).astype(np.int64)
    counts = [(each.at, each.count) for each in own if each.why == "counted"]
    lost = tuple((each.at, each.count) for each in own if each.why in ("wasted", "used"))
    return strips_left(vial.strips, times, counted=max(counts) if counts else None, wasted=lost)


def _stock(kit: Kit, lines: tuple[VialLine, ...]) -> int:
    """Strips in boxes beside the vials: bought or counted, less what was taken out since."""
    own = [each for each in kit.supplies if each.kind == STRIPS and each.vial is None]
    if not own:
        return 0
    counts = [(each.at, each.count) for each in own if each.why == "counted"]
    since, stock = max(counts) if counts else (-1, 0)
    stock += sum(each.count for each in own if each.why == "bought" and each.at > since)
    stock -= sum(each.count for each in own if each.why in ("wasted", "used") and each.at > since)
    first = min(each.at for each in own) if since < 0 else since
    opened = (line for line in lines if line.uses and line.uses[0].start > first)
    return max(0, stock - sum(line.vial.strips or 0 for line in opened))


def _how_many(made: Columns, reason: Doubt) -> int:
    return int(np.count_nonzero(made.doubt & reason))
