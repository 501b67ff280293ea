"""The questions that were asked before, answered again by what the diary holds now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from app.domain.clock import Period, moment_now
from app.domain.errors import Refused
from app.domain.person import Person
from app.domain.question import Kind, Question, question_of
from app.review.asking import Answer, answer
from app.review.compare import Compared, compare
from app.review.record import Record
from app.store.diary import Diary
from app.store.questions import questions_with_times


@dataclass(frozen=True, slots=True)
class AskedBefore:
    """A question, the day it was asked on, and its answer; `why` says why there is none."""

    question: Question
    on: date
    found: Answer | Compared | None
    why: str


@dataclass(frozen=True, slots=True)
class AskedSoFar:
    """The newest questions, the newest first, and how many different ones there are in all."""

    person: Person
    count: int
    newest: tuple[AskedBefore, ...]


def asked_so_far(
    diary: Diary, record: Record, *, now: datetime, at_most: int | None = None
) -> AskedSoFar:
    """Answer the newest questions of the person again, all of them by default.

    A question that a newer version wrote down is counted, and not answered here.
    """
    person = record.person
    kept = questions_with_times(diary, person)
    newest = []
    for spec, at in kept[::-1][:at_most]:
        try:
            question = question_of(spec)
        except ValueError:
            continue
        on = moment_now(datetime.fromtimestamp(at, now.tzinfo), person.zone).local.date()
        try:
            newest.append(AskedBefore(question, on, answered(diary, record, question, now), ""))
        except Refused as refusal:
            newest.append(AskedBefore(question, on, None, str(refusal)))
    return AskedSoFar(person, len(kept), tuple(newest))


def answered(diary: Diary, record: Record, question: Question, now: datetime) -> Answer | Compared:
    """The answer to a question.

    Raises
    ------
    Refused
        What it names is not, or no longer, written.
    """
    period = Period(date.fromordinal(question.first_day), date.fromordinal(question.last_day))
    if question.kind is Kind.DAYS and question.outcome is not None:
        return answer(
            diary,
            record,
            question.what[0],
            period,
            outcome=question.outcome,
            now=now,
            slot=question.slot,
            same_weekdays=question.same_weekdays,
        )
    return compare(
        diary,
        record,
        question.kind,
        question.what,
        period,
        now=now,
        mark=question.slot,
        same_weekdays=question.same_weekdays,
    )
