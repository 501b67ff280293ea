"""Sick days in words and as JSON: the list to read aloud, the gaps, the family's own plan."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from typing import Any

from app.domain.glucose import Bound
from app.domain.ketones import UNIT
from app.review.figure import Missing
from app.review.figures import Without
from app.review.figures_json import mean_as_json
from app.review.follow_up import value_words
from app.review.seen import Seen
from app.review.sick_day import Checks, KetoneSeen, SickDay
from app.review.words import mean_words
from app.statistics.follow_ups.gaps import Gap

# Tests so near to each other are read aloud in one breath (a rule of this diary).
_TOGETHER_SECONDS = 15 * 60
_IN_DAYS_FROM = 2 * 1440  # minutes


def long_words(minutes: int) -> str:
    """A length of time: "45 min", "6 h", "6 h 30 min", "5 days"."""
    if minutes >= _IN_DAYS_FROM:
        return f"{minutes // 1440} days"
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours} h"] if hours else []
    parts += [f"{rest} min"] if rest or not hours else []
    return " ".join(parts)


def read_aloud(found: SickDay) -> tuple[str, ...]:
    """Everything that was written, in the order of time, to be read out on the telephone."""
    said: list[tuple[int, datetime, list[str]]] = []
    for at, wall, words in sorted(_entries(found), key=lambda each: (each[0], each[2])):
        if said and at - said[-1][0] <= _TOGETHER_SECONDS:
            said[-1][2].append(words)
        else:
            said.append((at, wall, [words]))
    return tuple(f"{_day_words(wall)}, {wall:%H:%M}: {', '.join(each)}" for _, wall, each in said)


def since_words(what: str, checks: Checks, *, goes_on: bool) -> str:
    """How long ago the last test of a kind is: "Ketones: last test 2 h 10 min ago (n 5)"."""
    if not checks.n:
        return f"{what}: no test written (n 0)"
    if checks.since_min is None:  # ended with a whole day, at no time that was said
        return f"{what}: n {checks.n}"
    when = "ago" if goes_on else "before the end"
    return f"{what}: last test {long_words(checks.since_min)} {when} (n {checks.n})"


def gap_words(found: SickDay, gap: Gap) -> str:
    """A gap by the clocks of the place: "Tue 10 Feb, 01:00 to 07:30: 6 h 30 min"."""
    start, end = _walls(found)[gap.start], _walls(found)[gap.end]
    until = "" if end.date() == start.date() else f"{_day_words(end)}, "
    length = long_words(gap.seconds // 60)
    return f"{_day_words(start)}, {start:%H:%M} to {until}{end:%H:%M}: {length}"


def peak_words(peak: KetoneSeen) -> str:
    """The highest ketone test with its band."""
    band = f", {peak.band.words}" if peak.band else ""
    return f"{peak.result.shown} at {peak.wall:%H:%M} on {_day_words(peak.wall)}{band}"


def fortnight_words(found: SickDay) -> tuple[str, ...]:
    """The average of the fortnight with and without days that are set aside."""
    unit, period = found.person.unit, found.fortnight

    def said(name: str, part: Without) -> str:
        average = "average " + mean_words(part.mean, unit)
        of = "" if isinstance(part.mean, Missing) else f" {unit}"
        days = "day" if part.days == 1 else "days"
        return f"{name}: {average}{of}, n {part.n} on {part.days} {days}"

    lines = [said(f"{period.first} to {period.last}", found.whole)]
    if found.without.left_out:
        lines.append(said("without set-aside days", found.without))
    else:
        lines.append("no reading of this fortnight lies on a set-aside day")
    return tuple(lines)


def sick_as_json(found: SickDay) -> dict[str, Any]:
    """Sick days by name: unrounded, in the person's unit."""
    unit, span = found.person.unit, found.span
    return {
        "person": found.person.name,
        "unit": unit.value,
        "first": date.fromordinal(span.first_day).isoformat(),
        "last": None if span.last_day is None else date.fromordinal(span.last_day).isoformat(),
        "began": None if span.begins is None else _utc(span.begins),
        "ended": None if span.ends is None else _utc(span.ends),
        "goes_on": found.goes_on,
        "set_aside": span.set_aside,
        "text": span.text,
        "glucose": {
            "n": found.glucose_checks.n,
            "mean": mean_as_json(found.mean),
            "readings": [_reading(found, each) for each in found.glucose_seen],
            **_checks(found, found.glucose_checks),
        },
        "ketones": {
            "n": found.ketone_checks.n,
            "unit": UNIT,
            "tests": [_test(each) for each in found.ketone_tests],
            "peak": _test(found.peak) if found.peak else None,
            "bands": [
                {"code": each.code, "from": each.begins, "urine": each.urine, "words": each.words}
                for each in found.bands
            ],
            "bands_source": found.bands_source,
            **_checks(found, found.ketone_checks),
        },
        "plan": found.care.sick_plan,
        "team_phone": found.care.team_phone,
        "emergency_number": found.care.emergency_number,
        "read_aloud": list(read_aloud(found)),
        "fortnight": {
            "first": found.fortnight.first.isoformat(),
            "last": found.fortnight.last.isoformat(),
            "whole": _part(found.whole),
            "without_set_aside_days": _part(found.without),
        },
    }


def _entries(found: SickDay) -> Iterator[tuple[int, datetime, str]]:
    for at, each in zip(found.glucose_at.tolist(), found.glucose_seen, strict=True):
        doubt = " (in doubt)" if each.in_doubt else ""
        yield at, each.wall, f"glucose {value_words(each.glucose)}{doubt}"
    for test in found.ketone_tests:
        yield test.instant, test.wall, f"ketones {test.result.shown}"
    for event in found.symptoms:
        yield event.start.instant, event.start.local, f"symptom: {event.text or 'not said which'}"


def _walls(found: SickDay) -> dict[int, datetime]:
    walls = {each.instant: each.wall for each in found.ketone_tests}
    seen = zip(found.glucose_at.tolist(), found.glucose_seen, strict=True)
    return walls | {at: each.wall for at, each in seen}


def _reading(found: SickDay, each: Seen) -> dict[str, Any]:
    number = each.glucose.in_unit(found.person.unit)
    exact = each.glucose.bound is Bound.EXACT
    return {
        "at": each.wall.isoformat(timespec="minutes"),
        "value": number if exact else {each.glucose.bound.value: number},
        "level": each.level.value,
        "in_doubt": each.in_doubt,
    }


def _test(each: KetoneSeen) -> dict[str, Any]:
    return {
        "at": each.wall.isoformat(timespec="minutes"),
        "result": each.result.shown,
        "value": each.number,
        "band": each.band.code if each.band else None,
    }


def _checks(found: SickDay, checks: Checks) -> dict[str, Any]:
    walls = _walls(found)
    return {
        "every_min": checks.every_min,
        "since_last_min": checks.since_min,
        "gaps": [
            {
                "from": walls[each.start].isoformat(timespec="minutes"),
                "to": walls[each.end].isoformat(timespec="minutes"),
                "minutes": each.seconds // 60,
            }
            for each in checks.gaps
        ],
    }


def _part(part: Without) -> dict[str, Any]:
    return {"n": part.n, "days": part.days, "mean": mean_as_json(part.mean)}


def _day_words(wall: datetime) -> str:
    return f"{wall:%a} {wall.day} {wall:%b}"


def _utc(instant: int) -> str:
    return f"{datetime.fromtimestamp(instant, UTC):%Y-%m-%dT%H:%M:%SZ}"
