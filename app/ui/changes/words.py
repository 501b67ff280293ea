"""What the window says of changes: in few words for a menu, in full below a list."""

from __future__ import annotations

from datetime import date, datetime

from PySide6.QtCore import QCoreApplication

from app.domain.person import Person
from app.ui.controls import Answer
from app.ui.words import clock_words, count_words, date_words, day_words, joined, minute_words
from app.work.bin import KEPT_DAYS, Item
from app.work.entry_line import Line
from app.work.take_back import EDITED

LEAVE = "leave"
_FEW = 48  # letters of a change in the menu: about as wide as its other entries with their keys
_PLAIN = "on this computer"
# The keys of what a list is there for.
ACT_KEYS = ("Ctrl+Return", "Ctrl+Enter")


def tr(text: str) -> str:
    """Translate a text about changes."""
    return QCoreApplication.translate("Changes", text)


def few_words(sentence: str) -> str:
    """What a change was in few words, for a menu: "The reading 5.6 mmol/L was saved"."""
    said = " ".join(sentence.split()).removesuffix(".")
    if len(said) > _FEW:
        said = f"{said[: _FEW - 1].rsplit(' ', 1)[0].rstrip(',:;')}…"
    return said


def when_words(at: datetime, today: date, person: Person | None) -> tuple[str, str]:
    """The day and the time of day of a change, as the person reads them."""
    if person is None:
        return day_words(at.date(), "dmy", short=True), minute_words(at.hour * 60 + at.minute, 24)
    return date_words(at.date(), today, person), clock_words(at, person)


def by_words(by: str) -> str:
    """Who made a change, where that is worth a word: this computer is where most are made."""
    return "" if by == _PLAIN else by.removesuffix(f", {_PLAIN}")


def about_words(line: Line, when: str) -> str:
    """Number, time and maker of a change, and how it stands."""
    return joined(
        (
            tr("Change {n}").format(n=count_words(line.entry)),
            when,
            line.person or "",
            line.by,
            tr("some of it was emptied from the bin") if line.emptied else "",
        )
    )


def left_words(item: Item) -> str:
    """How long a thing in the bin is kept at least."""
    if not item.days_left:
        return tr("{n} days are over").format(n=count_words(KEPT_DAYS))
    if item.days_left == 1:
        return tr("1 day")
    return tr("{n} days").format(n=count_words(item.days_left))


def item_words(item: Item) -> str:
    """A thing in the bin with what went there with it."""
    what = item.what[:1].upper() + item.what[1:]
    return tr("{what}, with {along}").format(what=what, along=item.along) if item.along else what


def empty_words() -> str:
    """That nothing is in the bin, and what it is there for."""
    return tr(
        "The bin is empty. What is put into it stays there for at least {n} days, and can be taken "
        "out again until the bin is emptied."
    ).format(n=count_words(KEPT_DAYS))


def edited_answers() -> list[Answer]:
    """What can become of the rows of an import that were edited since."""
    keep, take = EDITED
    return [
        Answer(keep, tr("Keep what was edited")),
        Answer(take, tr("Take it back too")),
        Answer(LEAVE, tr("Leave everything as it is")),
    ]
