"""What to remind of now, what was missed while nobody looked, and when to look again.

Looked at on every tick, at most 30 seconds apart, with both clocks: the wall clock, which people
and networks set, and the running one, which only goes forward but may stand still while a computer
sleeps. Everything is in instants, so a change of zone or of summer time moves nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

TICK_SECONDS = 30
# A step between the clocks beyond this was a sleep, or somebody set one of them.
JUMP_SECONDS = 5
# Told as having been due before, not as just now: two ticks and some room.
BEFORE_SECONDS = 90
# What was missed is told for the last day (a rule of this diary): no storm after a holiday.
TOLD_SECONDS = 86_400


@dataclass(frozen=True, slots=True)
class Due:
    """Something that can be due, in instants (UTC seconds).

    `key` names it for good · `rule` is what it comes from, `day` the date ordinal of its wall time:
    of what was missed there is one line for each pair · `at` when it is due, `over` from when it is
    overdue, `until` the last instant at which it is still asked for, None for always · `shown` it
    was said before this program began · `snoozed_to` it is said again then · `closed` it is done or
    was put away · `pierces` quiet hours do not silence it · `timer` it counts from something that
    was just entered, so that it also comes by the running clock.
    """

    key: str
    rule: str
    day: int
    at: int
    over: int
    until: int | None = None
    shown: bool = False
    snoozed_to: int | None = None
    closed: bool = False
    pierces: bool = False
    timer: bool = False

    @property
    def said_as(self) -> tuple[str, int | None]:
        """What is said once: a snooze makes it another reminder."""
        return self.key, self.snoozed_to


@dataclass(frozen=True, slots=True)
class Clocks:
    """Both clocks at one moment, in seconds: the wall clock as UTC, and the running one."""

    wall: int
    running: float


@dataclass(frozen=True, slots=True)
class Memory:
    """What one look leaves to the next; made new when the program starts."""

    clocks: Clocks | None = None
    said: frozenset[tuple[str, int | None]] = frozenset()
    missed: frozenset[str] = frozenset()
    timers: Mapping[tuple[str, int | None], float] = field(
        default_factory=lambda: MappingProxyType({})
    )


@dataclass(frozen=True, slots=True)
class Say:
    """A reminder to say now; `was_due` that it should have been said before, at its time."""

    due: Due
    was_due: bool


@dataclass(frozen=True, slots=True)
class Missed:
    """What one rule asked for on one day while nobody looked: told as past, on one line."""

    rule: str
    day: int
    keys: tuple[str, ...]
    at: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """What one look found.

    `say` is new now · `missed` is new and past · `due` all that is due, those silenced by quiet
    hours too, by time · `overdue` their keys where it is late · `jumped` the wall clock was set or
    the computer slept: plan anew · `wake_up` the next instant at which something changes · `wait_s`
    seconds to the next look, never more than a tick.
    """

    say: tuple[Say, ...]
    missed: tuple[Missed, ...]
    due: tuple[Due, ...]
    overdue: frozenset[str]
    jumped: bool
    wake_up: int | None
    wait_s: float
    memory: Memory


def never(_instant: int) -> bool:
    """Quiet at no time."""
    return False


def look(
    dues: Sequence[Due],
    clocks: Clocks,
    memory: Memory | None = None,
    *,
    is_quiet: Callable[[int], bool] = never,
) -> Look:
    """Look what is due by both clocks; the same reminder is never said twice.

    Parameters
    ----------
    dues : sequence of Due
        Everything of about the last day and the next, each key once.
    memory : Memory, optional
        What the look before left; none at the start of the program.
    is_quiet : callable
        Whether an instant lies in the quiet hours: what is due then is listed and not said, and
        said after them where it is still asked for.
    """
    memory = memory or Memory()
    jumped = _jumped(memory.clocks, clocks)
    timers = _timers(dues, clocks, memory.timers)
    quiet = is_quiet(clocks.wall)
    say: list[Say] = []
    past: list[Due] = []
    now_due: list[Due] = []
    wake: list[int] = []
    said, told = set(memory.said), set(memory.missed)
    for each in sorted(dues, key=lambda due: (due.at, due.key)):
        if each.closed:
            continue
        ready = clocks.wall >= _ready_at(each) or clocks.running >= timers.get(
            each.said_as, float("inf")
        )
        wake += [at for at in _turns(each) if at > clocks.wall]
        known = each.said_as in said or (each.shown and each.key not in told)
        if each.until is not None and clocks.wall > each.until:
            if not known and each.key not in told and each.at >= clocks.wall - TOLD_SECONDS:
                past.append(each)
                told.add(each.key)
            continue
        if not ready:
            continue
        now_due.append(each)
        if not known and (each.pierces or not quiet):
            say.append(Say(each, clocks.wall - _ready_at(each) > BEFORE_SECONDS))
            said.add(each.said_as)
    wake_up = min(wake, default=None)
    wait = TICK_SECONDS if wake_up is None else min(TICK_SECONDS, wake_up - clocks.wall)
    return Look(
        say=tuple(say),
        missed=_lines(past),
        due=tuple(now_due),
        overdue=frozenset(each.key for each in now_due if clocks.wall >= each.over),
        jumped=jumped,
        wake_up=wake_up,
        wait_s=float(wait),
        memory=replace(
            memory,
            clocks=clocks,
            said=frozenset(said),
            missed=frozenset(told),
            timers=MappingProxyType(timers),
        ),
    )


def _jumped(before: Clocks | None, now: Clocks) -> bool:
    if before is None:
        return False
    return abs((now.wall - before.wall) - (now.running - before.running)) > JUMP_SECONDS


def _ready_at(due: Due) -> int:
    return due.at if due.snoozed_to is None else due.snoozed_to


def _turns(due: Due) -> tuple[int, ...]:
    """The instants at which it changes by time alone."""
    until = () if due.until is None else (due.until + 1,)
    return (_ready_at(due), due.over, *until)


def _timers(
    dues: Sequence[Due], clocks: Clocks, held: Mapping[tuple[str, int | None], float]
) -> dict[tuple[str, int | None], float]:
    """By the running clock when each timer and snooze ends: set where it is first seen to run."""
    found = {}
    for each in dues:
        if each.closed or not (each.timer or each.snoozed_to is not None):
            continue
        left = _ready_at(each) - clocks.wall
        if each.said_as in held:
            found[each.said_as] = held[each.said_as]
        elif left > 0:
            found[each.said_as] = clocks.running + left
    return found


def _lines(past: Sequence[Due]) -> tuple[Missed, ...]:
    by_line: dict[tuple[str, int], list[Due]] = {}
    for each in past:
        by_line.setdefault((each.rule, each.day), []).append(each)
    return tuple(
        Missed(rule, day, tuple(each.key for each in dues), tuple(each.at for each in dues))
        for (rule, day), dues in by_line.items()
    )
