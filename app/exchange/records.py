"""Lines of text cut into CSV records, strictly: a stray quotation mark never swallows rows."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.errors import Problem

LONGEST_FIELD = 10_000
_MOST_FIELDS = 1_000
_SHOWN = 200
_DIGIT = re.compile(r"\d")
_TOO_LONG = "a field is too long"
_BROKEN = {
    "unexpected end of data": "a quotation mark that opens here is never closed",
    "expected after": "a quotation mark is closed in the middle of a field",
    "field larger than": _TOO_LONG,
}


@dataclass(frozen=True, slots=True)
class Sheet:
    """The lines of a file with their ends, from line `first` (counted from 0) on.

    `loose` passes over spaces before a field, as files of others need; our own keep them.
    """

    lines: list[str]
    delimiter: str
    first: int = 0
    damaged: bool = False
    loose: bool = True
    longest: int = LONGEST_FIELD

    def records(
        self, problems: list[Problem], *, date_at: int | None = None
    ) -> Iterator[tuple[int, list[str]]]:
        """Each record with the number of its first line, from 1; broken ones go to `problems`.

        Blank lines are passed over. After a broken record, reading goes on at the next line. With
        `date_at`, a quoted field is broken if it holds lines that look like whole rows themselves.
        """
        if any('"' in line for line in self.lines):
            return self._quoted(problems, date_at)
        return self._plain(problems)

    def _plain(self, problems: list[Problem]) -> Iterator[tuple[int, list[str]]]:
        delimiter = self.delimiter
        lines = self.lines if not self.first else self.lines[self.first :]
        for number, line in enumerate(lines, self.first + 1):
            if line.isspace():
                continue
            fields = line.rstrip("\r\n").split(delimiter)
            if self.damaged or len(line) > self.longest:
                why = self._why_not(fields)
                if why is not None:
                    problems.append(problem_at(number, line, why))
                    continue
            yield number, fields

    def _quoted(
        self, problems: list[Problem], date_at: int | None
    ) -> Iterator[tuple[int, list[str]]]:
        lines = self.lines
        at = self.first
        while at < len(lines):
            reader = csv.reader(
                map(lines.__getitem__, range(at, len(lines))),
                delimiter=self.delimiter,
                strict=True,
                skipinitialspace=self.loose,
            )
            start, begins = at, at
            try:
                for fields in reader:
                    this, begins = begins, start + reader.line_num
                    if not fields or (len(fields) == 1 and not fields[0].strip()):
                        continue
                    if self.damaged or begins - this > 1 or len(lines[this]) > self.longest:
                        why = self._why_not(fields) or self._swallowed(
                            fields, this, begins, date_at
                        )
                        if why is not None:
                            begins = this
                            raise csv.Error(why)
                    yield this + 1, fields
                at = len(lines)
            except csv.Error as problem:
                problems.append(problem_at(begins + 1, lines[begins], _in_words(str(problem))))
                at = begins + 1

    def _why_not(self, fields: list[str]) -> str | None:
        if max(map(len, fields)) > self.longest:
            return _TOO_LONG
        if len(fields) > _MOST_FIELDS:
            return f"the row has more than {_MOST_FIELDS:,} fields"
        if self.damaged and any("\ufffd" in field for field in fields):
            return "the row holds bytes that the encoding does not know"
        return None

    def _swallowed(
        self, fields: list[str], began: int, end: int, date_at: int | None
    ) -> str | None:
        if date_at is None or date_at >= len(fields):
            return None
        shape = _DIGIT.sub("9", fields[date_at].strip())
        for line in self.lines[began + 1 : end]:
            parts = line.split(self.delimiter)
            if len(parts) == len(fields) and _DIGIT.sub("9", parts[date_at].strip(' "')) == shape:
                return "a quotation mark that opens here runs over whole rows"
        return None


def lines_of(text: str) -> list[str]:
    """The physical lines of a text with their ends: LF, CR LF or CR, and no other."""
    return list(io.StringIO(text, newline=""))


def problem_at(line: int, text: str, why: str) -> Problem:
    """A problem with its text cut to what can be shown."""
    shown = text.rstrip("\r\n")
    return Problem(line, shown if len(shown) <= _SHOWN else f"{shown[: _SHOWN - 3]}...", why)


def _in_words(message: str) -> str:
    return next((words for part, words in _BROKEN.items() if part in message), message)
