"""How a person wants to be reminded: quiet hours, text without values, sound."""

from __future__ import annotations

from datetime import datetime

from app.domain.follow_ups import ReminderWishes, checked_wishes
from app.domain.person import Person
from app.store.diary import Diary
from app.store.settings import REMINDERS, write_setting
from app.work.told import told

REMINDERS_SET = "reminders_set"


def set_reminders(diary: Diary, person: Person, wishes: ReminderWishes, *, now: datetime) -> str:
    """Keep how a person wants to be reminded; returns the sentence about it.

    Raises
    ------
    Refused
        The quiet hours are none. Nothing was changed.
    """
    kept = checked_wishes(wishes)
    value = {
        "quiet": list(kept.quiet) if kept.quiet else None,
        "values": kept.with_values,
        "beep": kept.beep,
        "tray": kept.tray,
    }
    with diary.change(REMINDERS_SET, {}, now=now, person=person) as change:
        write_setting(change, person, REMINDERS, value)
    return told(REMINDERS_SET, {})
