"""What is asked first about a file: of the whole, of a word that nobody knows, of a row."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from app.ui.bring_in.words import file_question, row_question, word_question
from app.ui.controls import Answer
from app.work.picked import LookedAtPicked, Wish
from app.work.row_answers import RowAnswers

COLUMNS = "columns"  # the kind of question that the panel of columns answers


@dataclass(frozen=True, slots=True)
class Asking:
    """A question with its answers; `said` gives the wish that an answer makes of the one before.

    `line` is the row that it speaks of, None for the whole file.
    """

    lead: str
    sentence: str
    answers: Sequence[Answer]
    said: Callable[[str], Wish]
    line: int | None = None


def first_question(looked: LookedAtPicked, wish: Wish) -> Asking | None:
    """The first thing to be answered; None where nothing is, or the columns are to be chosen."""
    if looked.questions:
        first = looked.questions[0]
        if first.kind == COLUMNS:
            return None
        return Asking(*file_question(first), partial(_of_file, wish))
    for word in looked.unknown:
        key = (word.kind, word.word)
        if key not in wish.words:
            return Asking(*word_question(word), partial(_of_word, wish, key))
    asked = looked.found.asked if looked.found else ()
    if not asked:
        return None
    row = asked[0]
    alike = sum(each.kind == row.kind for each in asked)
    return Asking(*row_question(row, alike), partial(_of_row, wish, row.line), row.line)


def wants_columns(looked: LookedAtPicked) -> bool:
    """Whether somebody has to say which column is what."""
    return any(each.kind == COLUMNS for each in looked.questions)


def _of_file(wish: Wish, answer: str) -> Wish:
    """The exact words of the command, as a wish."""
    name, _, value = answer.partition(" ")
    said: dict[str, str] = {name.strip("-").replace("-", "_"): value}
    return replace(wish, **said)  # type: ignore[arg-type]


def _of_word(wish: Wish, key: tuple[str, str], answer: str) -> Wish:
    return replace(wish, words={**wish.words, key: answer})


def _of_row(wish: Wish, line: int, answer: str) -> Wish:
    said = wish.answers
    if answer.startswith("all="):
        more = RowAnswers(said.by_line, said.for_all | {answer.removeprefix("all=")})
    else:
        more = RowAnswers({**said.by_line, line: answer}, said.for_all)
    return replace(wish, answers=more)
