"""Stretches that the time of day gives away: half a day off, summer time missed, home time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.domain.clock_order import runs_of
from app.domain.stamped import Stamped, Stretch
from app.domain.usual_hours import UsualHours
from app.domain.zone_changes import ZoneChange, offset_at

# Rules of this diary, for sums of natural log ratios: 8 is a likelihood 3,000 times higher, 2.5
# twelve times; a single test is weak evidence and enough only on the day the clocks changed.
_CLEAR = 8.0
_FEWEST = 3
_ON_THE_DAY = 2.5
_DAY_S = 86_400
_HALF_DAY_MIN = 720
_ZONES_APART_H = tuple(hour for hour in range(-14, 15) if hour)


@dataclass(frozen=True, slots=True)
class Stay:
    """A stay in another zone, between two instants (UTC seconds); `zone` None where not said.

    `meters_kept` is the zone that the meters went on showing, None where not said.
    """

    start: int
    end: int
    zone: str | None
    meters_kept: str | None = None


def half_days(
    records: Sequence[Stamped], hours: UsualHours, taken: Sequence[bool]
) -> list[Stretch]:
    """Runs that fit the usual times of day only when twelve hours are added or taken away.

    `taken` says which records another detector explained. Which of the two it is follows from the
    neighbours in the memory; where both would do, no shift is proposed.
    """
    scores = [
        None if is_taken else _half_day_score(each, hours)
        for each, is_taken in zip(records, taken, strict=True)
    ]
    found = []
    for first, last, evidence in _clear_runs(scores):
        fits = [
            sign * _HALF_DAY_MIN * 60
            for sign in (1, -1)
            if _fits(records, first, last, sign * _HALF_DAY_MIN * 60)
        ]
        shift = fits[0] if len(fits) == 1 else None
        found.append(Stretch("half_day", first, last, shift, evidence))
    return found


def summer_times(
    records: Sequence[Stamped],
    hours: UsualHours,
    changes: Sequence[ZoneChange],
    taken: Sequence[bool],
) -> list[Stretch]:
    """Runs that begin when summer time began or ended, by a clock that nobody changed then."""
    found = []
    for number, change in enumerate(changes, 1):
        until = changes[number].instant if number < len(changes) else None
        start = next(
            (
                place
                for place, each in enumerate(records)
                if each.instant is not None and each.instant >= change.instant
            ),
            len(records),
        )
        last, best = _best_prefix(records, hours, change.minutes, start, until, taken)
        if last is None:
            continue
        at = records[last].instant or 0
        on_the_day = at < change.instant + _DAY_S and best >= _ON_THE_DAY
        if (best >= _CLEAR and last - start + 1 >= _FEWEST) or on_the_day:
            found.append(Stretch("summer_time", start, last, change.minutes * 60, best))
    return found


def stays_abroad(
    records: Sequence[Stamped],
    hours: UsualHours,
    stays: Sequence[Stay],
    taken: Sequence[bool],
) -> list[Stretch]:
    """Runs of records of a stay in another zone that do not have that place's wall time yet."""
    found: list[Stretch] = []
    for stay in stays:
        flags = [
            each.free
            and not is_taken
            and each.instant is not None
            and stay.start <= each.instant < stay.end
            and each.zone != stay.zone
            for each, is_taken in zip(records, taken, strict=True)
        ]
        for first, last in runs_of(flags):
            run = range(first, last + 1)
            if stay.zone is None:
                found += _nearest_zone(records, hours, run)
            else:
                found.append(_in_known_zone(records, hours, run, stay, stay.zone))
    return found


def _in_known_zone(
    records: Sequence[Stamped], hours: UsualHours, run: range, stay: Stay, zone: str
) -> Stretch:
    at, home = records[run[0]].instant or 0, records[run[0]].zone
    shift = offset_at(zone, at) - offset_at(home, at)
    evidence = sum(_score(records[place], hours, shift) or 0.0 for place in run)
    kept_home = evidence >= 0 if stay.meters_kept is None else stay.meters_kept != zone
    if kept_home:
        return Stretch("home_time", run[0], run[-1], shift * 60, evidence, zone)
    return Stretch("local_time", run[0], run[-1], 0, -evidence, zone)


def _nearest_zone(records: Sequence[Stamped], hours: UsualHours, run: range) -> list[Stretch]:
    best: Stretch | None = None
    for hour in _ZONES_APART_H:
        scores = [_score(records[place], hours, hour * 60) for place in run]
        for first, last, evidence in _clear_runs(scores):
            if best is None or evidence > best.evidence:
                best = Stretch("home_time", run[0] + first, run[0] + last, hour * 3600, evidence)
    return [] if best is None else [best]


def _score(record: Stamped, hours: UsualHours, shift_min: int) -> float | None:
    if not record.free or record.minute is None or record.instant is None:
        return None
    return hours.for_shift(record.mark, record.minute, shift_min)


def _half_day_score(record: Stamped, hours: UsualHours) -> float | None:
    """By how much half a day explains a record better than nothing does, or an hour either way."""
    score = _score(record, hours, _HALF_DAY_MIN)
    if score is None:
        return None
    return score - max(0.0, *(_score(record, hours, shift) or 0.0 for shift in (60, -60)))


def _clear_runs(scores: Sequence[float | None]) -> list[tuple[int, int, float]]:
    """Every run whose sum of scores is highest and clear, none overlapping; None breaks a run."""
    left = list(scores)
    found = []
    while (best := _highest_run(left)) is not None and best[2] >= _CLEAR:
        first, last, _ = best
        if last - first + 1 >= _FEWEST:
            found.append(best)
        left[first : last + 1] = [None] * (last - first + 1)
    return sorted(found)


def _highest_run(scores: Sequence[float | None]) -> tuple[int, int, float] | None:
    """The unbroken run with the highest sum (J. Kadane's scan); None without a score above 0."""
    best: tuple[int, int, float] | None = None
    start, total = 0, 0.0
    for place, score in enumerate(scores):
        if score is None or total + score <= 0:
            start, total = place + 1, 0.0
            continue
        total += score
        if best is None or total > best[2]:
            best = (start, place, total)
    return best


def _best_prefix(
    records: Sequence[Stamped],
    hours: UsualHours,
    shift_min: int,
    start: int,
    until: int | None,
    taken: Sequence[bool],
) -> tuple[int | None, float]:
    """Where the run from `start` on has its highest sum, and that sum."""
    last, best, total = None, 0.0, 0.0
    for place in range(start, len(records)):
        score = None if taken[place] else _score(records[place], hours, shift_min)
        if score is None or (until is not None and (records[place].instant or 0) >= until):
            break
        total += score
        if total > best:
            last, best = place, total
    return last, best


def _fits(records: Sequence[Stamped], first: int, last: int, shift_s: int) -> bool:
    """Whether a shifted run keeps its place between its dated neighbours and before its copy."""
    begin, end = records[first].instant, records[last].instant
    if begin is None or end is None:
        return False
    before = next((r.instant for r in reversed(records[:first]) if r.instant is not None), None)
    after = next((r.instant for r in records[last + 1 :] if r.instant is not None), None)
    if before is not None and begin + shift_s < before:
        return False
    latest = min(records[last].entered_at, end + shift_s if after is None else after)
    return end + shift_s <= latest
