"""Words of a file that no recipe knows yet: of values off the scale, of codes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace

from app.domain.glucose import Bound
from app.exchange.file_read import FileRead
from app.exchange.recipe import ControlAs, LeftOut, MarkAs, Meaning, Recipe

VALUE, CODE = "value", "code"
BELOW, ABOVE = "below", "above"
AS_GLUCOSE, AS_CONTROL, AS_NOTHING = "glucose", "control", "leave-out"
_LONGEST = 16


@dataclass(frozen=True, slots=True)
class UnknownWord:
    """A word, in what kind of column it stands, in how many rows, and its first line."""

    kind: str
    word: str
    rows: int
    line: int


def unknown_words(read: FileRead, recipe: Recipe) -> list[UnknownWord]:
    """The words among the refused rows that a person could explain, the commonest first."""
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
    return [
        UnknownWord(kind, word, rows, lines[kind, word])
        for (kind, word), rows in counts.most_common()
    ]


def explained(recipe: Recipe, said: Mapping[tuple[str, str], str]) -> Recipe:
    """The recipe with words explained, by kind and word: below, above, glucose and so on."""
    words, codes = dict(recipe.off_scale.words), dict(recipe.codes)
    for (kind, word), meaning in said.items():
        if kind == VALUE and meaning in (BELOW, ABOVE):
            words[word.casefold()] = Bound.BELOW if meaning == BELOW else Bound.ABOVE
        elif kind == CODE:
            codes[word] = _meaning(word, meaning)
    return replace(recipe, off_scale=replace(recipe.off_scale, words=words), codes=codes)


def _meaning(word: str, meaning: str) -> Meaning:
    if meaning == AS_CONTROL:
        return ControlAs()
    return MarkAs() if meaning == AS_GLUCOSE else LeftOut(f'rows with the code "{word}"')


def _is_word(text: str) -> bool:
    plain = text.replace(" ", "").replace("-", "")
    return 0 < len(plain) <= _LONGEST and plain.isalpha()
