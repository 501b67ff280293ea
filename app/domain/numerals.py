"""The one reader of numbers that people and files write: digits of any script, point or comma."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal

# Nothing else passes: no sign, no exponent, no grouping, no "nan", "inf" or "1_0".
_PLAIN = re.compile(r"[0-9]+(?:[.,][0-9]+)?", re.ASCII)
_LONGEST = 12
_MARKS = {"٫": ".", "，": ",", "．": "."}  # Arabic decimal mark, full-width comma and stop


def ascii_digits(text: str) -> str:
    """Write the decimal digits of any script, and their decimal marks, in ASCII.

    >>> ascii_digits("١٢٫٥ mmol/L")
    '12.5 mmol/L'
    >>> ascii_digits("5²")
    '5²'
    """
    if text.isascii():
        return text
    return "".join(_MARKS.get(char) or _digit(char) for char in text)


def plain_number(text: str) -> str | None:
    """Normalise a number to plain decimal text with a point and no needless zeros in front.

    Returns None for anything that is not digits with at most one decimal mark.

    >>> plain_number("5,60"), plain_number("088"), plain_number("1_0"), plain_number("1e3")
    ('5.60', '88', None, None)
    """
    found = ascii_digits(text.strip())
    if len(found) > _LONGEST or not _PLAIN.fullmatch(found):
        return None
    whole, _, part = found.replace(",", ".").partition(".")
    whole = whole.lstrip("0") or "0"
    return f"{whole}.{part}" if part else whole


def half_up(value: float, places: int) -> Decimal:
    """Round once, for display: half up, from the shortest decimal that names the float.

    >>> half_up(2.25, 1), half_up(0.5, 0)
    (Decimal('2.3'), Decimal('1'))
    """
    return Decimal(repr(round(value, 9))).quantize(
        Decimal(1).scaleb(-places), rounding="ROUND_HALF_UP"
    )


def _digit(char: str) -> str:
    return str(unicodedata.decimal(char)) if unicodedata.decimal(char, None) is not None else char
