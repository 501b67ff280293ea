"""The answers to a question of the entry line, as buttons say them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from app.domain.entry import Entry, with_answer
from app.domain.errors import Question
from app.domain.person import Person
from app.domain.sites import site_words
from app.ui.now.words import mark_or_none_words, tr
from app.ui.words import clock_words, moment_words, value_words

KEEP = "--sure"
Read = Callable[[str], Entry]


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: the line as it will read, what the button says, and what that means."""

    line: str
    text: str
    hint: str = ""


def choices_of(
    typed: str, entry: Entry, question: Question, read: Read, *, person: Person, today: date
) -> tuple[Choice, ...]:
    """Every answer to a question, each read as the line that it makes."""
    found = []
    for place, answer in enumerate(question.answers):
        line = with_answer(typed, entry, question, answer)
        text, hint = _said(question, answer, place, entry, read(line), person, today)
        found.append(Choice(line, text, hint))
    # Two buttons that say the same would be no choice: then they show the line itself.
    said = [(one.text, one.hint) for one in found]
    if len(set(said)) < len(said):
        return tuple(Choice(one.line, one.line) for one in found)
    return tuple(found)


def _said(
    question: Question,
    answer: str,
    place: int,
    entry: Entry,
    after: Entry,
    person: Person,
    today: date,
) -> tuple[str, str]:
    when = clock_words(after.moment.local, person) if after.moment else answer
    if question.kind == "value" and after.glucose is not None:
        return value_words(after.glucose), _value_hint(answer, entry, after, person)
    if question.kind == "future" and after.moment:
        wall = moment_words(after.moment.local, today, person)
        return wall, tr("keep as typed") if answer == KEEP else ""
    if question.kind == "reading" and after.glucose is not None:
        return value_words(after.glucose), _reading_hint(entry, after, when)
    if question.kind == "overlap":
        return when, (tr("the first"), tr("the second"))[place]
    if question.kind == "gap":
        return when, (tr("clock not yet put forward"), tr("clock put forward too soon"))[place]
    if question.kind in ("half_day", "which_time", "which_day") and after.moment:
        return moment_words(after.moment.local, today, person), ""
    return _part(question.kind, after) or answer, ""


def _value_hint(answer: str, entry: Entry, after: Entry, person: Person) -> str:
    if answer == KEEP:
        return tr("keep as typed")
    if after.glucose is None or entry.glucose is None:
        return ""
    if after.glucose.value != entry.glucose.value:
        return tr("a slip of the point")
    if after.glucose.unit is not person.unit:
        return tr("shown as {value}").format(value=value_words(after.glucose, person.unit))
    return ""


def _reading_hint(entry: Entry, after: Entry, when: str) -> str:
    if after.note and after.note != entry.note:
        return tr("“{words}” as a note").format(words=after.note)
    if after.time_from != "now":  # one that has not come yet makes no moment: as it was read
        read = [piece.text for piece in after.pieces if piece.kind == "time"]
        when = when if after.moment or not read else read[0]
        return tr("at {time}").format(time=when)
    return ""


def _part(kind: str, after: Entry) -> str:
    if kind == "mark":
        return mark_or_none_words(after.mark, after.after_min)
    if kind == "site" and after.site:
        return site_words(after.site, after.site_detail)
    if kind == "hands":
        return tr("washed") if after.hands == "washed" else tr("not washed")
    return ""
