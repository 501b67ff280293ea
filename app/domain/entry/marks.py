"""Marks, washed hands and sampling sites in a typed line."""

from __future__ import annotations

from app.domain.entry.found import Found, duration_at
from app.domain.entry.tokens import Line, phrase_at
from app.domain.entry.words import BEFORE_AND_AFTER, Words
from app.domain.marks import Mark

LONGEST_AFTER_MIN = 12 * 60

Marked = tuple[Mark, int | None]  # the mark, and minutes after the meal began
Site = tuple[str, str | None]


def mark_at(line: Line, at: int, words: Words) -> Found[Marked] | None:
    """A mark that starts at token `at`: "2h after lunch", "pre-meal", "at bedtime"."""
    if (timed := duration_at(line, at, words)) and timed[0] <= LONGEST_AFTER_MIN:
        minutes, stop = timed
        plain = _mark(line, stop, words)
        if (
            plain is None
            and phrase_at(line, stop, words.before)
            and not line.words_from(stop, 2)[1:]
        ):
            is_before, stop = phrase_at(line, stop, words.before) or (True, stop)
            plain = None if is_before else (Mark.AFTER_MEAL, stop)
        if plain and plain[0].is_after_meal:
            return Found("mark", at, plain[1], (plain[0], minutes))
        return None
    found = _mark(line, at, words)
    if found is None:
        return None
    mark, stop = found
    later = duration_at(line, stop, words) if mark.is_after_meal else None
    if later and later[0] <= LONGEST_AFTER_MIN and not line.is_word(later[1], words.ago):
        return Found("mark", at, later[1], (mark, later[0]))
    return Found("mark", at, stop, (mark, None))


def hands_at(line: Line, at: int, words: Words) -> Found[str] | None:
    """Whether the hands were washed, said at token `at`."""
    found = phrase_at(line, at, words.hands)
    return None if found is None else Found("hands", at, found[1], found[0])


def site_at(line: Line, at: int, words: Words) -> Found[Site] | None:
    """A sampling site that starts at token `at`: "left index", "from the palm"."""
    first = at
    while line.is_word(first, words.site_lead) and first < at + 2:
        first += 1
    said = line.words_from(first, 4)
    for size in range(len(said), 0, -1):
        site = _site(list(said[:size]), words)
        if site is not None:
            return Found("site", at, first + size, site)
    return None


def _mark(line: Line, at: int, words: Words) -> tuple[Mark, int] | None:
    """A mark without minutes, and the token after it; the longer of two readings wins."""
    options = [phrase_at(line, at, words.marks), _meal_mark(line, at, words)]
    found = [option for option in options if option is not None]
    return max(found, key=lambda option: option[1]) if found else None


def _meal_mark(line: Line, at: int, words: Words) -> tuple[Mark, int] | None:
    glued = "".join(line.words_from(at, 1))
    for prefix, is_before in words.glued.items():
        meal = words.meals.get((glued.removeprefix(prefix),))
        if glued.startswith(prefix) and meal:
            return BEFORE_AND_AFTER[meal][not is_before], at + 1
    start = at + 1 if line.is_word(at, words.adverbs) else at
    side = phrase_at(line, start, words.before)
    if side is None:
        return None
    is_before, stop = side
    while line.is_word(stop, words.articles) and line.joined(stop):
        stop += 1
    found = phrase_at(line, stop, words.meals) if line.joined(stop) else None
    if found is None:
        return None
    return BEFORE_AND_AFTER[found[0]][not is_before], found[1]


def _site(said: list[str], words: Words) -> Site | None:
    sides = [words.sides[word] for word in said if word in words.sides]
    rest = [word for word in said if word not in words.sides]
    if len(sides) > 1 or not rest:
        return None
    side = sides[0] if sides else None
    part = tuple(word for word in rest if word not in words.hand)
    if part in words.sites:
        return words.sites[part], side
    if part == ("arm",) and side:
        return "other", f"{side} arm"
    names = [words.fingers[word] for word in part if word in words.fingers]
    others = [word for word in part if word not in words.fingers]
    if len(names) > 1 or any(word not in words.finger for word in others):
        return None
    if not names:
        if others:
            return "finger", f"{side} hand" if side else None
        return ("finger", f"{side} hand") if side else None
    name, alone = names[0]
    if not (alone or side or others):
        return None
    return "finger", f"{side} {name}" if side else name
