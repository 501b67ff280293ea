"""What to ask at the next visit is written down and ticked off; what came of a visit is kept."""

from __future__ import annotations

from datetime import date, datetime

from app.domain.errors import Refused
from app.domain.person import Person
from app.store.asks import Ask, add_ask, asks_of, tick_ask, write_visit
from app.store.diary import Diary
from app.work.note_down import kept_text

ASK, ASK_DONE, VISIT = "ask_item", "ask_done", "visit"
LONGEST_ASK = 160


def write_ask(diary: Diary, person: Person, text: str, *, now: datetime) -> Ask:
    """Put a question on the list for the next visit.

    Raises
    ------
    Refused
        It is empty, or longer than fits on the page.
    """
    kept = kept_text(text)
    if kept is None:
        raise Refused("Say what to ask. Nothing was saved.")
    if len(kept) > LONGEST_ASK:
        raise Refused(
            f"A question has at most {LONGEST_ASK} characters, so that it fits on the page; this "
            f"has {len(kept)}. Nothing was saved."
        )
    with diary.change(ASK, {"text": kept}, now=now, person=person) as change:
        add_ask(change, person, kept)
    return asks_of(diary, person)[-1]


def tick_off(diary: Diary, person: Person, number: int, *, now: datetime) -> Ask:
    """Tick off the n-th open question, counted from 1.

    Raises
    ------
    Refused
        There is no such question.
    """
    still_open = [each for each in asks_of(diary, person) if each.done_at is None]
    if not 1 <= number <= len(still_open):
        there = "None is open" if not still_open else f"Open are 1 to {len(still_open)}"
        raise Refused(f"There is no open question {number}. {there}. Nothing was changed.")
    chosen = still_open[number - 1]
    with diary.change(ASK_DONE, {"text": chosen.text}, now=now, person=person) as change:
        tick_ask(change, chosen, done_at=int(now.timestamp()))
    return chosen


def keep_visit(
    diary: Diary, person: Person, day: date, *, outcome: str | None, now: datetime
) -> None:
    """Write a visit down, or what came of it; a visit of the same day is the same visit."""
    kept = kept_text(outcome)
    words = {"day": day.isoformat(), "outcome": kept}
    with diary.change(VISIT, words, now=now, person=person) as change:
        write_visit(change, person, day.toordinal(), kept)
