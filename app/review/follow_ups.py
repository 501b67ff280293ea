"""What follows from what was entered, all of it: after lows, after highs, on sick days, of kit."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from app.domain.cautions import caution_texts
from app.domain.follow_ups import KIT, KitDue, follow_texts
from app.review.after_highs import after_highs, on_sick_days
from app.review.after_lows import after_lows
from app.review.counted import counted_of
from app.review.follow_up import FollowUp, Maker, Times
from app.review.record import Record
from app.review.schedule import Ground
from app.statistics.schedule.settle import State
from app.statistics.schedule.walls import instant_where
from app.store.diary import Diary
from app.store.follow_ups import follow_rules_of
from app.store.happenings import ketones_between
from app.store.people import care_texts
from app.store.safety import safety_lines

# What was missed is told for a day; a spell that began before it must be seen whole.
LISTED_SECONDS = 86_400
_DAYS_BACK, _DAYS_AHEAD = 2, 2
_KIT_HOUR = 9  # what is due on a day is said in the morning: a rule of this diary


def follow_ups_of(
    diary: Diary,
    record: Record,
    ground: Ground,
    *,
    now: datetime,
    kit: Sequence[KitDue] = (),
    as_of: bool = False,
) -> tuple[FollowUp, ...]:
    """Everything that is open or to come, and what passed within the last day, by time.

    A reading that was set aside or is somebody else's asks for nothing and answers nothing.

    Parameters
    ----------
    kit : sequence of KitDue
        What is due about the kit: listed in any case, whatever is reminded of.
    as_of : bool, default False
        `now` is a time that is asked about: what was written for later was not known then. Else
        it counts, since a clock that was set back leaves what was just entered in the future.
    """
    person, at = record.person, int(now.timestamp())
    maker = Maker(ground, follow_rules_of(diary, person), care_texts(diary, person), at)
    today = maker.wall(at).toordinal()
    days = today - _DAYS_BACK, today + _DAYS_AHEAD
    known = at if as_of else at + _DAYS_AHEAD * LISTED_SECONDS
    counted, _ = counted_of(record.columns.between(*days), person.unit, now=known)
    counted = counted.where(counted.columns.instant <= known)
    tests = ketones_between(diary, person, *days)
    tested = [each.at.instant for each in tests if each.at.instant <= known]
    found = [
        *after_lows(diary, maker, counted, safety_lines(diary, person)),
        *after_highs(diary, maker, counted, tested),
        *on_sick_days(maker, counted, tested),
        *kit_dues(kit, ground, now=now),
    ]
    listed = [
        each
        for each in found
        if each.state is not State.DONE
        and not (each.until is not None and each.until < at - LISTED_SECONDS)
    ]
    return tuple(sorted(listed, key=lambda each: (each.at, each.key)))


def kit_dues(records: Sequence[KitDue], ground: Ground, *, now: datetime) -> list[FollowUp]:
    """What is due about the kit, each from the morning of its day on until it is done."""
    texts, general = follow_texts()[KIT], caution_texts()
    found = []
    for each in records:
        wall = datetime.fromordinal(each.due_day) + timedelta(hours=_KIT_HOUR)
        at, _ = instant_where(wall, ground.places)
        times = Times(at, at + LISTED_SECONDS, None)
        found.append(
            FollowUp(
                key=each.key,
                kind=KIT,
                at=at,
                wall=wall,
                over=times.over,
                until=None,
                state=times.state(int(now.timestamp())),
                title=each.title,
                says=each.says,
                care_team_line=general["care_team"].format(emergency=general["local_number"]),
                source=each.source,
                discreet=texts["discreet"],
                day=None if each.day is None else date.fromordinal(each.day),
            )
        )
    return found
