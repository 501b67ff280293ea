"""A question is asked: it is kept, so that the diary can say how many there were."""

from __future__ import annotations

from datetime import datetime

from app.domain.person import Person
from app.domain.question import Question
from app.store.diary import Diary
from app.store.questions import questions_asked, write_question


def keep_question(diary: Diary, person: Person, question: Question, *, now: datetime) -> int:
    """Keep a question and return how many different ones this person has asked.

    The same question about the same days is kept once. A diary that can only be read keeps none;
    the one just asked is counted all the same.
    """
    asked = questions_asked(diary, person)
    if question.spec in asked:
        return len(asked)
    if diary.writable:
        words = {"question": question.words}
        with diary.change("ask", words, now=now, person=person) as change:
            write_question(change, person, question.spec)
    return len(asked) + 1
