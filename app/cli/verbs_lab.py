"""The verb that shows laboratory values beside the readings before them: lab."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Any

from app.cli.words import plural
from app.domain.a1c import A1cUnit, TranslatedAverage, shown_a1c
from app.domain.glucose import Unit
from app.review.figure import Missing
from app.review.figures_json import evened_as_json, mean_as_json
from app.review.lab import A1cValue, LabValues, ReadingsBefore, lab_values
from app.review.record import record_of
from app.review.words import evened_words, mean_words
from app.store.happenings import labs_of

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def _words_of_lab(shown: argparse.ArgumentParser) -> None:
    shown.add_argument("--json", action="store_true")
    shown.set_defaults(verb=_lab)


WORDS = {"lab": _words_of_lab}


def _lab(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        found = lab_values(record_of(diary, person), labs_of(diary, person), now=asked.around.now)
    if asked.options.json:
        asked.around.say_json(_as_json(found))
        return 0
    for line in _lines(found):
        asked.around.say(line)
    return 0


def _lines(found: LabValues) -> Iterator[str]:
    unit = found.person.unit
    if not (found.a1c or found.glucose or found.unreadable):
        yield f"No laboratory value of {found.person.name} is written down."
    for each in found.a1c:
        yield from _a1c_lines(each, unit)
    if found.a1c:
        yield "Why the two differ; they measure different things:"
        for reason in found.reasons:
            yield f"- {reason}"
    for glucose in found.glucose:
        yield f"{glucose.day}  laboratory glucose {glucose.value} {glucose.unit}"
    for lab in found.unreadable:
        yield f"{lab.at.wall[:10]}  {lab.value} {lab.unit}: not a number that can be read"


def _a1c_lines(each: A1cValue, unit: Unit) -> Iterator[str]:
    percent = shown_a1c(each.percent, A1cUnit.PERCENT)
    mmol_mol = shown_a1c(each.mmol_mol, A1cUnit.MMOL_MOL)
    yield f"{each.day}  A1C from the laboratory: {percent} % ({mmol_mol} mmol/mol)"
    yield f"  estimated from your lab A1C: {_average_words(each.average)}"
    yield f"  your readings, {_period_words(each.before)}: {_readings_words(each.before, unit)}"
    for reason in each.reasons:
        yield f"  {reason}"


def _average_words(average: TranslatedAverage | Missing) -> str:
    if isinstance(average, Missing):
        return f"not shown: {average.why}"
    unit = average.unit
    value, low, high = (_rounded(each, unit) for each in (average.value, average.low, average.high))
    between = ", between two printed rows" if average.between_rows else ""
    return (
        f"average glucose {value} {unit} (95 %: {low} to {high}{between}), a translation of the "
        "lab value"
    )


def _period_words(before: ReadingsBefore) -> str:
    period = before.period
    return f"the {period.days} days {period.first} to {period.last}"


def _readings_words(before: ReadingsBefore, unit: Unit) -> str:
    if not before.n:
        return "none"
    on = plural(before.days_with_readings, "day")
    return (
        f"plain average {mean_words(before.mean, unit)}, evened "
        f"{evened_words(before.evened, unit)}, {unit}, n {before.n} on {on}"
    )


def _rounded(number: Decimal, unit: Unit) -> str:
    return str(number.quantize(Decimal(1).scaleb(-unit.places), ROUND_HALF_UP))


def _as_json(found: LabValues) -> dict[str, Any]:
    return {
        "person": found.person.name,
        "unit": found.person.unit.value,
        "a1c": [_a1c_json(each) for each in found.a1c],
        "reasons": list(found.reasons),
        "glucose": [
            {"day": each.day.isoformat(), "value": each.value, "unit": each.unit.value}
            for each in found.glucose
        ],
        "unreadable": [
            {"at": each.at.wall, "value": each.value, "unit": each.unit}
            for each in found.unreadable
        ],
    }


def _a1c_json(each: A1cValue) -> dict[str, Any]:
    average, before = each.average, each.before
    return {
        "day": each.day.isoformat(),
        "value": each.value,
        "value_unit": each.unit.value,
        "percent": float(each.percent),
        "mmol_mol": float(each.mmol_mol),
        "eag": {"missing": average.why}
        if isinstance(average, Missing)
        else {
            "value": float(average.value),
            "low": float(average.low),
            "high": float(average.high),
            "between_rows": average.between_rows,
            "label": "estimated from your lab A1C",
        },
        "readings_before": {
            "first": before.period.first.isoformat(),
            "last": before.period.last.isoformat(),
            "days": before.period.days,
            "n": before.n,
            "days_with_readings": before.days_with_readings,
            "at_night": before.at_night,
            "in_doubt": before.in_doubt,
            "mean": mean_as_json(before.mean),
            "evened": evened_as_json(before.evened),
            "trust": {
                "verdict": before.trust.verdict,
                "reasons": list(before.trust.reasons),
            },
        },
        "reasons": list(each.reasons),
    }
