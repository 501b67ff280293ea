"""Words of a file that no recipe knows yet: of values off the scale, of codes, of marks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace

from app.domain.glucose import Bound
from app.domain.marks import Mark
from app.exchange.file_read import FileRead
from app.exchange.recipe import ControlAs, LeftOut, MarkAs, Meaning, Recipe

VALUE, CODE, MARK = "value", "code", "mark"
BELOW, ABOVE = "below", "above"
AS_GLUCOSE, AS_CONTROL, AS_NOTHING = "glucose", "control", "leave-out"
_LONGEST = 16
_MOST_MARKS = 16  # more of them are no signs of a meter but what somebody wrote


@dataclass(frozen=True, slots=True)
class UnknownWord:
    """A word, in what kind of column it stands, in how many rows, and its first line.

    For a mark both are 0: its rows are taken, with the word in the note.
    """

    kind: str
    word: str
    rows: int
    line: int


def unknown_words(read: FileRead, recipe: Recipe) -> list[UnknownWord]:
    """The words that a person could explain: of refused rows the commonest first, then of marks."""
    if read.delimiter is None:
        return []
    roles = dict(read.roles)
    counts: Counter[tuple[str, str]] = Counter()
    lines: dict[tuple[str, str], int] = {}
    for problem in read.problems:
        fields = [field.strip(' "') for field in problem.text.split(read.delimiter)]
        for kind in (CODE, VALUE):
            place = roles.get(kind)
            if place is None or place >= len(fields):
                continue
            word = fields[place]
            if kind == CODE:
                found = word not in recipe.codes
            else:
                found = _is_word(word) and word.casefold() not in recipe.off_scale.words
            if found:
                counts[kind, word] += 1
                lines.setdefault((kind, word), problem.line)
                break
    found = [
        UnknownWord(kind, word, rows, lines[kind, word])
        for (kind, word), rows in counts.most_common()
    ]
    marks = read.strange_marks
    if len(marks) <= _MOST_MARKS and all(len(word) <= _LONGEST for word in marks):
        found += [UnknownWord(MARK, word, 0, 0) for word in marks]
    return found


def explained(recipe: Recipe, said: Mapping[tuple[str, str], str]) -> Recipe:
    """The recipe with words explained, by kind and word: below, above, glucose, a mark's code."""
    words, codes = dict(recipe.off_scale.words), dict(recipe.codes)
    marks = dict(recipe.marks)
    for (kind, word), meaning in said.items():
        if kind == VALUE and meaning in (BELOW, ABOVE):
            words[word.casefold()] = Bound.BELOW if meaning == BELOW else Bound.ABOVE
        elif kind == CODE:
            codes[word] = _meaning(word, meaning)
        elif kind == MARK and meaning != AS_NOTHING:
            marks[word.casefold()] = Mark(meaning)
    scale = replace(recipe.off_scale, words=words)
    return replace(recipe, off_scale=scale, codes=codes, marks=marks)


def _meaning(word: str, meaning: str) -> Meaning:
    if meaning == AS_CONTROL:
        return ControlAs()
    if meaning == AS_NOTHING:
        return LeftOut(f'rows with the code "{word}"')
    return MarkAs() if meaning == AS_GLUCOSE else MarkAs(Mark(meaning))


def _is_word(text: str) -> bool:
    plain = text.replace(" ", "").replace("-", "")
    return 0 < len(plain) <= _LONGEST and plain.isalpha()
