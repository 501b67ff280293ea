"""A ketone result as typed, and the bands that published tables put it in."""

from __future__ import annotations

import re
from dataclasses import dataclass

from app.domain.errors import NeedsAnswer, Question, Refused
from app.domain.glucose import Bound
from app.domain.numerals import ascii_digits, plain_number

UNIT = "mmol/L"  # of beta-hydroxybutyrate in blood
BLOOD, URINE = "blood", "urine"
URINE_LEVELS = ("negative", "trace", "small", "moderate", "large")

# Home meters for ketones show up to 8.0 mmol/L: common practice, no source.
_USUAL_UP_TO = 8.0
_NEVER_FROM = 30.0  # a rule of this diary: no result of a blood test
_TYPED = re.compile(r"([<>]?)\s*([\d.,]+)\s*(mmol(?:/l)?)?", re.IGNORECASE)
_BOUNDS = {"": Bound.EXACT, "<": Bound.BELOW, ">": Bound.ABOVE}


@dataclass(frozen=True, slots=True)
class KetoneBand:
    """One band of blood ketones: `begins` in mmol/L, and the urine levels beside it."""

    code: str
    begins: float
    urine: tuple[str, ...]
    words: str


# Danne et al., Diabetes Care 2019;42:1147-1154, table 1 (read): below 0.6, 0.6 to 1.5, 1.6 to 3.0,
# above 3.0. The last begins at 3.0, where children's clinics act (Royal Children's Hospital
# Melbourne, read). Other tables have 1.0, 1.5 and 3.0, so the limits are data.
BANDS = (
    KetoneBand("normal", 0.0, ("negative",), "normal"),
    KetoneBand("raised", 0.6, ("trace", "small"), "raised"),
    KetoneBand("risk", 1.6, ("moderate",), "risk of ketoacidosis"),
    KetoneBand("emergency", 3.0, ("large",), "probable ketoacidosis"),
)
BANDS_SOURCE = (
    "Danne et al., Diabetes Care 2019;42:1147-1154, table 1; 3.0 itself as children's clinics act"
)


@dataclass(frozen=True, slots=True)
class Ketones:
    """A ketone result: of blood a number or a bound in mmol/L, of urine a level."""

    method: str
    bound: Bound = Bound.EXACT
    value: str | None = None
    level: str | None = None

    @property
    def shown(self) -> str:
        """The result as a person reads it: "0.8 mmol/L", ">8.0 mmol/L", "HI", "urine: trace"."""
        if self.method == URINE:
            return f"urine: {self.level}"
        if self.value is None:
            return "LO" if self.bound is Bound.BELOW else "HI"
        sign = {Bound.BELOW: "<", Bound.ABOVE: ">"}.get(self.bound, "")
        return f"{sign}{self.value} {UNIT}"


def band_of(result: Ketones) -> KetoneBand | None:
    """The band of a result; None for a urine level that the table does not have.

    A result above what the meter shows lies at least at its limit; "HI" alone is an emergency.
    """
    if result.method == URINE:
        return next((band for band in BANDS if result.level in band.urine), None)
    if result.value is None:
        return BANDS[0] if result.bound is Bound.BELOW else BANDS[-1]
    return [band for band in BANDS if band.begins <= float(result.value)][-1]


def read_ketones(text: str, *, sure: bool = False) -> Ketones:
    """Read a typed result: "0.8", "1,2 mmol/L", "HI", ">8.0", or a level of a urine strip.

    Parameters
    ----------
    sure : bool, default False
        Keep an odd value as typed.

    Raises
    ------
    Refused
        It is no result of a ketone test.
    NeedsAnswer
        It is beyond what meters show. In both cases nothing was saved.
    """
    typed = " ".join(ascii_digits(text).casefold().split())
    level = typed.removeprefix("urine").strip(" :")
    if level in URINE_LEVELS:
        return Ketones(URINE, level=level)
    if typed in ("hi", "lo"):
        return Ketones(BLOOD, Bound.ABOVE if typed == "hi" else Bound.BELOW)
    found = _TYPED.fullmatch(typed)
    value = plain_number(found[2]) if found else None
    if found is None or value is None or float(value) >= _NEVER_FROM:
        raise Refused(
            f'"{text.strip()}" is no result of a ketone test. Nothing was saved; give blood '
            f"ketones in {UNIT}, for instance 0.8, or a urine level: {', '.join(URINE_LEVELS)}."
        )
    if float(value) > _USUAL_UP_TO and found[1] == "" and not sure:
        asks = (
            f"{value} {UNIT} is more than ketone meters show. Was it glucose, or a slip of the "
            "point? Nothing was saved yet."
        )
        raise NeedsAnswer((Question("value", asks, ("--sure",)),))
    return Ketones(BLOOD, _BOUNDS[found[1]], value)
