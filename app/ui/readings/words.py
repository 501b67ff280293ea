"""What the Readings page says in words: how many readings, in which order, what is odd of one."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from app.domain.clock import Period
from app.domain.levels import Level
from app.domain.person import Person
from app.look.marks import MarkLook
from app.review.table import TableCounts
from app.ui.reading_words import level_name
from app.ui.words import count_words, joined, period_words


def tr(text: str) -> str:
    """Translate a text of the Readings page."""
    return QCoreApplication.translate("Readings", text)


def head_words(counts: TableCounts, period: Period, person: Person, undated: int) -> str:
    """What the table shows: "4 – 17 January 2026 · n 69 readings on 14 days · 2 not mine"."""
    said = [period_words(period, person.date_order), _how_many(counts)]
    for count, words in (
        (counts.doubtful, tr("{n} in doubt")),
        (counts.set_aside, tr("{n} set aside")),
        (counts.not_mine, tr("{n} not mine")),
        (counts.unmarked, tr("{n} without a mark")),
        (undated, tr("{n} without a time, not listed")),
    ):
        if count:
            said.append(words.format(n=count_words(count)))
    return joined(said)


def quiet_words(n: int, *, newest_first: bool | None, filtered: bool) -> str:
    """What stands over the table while no row is selected; None is an order by another column."""
    shown = tr("1 reading found") if n == 1 else tr("{n} readings found").format(n=count_words(n))
    order = {
        True: tr("the newest first"),
        False: tr("the oldest first"),
        None: tr("in the order of one column; F3 turns it round"),
    }[newest_first]
    return joined([shown if filtered else "", order, tr("Enter corrects a reading")])


def time_state_name(state: str) -> str:
    """What is out of the ordinary about a time, in words; an unknown code as written."""
    return {
        "repaired": tr("time repaired"),
        "asked": tr("time asked about"),
        "gap": tr("time the clocks skipped"),
        "overlap": tr("time came twice"),
        "future": tr("time to come"),
    }.get(state, state)


def sign_words(look: MarkLook | None) -> str:
    """What a sign tells, in words, for ears and tips; nothing for a result within."""
    if look is None:
        return tr("no value")
    return "" if look.level is Level.IN_RANGE else level_name(look.level)


def _how_many(counts: TableCounts) -> str:
    if not counts.n:
        return tr("no readings (n 0)")
    if counts.n == 1:
        return tr("n 1 reading")
    words = tr("n {n} readings on 1 day") if counts.days == 1 else tr("n {n} readings on {d} days")
    return words.format(n=count_words(counts.n), d=count_words(counts.days))
