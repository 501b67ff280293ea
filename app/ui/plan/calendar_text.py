"""The plan of a person as the text of a calendar file, and how many planned tests it holds."""

from __future__ import annotations

from datetime import UTC, datetime

from app.domain.person import Person
from app.exchange.icalendar_out import plan_as_ics
from app.review.plan import today_there
from app.review.plan_calendar import calendar_of
from app.review.schedule import ground_of
from app.store.diary import Diary
from app.ui.plan.words import tr


def calendar_text(
    diary: Diary, person: Person, now: datetime, *, quiet: bool, zoned: bool
) -> tuple[int, str]:
    """The number of planned tests, and the text of the file.

    Parameters
    ----------
    quiet : bool
        Say "reminder" alone, nothing of tests or of whom.
    zoned : bool
        By the clocks of the person's zone; else by those of wherever the telephone is.
    """
    ground = ground_of(diary, person)
    tests = calendar_of(diary, ground, from_day=today_there(ground, now))
    text = plan_as_ics(
        tests,
        name=tr("Reminders") if quiet else person.name,
        stamp=now.astimezone(UTC),
        summary=tr("Reminder") if quiet else None,
        zone=person.zone if zoned else None,
    )
    return len(tests), text
