"""Writing down what the care team said: plans for lows and sick days, telephone numbers."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime

from app.domain.care import care_kind, checked_text
from app.domain.person import Person
from app.store.care import write_care_text
from app.store.diary import Diary
from app.work.told import told

CARE_TEXT = "care_text"


def set_care_text(
    diary: Diary,
    person: Person,
    kind: str,
    text: str,
    *,
    now: datetime,
    from_day: date | None = None,
) -> str:
    """Write a text as the family typed it, in place of the one before; empty takes it out.

    Parameters
    ----------
    from_day : date, optional
        In force from then on, beside the one before; else always.

    Returns
    -------
    str
        The sentence about it.

    Raises
    ------
    Refused
        The kind is unknown, or the text too long. Nothing was changed.
    """
    which = care_kind(kind)
    kept = checked_text(which, text)
    first = from_day.toordinal() if from_day else None
    words = {"which": which, "gone": not kept}
    with diary.change(CARE_TEXT, words, now=now, person=person) as change:
        write_care_text(change, person, which, kept, from_day=first)
    return told(CARE_TEXT, words)


def set_care_texts(diary: Diary, person: Person, texts: Mapping[str, str], *, now: datetime) -> str:
    """Write several of these texts at once, each for always; returns the sentence about it.

    Raises
    ------
    Refused
        A kind is unknown, or a text too long. Nothing was changed.
    """
    kept = {care_kind(kind): checked_text(care_kind(kind), text) for kind, text in texts.items()}
    words = {"which": ", ".join(kept), "gone": not any(kept.values())}
    with diary.change(CARE_TEXT, words, now=now, person=person) as change:
        for kind, text in kept.items():
            write_care_text(change, person, kind, text, from_day=None)
    return told(CARE_TEXT, words)
