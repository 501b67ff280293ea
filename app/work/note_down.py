"""Writing down what is no reading: help that was needed, tests, changes, days, events, tags.

Each is one transaction with one entry in the journal, so that it can be taken back.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from app.domain.clock import Moment
from app.domain.errors import NeedsAnswer, Refused
from app.domain.ketones import Ketones
from app.domain.labs import LabResult
from app.domain.person import Person
from app.store.diary import Diary
from app.store.noting import reading_near, write_event, write_help, write_ketones, write_lab
from app.work.retype import typed_time
from app.work.told import told

HELP, KETONES, LAB, EVENT = "note_help", "note_ketones", "note_lab", "note_event"

LONGEST_TEXT = 500
# A rule of this diary: help goes with the reading nearest to it, up to half an hour away.
NEAR_READING_S = 30 * 60


@dataclass(frozen=True, slots=True)
class Noted:
    """What was written down: the table and uid of its row, and one sentence about it."""

    table: str
    uid: UUID
    sentence: str


def note_help(
    diary: Diary,
    person: Person,
    at: Moment,
    *,
    now: datetime,
    what: str | None = None,
    with_reading: bool = False,
) -> Noted:
    """Write down that another person's help was needed, whatever the number.

    Parameters
    ----------
    with_reading : bool, default False
        Tie it to the nearest reading, up to half an hour away.

    Raises
    ------
    Refused
        There is no reading so near. Nothing was saved.
    """
    text = kept_text(what)
    words = {"what": text, "at": wall_words(at)}
    with diary.change(HELP, words, now=now, person=person) as change:
        near = reading_near(change, person, at, within_s=NEAR_READING_S) if with_reading else None
        if with_reading and near is None:
            raise Refused(
                f"There is no reading within half an hour of {wall_words(at)}. Nothing was saved; "
                "write the help down without a reading, or give the time of the reading."
            )
        uid = write_help(change, person, at, what=text, reading_id=near[0] if near else None)
    return Noted("help", uid, told(HELP, words))


def note_ketones(
    diary: Diary,
    person: Person,
    result: Ketones,
    at: Moment,
    *,
    now: datetime,
    keeper: str | None = None,
) -> Noted:
    """Write a ketone test down; when this returns, it is on the disk."""
    words = {"result": result.shown, "at": wall_words(at)}
    with diary.change(KETONES, words, now=now, person=person) as change:
        uid = write_ketones(change, person, result, at, keeper=keeper)
    return Noted("ketone", uid, told(KETONES, words))


def note_lab(
    diary: Diary, person: Person, result: LabResult, at: Moment, *, now: datetime
) -> Noted:
    """Write a laboratory's result down, as it was printed."""
    words = {"result": result.shown, "at": wall_words(at)[:10]}
    with diary.change(LAB, words, now=now, person=person) as change:
        uid = write_lab(change, person, result, at)
    return Noted("lab_result", uid, told(LAB, words))


def note_event(
    diary: Diary,
    person: Person,
    at: Moment,
    *,
    kind: str,
    now: datetime,
    text: str | None = None,
    until: Moment | None = None,
    carb_g: float | None = None,
    keeper: str | None = None,
) -> Noted:
    """Write down something done or felt.

    Raises
    ------
    Refused
        It ends before it begins, lasts longer than a day, or "other" says nothing. Nothing was
        saved.
    """
    said = kept_text(text)
    if kind == "other" and said is None:
        raise Refused("An event of the kind “other” needs words that say what it was.")
    if until is not None and not 0 < until.instant - at.instant <= 86_400:
        raise Refused(
            f"It would begin at {wall_words(at)} and end at {wall_words(until)}. Nothing was "
            "saved; an event ends after it begins, within a day."
        )
    words = {"sort": kind, "text": said, "at": wall_words(at)}
    with diary.change(EVENT, words, now=now, person=person) as change:
        uid = write_event(
            change,
            person,
            at,
            kind=kind,
            text=said,
            end=until.instant if until else None,
            carb_g=carb_g,
            keeper=keeper,
        )
    return Noted("event", uid, told(EVENT, words))


def moment_typed(
    text: str | None, person: Person, *, now: datetime, zone: str | None = None, sure: bool = False
) -> Moment:
    """The moment of a typed time, read as in the entry line; now where none was typed.

    Raises
    ------
    Refused
        It is no time.
    NeedsAnswer
        A question about it must be answered first. In both cases nothing was saved.
    """
    entry = typed_time("today" if text is None else text, person, now=now, zone=zone, sure=sure)
    if entry.problems:
        raise Refused(" ".join((*entry.problems, "Nothing was saved.")))
    if entry.questions:
        raise NeedsAnswer(entry.questions)
    if entry.moment is None:
        raise RuntimeError("a time without problems and questions is settled")
    return entry.moment


def kept_text(text: str | None) -> str | None:
    """A text as it will be kept, on one line; None for an empty one, refused when endless."""
    kept = " ".join((text or "").split())
    if len(kept) > LONGEST_TEXT:
        raise Refused(
            f"The text has {len(kept)} characters; at most {LONGEST_TEXT} are kept. "
            "Nothing was saved."
        )
    return kept or None


def wall_words(at: Moment) -> str:
    """A moment by the clocks of its place: "2026-03-12 07:10"."""
    return at.wall.replace("T", " ")[:16]
