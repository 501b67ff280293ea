"""What the window for questions asks off the GUI thread: what there is, and the answer itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from app.domain.clock import Period
from app.domain.question import Kind, Question
from app.review.asked_before import answered
from app.review.asking import Answer
from app.review.compare import Compared, names_there
from app.review.days_named import WordForDays, words_for_days
from app.review.record import Record
from app.store.diary import Diary
from app.store.questions import questions_asked
from app.work.ask import keep_question

NAMED = (Kind.METERS, Kind.KEEPERS, Kind.PLACES)


@dataclass(frozen=True, slots=True)
class Offers:
    """What can be asked about in all days: own words for days, and names by kind."""

    period: Period
    words: tuple[WordForDays, ...]
    names: dict[Kind, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Told:
    """An answer, how many questions there are now, and whether this one is new among them."""

    found: Answer | Compared
    count: int
    is_new: bool


def offers_of(diary: Diary, record: Record, period: Period, now: datetime) -> Offers:
    """Look for what can be asked about."""
    names = {kind: names_there(diary, record, kind, period, now=now) for kind in NAMED}
    return Offers(period, words_for_days(diary, record.person, period), names)


def ask_and_keep(diary: Diary, record: Record, question: Question, now: datetime) -> Told:
    """Answer a question, and keep it.

    Raises
    ------
    Refused
        It can't be answered; then it is not kept.
    """
    found = answered(diary, record, question, now)
    is_new = diary.writable and question.spec not in questions_asked(diary, record.person)
    return Told(found, keep_question(diary, record.person, question, now=now), is_new)
