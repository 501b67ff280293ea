"""Value texts of files turned into glucose, bounds and amounts, each distinct text once."""

from __future__ import annotations

import re

from app.domain.errors import Refused
from app.domain.glucose import HIGHEST_MG_DL, Bound, Glucose, Unit
from app.domain.numerals import plain_number
from app.exchange.file_read import RowRefused
from app.exchange.recipe import OffScale
from app.exchange.units import unit_named

Measured = tuple[Glucose, str | None, str | None]  # result, why it is held, unit as written

# Outside these a row waits for a person: more likely a slip than a result. A rule of this diary.
LOWEST_TAKEN_MG_DL = 10.0
HIGHEST_TAKEN_MG_DL = 1000.0

_WITH_UNIT = re.compile(r"(.*\d)\s*([A-Za-z][A-Za-z/0-9 ]*)")
_SIGNS = {"<": Bound.BELOW, ">": Bound.ABOVE}


class Values(dict[str, Measured]):
    """The glucose of each value text in one unit; a text that is none raises `RowRefused`."""

    def __init__(self, unit: Unit | None, written: str | None, off_scale: OffScale) -> None:
        super().__init__()
        self._unit, self._written, self._off_scale = unit, written, off_scale

    def __missing__(self, text: str) -> Measured:
        glucose, written = self._glucose(text.strip())
        self[text] = measured = (glucose, why_held(glucose), written)
        return measured

    def _glucose(self, text: str) -> tuple[Glucose, str | None]:
        if not text:
            raise RowRefused("the value is missing")
        bound = self._off_scale.words.get(text.casefold())
        if bound is not None:
            scale = self._off_scale
            limit = scale.low_limit if bound is Bound.BELOW else scale.high_limit
            return Glucose(limit, self._known(self._unit), bound), self._written
        bound = _SIGNS.get(text[0], Bound.EXACT)
        rest = text if bound is Bound.EXACT else text[1:]
        unit, written = self._unit, self._written
        number = plain_number(rest)
        inline = None if number is not None else _WITH_UNIT.fullmatch(rest)
        if inline is not None and (named := unit_named(inline[2])) is not None:
            number, unit, written = plain_number(inline[1]), named, inline[2].strip()
        if number is None:
            raise RowRefused(f'"{text[:40]}" is not a plain number')
        return possible(Glucose(number, self._known(unit), bound)), written

    def _known(self, unit: Unit | None) -> Unit:
        if unit is None:
            raise RowRefused("the unit is missing")
        return unit


class ValuesByUnit(dict[str, Values]):
    """For a file with a unit column: the values of each unit text."""

    def __init__(self, otherwise: Values, off_scale: OffScale) -> None:
        super().__init__()
        self._otherwise, self._off_scale = otherwise, off_scale

    def __missing__(self, text: str) -> Values:
        unit = unit_named(text)
        if unit is None and text.strip():
            raise RowRefused(f'"{text.strip()[:40]}" is no unit of glucose')
        found = self._otherwise if unit is None else Values(unit, text.strip(), self._off_scale)
        self[text] = found
        return found


class Amounts(dict[str, str]):
    """The plain number of each dose text; 0 is a dose, anything but a number raises."""

    def __missing__(self, text: str) -> str:
        if not text.strip():
            raise RowRefused("the value is missing")
        number = plain_number(text)
        if number is None:
            raise RowRefused(f'"{text.strip()[:40]}" is not a plain number')
        self[text] = number
        return number


def possible(glucose: Glucose) -> Glucose:
    """The same glucose; 0 and 3,000 mg/dL or more raise `RowRefused`."""
    mg_dl = glucose.mg_dl
    if mg_dl is not None and mg_dl == 0:
        raise RowRefused("a glucose value is not 0")
    if mg_dl is not None and mg_dl >= HIGHEST_MG_DL:
        raise RowRefused(f"{glucose.value} {glucose.unit} is no glucose result")
    return glucose


def why_held(glucose: Glucose) -> str | None:
    """Why a result waits for a person, or None."""
    mg_dl = glucose.mg_dl
    if mg_dl is None or LOWEST_TAKEN_MG_DL <= mg_dl <= HIGHEST_TAKEN_MG_DL:
        return None
    side = "under 10 mg/dL (0.6 mmol/L)" if mg_dl < LOWEST_TAKEN_MG_DL else "over 1,000 mg/dL"
    side = side if mg_dl < LOWEST_TAKEN_MG_DL else f"{side} (55.5 mmol/L)"
    return f"{glucose.value} {glucose.unit} is {side}; look at the original"


def check_limits(off_scale: OffScale, unit: Unit) -> None:
    """Refuse meter limits of a recipe that can't be limits in the file's unit."""
    for limit in (off_scale.low_limit, off_scale.high_limit):
        glucose = Glucose(limit, unit, Bound.BELOW)
        mg_dl = glucose.mg_dl
        if mg_dl is not None and not LOWEST_TAKEN_MG_DL <= mg_dl <= HIGHEST_TAKEN_MG_DL:
            raise Refused(
                f"The recipe's off_scale limit {limit} can't be a meter's limit in {unit}; "
                "give it in the file's unit. Nothing was read."
            )
