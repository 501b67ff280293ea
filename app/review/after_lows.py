"""What a low asks for: its caution once, rechecks until one is not low, a later check, help."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from app.domain.cautions import caution_for, own_plan
from app.domain.follow_ups import LOW_AGAIN, LOW_CAUTION, LOW_HELP, LOW_LATER, LOW_RECHECK
from app.domain.levels import LOW_BELOW
from app.domain.safety import SafetyLine, cautious_low, line_on
from app.review.counted import Counted
from app.review.follow_up import FollowUp, Maker, Times, value_words
from app.review.low_spells import below_line
from app.review.one_reading import glucose_at, wall_at
from app.statistics.follow_ups.rechecks import Recheck, rechecks_of
from app.statistics.spells import CHAIN_SECONDS
from app.store.diary import Diary
from app.store.follow_ups import reading_uids

_WITH_PLAN = (LOW_RECHECK, LOW_AGAIN)  # what the family wrote down for a low, as typed


def after_lows(
    diary: Diary, maker: Maker, counted: Counted, lines: Sequence[SafetyLine]
) -> list[FollowUp]:
    """Every follow-up of the lows among readings, done or not.

    A low is what lies below the usual line or the person's own, whichever is higher. Its caution
    and the words to get help can't be switched off.
    """
    low = below_line(counted, lines) | (counted.ordered < counted.in_unit_entered(LOW_BELOW))
    asked = rechecks_of(
        counted.columns.instant.tolist(),
        low.tolist(),
        wait_s=maker.rule(LOW_RECHECK).seconds,
        later_s=maker.rule(LOW_LATER).seconds,
    )
    ids = counted.columns.id
    uids = reading_uids(diary, (int(ids[at]) for each in asked for at in (each.first, each.low)))
    found: list[FollowUp] = []
    for each in asked:
        line = line_on(lines, int(counted.columns.day[each.low]))
        uid = uids[int(ids[each.low])]
        if each.is_later:
            if maker.is_on(LOW_LATER):
                key = f"low-later/{uids[int(ids[each.first])]}"
                found.append(_recheck(maker, counted, each, line, LOW_LATER, key))
            continue
        if each.still_low == 0:
            found.append(_caution(maker, counted, each, line, f"low-caution/{uid}"))
        if each.still_low > 1:
            found.append(_recheck(maker, counted, each, line, LOW_HELP, f"low-help/{uid}"))
        if maker.is_on(LOW_RECHECK):
            kind = LOW_RECHECK if each.still_low == 0 else LOW_AGAIN
            found.append(_recheck(maker, counted, each, line, kind, f"low-recheck/{uid}"))
    return found


def _caution(maker: Maker, counted: Counted, each: Recheck, line: SafetyLine, key: str) -> FollowUp:
    """The first aid that belongs to a low: due at once, asked for as long as its spell can last."""
    glucose = glucose_at(counted.columns, each.low)
    at = int(counted.columns.instant[each.low])
    caution = caution_for(glucose, care=maker.care, line=line)
    return maker.make(
        key,
        LOW_CAUTION,
        Times(at, at + CHAIN_SECONDS, at + CHAIN_SECONDS),
        reading_id=int(counted.columns.id[each.low]),
        says=caution.says if caution else (),
        was=value_words(glucose),
        at=f"{_wall(maker, counted, each.low):%H:%M}",
    )


def _recheck(
    maker: Maker, counted: Counted, each: Recheck, line: SafetyLine, kind: str, key: str
) -> FollowUp:
    glucose = glucose_at(counted.columns, each.low)
    times = Times(each.at, each.over, each.until, done=each.answered is not None)
    if kind == LOW_HELP:  # said at once, not only when the next recheck is due
        at = int(counted.columns.instant[each.low])
        times = Times(at, at, each.until, done=times.done)
    below = cautious_low(line).in_unit(glucose.unit)
    own = own_plan(maker.care) if kind in _WITH_PLAN else ()
    return maker.make(
        key,
        kind,
        times,
        reading_id=int(counted.columns.id[each.low]),
        urgent=kind == LOW_HELP,
        first=own,
        was=value_words(glucose),
        at=f"{_wall(maker, counted, each.low):%H:%M}",
        low=f"{below:.{glucose.unit.places}f} {glucose.unit}",
        minutes=maker.rule(LOW_RECHECK).seconds // 60,
        rechecks=each.still_low,
    )


def _wall(maker: Maker, counted: Counted, place: int) -> datetime:
    return wall_at(counted.columns, place, maker.ground.person.day_start)
