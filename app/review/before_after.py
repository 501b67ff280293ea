"""Before and after a change: the same slots in two windows of equal length, settling left out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person, today_of
from app.domain.written import ChangeMark
from app.review.alongside import Other, alongside
from app.review.counted import counted_of
from app.review.nights import nights_tested
from app.review.record import Record
from app.review.two_sides import SideNamed, TwoSides, two_sides
from app.store.columns import Columns
from app.store.diary import Diary
from app.store.spans import changes_between

USUAL_DAYS = 14
_FIRST_DAY, _LAST_DAY = 1, date.max.toordinal()


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """What differs after a change, on the same slots; nothing here says why.

    `days` is the length of both windows, shorter than `asked` where the change is not older ·
    `without_doubt` and `without_days` are the same without readings in doubt, and without sick and
    set-aside days; None where there are none · `others` is what else lies from the first day to
    the last.
    """

    person: Person
    unit: Unit
    change: ChangeMark
    settling_days: int
    before: Period
    after: Period
    asked: int
    mark: Mark | None
    found: TwoSides
    without_doubt: TwoSides | None
    without_days: TwoSides | None
    left_out: dict[str, int]
    others: tuple[Other, ...]

    @property
    def days(self) -> int:
        """The days of each window."""
        return self.before.days


def change_asked_for(diary: Diary, person: Person, day: date | None, *, today: date) -> ChangeMark:
    """The change of a day, or the newest one that has begun.

    Raises
    ------
    Refused
        There is none; the sentence names those that there are.
    """
    changes = changes_between(diary, person, _FIRST_DAY, _LAST_DAY)
    if not changes:
        raise Refused(
            "No change is written down yet, so there is no before and after. "
            "Write the day on which something was done differently."
        )
    if day is None:
        begun = [each for each in changes if each.day <= today.toordinal()]
        if begun:
            return begun[-1]
    for each in reversed(changes):
        if day is not None and each.day == day.toordinal():
            return each
    named = ", ".join(f"{date.fromordinal(each.day)} ({each.what})" for each in changes)
    when = f"on {day}" if day else "before today"
    raise Refused(f"No change is written down {when}. There are: {named}.")


def before_after(
    diary: Diary,
    record: Record,
    change: ChangeMark,
    *,
    now: datetime,
    days: int = USUAL_DAYS,
    settling: int | None = None,
    mark: Mark | None = None,
    minimum: bool = True,
) -> BeforeAfter:
    """Set the days before a change beside those after it.

    Parameters
    ----------
    change : ChangeMark
        From `change_asked_for`.
    days : int, default 14
        Length of both windows; shortened on both sides where the change is not as old as that.
    settling : int, optional
        Days from the change on that are left out; those written with it by default.
    mark : Mark, optional
        Look at one slot alone; else the slots that both sides have, each with the same weight.
    minimum : bool, default True
        Show a figure only from enough readings; else from the mathematical minimum on.

    Raises
    ------
    Refused
        The days after it have not come yet, or a number of days makes no sense.
    """
    person = record.person
    settling = change.settling_days if settling is None else settling
    before, after = _windows(change, days, settling, today_of(person, now))
    at = int(now.timestamp())
    sides = []
    left_out: dict[str, int] = {}
    for period in (before, after):
        counted, without = counted_of(record.between(period), person.unit, now=at)
        sides.append(counted)
        for reason, n in without.items():
            if reason != "undated":  # those lie in no window
                left_out[reason] = left_out.get(reason, 0) + n
    others = alongside(diary, person, Period(before.first, after.last), but_change=change.id)
    apart_days = [
        _on_days(side.columns, [other for other in others if other.is_apart]) for side in sides
    ]
    in_doubt = [side.columns.doubt != 0 for side in sides]
    nights = [nights_tested(record, period, now=at) for period in (before, after)]

    def compared(out: list[NDArray[np.bool_]] | None) -> TwoSides | None:
        if out is not None and not any(each.any() for each in out):
            return None
        kept = (
            sides
            if out is None
            else [side.where(~each) for side, each in zip(sides, out, strict=True)]
        )
        named = [
            SideNamed(name, side, tested, before.days)
            for name, side, tested in zip(("before", "after"), kept, nights, strict=True)
        ]
        return two_sides(named[0], named[1], mark=mark, minimum=minimum)

    found = compared(None)
    if found is None:
        raise RuntimeError("nothing was left out")
    return BeforeAfter(
        person=person,
        unit=person.unit,
        change=change,
        settling_days=settling,
        before=before,
        after=after,
        asked=days,
        mark=mark,
        found=found,
        without_doubt=compared(in_doubt),
        without_days=compared(apart_days),
        left_out=left_out,
        others=others,
    )


def _windows(change: ChangeMark, days: int, settling: int, today: date) -> tuple[Period, Period]:
    if days < 1:
        raise Refused(f"Each side has at least one day; {days} was asked for.")
    if settling < 0:
        raise Refused(f"The settling days can't be fewer than none: {settling}.")
    marked = date.fromordinal(change.day)
    first = marked + timedelta(days=settling)
    end = today if change.last_day is None else min(today, date.fromordinal(change.last_day))
    there = (end - first).days + 1
    if there < 1:
        raise Refused(
            f"The days after the change of {marked} begin on {first}, when {settling} settling "
            "days are over, and none of them is written yet. Ask again later, or name fewer "
            "settling days."
        )
    length = min(days, there, marked.toordinal() - 1)
    before = Period(marked - timedelta(days=length), marked - timedelta(days=1))
    return before, Period(first, first + timedelta(days=length - 1))


def _on_days(columns: Columns, others: list[Other]) -> NDArray[np.bool_]:
    found = np.zeros(len(columns), dtype=np.bool_)
    for other in others:
        found |= (columns.day >= other.first.toordinal()) & (columns.day <= other.last.toordinal())
    return found
