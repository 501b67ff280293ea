"""What is said of things that are due: on a row, in a notification, of what was missed."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication

from app.domain.follow_ups import KIT, LOW_CAUTION, LOW_HELP, NO_MINUTE
from app.domain.person import Person
from app.ui.reading_words import mark_name
from app.ui.words import clock_words, count_words, date_words

if TYPE_CHECKING:
    from app.review.reminders import Reminder, Reminders
    from app.statistics.schedule.remind import Missed

_SOON_MINUTES = 60


def tr(text: str) -> str:
    """Translate a text about what is due."""
    return QCoreApplication.translate("Due", text)


def due_name(reminder: Reminder) -> str:
    """What is due in a few words; of a follow-up its title, with the value in it."""
    if reminder.planned is None:
        return tr(reminder.title)
    if reminder.planned.rule is not None and reminder.planned.rule.text:
        return reminder.planned.rule.text
    mark = reminder.planned.mark
    if mark is None:
        return tr("Test")
    name = mark_name(mark)
    return name[:1].upper() + name[1:]


def plain_name(reminder: Reminder) -> str:
    """What is due in a few words that hold no value."""
    if reminder.planned is not None:
        return due_name(reminder)
    if reminder.follow_up is not None and reminder.follow_up.kind == KIT:
        return tr(reminder.title)  # what is due of the kit is no value
    name = tr(reminder.name)
    return name[:1].upper() + name[1:]


def since_words(at: int, now: int) -> str:
    """How long something has been due: "due 5 min ago", "due since 2 h 10 min"."""
    minutes = max(0, now - at) // 60
    if minutes < 1:
        return tr("due now")
    if minutes < _SOON_MINUTES:
        return tr("due {n} min ago").format(n=count_words(minutes))
    hours, rest = divmod(minutes, 60)
    if not rest:
        return tr("due {hours} h ago").format(hours=count_words(hours))
    return tr("due {hours} h {rest} min ago").format(
        hours=count_words(hours), rest=count_words(rest)
    )


def until_words(at: int, now: int) -> str:
    """How soon it is due, where that is within the hour; else nothing."""
    minutes = -(-(at - now) // 60)
    if 0 < minutes <= _SOON_MINUTES:
        return tr("in {n} min").format(n=count_words(minutes))
    return ""


def said_text(
    reminder: Reminder, person: Person, *, with_values: bool, was_due: bool, several: bool
) -> str:
    """What a notification says, in one line; without values nothing of the test either."""
    if not with_values:
        said = tr(reminder.discreet)
    elif reminder.planned is not None:
        said = tr("Test now: {test}").format(test=due_name(reminder))
    else:
        said = tr(reminder.title)
    if several:
        said = f"{person.name} · {said}"
    if was_due and not (reminder.follow_up and reminder.follow_up.kind in NO_MINUTE):
        at = clock_words(reminder.wall, person)
        said = tr("{what}. It was due at {at}.").format(what=said.removesuffix("."), at=at)
    return said


def missed_text(
    reminders: Reminders, missed: Missed, person: Person, today: date, *, several: bool
) -> str:
    """What one rule asked for on one day while nobody looked, told as past in one line."""
    these = [reminders.by_key(key) for key in missed.keys]
    first, day = these[0], date_words(date.fromordinal(missed.day), today, person)
    head = f"{person.name} · {day}" if several else day
    if first.follow_up is not None and first.follow_up.kind in (LOW_CAUTION, LOW_HELP):
        told = tr(first.title) if reminders.wishes.with_values else tr(first.discreet)
        return f"{head}: {told}"
    times = ", ".join(clock_words(each.wall, person) for each in these)
    said = (
        tr("{day}: {what} was due at {times}; nothing is written.")
        if len(these) == 1
        else tr("{day}: {what} were due at {times}; nothing is written.")
    )
    return said.format(day=head, what=plain_name(first), times=times)
