"""What the Now column alone says: what was saved, long names by their ends, no mark yet."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication

from app.domain.clock import zone_named
from app.domain.marks import Mark
from app.domain.person import Person
from app.ui.controls.wrapping import unbroken
from app.ui.reading_words import mark_words
from app.ui.words import clock_words, short_moment_words, value_words

if TYPE_CHECKING:
    from app.ui.now.saving import Saved
    from app.work.enter import Entered

ZERO = "\u200b"  # a blank of no width: a line may end there
_END = 11  # letters kept at each end of a long name


def tr(text: str) -> str:
    """Translate a text of the Now column."""
    return QCoreApplication.translate("Now", text)


def saved_words(entered: Entered, person: Person, now: datetime, *, several: bool) -> str:
    """What was saved, and when it was; whose it is where there are several people."""
    moment = entered.entry.moment
    if moment is None:
        raise RuntimeError("what was saved has a time")
    wall, today = moment.local, now.date()
    when = (
        clock_words(wall, person)
        if wall.date() == today
        else short_moment_words(wall, today, person)
    )
    value = value_words(entered.glucose)
    if not several:
        return unbroken(tr("{value} saved, {time}").format(value=value, time=when))
    said = tr("{value} saved for {name}, {time}").format(
        value=value, name=short_name(person.name), time=when
    )
    return unbroken(said)


def recheck_time(saved: Saved) -> str:
    """When a recheck is offered that nobody is reminded of; empty where none is offered."""
    if saved.recheck_at is None:
        return ""
    at = datetime.fromtimestamp(saved.recheck_at, zone_named(saved.person.zone))
    return clock_words(at, saved.person)


def short_name(name: str) -> str:
    """A long name by its two ends, where names that are nearly the same differ; it may be broken.

    >>> short_name("Tilde"), short_name("Tilde Marjolein Wilhelmina de Brito").replace(ZERO, "")
    ('Tilde', 'Tilde Marjo…na de Brito')
    """
    if len(name) <= 2 * _END:
        return name
    return f"{name[:_END]}…{ZERO}{name[-_END:]}"


def mark_or_none_words(mark: Mark, after_min: int | None = None) -> str:
    """The mark of what is typed; a reading that is not saved yet has none yet."""
    return tr("none yet") if mark is Mark.NONE else mark_words(mark, after_min)
