"""One walk over a line: its times, marks, sites and the hands, the longest that fits."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from app.domain.entry.clocks import When
from app.domain.entry.draft import Draft
from app.domain.entry.found import Found
from app.domain.entry.marks import Marked, Site, hands_at, mark_at, site_at
from app.domain.entry.times import time_at


@dataclass(slots=True)
class Parts:
    """What was recognised, each kind in the order typed."""

    times: list[Found[When]] = field(default_factory=list)
    marks: list[Found[Marked]] = field(default_factory=list)
    sites: list[Found[Site]] = field(default_factory=list)
    hands: list[Found[str]] = field(default_factory=list)


def take_parts(draft: Draft, today: date, order: str) -> Parts:
    """Recognise what stands in a line and take its tokens; `today` is that of the place."""
    parts = Parts()
    i = 0
    while i < len(draft.line.tokens):
        stop = _next(draft, i, parts, today, order)
        if stop is None:
            i += 1
        else:
            draft.taken[i:stop] = [True] * (stop - i)
            i = stop
    return parts


def _next(draft: Draft, at: int, parts: Parts, today: date, order: str) -> int | None:
    """Note what starts at token `at`; the token after it, or None where nothing does."""
    line, words = draft.line, draft.words
    if line.tokens[at].kind not in ("word", "number", "mixed"):
        return None
    mark = mark_at(line, at, words)
    time = time_at(line, at, words, today, order)
    if time and (mark is None or time.stop >= mark.stop):
        if _is_of_the_note(draft, time):
            return None
        parts.times.append(time)
        return time.stop
    if mark:
        parts.marks.append(mark)
        return mark.stop
    if hands := hands_at(line, at, words):
        parts.hands.append(hands)
        return hands.stop
    if site := site_at(line, at, words):
        parts.sites.append(site)
        return site.stop
    return None


def _is_of_the_note(draft: Draft, time: Found[When]) -> bool:
    """Whether a date like 12/3 stands right behind a word of the note: "ate 1/2 banana"."""
    line, at = draft.line, time.first
    if "/" not in time.typed(line) or at == 0 or draft.taken[at - 1] or not line.joined(at):
        return False
    return line.tokens[at - 1].kind == "word" and not line.is_word(at - 1, draft.words.joining)
