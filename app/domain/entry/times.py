"""Times and dates in a typed line; what they come to is settled elsewhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from app.domain.entry.clocks import Day, When, clock_at
from app.domain.entry.dates import named_day_at, stamp_at
from app.domain.entry.found import Found, duration_at
from app.domain.entry.tokens import Line, phrase_at
from app.domain.entry.words import Words


def time_at(line: Line, at: int, words: Words, today: date, order: str) -> Found[When] | None:
    """A time or a date that starts at token `at`, with the small words before it."""
    first = at
    while line.is_word(first, words.at | words.on) and first < at + 1:
        first += 1
    found = _stretch(line, first, words) or stamp_at(line, first, today, order)
    found = found or clock_at(line, first, words) or named_day_at(line, first, words, today)
    if found is None or first == at:
        return found
    return replace(found, first=at)


def _stretch(line: Line, at: int, words: Words) -> Found[When] | None:
    """Read "10 min ago", "an hour ago", "2 days ago", "now"."""
    if now := phrase_at(line, at, words.now):
        return Found("time", at, now[1], When(ago_min=0))
    timed = duration_at(line, at, words)
    if timed and line.is_word(timed[1], words.ago):
        return Found("time", at, timed[1] + 1, When(ago_min=timed[0]))
    counted = phrase_at(line, at, words.counts)
    token = line.tokens[at] if at < len(line.tokens) else None
    if counted is None and token and token.kind == "number" and token.text.isdecimal():
        counted = (float(token.text[:6]), at + 1)
    if counted and line.is_word(counted[1], words.days) and line.is_word(counted[1] + 1, words.ago):
        what = When(day=Day(ahead=-int(min(counted[0], 99999))))
        return Found("date", at, counted[1] + 2, what)
    return None
