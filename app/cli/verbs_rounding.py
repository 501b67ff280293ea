"""The verb that looks at the last digits of values typed by hand: rounding."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from app.domain.numerals import half_up
from app.review.rounding import Rounding, RoundingOf, rounding_of
from app.store.typed_values import typed_values

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def _words_of_rounding(shown: argparse.ArgumentParser) -> None:
    shown.add_argument("--json", action="store_true")
    shown.set_defaults(verb=_rounding)


WORDS = {"rounding": _words_of_rounding}


def _rounding(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        found = rounding_of(person, typed_values(diary, person))
    if asked.options.json:
        asked.around.say_json(_as_json(found))
        return 0
    for line in _lines(found):
        asked.around.say(line)
    return 0


def _lines(found: Rounding) -> Iterator[str]:
    if not found.units:
        yield f"No value of {found.person.name} was typed by hand."
        return
    for each in found.units:
        yield from _unit_lines(each)
    yield "For you alone: this is on no page for the clinic."


def _unit_lines(each: RoundingOf) -> Iterator[str]:
    yield f"Typed in {each.unit}: n {each.n}"
    if each.finer:
        yield f"  left out, more decimals than a meter shows: {each.finer}"
    if each.missing is not None:
        yield f"  last digits not shown: {each.missing.why}"
        return
    counts = ", ".join(f"{digit}: {count}" for digit, count in enumerate(each.digits.counts))
    yield f"  last digits {counts}"
    expected = half_up(each.expected, 0)
    yield (
        f"  {each.digits.round_count} of {each.n} end in 0 or 5; about {expected} would if every "
        "digit were as likely"
    )
    if each.hint:
        yield f"  {each.hint}"


def _as_json(found: Rounding) -> dict[str, Any]:
    return {
        "person": found.person.name,
        "units": {each.unit.value: _unit_json(each) for each in found.units},
    }


def _unit_json(each: RoundingOf) -> dict[str, Any]:
    digits, shown = each.digits, each.missing is None
    return {
        "n": each.n,
        "finer_left_out": each.finer,
        "last_digits": list(digits.counts),
        "zero_or_five": digits.round_count,
        "expected_zero_or_five": each.expected,
        "chi_square": digits.chi_square if shown else _missing(each),
        "p_even": digits.p_even if shown else _missing(each),
        "p_zero_or_five": digits.p_round if shown else _missing(each),
        "hint": each.hint,
    }


def _missing(each: RoundingOf) -> dict[str, str]:
    return {"missing": each.missing.why if each.missing else ""}
