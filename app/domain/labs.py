"""A laboratory's result as typed: an A1C in % or mmol/mol, or a glucose."""

from __future__ import annotations

import re
from dataclasses import dataclass

from app.domain.errors import NeedsAnswer, Question, Refused
from app.domain.glucose import Unit
from app.domain.numerals import ascii_digits, plain_number

A1C, GLUCOSE = "a1c", "glucose"
PERCENT, MMOL_MOL = "%", "mmol/mol"

# What laboratories print lies within these; beyond it is asked about (a rule of this diary).
_USUAL = {
    PERCENT: (3.0, 20.0),
    MMOL_MOL: (9.0, 195.0),
    Unit.MG_DL.value: (20.0, 600.0),
    Unit.MMOL_L.value: (1.1, 33.3),
}
_OTHER = {PERCENT: MMOL_MOL, MMOL_MOL: PERCENT, "mg/dL": "mmol/L", "mmol/L": "mg/dL"}
_MOST = 3000.0
_TYPED = re.compile(r"(?:a1c|hba1c|glucose)?\s*:?\s*([\d.,]+)\s*(.*)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class LabResult:
    """A result as printed; `kind` is "a1c" or "glucose"."""

    kind: str
    value: str
    unit: str

    @property
    def shown(self) -> str:
        """The result as a person reads it: "A1C 7.9 %", "glucose 6.1 mmol/L"."""
        return f"{'A1C' if self.kind == A1C else 'glucose'} {self.value} {self.unit}"


def read_lab(text: str, *, sure: bool = False) -> LabResult:
    """Read a typed result: "7.9 %", "63 mmol/mol", "6.1 mmol/L".

    Parameters
    ----------
    sure : bool, default False
        Keep an odd value as typed.

    Raises
    ------
    Refused
        It is no such result.
    NeedsAnswer
        The unit is not said, or another unit fits better. In both cases nothing was saved.
    """
    found = _TYPED.fullmatch(" ".join(ascii_digits(text).split()))
    value = plain_number(found[1]) if found else None
    if found is None or value is None or not 0 < float(value) < _MOST:
        raise _no_result(text)
    said = found[2].casefold().replace(" ", "").removeprefix("of")
    if not said:
        answers = tuple(f'"{value} {unit}"' for unit in _USUAL)
        asks = f"Which unit does the laboratory print beside {value}? Nothing was saved yet."
        raise NeedsAnswer((Question("unit", asks, answers),))
    unit = next((each for each in _USUAL if each.casefold() == said), None)
    if unit is None:
        raise _no_result(text)
    if not _is_usual(value, unit) and not sure:
        other = _OTHER[unit]
        fits = (f'"{value} {other}"',) if _is_usual(value, other) else ()
        low, high = _USUAL[unit]
        asks = (
            f"{value} {unit} is outside what laboratories usually print ({low:g} to {high:g}). "
            "Is the unit right? Nothing was saved yet."
        )
        raise NeedsAnswer((Question("value", asks, (*fits, "--sure")),))
    return LabResult(A1C if unit in (PERCENT, MMOL_MOL) else GLUCOSE, value, unit)


def _is_usual(value: str, unit: str) -> bool:
    low, high = _USUAL[unit]
    return low <= float(value) <= high


def _no_result(text: str) -> Refused:
    return Refused(
        f'"{text.strip()}" is no result of a laboratory that can be kept. Nothing was saved; give '
        'it with its unit, for instance "7.9 %", "63 mmol/mol" or "6.1 mmol/L".'
    )
