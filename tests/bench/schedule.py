"""What is planned: ten years of ten tests a day, the next wake-up, and the planning of one day.

The floor of each is measured in the same run: python-dateutil's bare expansion of the same rules,
and for one day that of 3,653 occurrences, which takes about ten milliseconds.
"""

from __future__ import annotations

import sys
from datetime import date, datetime
from zoneinfo import ZoneInfo

from dateutil.rrule import rrulestr

from app.statistics.schedule.expand import occurrences_of
from app.statistics.schedule.rule import Rule
from app.statistics.schedule.settle import Settled, State, settle
from app.statistics.schedule.wake import next_wake_up
from tests.bench.measure import alternated, report

FIRST, LAST = date(2016, 1, 1), date(2025, 12, 31)
LISBON = ZoneInfo("Europe/Lisbon")
PLACES = [(0, LISBON)]
HOURS = (7, 9, 11, 12, 14, 16, 18, 20, 22, 3)
DAYS = LAST.toordinal() - FIRST.toordinal() + 1
NO_MARK = 14


def main() -> int:
    """Check that every test is settled, then measure."""
    rules = [
        Rule(
            number,
            datetime.combine(FIRST, datetime.min.time()).replace(hour=hour),
            "FREQ=DAILY",
            label=number,
            group=1,
            agrees=frozenset({number, NO_MARK}),
            before_min=45,
            after_min=45,
        )
        for number, hour in enumerate(HOURS)
    ]
    first, last = FIRST.toordinal(), LAST.toordinal()
    planned = occurrences_of(rules, first, last, places=PLACES)
    # A reading for nine in ten, a quarter of an hour after its time, every third without a mark.
    done = [each for place, each in enumerate(planned) if place % 10]
    instants = [each.instant + 900 for each in done]
    marks = [each.rule.key if place % 3 else NO_MARK for place, each in enumerate(done)]
    now = planned[-1].late_until + 1
    _check(settle(planned, instants, marks, now=now), len(done))
    today = settle(
        occurrences_of(rules, last, last, places=PLACES), [], [], now=planned[-5].instant
    )
    found = alternated(
        {
            "floor": lambda: _bare(rules),
            "whole": lambda: settle(
                occurrences_of(rules, first, last, places=PLACES), instants, marks, now=now
            ),
            "one rule": lambda: _bare(rules[:1]),
            "a day": lambda: settle(
                occurrences_of(rules, last, last, places=PLACES),
                instants[-10:],
                marks[-10:],
                now=now,
            ),
            "wake-up": lambda: next_wake_up(today, now=planned[-5].instant),
        }
    )
    return not all(
        [
            report("10 years, 10 tests a day", found["whole"], found["floor"], 10),
            # At most 100 ms and 1 ms where the floor takes ten.
            report("planning a day for 10 rules", found["a day"], found["one rule"], 10),
            report("the next wake-up", found["wake-up"], found["one rule"], 0.1),
        ]
    )


def _bare(rules: list[Rule]) -> int:
    begin = datetime.combine(FIRST, datetime.min.time())
    end = datetime.combine(LAST, datetime.max.time())
    return sum(
        len(rrulestr(rule.recurs or "", dtstart=rule.start).between(begin, end, inc=True))
        for rule in rules
    )


def _check(settled: tuple[Settled, ...], done: int) -> None:
    states = [each.state for each in settled]
    assert len(states) == DAYS * len(HOURS), len(states)
    assert states.count(State.DONE) == done, states.count(State.DONE)
    assert states.count(State.MISSED) == len(states) - done


if __name__ == "__main__":
    sys.exit(main())
