"""What the import says in words: results, questions and their answers, the account."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import QCoreApplication

from app.domain.errors import Question
from app.domain.glucose import Bound
from app.domain.marks import SLOTS
from app.exchange.file_read import ControlRow, DoseRow, EventRow, ReadingRow, Row
from app.exchange.unknown_words import (
    ABOVE,
    AS_CONTROL,
    AS_GLUCOSE,
    AS_NOTHING,
    BELOW,
    CODE,
    MARK,
    UnknownWord,
)
from app.ui.controls import Answer
from app.ui.reading_words import DASH, mark_words
from app.ui.words import count_words, joined, number_words
from app.work.bring_in import BroughtIn
from app.work.picked import ALREADY, ASKED, HELD, NEW, ONE, REFUSED, LookedAtPicked, RowLine
from app.work.row_answers import (
    CONTROL,
    GLUCOSE,
    KEEP,
    LEAVE_OUT,
    PROBABLY_ONE,
    TWO,
    RowQuestion,
)
from app.work.row_answers import ONE as SAME

DELIMITERS = {",": "comma  ,", ";": "semicolon  ;", "\t": "tab", "|": "bar  |"}
_OF_COMMAND = (" With none, the whole file is of one unit.",)
ENCODINGS = ("utf-8", "utf-16", "cp1252", "iso8859-15", "mac-roman", "cp850")


def tr(text: str) -> str:
    """Translate a text of the import."""
    return QCoreApplication.translate("BringIn", text)


def result_words(result: str) -> str:
    """What becomes of a row, in a word or two."""
    return {
        NEW: tr("new"),
        ALREADY: tr("already here"),
        ONE: tr("one with yours"),
        ASKED: tr("to answer"),
        HELD: tr("held"),
        REFUSED: tr("refused"),
    }.get(result, "")


def why_words(line: RowLine) -> str:
    """Why a row goes there, or what is out of the ordinary about one that is taken."""
    if line.why:
        return line.why[:1].upper() + line.why[1:]
    if line.result == ALREADY:
        return tr("Came in with a file before")
    if line.result == ONE:
        return tr("Keeps what was written by hand")
    if line.result == NEW and line.moment is not None and line.moment[0] is None:
        return tr("Kept without a time: the meter's clock was wrong")
    row = line.row
    if is_not_mine(row):
        return tr("Not mine, as you said: in no figure")
    if isinstance(row, ControlRow):
        return tr("A control test, in no figure")
    if isinstance(row, ReadingRow) and row.glucose.bound is not Bound.EXACT:
        return tr("Off the meter's scale, kept as a bound")
    return ""


def is_not_mine(row: Row | None) -> bool:
    """Whether a row was said to be somebody else's."""
    more = row.more if isinstance(row, ReadingRow) else None
    return more is not None and more.standing == "not_mine"


def wall_of(line: RowLine) -> datetime | None:
    """The wall time that was read of a row."""
    if line.moment is not None and line.moment[1] is not None:
        return datetime.fromisoformat(line.moment[1])
    return None if line.row is None else line.row.wall


def value_words(row: Row | None) -> tuple[str, str]:
    """What was read as the value, and its unit."""
    if isinstance(row, ReadingRow | ControlRow):
        glucose = row.glucose
        if glucose.value is None:
            return number_words(glucose.shown(glucose.unit)), str(glucose.unit)
        sign = {Bound.BELOW: "<", Bound.ABOVE: ">"}.get(glucose.bound, "")
        return f"{sign}{number_words(glucose.value)}", str(glucose.unit)
    if isinstance(row, DoseRow):
        return number_words(row.amount), row.unit
    return DASH, ""


def mark_of(row: Row | None) -> str:
    """The mark that was read, or what else the row is."""
    if isinstance(row, ReadingRow):
        return DASH if row.mark.value == "none" else mark_words(row.mark, row.after_min, short=True)
    if isinstance(row, ControlRow):
        return tr("control test")
    if isinstance(row, DoseRow):
        return row.what
    return " ".join(filter(None, (row.event, row.text))) if isinstance(row, EventRow) else DASH


def file_question(question: Question) -> tuple[str, str, list[Answer]]:
    """A question about the whole file: its first words, the rest, and the answers."""
    asks = question.asks.removesuffix(" Nothing was read.")
    for of_command in _OF_COMMAND:  # what the words of its answers mean; the buttons say it
        asks = asks.replace(of_command, "")
    return "", asks, [Answer(each, _answer_words(each)) for each in question.answers]


def row_question(question: RowQuestion, alike: int) -> tuple[str, str, list[Answer]]:
    """A question about one row; `alike` counts all that ask the same."""
    lead = tr("Line {n}:").format(n=count_words(question.line))
    answers = [Answer(word, _row_answer_words(word)) for word in question.answers]
    if alike > 1 and question.kind == PROBABLY_ONE:
        words = tr("All {n} are one").format(n=count_words(alike))
        answers.append(Answer(f"all={SAME}", words))
    elif alike > 1 and question.kind == CONTROL:
        words = tr("All {n} are control tests").format(n=count_words(alike))
        answers.append(Answer(f"all={CONTROL}", words))
    asks = question.asks[:1].upper() + question.asks[1:]
    return lead, f"{asks}.", answers


def word_question(word: UnknownWord) -> tuple[str, str, list[Answer]]:
    """A question about a word that no recipe knows."""
    shown = f"“{word.word}”" if word.word else tr("No code")
    marks = [Answer(mark.value, mark_words(mark, None, short=True)) for mark in SLOTS]
    if word.kind == MARK:
        asks = tr("stands where a mark belongs. Which mark is it?")
        return shown, asks, [*marks, Answer(AS_NOTHING, tr("None: keep it as a note"))]
    rows = tr("in 1 row") if word.rows == 1 else tr("in {n} rows").format(n=count_words(word.rows))
    if word.kind == CODE:
        asks = tr("{rows}: what do these rows hold? A mark means glucose with it.")
        asks = asks.format(rows=rows)
        answers = [
            Answer(AS_GLUCOSE, tr("Glucose")),
            Answer(AS_CONTROL, tr("Control tests")),
            Answer(AS_NOTHING, tr("Leave out")),
            *marks,
        ]
        return shown, asks, answers
    asks = tr("{rows} stands where a value belongs. Is it off the meter's scale?").format(rows=rows)
    answers = [
        Answer(BELOW, tr("Below it")),
        Answer(ABOVE, tr("Above it")),
        Answer(AS_NOTHING, tr("Neither: refuse")),
    ]
    return shown, asks, answers


def account_parts(found: BroughtIn) -> list[tuple[int, str]]:
    """The account, number by number: it always adds up."""
    account, asked = found.account, len(found.asked)
    parts = [
        (account.seen, tr("rows seen =")),
        (account.new, tr("new +")),
        (account.already, tr("already here +")),
    ]
    if asked:
        parts.append((asked, tr("to answer +")))
    if account.held - asked:
        parts.append((account.held - asked, tr("held +")))
    return [*parts, (account.refused, tr("refused"))]


def head_words(looked: LookedAtPicked, name: str) -> str:
    """The line under the title: the file, its rows, how it is known."""
    rows = ""
    if looked.found is not None:
        seen = looked.found.account.seen
        rows = tr("1 row") if seen == 1 else tr("{n} rows").format(n=count_words(seen))
    known = looked.recipe_name
    by = tr("read as “{name}”, kept for such files").format(name=known) if known else ""
    return joined([name, rows, tr("nothing is saved yet"), by])


def save_words(new: int, linked: int, *, keeps_copy: bool) -> str:
    """What the main button says."""
    if keeps_copy:
        return tr("Keep this copy")
    n = new or linked
    if n == 1:
        return tr("Save 1 row")
    return tr("Save {n} rows").format(n=count_words(n)) if n else tr("Nothing new")


def told(found: BroughtIn, name: str, whose: str | None) -> str:
    """What bringing a file in did; `whose` where that is not who the window shows."""
    account = found.account
    left = account.refused + account.held
    said = tr("{file} was brought in{whose}: {new} new, {already} already here{left}.")
    return said.format(
        file=name,
        whose=tr(" for {name}").format(name=whose) if whose else "",
        new=count_words(account.new),
        already=count_words(account.already),
        left=tr(", {n} not taken").format(n=count_words(left)) if left else "",
    )


def _answer_words(answer: str) -> str:
    """The exact words of a command as the words of a button."""
    name, _, value = answer.partition(" ")
    if name == "--date-order":
        return {
            "dmy": tr("day, month, year"),
            "mdy": tr("month, day, year"),
            "ymd": tr("year, month, day"),
        }.get(value, value)
    if name == "--unit-from":
        if value == "none":
            return tr("No, one unit")
        return (
            tr("Yes: {turns}")
            .format(
                turns=", ".join(tr("from line {line}").format(line=t) for t in value.split(","))
            )
            .replace("=", " ")
        )
    return value


def _row_answer_words(word: str) -> str:
    return {
        SAME: tr("It is one"),
        TWO: tr("They are two"),
        CONTROL: tr("A control test"),
        GLUCOSE: tr("A reading"),
        KEEP: tr("Keep as written"),
        LEAVE_OUT: tr("Refuse the row"),
    }.get(word, tr("It is {unit}").format(unit=word))
