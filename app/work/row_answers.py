"""What a person says of single rows of a file: the words, and the rows as they are then."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from app.domain.errors import Problem, Refused
from app.domain.glucose import Glucose, Unit
from app.exchange.file_read import ControlRow, FileRead, More, ReadingRow, Row, RowRefused
from app.exchange.values import possible, why_held

ONE, TWO = "one", "two"
CONTROL, GLUCOSE = "control", "glucose"
KEEP, LEAVE_OUT, NOT_MINE = "keep", "leave-out", "not-mine"
WORDS = (ONE, TWO, CONTROL, GLUCOSE, KEEP, LEAVE_OUT, NOT_MINE, *Unit)

PROBABLY_ONE, LOOKS_LIKE_CONTROL, ODD = "probably_one", "control", "odd"
SAID_LEFT_OUT = "left out, as you said"
NOT_MINE_WHY = "said when the file was brought in"


@dataclass(frozen=True, slots=True)
class RowAnswers:
    """Words for rows by their line, and words for all rows that ask for one of them."""

    by_line: Mapping[int, str] = field(default_factory=dict)
    for_all: frozenset[str] = frozenset()

    def word(self, line: int, among: Sequence[str]) -> str | None:
        """What was said of a row that asks for one of these words; None if nothing was."""
        said = self.by_line.get(line)
        if said in among:
            return said
        return next((word for word in among if word in self.for_all), None)


NO_ANSWERS = RowAnswers()


@dataclass(frozen=True, slots=True)
class RowQuestion:
    """A row that waits for a person: `kind` probably_one, control or odd, and the answers."""

    line: int
    kind: str
    asks: str
    answers: tuple[str, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """The exact words that answer it."""
        return tuple(f"--answer {self.line}={answer}" for answer in self.answers)


def row_answers(texts: Iterable[str]) -> RowAnswers:
    """Answers from texts such as "43=mmol/L" and "all=one".

    Raises
    ------
    Refused
        A text names no line or no answer; nothing was changed.
    """
    by_line: dict[int, str] = {}
    for_all: set[str] = set()
    for text in texts:
        line, _, said = text.partition("=")
        word = next((word for word in WORDS if word.casefold() == said.strip().casefold()), None)
        line = line.strip()
        if word is None or not (line == "all" or (line.isascii() and line.isdigit())):
            raise Refused(
                f'"{text[:40]}" is no answer here; say a line and a word, for instance 12=one, or '
                f"all=one. The words are {', '.join(WORDS)}. Nothing was changed."
            )
        if line == "all":
            for_all.add(word)
        else:
            by_line[int(line)] = word
    return RowAnswers(by_line, frozenset(for_all))


def with_answers(read: FileRead, answers: RowAnswers) -> FileRead:
    """A file as it stands after what was said of its rows one by one.

    Raises
    ------
    Refused
        An answer names a line without a row, or a unit that makes no sense there.
    """
    if not answers.by_line and not answers.for_all & {KEEP, LEAVE_OUT}:
        return read
    at = {row.line: place for place, row in enumerate(read.rows)}
    strange = sorted(answers.by_line.keys() - at.keys())
    if strange:
        raise Refused(
            f"Line {strange[0]} of the file holds no row that could be answered about. "
            "Nothing was changed."
        )
    rows: list[Row | None] = [*read.rows]
    left: list[Problem] = []
    for line, place in at.items():
        row = read.rows[place]
        word = answers.by_line.get(line)
        if word is None and row.held is not None:
            word = answers.word(line, (KEEP, LEAVE_OUT))
        if word == LEAVE_OUT:
            rows[place] = None
            left.append(Problem(line, _said(row), SAID_LEFT_OUT))
        elif word is not None:
            rows[place] = _as_said(row, word)
    problems = sorted([*read.problems, *left], key=lambda problem: problem.line)
    return replace(read, rows=[row for row in rows if row is not None], problems=problems)


def as_control(row: ReadingRow, level: str | None = None) -> ControlRow:
    """A row that looked like glucose, as the control test that it was."""
    return ControlRow(*row[:9], row.glucose, level)  # line to held stand alike in all rows


def odd_question(row: ReadingRow) -> RowQuestion | None:
    """What is asked of a row whose value is hardly a result; None for another row that is held."""
    glucose = row.glucose
    if row.held is None or glucose.value is None or why_held(glucose) is None:
        return None
    other = Glucose(glucose.value, glucose.unit.other, glucose.bound)
    fits = _possible(other) and why_held(other) is None
    answers = ((glucose.unit.other.value,) if fits else ()) + (KEEP, LEAVE_OUT)
    return RowQuestion(row.line, ODD, row.held, answers)


def _as_said(row: Row, word: str) -> Row:
    if not isinstance(row, ReadingRow):
        return row
    if word in tuple(Unit):
        other = Glucose(row.glucose.value, Unit(word), row.glucose.bound)
        if not _possible(other):
            raise Refused(
                f"{row.glucose.value} {word} (line {row.line}) is no glucose result. "
                "Nothing was changed."
            )
        return row._replace(glucose=other, held=why_held(other))
    if word == KEEP:
        return row._replace(held=None, more=_more(row, odd_confirmed=True))
    if word == NOT_MINE:
        said = _more(row, standing="not_mine", standing_reason=NOT_MINE_WHY)
        return row._replace(more=said)
    return as_control(row) if word == CONTROL else row


def _more(row: ReadingRow, **said: Any) -> More:
    return replace(row.more or More(), **said)


def _possible(glucose: Glucose) -> bool:
    try:
        possible(glucose)
    except RowRefused:
        return False
    return True


def _said(row: Row) -> str:
    said = (row.raw_wall, row.raw_value, row.raw_unit, row.code, row.note)
    return " ".join(part for part in said if part)
