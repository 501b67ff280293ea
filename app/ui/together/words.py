"""What the window says of two copies of a diary, and of what they leave open."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import QCoreApplication

from app.domain.person import Person
from app.ui.changes.words import by_words, when_words
from app.work.leftovers import Leftover, OpenPair, Written
from app.work.together import Together


def tr(text: str, disambiguation: str | None = None, n: int = -1) -> str:
    """Translate a text about copies of the diary."""
    return QCoreApplication.translate("Together", text, disambiguation, n)


def about_words() -> str:
    """What bringing together does and what it leaves as it is."""
    return tr(
        "Choose the copy from the other home. It is only read. First you see what would come; "
        "then, after a backup, it comes in. Nothing is joined that only looks alike."
    )


def stopped_words() -> str:
    """What is said where it was stopped."""
    return tr("Stopped. Both copies are as they were.")


def none_open_words() -> str:
    """What stands in the place of the list where nothing is open."""
    return tr("Nothing is open.")


def account_words(found: Together) -> list[str]:
    """What came of a look or of bringing in, a line for each thing."""
    lines = list(found.sentences)
    if found.backup is not None:
        words = tr("To take all of it back, restore the backup {name}: Diary ▸ Backups.")
        lines.append(words.format(name=found.backup.path.name))
    return lines


def pair_words(pair: OpenPair) -> str:
    """A pair in a line of the list."""
    if pair.minutes == 0:
        return tr("{value} twice, at the same minute").format(value=pair.value)
    return tr("{value} twice, {n} min apart").format(value=pair.value, n=pair.minutes)


def leftover_words(leftover: Leftover) -> str:
    """Something to settle in a line of the list; day and time of a reading stand beside it."""
    both = tr("{one}, or {other}").format(one=leftover.shown.says, other=leftover.other.says)
    what = leftover.what
    if leftover.item.table == "reading":
        return f"{both[:1].upper()}{both[1:]}"
    return f"{what[:1].upper()}{what[1:]}: {both}"


def versions_words(
    one: OpenPair | Leftover, today: datetime, person: Person | None
) -> tuple[str, str]:
    """Both readings of a pair, or both versions, each with when it was written and by whom."""
    if isinstance(one, OpenPair):
        first, second, words = one.stays, one.goes, (tr("Typed first"), tr("Typed later"))
    else:
        first, second, words = one.shown, one.other, (tr("Shown now"), tr("In the other version"))
    told = (_written(each, today, person) for each in (first, second))
    lines = [f"{lead}: {said}" for lead, said in zip(words, told, strict=True)]
    return lines[0], lines[1]


def _written(written: Written, today: datetime, person: Person | None) -> str:
    day, time = when_words(written.at, today.date(), person)
    by = by_words(written.by) or tr("on this computer")
    return tr("{what}; written {day} {time}, {by}").format(
        what=written.says, day=day, time=time, by=by
    )
