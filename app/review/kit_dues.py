"""What is due about the kit and the laboratory, as things to list and to remind of."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from app.domain.clock import diary_day
from app.domain.follow_ups import KIT, FollowRule, KitDue, follow_rule, follow_texts
from app.domain.labs import A1C
from app.domain.person import Person, today_of
from app.domain.written import Lab
from app.review.kit import kit_shown
from app.review.kit_warnings import KitWarning
from app.review.record import Record, record_of
from app.store.diary import Diary
from app.store.follow_ups import follow_rules_of
from app.store.happenings import labs_of

_STRIPS, _LAB = "strips", "lab"


def kit_dues_of(
    diary: Diary, person: Person, *, now: datetime, record: Record | None = None
) -> tuple[KitDue, ...]:
    """Everything that is due about a person's kit, and a laboratory value that is.

    Parameters
    ----------
    now : datetime
        The aware time.
    record : Record, optional
        The whole record, where it is at hand: strips are counted from all readings.
    """
    shown = kit_shown(diary, record or record_of(diary, person), now=now)
    rule = follow_rule(follow_rules_of(diary, person), KIT)
    labs = labs_of(diary, person)
    known = [each for each in labs if each.at.instant <= int(now.timestamp())]
    return (
        *(_warned(each) for each in shown.warnings),
        *lab_due(known, rule, person, today=today_of(person, now).toordinal()),
    )


def lab_due(
    labs: Sequence[Lab], rule: FollowRule, person: Person, *, today: int
) -> tuple[KitDue, ...]:
    """Another A1C of the laboratory, so many days after the last one; none before the first.

    Parameters
    ----------
    labs : sequence of Lab
        The oldest first.
    today : int
        The diary day that it is (a date ordinal).
    """
    days = [diary_day(each.at, person.day_start) for each in labs if each.kind == A1C]
    if not days or not rule.lab_days or today < days[-1] + rule.lab_days:
        return ()
    last = days[-1]
    return (
        KitDue(
            key=f"kit/{_LAB}/{date.fromordinal(last)}",
            title="A1C of the laboratory due",
            due_day=last + rule.lab_days,
            source=_source(_LAB),
            says=(f"The last one is of {date.fromordinal(last)}, {today - last} days ago.",),
        ),
    )


def _warned(warning: KitWarning) -> KitDue:
    key = f"kit/{warning.code}/{warning.about}"
    if warning.code != _STRIPS:  # its day moves with every test
        key += f"/{date.fromordinal(warning.since)}"
    return KitDue(
        key=key,
        title=warning.what,
        due_day=warning.since,
        source=_source(warning.code),
        says=(f"{warning.more[:1].upper()}{warning.more[1:]}.",) if warning.more else (),
        day=None if warning.now else warning.day,
    )


def _source(code: str) -> str:
    return str(follow_texts()[KIT]["sources"][code])
