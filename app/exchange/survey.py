"""A look through the whole file before any row is read, for what is decided once for all."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, replace
from itertools import islice

from app.domain.errors import Question
from app.domain.glucose import Unit
from app.exchange.columns import Columns
from app.exchange.layout import Table
from app.exchange.moments import Split, holds_times, splitter
from app.exchange.recipe import MarkAs, Recipe
from app.exchange.unit_flips import UnitRun, flip_question, unit_runs
from app.exchange.units import settle_unit, title_question, unit_named

_A_LOOK = 50  # texts that tell how a column is written


@dataclass(frozen=True, slots=True)
class Survey:
    """What the whole file holds: each date with its first line, values by unit text, unit runs."""

    dates: dict[str, int]
    values: dict[str, Counter[str]]
    split: Split
    runs: list[UnitRun]


def survey_of(table: Table, recipe: Recipe) -> tuple[Table, Survey]:
    """The dates and values of a table, and the table with its date column better known."""
    columns = table.columns
    at = columns.at
    date_at, value_at = columns.date_at, at["value"]
    unit_at, code_at = at.get("unit"), at.get("code")
    glucose = {code for code, meaning in recipe.codes.items() if isinstance(meaning, MarkAs)}
    days: dict[str, int] = {}
    values: defaultdict[str, Counter[str]] = defaultdict(Counter)
    unnamed: list[tuple[int, str]] = []
    need = max(date_at, value_at, unit_at or 0, code_at or 0)
    for line, fields in table.data():
        if len(fields) <= need:
            continue
        days.setdefault(fields[date_at], line)
        if code_at is None or fields[code_at].strip() in glucose:
            said = "" if unit_at is None else fields[unit_at]
            text = fields[value_at]
            values[said][text] += 1
            if not said:
                unnamed.append((line, text))
    look = list(islice(days, _A_LOOK))
    split = splitter(look, recipe.date_format)
    if "datetime" not in at and "time" not in at and holds_times(look, split):
        moved = {**at, "datetime": at["date"]}
        del moved["date"]
        table = replace(table, columns=replace(columns, at=moved))
    if "datetime" in table.columns.at:
        joined, days = days, {}
        for moment, line in joined.items():
            days.setdefault(split(moment.strip())[0], line)
    return table, Survey(days, values, split, unit_runs(unnamed))


def column_unit(
    survey: Survey, recipe: Recipe, columns: Columns, hint: Unit | None
) -> tuple[Unit, Question | None]:
    """The unit of the rows that name none themselves, and the question that stands against it."""
    title = columns.title_unit[0] if columns.title_unit else None
    if title and recipe.unit and title is not recipe.unit and not recipe.unit_settled:
        return recipe.unit, title_question(columns.value_title, title, recipe.unit)
    if recipe.unit_from is None and len(survey.runs) > 1:
        return Unit.MG_DL, flip_question(survey.runs)
    if recipe.unit_from and survey.runs:
        settled = recipe.unit if recipe.unit_settled else None
        return settled or survey.runs[0].unit, None
    unnamed: Counter[str] = Counter()
    question = None
    for said, counts in survey.values.items():
        named = unit_named(said)
        if named is not None:
            question = question or settle_unit(counts, stated=named, hint=hint)[1]
        elif not said.strip():
            unnamed.update(counts)
    unit, open_question = settle_unit(unnamed, stated=recipe.unit or title, hint=hint)
    return unit or Unit.MG_DL, question or open_question
