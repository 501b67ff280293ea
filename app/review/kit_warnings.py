"""What of the kit is worth a word today, the most urgent first: for the Now column and lists."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from app.domain.clock import zone_named
from app.domain.control_due import ControlDue
from app.domain.kit import Solution
from app.review.kit_tests import FailLine
from app.review.kit_vials import StripsShown, VialLine
from app.statistics.supplies import told_from, weekday_before

_HALF_YEAR = 183
# A forecast moves with every test: it is another one when it moves on by so much.
_FORECAST_DAYS = 14


@dataclass(frozen=True, slots=True)
class KitWarning:
    """One line: a code, the day it is about (date ordinal), what, and a second line.

    `now` says that it holds already; else it is to come. `since` is the day from which on it is
    told, `key` names it for good: what was put away once is not told again the day after.
    """

    code: str
    day: int
    what: str
    more: str
    now: bool
    since: int
    key: str


def kit_warnings(
    *,
    vials: tuple[VialLine, ...],
    fails: tuple[FailLine, ...],
    due: tuple[ControlDue, ...],
    strips: StripsShown,
    solutions: tuple[Solution, ...],
    batteries: tuple[tuple[str, int], ...],
    today: int,
) -> tuple[KitWarning, ...]:
    """Gather the warnings of a day; `batteries` meters that noted a low one, with its day."""
    found = [
        *_failed(fails),
        *_lapses(vials, today),
        *_due(due, today),
        *_strips(strips, today),
        *(
            KitWarning(
                "battery",
                day,
                f"Battery of {name} low",
                "noted by the meter",
                now=True,
                since=day,
                key=f"battery/{name}/{day}",
            )
            for name, day in batteries
        ),
        *_bottles(solutions, today),
    ]
    return tuple(sorted(found, key=lambda each: (not each.now, each.day if not each.now else 0)))


def _failed(fails: tuple[FailLine, ...]) -> Iterator[KitWarning]:
    for each in fails:
        if each.waits or not each.passed_since:
            readings = f"{each.in_doubt} reading{'' if each.in_doubt == 1 else 's'} in doubt"
            more = f"{each.meter}, {each.vial}" if each.vial else each.meter
            test = each.failed.judged.test
            day = test.moment.day
            what = f"Control test failed: {readings}"
            key = f"failed/{test.uid}"
            yield KitWarning("failed", day, what, more, now=True, since=day, key=key)


def _lapses(vials: tuple[VialLine, ...], today: int) -> Iterator[KitWarning]:
    for each in vials:
        last = each.last_good
        if not each.in_use or last is None:
            continue
        where = ", ".join(each.meters)
        named = f"{each.vial.uid}/{last}"
        if last < today:
            more = f"last good day {_day(last)}"
            if each.lapsed:
                more += f"; {_readings(each.lapsed)} since in doubt"
            what, key = f"Strips {each.vial.name} are out of date", f"lapsed/{named}"
            yield KitWarning("lapsed", last, what, more, now=True, since=last + 1, key=key)
        elif told_from(last) <= today:
            more = f"{where}; {_in_days(last - today)}, a weekday before: {_day(_by(last))}"
            what = f"Strips {each.vial.name}: last good day"
            since, key = told_from(last), f"lapses/{named}"
            yield KitWarning("lapses", last, what, more, now=False, since=since, key=key)


def _due(due: tuple[ControlDue, ...], today: int) -> Iterator[KitWarning]:
    for each in due:
        # Who has no range for a new vial and never ran a test there is not told so every fortnight.
        if each.why == "new_vial" and not each.range_known:
            continue
        if each.why == "failed":
            continue  # told as the failed test itself
        more = each.words if each.range_known else f"{each.words}; no range written for its vial"
        what = f"Control test due: {each.meter.name}"
        since = datetime.fromtimestamp(each.since, zone_named(each.meter.zone)).toordinal()
        key = f"control_due/{each.meter.uid}/{each.why}/{since}"
        yield KitWarning("control_due", today, what, more, now=True, since=since, key=key)


def _strips(strips: StripsShown, today: int) -> Iterator[KitWarning]:
    out = strips.forecast.runs_out
    if strips.left is not None and out is not None and told_from(out) <= today:
        by = _day(max(today, strips.forecast.get_by or today))
        strip, vial = ("" if n == 1 else "s" for n in (strips.left, strips.vials))
        more = f"{strips.left} strip{strip}, {strips.vials} vial{vial}; new ones by {by}"
        yield KitWarning(
            "strips",
            out,
            "Strips run out, about",
            more,
            now=out <= today,
            since=min(today, told_from(out)),
            key=f"strips/{out // _FORECAST_DAYS}",
        )


def _bottles(solutions: tuple[Solution, ...], today: int) -> Iterator[KitWarning]:
    for each in solutions:
        last = each.last_good_day
        # A bottle that lapsed long ago was thrown away, whatever the diary still says.
        if last is not None and told_from(last) <= today < last + _HALF_YEAR:
            if last < today:
                what = f"Control solution {each.name} is out of date"
                more, since = f"last good day {_day(last)}", last + 1
            else:
                what = f"Control solution {each.name}: last good day"
                more, since = _in_days(last - today), told_from(last)
            over, key = last < today, f"solution/{each.uid}/{since}"
            yield KitWarning("solution", last, what, more, now=over, since=since, key=key)


def _by(last: int) -> int:
    """The weekday by which new ones should be there: the last good day itself, or one before."""
    return weekday_before(last + 1)


def _in_days(days: int) -> str:
    return "today" if days == 0 else f"in {days} day{'' if days == 1 else 's'}"


def _readings(n: int) -> str:
    return f"{n} reading{'' if n == 1 else 's'}"


def _day(ordinal: int) -> str:
    day = date.fromordinal(ordinal)
    return f"{day:%a} {day.day} {day:%b}"
