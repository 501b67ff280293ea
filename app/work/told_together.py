"""The journal in sentences: two copies brought together, and what was said of the leftovers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from app.store.history import TOGETHER
from app.store.probably_one import SAID_ONE, SAID_TWO
from app.store.to_settle import SETTLED

Words = Mapping[str, Any]


def _together(words: Words) -> str:
    file = words.get("file") or "Another copy"
    readings = words.get("readings")
    new = readings.get("new") if isinstance(readings, Mapping) else None
    came = "" if new is None else f": {new:,} new {'reading' if new == 1 else 'readings'}"
    return f"{file} was brought together with this diary{came}."


def _one(words: Words) -> str:
    n = int(words.get("count", 0))
    if n == 1:
        return "Two readings were said to be one; the one typed later is in the bin."
    return f"{n:,} pairs of readings were said to be one each; those typed later are in the bin."


def _two(words: Words) -> str:
    n = int(words.get("count", 0))
    if n == 1:
        return "Two readings that looked like one were said to be two."
    return f"{n:,} pairs of readings that looked like one were said to be two each."


def _settled(words: Words) -> str:
    said = words.get("reading")
    if words.get("deleted"):
        return f"It was settled that the reading{f' {said}' if said else ''} is deleted."
    which = "the version that was shown" if words.get("keep") == "shown" else "the other version"
    return f"It was settled that {which} holds{f': {said}' if said else ''}."


TOLD_TOGETHER: dict[str, Callable[[Words], str]] = {
    TOGETHER: _together,
    SAID_ONE: _one,
    SAID_TWO: _two,
    SETTLED: _settled,
}
