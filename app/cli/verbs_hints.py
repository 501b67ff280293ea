"""The verb of quiet hints about what was written by hand: hints."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from app.cli.words import one_line, plural, value_words
from app.review.hints import ADDED_LATER, FOR_YOU_ALONE, NOT_IN_MEMORY, Hints, hints_of
from app.store.memory_cover import WrittenByHand

if TYPE_CHECKING:
    from app.cli.surroundings import Asked

_SHOWN = 20  # rows of each kind in the text; JSON has all


def _words_of_hints(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(verb=_hints)


WORDS = {"hints": _words_of_hints}


def _hints(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        found = hints_of(diary, person)
    if asked.options.json:
        asked.around.say_json(_as_json(found))
        return 0
    for line in _lines(found):
        asked.around.say(line)
    return 0


def _lines(found: Hints) -> Iterator[str]:
    yield f"{found.person.name}: {plural(found.written, 'result')} written by hand"
    if found.covered:
        yield (
            f"{len(found.not_in_memory)} of {found.covered} in the time of a copied memory are "
            f"{NOT_IN_MEMORY}"
        )
    else:
        yield "no copied memory covers the time of one of them"
    yield from _rows(found.not_in_memory)
    yield f"{plural(len(found.later), 'result')} {ADDED_LATER}, more than two hours after its time"
    yield from _rows(found.later)
    for each in found.rounding.units:
        if each.hint:
            yield f"typed in {each.unit}, n {each.n}: {each.hint}"
    yield FOR_YOU_ALONE


def _rows(rows: tuple[WrittenByHand, ...]) -> Iterator[str]:
    for each in rows[:_SHOWN]:
        yield one_line(f"  {each.wall.replace('T', ' ')}  {value_words(each.glucose)}")
    if len(rows) > _SHOWN:
        yield f"  and {len(rows) - _SHOWN} more; --json has all"


def _as_json(found: Hints) -> dict[str, Any]:
    return {
        "person": found.person.name,
        "written": found.written,
        "covered_by_a_memory": found.covered,
        "not_in_memory": [_row_json(each) for each in found.not_in_memory],
        "added_later": [_row_json(each) for each in found.later],
        "rounded": {each.unit.value: each.hint for each in found.rounding.units},
    }


def _row_json(each: WrittenByHand) -> dict[str, Any]:
    glucose = each.glucose
    return {
        "at": each.wall,
        "value": glucose.value,
        "bound": glucose.bound,
        "unit": glucose.unit,
        "meter": each.meter,
    }
