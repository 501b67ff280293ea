"""Read a typed line: a reading with its mark, time, site, hands, tags and note, piece by piece.

The order of decisions, each of them on what the earlier ones left:

1. Words in quotes, after ";", after " -- " or after "note:" are note, and are not looked into.
2. From left to right, the longest that fits: durations with a meal or "ago", times and dates,
   marks, hands, sites. "dinner", "supper" and "tea" are the evening meal; "before breakfast" is
   waking, and so is "fasting" at a waking hour.
3. Two different times, marks, sites or answers about the hands are asked about, never chosen from.
4. Numbers are shared out (`values`): a number with a unit or a sign is the reading; 650, 0650, 1820
   and 18.20 beside a reading are a time; a number behind a word of the note, or with a unit that
   glucose does not have ("200 ml"), belongs to the note; anything else that could be the reading
   is asked about.
5. LO and HI are readings where no number is; "low" and "high" only where nothing else is said.
6. A value is doubted by `sense`, a time by `when`; `sure` answers what is doubted about the value
   and about the future, and nothing about clocks that go forward or back.
7. #words and words that are tags already are tags. Everything left is the note: nothing is lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from app.domain.clock import zone_named
from app.domain.entry.clocks import When
from app.domain.entry.draft import Draft
from app.domain.entry.english import ENGLISH
from app.domain.entry.found import Found, which
from app.domain.entry.marks import Marked
from app.domain.entry.moment import has_clock, take_moment, today_of
from app.domain.entry.notes import refuse_odd_numbers, take_note, take_tags
from app.domain.entry.parts import take_parts
from app.domain.entry.reading import take_reading
from app.domain.entry.records import Entry, EntryContext, Piece
from app.domain.entry.tokens import cut
from app.domain.entry.when import Timed
from app.domain.entry.words import Words
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.sites import site_words

T = TypeVar("T")

LONGEST_LINE = 500
WAKING_HOURS = range(4, 11)  # a rule of this diary: fasting from 04:00 to 10:59 is waking


def read_entry(
    text: str,
    context: EntryContext,
    *,
    sure: bool = False,
    at: str | None = None,
    words: Words = ENGLISH,
) -> Entry:
    """Understand a typed line; asks where it is in doubt, alters nothing, raises for no text.

    Parameters
    ----------
    text : str
        The line as typed.
    context : EntryContext
        The moment of typing, and the person's zone, unit, date order, tags and start of the day.
    sure : bool, default False
        Keep an odd value or a future time as typed. The word ``--sure`` in the line says the same.
    at : str, optional
        A wall time given apart from the line: "02:10", "yesterday 22:10", "2026-03-12 02:10",
        "2026-10-25T01:30+01:00".
    words : Words, default English
        The table of words that the line is read by.

    Returns
    -------
    Entry
        With questions or problems it can't be saved yet.

    Raises
    ------
    Refused
        If the zone of the context is not known.
    """
    unfit = _unfit(text, context.unit)
    if unfit:
        return _nothing(text, unfit)
    line = cut(text, words)
    draft = Draft(line, words, [False] * len(line.tokens))
    for i, token in enumerate(line.tokens):
        if token.kind == "sure":
            sure = True
            draft.say("sure", i, i + 1, "keep it as typed")
    parts = take_parts(draft, today_of(context), context.date_order)
    wants_time = at is None and not has_clock(parts.times)
    glucose, bare = take_reading(draft, context.unit, sure=sure, wants_time=wants_time)
    times = [*parts.times, bare] if bare else parts.times
    timed, when = take_moment(draft, times, context, sure=sure, at=at)
    mark, after_min = _mark(draft, parts.marks, _hour(timed, when, context))
    site, site_detail = _only(draft, parts.sites, "site", "sampling site") or (None, None)
    for found in parts.sites:
        draft.say("site", found.first, found.stop, site_words(*found.what))
    hands = _only(draft, parts.hands, "hands", "answer about the hands") or "unknown"
    for said in parts.hands:
        means = "hands washed" if said.what == "washed" else "hands not washed"
        draft.say("hands", said.first, said.stop, means)
    tags = take_tags(draft, context.known_tags)
    refuse_odd_numbers(draft, has_reading=glucose is not None)
    note = take_note(draft)
    is_asked = any(question.kind == "reading" for question in draft.questions)
    if glucose is None and not is_asked and not draft.problems:
        draft.problems.append(_no_reading(context.unit))
    return Entry(
        pieces=tuple(sorted(draft.pieces, key=lambda piece: piece.start)),
        glucose=glucose,
        moment=timed.moment,
        time_from="typed" if when.clock or when.ago_min or not timed.moment else "now",
        mark=mark,
        after_min=after_min,
        site=site,
        site_detail=site_detail,
        hands=hands,
        tags=tags,
        note=note,
        questions=tuple(draft.questions),
        problems=tuple(draft.problems),
    )


def _mark(draft: Draft, marks: Sequence[Found[Marked]], hour: int) -> tuple[Mark, int | None]:
    """The one mark; fasting at a waking hour is waking, and a meal named once is enough."""
    is_waking = hour in WAKING_HOURS or any(one.what[0] is Mark.WAKING for one in marks)
    named = [_as_waking(found) if is_waking else found for found in marks]
    mark, after_min = _only(draft, named, "mark", "mark") or (Mark.NONE, None)
    for typed, found in zip(marks, named, strict=True):
        means = found.what[0].words
        if typed.what[0] is Mark.FASTING:
            means += (
                ": fasting between 04:00 and 10:59 is the waking reading"
                if found.what[0] is Mark.WAKING
                else ", at another hour than waking (04:00 to 10:59)"
            )
        if found.what[1] is not None:
            means += f", {found.what[1]} min after it began"
        draft.say("mark", found.first, found.stop, means)
    return mark, after_min


def _as_waking(found: Found[Marked]) -> Found[Marked]:
    if found.what[0] is not Mark.FASTING:
        return found
    return replace(found, what=(Mark.WAKING, found.what[1]))


def _hour(timed: Timed, when: When, context: EntryContext) -> int:
    """The hour that decides about fasting: the settled one, else the typed one, else now."""
    if timed.moment:
        return timed.moment.local.hour
    if when.clock:
        return when.clock.hour
    return context.now.astimezone(zone_named(context.zone)).hour


def _only(draft: Draft, found: Sequence[Found[T]], kind: str, name: str) -> T | None:
    """The one thing that was said, or None with a question where two different ones were."""
    said = list(dict.fromkeys(one.what for one in found))
    if len(said) > 1:
        asks = f"The line says more than one {name}. Which one is meant?"
        draft.questions.append(which(draft.line, kind, asks, found))
        return None
    return said[0] if said else None


def _unfit(text: str, unit: Unit) -> str | None:
    """Why a text is not looked into at all."""
    if not text.strip():
        return _no_reading(unit)
    if len(text) > LONGEST_LINE:
        return f"The line is longer than {LONGEST_LINE} characters; shorten its note."
    if any("\ud800" <= char <= "\udfff" for char in text):
        return "The line holds bytes that are no text; type it again."
    return None


def _no_reading(unit: Unit) -> str:
    example = "112" if unit is Unit.MG_DL else "7.2"
    return f'There is no reading in the line; type it as on the meter, for instance "{example}".'


def _nothing(text: str, problem: str) -> Entry:
    shown = (Piece(0, len(text), "unclear", text, problem),) if text.strip() else ()
    return Entry(
        shown, None, None, "now", Mark.NONE, None, None, None, "unknown", (), None, (), (problem,)
    )
