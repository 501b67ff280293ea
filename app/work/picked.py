"""A file that was picked in the window: read as the person says, and each of its rows told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import NamedTuple

from app.domain.errors import NeedsAnswer, Question, Refused
from app.domain.person import Person
from app.exchange.answers import answered
from app.exchange.file_read import ControlRow, FileRead, ReadingRow, Row
from app.exchange.peek import Peek, peek_at
from app.exchange.recipe import Recipe
from app.exchange.recipe_text import recipe_text
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import as_text, read_table
from app.exchange.unknown_words import UnknownWord, explained, unknown_words
from app.store import imports
from app.store.diary import Diary
from app.store.kit_rows import kit_of
from app.work.bring_in import BroughtIn, File, Step, bring_in, look_at_file
from app.work.file_times import Moment
from app.work.freeing import free_bit_by_bit
from app.work.kit_named import own_kit
from app.work.row_answers import NO_ANSWERS, RowAnswers

NEW, ALREADY, ONE, ASKED, HELD, REFUSED = "new", "already", "one", "asked", "held", "refused"


_LETTERS = "--encoding "


@dataclass(frozen=True, slots=True)
class Wish:
    """What the person said of a file; None where the file itself is to say it.

    `columns` names the place of each role, from 0; `words` explains words of values and codes.
    With `forget`, a recipe kept for such files is not used. `remember` is the name under which the
    way of reading is to be kept.
    """

    encoding: str | None = None
    delimiter: str | None = None
    date_order: str | None = None
    unit: str | None = None
    unit_from: str | None = None
    columns: Mapping[str, int] | None = None
    words: Mapping[tuple[str, str], str] = field(default_factory=dict)
    meter: str | None = None
    forget: bool = False
    remember: str | None = None
    answers: RowAnswers = NO_ANSWERS


class RowLine(NamedTuple):
    """A row of the file: its line, what becomes of it, why, and what was read of it, if it was."""

    line: int
    result: str
    why: str
    row: Row | None
    moment: Moment | None


@dataclass(frozen=True, slots=True)
class LookedAtPicked:
    """A picked file: what was read and how, the questions that stand before it, or its rows.

    `found` is None while a question is open; `recipe` is how it was read, `recipe_name` the kept
    recipe that it is known by, None for none.
    """

    peek: Peek
    read: FileRead
    recipe: Recipe
    recipe_name: str | None
    questions: tuple[Question, ...] = ()
    found: BroughtIn | None = None
    rows: list[RowLine] = field(default_factory=list)
    unknown: tuple[UnknownWord, ...] = ()
    meters: tuple[str, ...] = ()
    units: tuple[str, ...] = ()


def look_at_picked(
    diary: Diary, person: Person, name: str, data: bytes, wish: Wish, *, now: datetime
) -> LookedAtPicked:
    """Read a file as the person wishes and say where each row would go; nothing is written.

    Raises
    ------
    Refused
        It is no table at all, or what was said does not fit it.
    """
    recipe, kept = _recipe(diary, data, wish)
    peek = peek_at(as_text(data), recipe)
    if wish.columns is not None:
        recipe = _with_columns(recipe, peek, wish.columns)
    read = read_table(data, recipe, unit_hint=person.unit)
    own = own_kit(kit_of(diary), person).meters
    meters = tuple(dict.fromkeys(each.name for each in own))
    looked = LookedAtPicked(
        peek, read, recipe, kept, read.questions, meters=meters, units=_units(read)
    )
    if read.questions:
        return replace(looked, peek=_in_sight(peek, data, recipe, read))
    file = File(name, data, read, wish.meter)
    try:
        seen = look_at_file(diary, person, file, now=now, answers=wish.answers)
    except NeedsAnswer as asked:
        return replace(looked, questions=asked.questions)
    asked_lines = {question.line for question in seen.found.asked}
    rows = [
        *(RowLine(each.row.line, NEW, "", each.row, each.moment) for each in seen.plan.new),
        *(RowLine(each.row.line, NEW, "", each.row, each.moment) for each, _, _ in seen.plan.back),
        *(RowLine(e.row.line, ALREADY, "", e.row, e.moment) for e, _, _ in seen.plan.already),
        *(
            RowLine(one.placed.row.line, ONE, "", one.placed.row, one.placed.moment)
            for one in seen.plan.linked
        ),
    ]
    by_line = {row.line: row for row in seen.read.rows} if seen.found.held else {}
    for problem in seen.found.held:
        result = ASKED if problem.line in asked_lines else HELD
        rows.append(RowLine(problem.line, result, problem.why, by_line.get(problem.line), None))
    rows += [RowLine(each.line, REFUSED, each.why, None, None) for each in seen.found.refused]
    rows.sort(key=_line)
    return replace(
        looked,
        found=seen.found,
        rows=rows,
        unknown=tuple(unknown_words(read, recipe)),
    )


def bring_in_picked(
    diary: Diary,
    person: Person,
    name: str,
    data: bytes,
    wish: Wish,
    *,
    now: datetime,
    step: Step | None = None,
) -> BroughtIn:
    """Bring a picked file in as it was looked at, and keep how it was read where that is wished.

    Raises
    ------
    NeedsAnswer
        A question is open; nothing was changed.
    Refused
        It can't be read so; nothing was changed.
    """
    recipe, kept = _recipe(diary, data, wish)
    if wish.columns is not None:
        recipe = _with_columns(recipe, peek_at(as_text(data), recipe), wish.columns)
    if wish.remember is not None and kept is None:
        # The source stays as it was: else rows that came in before would all be new ones.
        recipe = replace(recipe, name=wish.remember)
    read = read_table(data, recipe, unit_hint=person.unit)
    text = None
    if wish.remember is not None and not read.ours:
        text = (recipe.name, recipe_text(_settled(recipe, read)))
    file = File(name, data, read, wish.meter)
    done = bring_in(diary, person, file, now=now, recipe=text, answers=wish.answers, step=step)
    free_bit_by_bit(read.rows)
    return done


def let_go(looked: LookedAtPicked) -> None:
    """Free the rows of a file, piece by piece."""
    free_bit_by_bit(looked.rows, looked.read.rows)


def kept_recipe(diary: Diary, data: bytes) -> tuple[str, str] | None:
    """Name and text of the recipe that was kept for files like this one."""
    text = as_text(data)
    peek = peek_at(text, Recipe())
    if not peek.lines:  # titles are mostly plain letters, whatever the encoding
        peek = peek_at(text, Recipe(encoding="latin-1"))
    with diary.reading() as connection:
        return imports.recipe_signed(connection, peek.signatures())


def _recipe(diary: Diary, data: bytes, wish: Wish) -> tuple[Recipe, str | None]:
    """The recipe to read with, and its name where it is a kept one."""
    kept = None if wish.forget else kept_recipe(diary, data)
    recipe = Recipe() if kept is None else read_recipe(kept[1], where=kept[0])
    recipe = answered(
        recipe,
        encoding=wish.encoding,
        delimiter=wish.delimiter,
        date_order=wish.date_order,
        unit=wish.unit,
        unit_from=wish.unit_from,
    )
    return explained(recipe, wish.words), None if kept is None else kept[0]


def _in_sight(peek: Peek, data: bytes, recipe: Recipe, read: FileRead) -> Peek:
    """The lines of a file whose letters are asked about, by the first of the answers."""
    answers = read.questions[0].answers
    if peek.lines or not answers[0].startswith(_LETTERS):
        return peek
    tried = peek_at(as_text(data), replace(recipe, encoding=answers[0].removeprefix(_LETTERS)))
    return Peek(lines=tried.lines, delimiter=tried.delimiter)


def _with_columns(recipe: Recipe, peek: Peek, columns: Mapping[str, int]) -> Recipe:
    """The recipe with the columns that were chosen, by number."""
    if "value" not in columns or not {"date", "datetime"} & columns.keys():
        raise Refused("Say which column holds the date and which the value. Nothing was read.")
    codes = recipe.codes if "code" in columns else {}
    numbers: dict[str, str | int] = {role: place + 1 for role, place in columns.items()}
    return replace(recipe, columns=numbers, header=None, skip=peek.skip, codes=codes)


def _settled(recipe: Recipe, read: FileRead) -> Recipe:
    """The recipe with what was found in this file, so that the next one is read the same way."""
    return replace(
        recipe,
        encoding=recipe.encoding or read.encoding,
        delimiter=recipe.delimiter or read.delimiter,
    )


def _units(read: FileRead) -> tuple[str, ...]:
    """The units that the results of a file have."""
    found = {row.glucose.unit for row in read.rows if isinstance(row, ReadingRow | ControlRow)}
    return tuple(sorted(unit.value for unit in found))


def _line(each: RowLine) -> int:
    return each.line
