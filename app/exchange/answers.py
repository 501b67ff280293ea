"""A person's answers to the questions a file raised, put into its recipe for this one reading."""

from __future__ import annotations

import codecs
from dataclasses import replace

from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.exchange.recipe import DELIMITERS, ORDERS, Recipe
from app.exchange.units import unit_named

# Codecs of Python that are no encoding of a text file, or give code points that no text may hold.
_NO_ENCODINGS = frozenset(
    {
        "base64",
        "bz2",
        "hex",
        "quopri",
        "rot-13",
        "uu",
        "zlib",
        "idna",
        "punycode",
        "undefined",
        "utf-7",
        "raw-unicode-escape",
        "unicode-escape",
        "mbcs",
        "oem",
    }
)


def answered(
    recipe: Recipe | None,
    *,
    encoding: str | None = None,
    delimiter: str | None = None,
    date_order: str | None = None,
    unit: str | None = None,
    unit_from: str | None = None,
) -> Recipe:
    """The recipe (or none) with a person's answers for this one file put in.

    Raises
    ------
    Refused
        For an answer that means nothing here.
    """
    recipe = recipe or Recipe()
    if encoding is not None:
        recipe = replace(recipe, encoding=_encoding(encoding))
    if delimiter is not None:
        sign = DELIMITERS.get(delimiter, delimiter)
        if sign not in DELIMITERS.values():
            raise Refused(f'"{delimiter}" is no delimiter; say comma, semicolon, tab or bar.')
        recipe = replace(recipe, delimiter=sign)
    if date_order is not None:
        if date_order not in ORDERS:
            raise Refused(f'"{date_order}" is no order of a date; say dmy, mdy or ymd.')
        recipe = replace(recipe, date_order=date_order)
    if unit is not None:
        named = unit_named(unit)
        if named is None:
            raise Refused(f'"{unit}" is no unit of glucose; say mg/dL or mmol/L.')
        recipe = replace(recipe, unit=named, unit_settled=True)
    if unit_from is not None:
        recipe = replace(recipe, unit_from=_turns(unit_from))
    return recipe


def _turns(text: str) -> tuple[tuple[int, Unit], ...]:
    """From which lines on the unit is another one, from text such as "212=mg/dL,240=mmol/L"."""
    if text.strip().casefold() == "none":
        return ()
    found = []
    for part in text.split(","):
        line, _, word = part.partition("=")
        unit = unit_named(word)
        if unit is None or not (line.strip().isascii() and line.strip().isdigit()):
            raise Refused(f'"{part}" says no line and unit; say for instance 212=mg/dL, or none.')
        found.append((int(line), unit))
    return tuple(sorted(found))


def _encoding(name: str) -> str:
    try:
        found = codecs.lookup(name)
    except (LookupError, ValueError):
        found = None
    if found is None or found.name in _NO_ENCODINGS:
        raise Refused(f'"{name}" is no encoding known here; for instance utf-8, cp1252, utf-16.')
    return found.name
