"""From the times and dates in a line to one moment, or to the question that stands before it.

A time alone is on today's diary date, never silently on yesterday's: one that has not come yet is
asked about. A date alone is asked about too, and so is a time that the clocks skip or repeat.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta

from app.domain.clock import Moment, moment_at, moment_now, offsets_of, zone_named
from app.domain.entry.clocks import Clock, Day, When
from app.domain.entry.records import EntryContext
from app.domain.errors import Question, Refused

FUTURE_AFTER_S = 600  # ten minutes: two clocks in one house may differ by that much
DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTH_NAMES = (
    *("Jan", "Feb", "Mar", "Apr", "May", "Jun"),
    *("Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
)


@dataclass(frozen=True, slots=True)
class Timed:
    """The moment where it is settled, what is asked or wrong, and the hour that marks go by."""

    moment: Moment | None
    question: Question | None = None
    problem: str | None = None
    means: str = ""


def settle(when: When, context: EntryContext, *, sure: bool) -> Timed:
    """Settle one understood time; `sure` answers the question about the future, no other."""
    local = context.now.astimezone(zone_named(context.zone)).replace(tzinfo=None)
    try:
        if when.ago_min is not None:
            if when.day is not None or when.clock is not None:
                return Timed(None, problem="The time is said twice; keep one of the two.")
            # In UTC: the difference of two aware times of one zone is one of clock faces.
            then = context.now.astimezone(UTC) - timedelta(minutes=when.ago_min)
            moment = moment_now(then, context.zone)
            return Timed(moment, means=moment_words(moment.local, local.date()))
        if when.clock is None:
            return _without_clock(when.day, context, local.date())
        return _at_clock(when.clock, when.day, context, local, sure=sure)
    except (Refused, OverflowError) as problem:
        return Timed(None, problem=str(problem) or "That day is not in the calendar.")


def day_words(day: date, today: date) -> str:
    """A day in plain words: "today, Thu 12 Mar"."""
    name = f"{DAY_NAMES[day.weekday()]} {day.day} {MONTH_NAMES[day.month - 1]}"
    near = {0: "today, ", -1: "yesterday, ", 1: "tomorrow, "}.get((day - today).days, "")
    return near + name + ("" if day.year == today.year else f" {day.year}")


def moment_words(wall: datetime, today: date) -> str:
    """A wall time in plain words: "today, Thu 12 Mar, 06:50"."""
    return f"{day_words(wall.date(), today)}, {wall:%H:%M}"


def _without_clock(day: Day | None, context: EntryContext, today: date) -> Timed:
    if day is None:
        moment = moment_now(context.now, context.zone)
        return Timed(moment, means=moment_words(moment.local, today))
    on = _date_of(day, None, today, None)
    if on is None:
        return Timed(None, problem="That day is not in the calendar.")
    if day.ahead == 0 and day.hours is None:
        moment = moment_now(context.now, context.zone)
        return Timed(moment, means=day_words(on, today))
    asks = (
        f"The line says {day_words(on, today)}, but no time of day. "
        f'Type the time as well, for instance "{on} 22:10".'
    )
    return Timed(None, Question("time", asks), means=day_words(on, today))


def _at_clock(
    clock: Clock, day: Day | None, context: EntryContext, local: datetime, *, sure: bool
) -> Timed:
    options = _options(clock, day, context, local)
    if not options:
        problem = "That day and that time of day don't go together."
        return Timed(None, problem=problem)
    if len(options) > 1:
        past = [one for one in options if one <= local + timedelta(seconds=FUTURE_AFTER_S)]
        options = past or options[:1]
    if len(options) > 1:
        words = [moment_words(one, local.date()) for one in options]
        asks = f"Which time is meant: {' or '.join(words)}?"
        return Timed(None, Question("half_day", asks, tuple(_answers(options, day))))
    wall = options[0]
    means = moment_words(wall, local.date())
    offsets = offsets_of(wall, context.zone)
    if clock.offset_min is not None:
        if clock.offset_min not in offsets:
            return Timed(None, problem=_no_such_offset(clock.offset_min, wall, context.zone))
        offsets = (clock.offset_min,)
    if len(offsets) != 1:
        return Timed(None, _changing_clocks(wall, offsets, day, context.zone), means=means)
    moment = moment_at(wall, context.zone, offsets[0])
    if moment.instant > context.now.timestamp() + FUTURE_AFTER_S and not sure:
        return Timed(None, _future(wall, clock, day, local), means=means)
    return Timed(moment, means=means)


def _options(
    clock: Clock, day: Day | None, context: EntryContext, local: datetime
) -> list[datetime]:
    """The wall times that a clock time can mean on its day; most have one."""
    hours = [clock.hour, (clock.hour + 12) % 24] if clock.either_half else [clock.hour]
    if clock.either_end and day is not None:
        hours = [0, 24]
    found = []
    for hour in hours:
        at = time(hour % 24, clock.minute, clock.second)
        on = _day_of(day, at, context, local, is_end=hour == 24)
        if on is not None:
            found.append(datetime.combine(on, at) + timedelta(days=hour // 24))
    return sorted(set(found))


def _day_of(
    day: Day | None, at: time, context: EntryContext, local: datetime, *, is_end: bool
) -> date | None:
    if day is not None:
        return _date_of(day, at, local.date(), local.time())
    # A diary day may start at 4: what is typed at 01:30 belongs to the evening before.
    diary_date = local.date() - timedelta(days=local.hour < context.day_start)
    return diary_date + timedelta(days=at.hour < context.day_start and not is_end)


def _date_of(day: Day, at: time | None, today: date, now: time | None) -> date | None:
    if day.on is not None:
        return day.on
    if day.weekday is not None:
        back = (today.weekday() - day.weekday) % 7
        later = at is not None and now is not None and at > now
        if back == 0 and (day.before_today or later):
            back = 7
        return _before(today, back)
    on = _before(today, -(day.ahead or 0))
    if on is None or day.hours is None or at is None:
        return on
    first, last = day.hours
    if first <= at.hour <= last:
        return on
    return on + timedelta(days=1) if first <= at.hour + 24 <= last else None


def _answers(options: list[datetime], day: Day | None) -> list[str]:
    return [f"{one:%H:%M}" if day is None else f"{one:%Y-%m-%d %H:%M}" for one in options]


def _changing_clocks(
    wall: datetime, offsets: tuple[int, ...], day: Day | None, zone: str
) -> Question:
    """Ask which of two, or say that the clocks skipped it; each answer is a time that existed."""
    lead = "" if day is None else "%Y-%m-%d "
    if offsets:
        said = [f"{wall.strftime(lead + '%H:%M')}{_offset_text(offset)}" for offset in offsets]
        asks = (
            f"The clocks went back in {zone}, so {wall:%H:%M} came twice on {wall:%Y-%m-%d}. "
            f"Which one: {said[0]} (the first) or {said[1]} (the second)?"
        )
        return Question("overlap", asks, tuple(said))
    said = []
    for fold in (0, 1):
        aware = wall.replace(tzinfo=zone_named(zone), fold=fold)
        real = moment_now(datetime.fromtimestamp(aware.timestamp(), aware.tzinfo), zone)
        same_day = real.local.date() == wall.date()
        stamp = real.local.strftime((lead if same_day else "%Y-%m-%d ") + "%H:%M")
        said.append(stamp + _offset_text(real.offset_min))
    asks = (
        f"The clocks went forward in {zone}, so {wall:%H:%M} did not exist on {wall:%Y-%m-%d}. "
        f"Which time was it: {said[0]} (by a clock not yet put forward) "
        f"or {said[1]} (by a clock put forward too soon)?"
    )
    return Question("gap", asks, tuple(said))


def _future(wall: datetime, clock: Clock, day: Day | None, local: datetime) -> Question:
    shown = f"{clock.hour:02d}:{clock.minute:02d}"
    asks = f"{moment_words(wall, local.date())} has not come yet."
    if day is not None:
        return Question("future", f"{asks} Say --sure to keep it as typed.", ("--sure",))
    asks = f'{asks} Was it yesterday? Then type "yesterday {shown}"; --sure keeps it as typed.'
    return Question("future", asks, (f"yesterday {shown}", "--sure"))


def _no_such_offset(offset_min: int, wall: datetime, zone: str) -> str:
    allowed = " or ".join(_offset_text(offset) for offset in offsets_of(wall, zone))
    said = f"{_offset_text(offset_min)} is not in force in {zone} at {wall:%Y-%m-%d %H:%M}"
    return f"{said}; there it is {allowed}." if allowed else f"{said}: the clocks skip that time."


def _offset_text(offset_min: int) -> str:
    hours, minutes = divmod(abs(offset_min), 60)
    return f"{'-' if offset_min < 0 else '+'}{hours:02d}:{minutes:02d}"


def joined(parts: list[When]) -> When:
    """One time from a day and a clock that were typed apart."""
    found = When()
    for part in parts:
        found = replace(
            found,
            day=part.day or found.day,
            clock=part.clock or found.clock,
            ago_min=found.ago_min if part.ago_min is None else part.ago_min,
        )
    return found


def _before(day: date, days: int) -> date | None:
    """The day so many days earlier, None where the calendar ends."""
    try:
        return day - timedelta(days=days)
    except OverflowError:
        return None
