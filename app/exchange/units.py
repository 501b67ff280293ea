"""The unit of a whole column, settled once for the file or asked; never row by row."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping

from app.domain.errors import Question
from app.domain.glucose import Unit
from app.domain.numerals import plain_number

# A middle value above 35 is no mmol/L of a living person's diary, one under 20 no mg/dL: meters
# measure 20 to 600 mg/dL (1.1 to 33.3 mmol/L). A rule of this diary.
TOO_HIGH_FOR_MMOL = 35.0
TOO_LOW_FOR_MG = 20.0
_STRAYS = 0.05  # share of values that may contradict the others

_IN_TEXT = re.compile(r"(mg\s*/\s*(?:dl|100\s*ml)|mmol\s*/\s*l)", re.IGNORECASE)


def unit_named(text: str) -> Unit | None:
    """The unit of a text that holds nothing else.

    >>> unit_named(" MG/DL"), unit_named("mmol"), unit_named("g/L")
    (<Unit.MG_DL: 'mg/dL'>, <Unit.MMOL_L: 'mmol/L'>, None)
    """
    word = "".join(text.split()).casefold()
    if word in ("mg/dl", "mgdl", "mg/100ml"):
        return Unit.MG_DL
    return Unit.MMOL_L if word in ("mmol/l", "mmol", "mmoll") else None


def unit_within(text: str) -> tuple[Unit, str] | None:
    """The unit named in a column's title, with the words that name it; None for none or both.

    >>> unit_within("Glucose (mmol/L)")
    (<Unit.MMOL_L: 'mmol/L'>, 'mmol/L')
    """
    words = _IN_TEXT.findall(text)
    units = {unit_named(word) for word in words}
    unit = units.pop() if len(units) == 1 else None
    return None if unit is None else (unit, words[0])


def settle_unit(
    values: Mapping[str, int], *, stated: Unit | None, hint: Unit | None
) -> tuple[Unit | None, Question | None]:
    """The unit of a column from what is stated and what its values allow.

    Parameters
    ----------
    values : mapping of text to count
        The value texts of the glucose rows; those that are no number are passed over.
    stated : Unit or None
        What the recipe, the unit column or the title says.
    hint : Unit or None
        The person's unit: asked about first, never taken as the answer.

    Returns
    -------
    unit, question
        One of them is None. Without any number the stated unit (or the hint) stands.
    """
    numbers = _numbers(values)
    if not numbers:
        return stated or hint or Unit.MG_DL, None
    fits = _fitting(numbers)
    if stated is None:
        return (fits, None) if fits else (None, _which(numbers, hint))
    middle = _median(numbers)
    wrong = middle > TOO_HIGH_FOR_MMOL if stated is Unit.MMOL_L else middle < TOO_LOW_FOR_MG
    return (None, _contradiction(stated, middle)) if wrong else (stated, None)


def title_question(title: str, said: Unit, recipe_unit: Unit) -> Question:
    """Ask about a column whose title names another unit than the recipe."""
    return Question(
        "unit",
        f'The column "{title}" says {said}, the recipe says {recipe_unit}. Which is it? '
        "Nothing was read.",
        (f"--unit {said}", f"--unit {recipe_unit}"),
    )


def _numbers(values: Mapping[str, int]) -> Counter[float]:
    found: Counter[float] = Counter()
    for text, count in values.items():
        plain = plain_number(text.strip().lstrip("<>"))
        if plain is not None and float(plain) > 0:
            found[float(plain)] += count
    return found


def _fitting(numbers: Counter[float]) -> Unit | None:
    """The only unit that the values can have; None where both or neither can."""
    total, middle = numbers.total(), _median(numbers)
    if middle > TOO_HIGH_FOR_MMOL:
        strays = sum(count for number, count in numbers.items() if number < 10)
        return Unit.MG_DL if strays <= _STRAYS * total else None
    strays = sum(count for number, count in numbers.items() if number > TOO_HIGH_FOR_MMOL)
    in_parts = any(number % 1 for number in numbers)
    if middle < TOO_LOW_FOR_MG and in_parts and strays <= _STRAYS * total:
        return Unit.MMOL_L
    return None


def _median(numbers: Counter[float]) -> float:
    """The lower median: which of two middle values is taken makes no difference here."""
    half, passed = (numbers.total() + 1) // 2, 0
    for number in sorted(numbers):
        passed += numbers[number]
        if passed >= half:
            return number
    raise ValueError("no numbers")


def _which(numbers: Counter[float], hint: Unit | None) -> Question:
    first = hint or Unit.MG_DL
    return Question(
        "unit",
        f"The file names no unit, and its values ({min(numbers):g} to {max(numbers):g}) could be "
        "mg/dL or mmol/L. Which is it? Nothing was read.",
        (f"--unit {first}", f"--unit {first.other}"),
    )


def _contradiction(stated: Unit, middle: float) -> Question:
    return Question(
        "unit",
        f"The values are said to be {stated}, but their middle one is {middle:g}, which looks like "
        f"{stated.other}. Is the unit {stated.other}? Nothing was read.",
        (f"--unit {stated.other}",),
    )
