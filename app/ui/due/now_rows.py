"""What is due as the rows of the Now column: due and to come, followed up, and the kit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from app.domain.follow_ups import KETONES_HIGH, KIT, LOW_CAUTION, LOW_HELP
from app.statistics.schedule.settle import State
from app.ui.due.rows import Row
from app.ui.due.watched import Watched
from app.ui.due.words import due_name, plain_name, since_words, tr, until_words
from app.ui.words import clock_words, date_words, joined

if TYPE_CHECKING:
    from app.review.reminders import Reminder

AHEAD_SECONDS = 12 * 3600  # what is to come is listed so far ahead: a rule of this diary
_FOLLOWED = (KETONES_HIGH, LOW_CAUTION, LOW_HELP)


@dataclass(frozen=True, slots=True)
class About:
    """What a row of the Now column stands for."""

    watched: Watched
    reminder: Reminder
    is_due: bool


@dataclass(frozen=True, slots=True)
class NowRows:
    """The rows of the three sections."""

    due: tuple[Row, ...]
    follow_up: tuple[Row, ...]
    kit: tuple[Row, ...]

    def without(self, row: Row) -> NowRows:
        """The same with one row less: it stands somewhere else."""
        parts = (self.due, self.follow_up, self.kit)
        return NowRows(*(tuple(one for one in part if one.key != row.key) for part in parts))


def now_rows(everybody: Sequence[Watched], zone: str) -> NowRows:
    """The rows for everybody, by time; with names where more than one person has any.

    Each time is by the clocks of whom it is about: where those are not in `zone`, theirs is named.
    """
    found = [
        (_at(reminder), _about(watched, reminder))
        for watched in everybody
        for reminder in (*watched.due(), *watched.to_come(until=watched.now + AHEAD_SECONDS))
        if _is_open(reminder)
    ]
    found += [
        (_at(reminder), _about(watched, reminder))
        for watched in everybody
        for reminder in watched.reminders.items
        if _is_past_follow_up(reminder)
    ]
    found.sort(key=lambda pair: (not pair[1].is_due, pair[0], pair[1].reminder.due.key))
    several = len({about.watched.person.uid for _, about in found}) > 1
    rows: dict[str, list[Row]] = {"due": [], "follow_up": [], "kit": []}
    for _, about in found:
        rows[_section(about)].append(_row(about, zone, several=several))
    return NowRows(tuple(rows["due"]), tuple(rows["follow_up"]), tuple(rows["kit"]))


def _about(watched: Watched, reminder: Reminder) -> About:
    is_due = any(each.key == reminder.due.key for each in watched.look.due)
    return About(watched, reminder, is_due)


def _is_open(reminder: Reminder) -> bool:
    """A caution that was shown asks for nothing more."""
    followed = reminder.follow_up
    return not (followed is not None and followed.kind == LOW_CAUTION and reminder.due.shown)


def _is_past_follow_up(reminder: Reminder) -> bool:
    followed = reminder.follow_up
    return (
        followed is not None
        and followed.state is State.MISSED
        and followed.kind != LOW_CAUTION
        and not reminder.due.closed
    )


def _section(about: About) -> str:
    followed = about.reminder.follow_up
    if followed is None:
        return "due"
    if followed.kind == KIT:
        return "kit"
    if followed.state is State.MISSED or (followed.kind in _FOLLOWED and not followed.urgent):
        return "follow_up"
    return "due"


def _row(about: About, zone: str, *, several: bool) -> Row:
    watched, reminder, now = about.watched, about.reminder, about.watched.now
    person, at = watched.person, _at(about.reminder)
    today = watched.today
    wall = _wall(about)
    followed = reminder.follow_up
    past = followed is not None and followed.state is State.MISSED
    when = clock_words(wall, person)
    is_kit = followed is not None and followed.kind == KIT
    if past:
        when = date_words(wall.date(), today, person) if wall.date() != today else when
    elif is_kit:
        when = tr("now") if about.is_due else date_words(wall.date(), today, person)
    shown_once = followed is not None and followed.kind == LOW_CAUTION
    title = due_name(reminder) if about.is_due and not shown_once else plain_name(reminder)
    if past:
        note = tr("nothing is written")
    elif is_kit and followed is not None and about.is_due:
        note = tr(followed.says[0]).removesuffix(".") if followed.says else ""
    elif shown_once:
        note = tr("to be read once")
    elif about.is_due:
        note = since_words(at, now)
    elif wall.date() > today:
        note = joined((tr("tomorrow"), until_words(at, now)))
    else:
        note = until_words(at, now)
    if reminder.due.snoozed_to is not None and not about.is_due:
        note = joined((tr("comes again"), note))
    place = ""
    if person.zone != zone and not is_kit:  # of the kit nothing is due to the minute
        place = person.zone.rpartition("/")[2].replace("_", " ")
        note = joined((note, place))
    return Row(
        key=f"{person.uid}/{reminder.due.key}",
        when=when,
        title=f"{person.name} · {title}" if several else title,
        note=note,
        short=place,
        late=about.is_due and not past and _section(about) == "due",
        about=about,
    )


def _at(reminder: Reminder) -> int:
    return reminder.due.snoozed_to or reminder.due.at


def _wall(about: About) -> datetime:
    """When it is due by the clocks of the place, naive; a snoozed one when it comes again."""
    snoozed, reminder = about.reminder.due.snoozed_to, about.reminder
    if snoozed is None:
        return reminder.wall
    return reminder.wall + timedelta(seconds=snoozed - reminder.due.at)
