"""What is said of backups, of damage and of a file that can't be written, in this window."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication

from app.domain.clock import zone_named
from app.domain.person import Person
from app.store.backup import rows_in
from app.store.backup_facts import BackupFacts, local
from app.ui.words import count_words, date_words, day_words, minute_words, near_day_words
from app.work.backup import age_words

if TYPE_CHECKING:
    from app.work.restore import RestoreDone

OLD = timedelta(days=7)  # from then on the foot of the Now column says so: a rule of this diary


def tr(text: str) -> str:
    """Translate a text about the safety of the file."""
    return QCoreApplication.translate("Safety", text)


def foot_words(newest: BackupFacts | None, now: datetime, person: Person) -> tuple[str, bool]:
    """How old the newest checked backup is, for the foot, and whether it is too old.

    A file that is newer than now was made by a clock that was wrong: its age is not known.
    """
    if newest is None or newest.at > now:
        return age_words(newest, now), True
    today = now.astimezone(zone_named(person.zone)).date()
    day = newest.at.astimezone(zone_named(person.zone)).date()
    on = near_day_words(day, today) or date_words(day, today, person)
    if now - newest.at <= OLD:
        return tr("backup checked {day}").format(day=on), False
    days = count_words((now - newest.at).days)
    return tr("newest checked backup {days} days old ({day})").format(days=days, day=on), True


def backup_words(facts: BackupFacts, *, date_order: str = "dmy") -> str:
    """A backup by its day, time and readings: "3 May 2026 18:02, 128 readings"."""
    at = local(facts.at, facts.zone)
    when = f"{day_words(at.date(), date_order)} {minute_words(at.hour * 60 + at.minute, 24)}"
    if facts.verified_at is None:
        return when
    return f"{when}, {readings_words(facts.readings)}"


def readings_words(count: int) -> str:
    """A number of readings."""
    if count == 1:
        return tr("1 reading")
    return tr("{n} readings").format(n=count_words(count))


def damage_words(newest: BackupFacts | None, *, shown: bool) -> str:
    """What follows from damage, with the newest checked backup."""
    what = (
        tr(
            "It is shown as far as it can be read: numbers may be wrong or missing, and nothing "
            "can be changed in it. The file is left untouched."
        )
        if shown
        else tr("It can't be shown, so that no wrong number is. The file is left untouched.")
    )
    if newest is None:
        return f"{what} {tr('There is no checked backup beside it.')}"
    backup = tr("The newest checked backup is of {backup}.").format(backup=backup_words(newest))
    return f"{what} {backup}"


def read_only_words() -> str:
    """What a place that can't be written means."""
    return tr(
        "Everything is shown and nothing can be changed. To write in it, move the file to a "
        "folder where you may write, or change its permissions."
    )


def ended_words(*, crashed: bool) -> str:
    """That the last window did not end properly."""
    what = (
        tr("Thimblebook broke down last time.")
        if crashed
        else tr("Thimblebook did not end properly last time: it or the computer was stopped.")
    )
    return f"{what} {tr('What was saved is in the diary.')}"


def shrank_words(facts: BackupFacts) -> str:
    """What is said of a backup that is kept apart."""
    return tr(
        "The backup just made holds {rows} rows where the one before held {before}, so it is kept "
        "apart and the earlier ones stay. If you did not take that much away, look at Diary ▸ "
        "Backups."
    ).format(
        rows=count_words(rows_in(facts)),
        before=count_words(facts.rows_before or 0),
    )


def backed_up_words(made: BackupFacts) -> str:
    """Where a backup was put."""
    words = tr("Backed up and checked: {readings} in {file}.")
    return words.format(readings=readings_words(made.readings), file=made.path)


def sound_words(readings: int, changes: int) -> str:
    """That the whole file was looked at, and nothing is wrong with it."""
    return tr("The file is sound: {readings}, {changes} changes in the journal.").format(
        readings=readings_words(readings), changes=count_words(changes)
    )


def restored_words(done: RestoreDone) -> str:
    """What a restore did, and how it is taken back."""
    what = tr("Restored: the diary holds {readings}.").format(
        readings=readings_words(done.readings)
    )
    if done.set_aside is None:
        return what
    back = tr(
        "The diary of before is whole in {file}; to go back to it, restore it in Diary ▸ Backups."
    )
    return f"{what} {back.format(file=done.set_aside)}"


def come_words(doing: str, percent: int) -> str:
    """What is under way, and how far it has come."""
    return tr("{doing} {n} %").format(doing=doing, n=count_words(percent))


def rescue_stopped_words() -> str:
    """What is said of a rescue that was stopped."""
    return tr("The rescue was stopped. No new file was made; the diary was left untouched.")
