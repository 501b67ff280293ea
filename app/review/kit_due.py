"""What is due about the kit and of laboratory values, for the Now column, reminders and `due`."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from app.domain.follow_ups import KitDue, follow_texts
from app.domain.labs import A1C
from app.domain.person import today_of
from app.review.kit import kit_shown
from app.review.kit_warnings import KitWarning
from app.review.record import Record
from app.store.diary import Diary
from app.store.happenings import labs_of

_URGENT = ("lapsed", "failed")
# What another is due after: twice a year is the least that guidelines print.
LAB_DAYS = 183
_LAB = "lab"


def kit_dues_of(diary: Diary, record: Record, *, now: datetime) -> tuple[KitDue, ...]:
    """Everything about the kit that is due or to come within a week, and a laboratory's A1C.

    Control tests, vials, solution, batteries and strips are told as the Kit page tells them, each
    with where its date comes from. An A1C is due only where one was ever written.

    Parameters
    ----------
    record : Record
        The whole record: strips are counted from all readings since a vial was opened.
    now : datetime
        The aware time.
    """
    shown = kit_shown(diary, record, now=now)
    found = [_due(each) for each in shown.warnings]
    return (*found, *_lab(diary, record, now))


def _due(warning: KitWarning) -> KitDue:
    """A warning of the kit as something that is due from its day on."""
    title = warning.what
    if not warning.now:  # the day that it is about belongs to it
        title = f"{title} {_day(warning.day)}"
    return KitDue(
        key=f"kit/{warning.key}",
        title=title,
        due_day=warning.since,
        source=_sources()[warning.code],
        says=(f"{warning.more[:1].upper()}{warning.more[1:]}.",),
        urgent=warning.code in _URGENT,
    )


def _lab(diary: Diary, record: Record, now: datetime) -> Iterator[KitDue]:
    at = int(now.timestamp())
    last = [
        each for each in labs_of(diary, record.person) if each.kind == A1C and each.at.instant <= at
    ][-1:]
    for each in last:
        due = each.at.day + LAB_DAYS
        if due <= today_of(record.person, now).toordinal():
            yield KitDue(
                key=f"kit/{_LAB}/{each.uid}",
                title=f"A1C from the laboratory: the last is of {_day(each.at.day, year=True)}",
                due_day=due,
                source=_sources()[_LAB],
                says=("How often it is taken is for your care team to say.",),
            )


def _sources() -> dict[str, str]:
    found: dict[str, str] = follow_texts()["kit"]["sources"]
    return found


def _day(ordinal: int, *, year: bool = False) -> str:
    day = date.fromordinal(ordinal)
    return f"{day.day} {day:%b} {day.year}" if year else f"{day:%a} {day.day} {day:%b}"
