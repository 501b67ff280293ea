"""Ketones after highs in a row, and the checks of sick days at the person's own intervals."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import datetime

from app.domain.follow_ups import KETONES_HIGH, SICK_GLUCOSE, SICK_KETONES
from app.domain.written import Span
from app.review.counted import Counted
from app.review.follow_up import FollowUp, Maker, Times, value_words
from app.review.one_reading import glucose_at, wall_at
from app.statistics.follow_ups.ketones import AGAIN_SECONDS, ketones_asked
from app.statistics.schedule.walls import instant_where
from app.store.diary import Diary
from app.store.follow_ups import reading_uids

SICK = "sick"
_OVERDUE_SECONDS = 30 * 60  # a rule of this diary, for checks that come every few hours


def after_highs(
    diary: Diary, maker: Maker, counted: Counted, tested: Sequence[int]
) -> list[FollowUp]:
    """The ketone tests that highs in a row ask for; `tested` is when ketones were, sorted."""
    if not maker.is_on(KETONES_HIGH):
        return []
    rule, columns = maker.rule(KETONES_HIGH), counted.columns
    high = counted.ordered > counted.in_unit_entered(rule.high_above)
    asked = ketones_asked(columns.instant.tolist(), high.tolist(), tested, times=rule.times)
    uids = reading_uids(diary, (int(columns.id[each.high]) for each in asked))
    found = []
    for each in asked:
        glucose = glucose_at(columns, each.high)
        limit = rule.high_above.in_unit(glucose.unit)
        reading_id = int(columns.id[each.high])
        found.append(
            maker.make(
                f"ketones-high/{uids[reading_id]}",
                KETONES_HIGH,
                Times(each.at, each.at + AGAIN_SECONDS, each.until, each.answered is not None),
                reading_id=reading_id,
                was=value_words(glucose),
                at=f"{wall_at(columns, each.high, maker.ground.person.day_start):%H:%M}",
                high=f"{limit:.{glucose.unit.places}f} {glucose.unit}",
                row=rule.times,
            )
        )
    return found


def on_sick_days(maker: Maker, counted: Counted, tested: Sequence[int]) -> list[FollowUp]:
    """The next check of glucose and of ketones, while sick days go on."""
    span = sick_now(maker.ground.spans, maker.wall(maker.now).toordinal(), maker.now)
    if span is None:
        return []
    found = []
    for kind, done in (
        (SICK_GLUCOSE, counted.columns.instant.tolist()),
        (SICK_KETONES, tested),
    ):
        if maker.is_on(kind):
            found.append(_next_check(maker, span, kind, done))
    return found


def sick_now(spans: Sequence[Span], day: int, now: int) -> Span | None:
    """The sick days that a moment lies in: a date ordinal and its instant; the newest of several.

    Where it was said at what time they began or ended, that counts.
    """
    held = [
        each
        for each in spans
        if each.kind == SICK
        and each.covers(day)
        and (each.begins is None or each.begins <= now)
        and (each.ends is None or now < each.ends)
    ]
    return held[-1] if held else None


def _next_check(maker: Maker, span: Span, kind: str, done: Sequence[int]) -> FollowUp:
    since = sick_since(maker, span)
    before = bisect_right(done, maker.now)
    last = done[before - 1] if before else None
    every = maker.rule(kind).seconds
    at = since if last is None else max(since, last + every)
    said = "none written" if last is None else _when(maker, last)
    code = "glucose" if kind == SICK_GLUCOSE else "ketones"
    return maker.make(
        f"sick-{code}/{span.uid}/{last if last is not None and last >= since else 'start'}",
        kind,
        Times(at, at + _OVERDUE_SECONDS, None),
        last=said,
    )


def sick_since(maker: Maker, span: Span) -> int:
    """The instant at which sick days began: as said, else with their first day."""
    if span.begins is not None:
        return span.begins
    return instant_where(datetime.fromordinal(span.first_day), maker.ground.places)[0]


def _when(maker: Maker, instant: int) -> str:
    wall, today = maker.wall(instant), maker.wall(maker.now).date()
    return f"{wall:%H:%M}" if wall.date() == today else f"{wall:%Y-%m-%d %H:%M}"
