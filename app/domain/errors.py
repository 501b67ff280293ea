"""What can go wrong, in sentences that say what happened, what is safe and what to do."""

from __future__ import annotations

from dataclasses import dataclass


class DiaryError(Exception):
    """Trouble in the surroundings or in what was asked; its text is shown as it is."""


class Refused(DiaryError):
    """What was typed or asked for can't be taken; nothing was changed."""


class StoreUnavailable(DiaryError):
    """The diary file can't be read or written just now."""


class Busy(StoreUnavailable):
    """Another program keeps the file locked; to try again in a moment is enough."""


class Damaged(StoreUnavailable):
    """The file is not as it was written, and too much so to be shown; it was left untouched."""


class NotADiary(DiaryError):
    """The file is not one of ours; it was left untouched."""


class FileFromNewerVersion(DiaryError):
    """The file was written by a newer Thimblebook; it was left untouched."""


@dataclass(frozen=True, slots=True)
class Problem:
    """Trouble in a user's file, as a value: where, what stood there, and why it was not taken."""

    line: int
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Question:
    """Something that must be answered first, with the exact words that answer it."""

    kind: str
    asks: str
    answers: tuple[str, ...] = ()


class NeedsAnswer(DiaryError):
    """A question stands in the way; nothing was changed."""

    def __init__(self, questions: tuple[Question, ...]) -> None:
        self.questions = questions
        super().__init__("\n".join(question.asks for question in questions))
