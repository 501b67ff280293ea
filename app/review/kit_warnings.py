"""What of the kit is worth a word today, the most urgent first: for the Now column and lists."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime

from app.domain.control_due import ControlDue
from app.domain.kit import Meter, Solution
from app.review.kit_tests import FailLine
from app.review.kit_vials import StripsShown, VialLine
from app.statistics.supplies import told_from, weekday_before

_HALF_YEAR = 183


@dataclass(frozen=True, slots=True)
class KitWarning:
    """One line: a code, the day it is about (date ordinal), what, and a second line.

    `now` says that it holds already; else it is to come · `since` from which day on it is told ·
    `about` names for good what it is about.
    """

    code: str
    day: int
    what: str
    more: str
    now: bool
    since: int
    about: str


def kit_warnings(
    *,
    vials: tuple[VialLine, ...],
    fails: tuple[FailLine, ...],
    due: tuple[ControlDue, ...],
    strips: StripsShown,
    solutions: tuple[Solution, ...],
    batteries: tuple[tuple[Meter, int], ...],
    today: int,
) -> tuple[KitWarning, ...]:
    """Gather the warnings of a day; `batteries` meters that noted a low one, with its day."""
    found = [
        *_failed(fails),
        *_lapses(vials, today),
        *_due(due, today),
        *_strips(strips, vials, today),
        *(
            KitWarning(
                "battery",
                day,
                f"Battery of {meter.name} low",
                "noted by the meter",
                now=True,
                since=day,
                about=str(meter.uid),
            )
            for meter, day in batteries
        ),
        *_bottles(solutions, today),
    ]
    return tuple(sorted(found, key=lambda each: (not each.now, each.day if not each.now else 0)))


def _failed(fails: tuple[FailLine, ...]) -> Iterator[KitWarning]:
    for each in fails:
        if each.waits or not each.passed_since:
            readings = f"{each.in_doubt} reading{'' if each.in_doubt == 1 else 's'} in doubt"
            more = f"{each.meter}, {each.vial}" if each.vial else each.meter
            day = each.failed.judged.test.moment.day
            what = f"Control test failed: {readings}"
            about = str(each.failed.judged.test.uid)
            yield KitWarning("failed", day, what, more, now=True, since=day, about=about)


def _lapses(vials: tuple[VialLine, ...], today: int) -> Iterator[KitWarning]:
    for each in vials:
        last = each.last_good
        if not each.in_use or last is None:
            continue
        where, about = ", ".join(each.meters), str(each.vial.uid)
        if last < today:
            more = f"last good day {_day(last)}; {_readings(each.lapsed)} since in doubt"
            what = f"Strips {each.vial.name} are out of date"
            yield KitWarning("lapsed", last, what, more, now=True, since=last + 1, about=about)
        elif told_from(last) <= today:
            more = f"{where}; {_in_days(last - today)}, a weekday before: {_day(_by(last))}"
            what = f"Strips {each.vial.name}: last good day"
            since = told_from(last)
            yield KitWarning("lapses", last, what, more, now=False, since=since, about=about)


def _due(due: tuple[ControlDue, ...], today: int) -> Iterator[KitWarning]:
    for each in due:
        # Who has no range for a new vial and never ran a test there is not told so every fortnight.
        if each.why == "new_vial" and not each.range_known:
            continue
        if each.why == "failed":
            continue  # told as the failed test itself
        more = each.words if each.range_known else f"{each.words}; no range written for its vial"
        what = f"Control test due: {each.meter.name}"
        about = f"{each.meter.uid}/{each.why}"
        yield KitWarning(
            "control_due", today, what, more, now=True, since=_utc_day(each.since), about=about
        )


def _strips(strips: StripsShown, vials: tuple[VialLine, ...], today: int) -> Iterator[KitWarning]:
    out = strips.forecast.runs_out
    if strips.left is not None and out is not None and told_from(out) <= today:
        by = _day(max(today, strips.forecast.get_by or today))
        more = f"{strips.left} strips, {strips.vials} vials; new ones by {by}"
        # It is told once for a vial, however the forecast moves from day to day.
        newest = max((each.vial.uid.hex for each in vials if each.in_use), default="")
        yield KitWarning(
            "strips",
            out,
            "Strips run out, about",
            more,
            now=out <= today,
            since=min(today, told_from(out)),
            about=newest,
        )


def _bottles(solutions: tuple[Solution, ...], today: int) -> Iterator[KitWarning]:
    for each in solutions:
        last = each.last_good_day
        # A bottle that lapsed long ago was thrown away, whatever the diary still says.
        about = str(each.uid)
        if last is not None and told_from(last) <= today < last + _HALF_YEAR:
            if last < today:
                what = f"Control solution {each.name} is out of date"
                more = f"last good day {_day(last)}"
                yield KitWarning("solution", last, what, more, True, last + 1, about)
            else:
                what, more = f"Control solution {each.name}: last good day", _in_days(last - today)
                yield KitWarning("solution", last, what, more, False, told_from(last), about)


def _by(last: int) -> int:
    """The weekday by which new ones should be there: the last good day itself, or one before."""
    return weekday_before(last + 1)


def _in_days(days: int) -> str:
    return "today" if days == 0 else f"in {days} day{'' if days == 1 else 's'}"


def _utc_day(instant: int) -> int:
    return datetime.fromtimestamp(instant, UTC).toordinal()


def _readings(n: int) -> str:
    return f"{n} reading{'' if n == 1 else 's'}"


def _day(ordinal: int) -> str:
    day = date.fromordinal(ordinal)
    return f"{day:%a} {day.day} {day:%b}"
