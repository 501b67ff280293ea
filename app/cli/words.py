"""Small words of the command line: days, plurals, times as a person reads them."""

from __future__ import annotations

import argparse
from datetime import date
from typing import TYPE_CHECKING
from unicodedata import category

if TYPE_CHECKING:
    from app.domain.clock import Moment
    from app.domain.glucose import Glucose, Unit


def a_day(text: str) -> date:
    """Read a day as YYYY-MM-DD; argparse turns the refusal into wrong usage."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            f'"{text}" is no day; write it as YYYY-MM-DD, for instance 2026-03-12'
        ) from None


def plural(count: int, one: str, many: str | None = None) -> str:
    """A number with its noun: "1 reading", "2 readings"."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def one_line(text: str) -> str:
    r"""A text of anybody's on one line; what would steer the terminal is shown as its code.

    >>> one_line("two\nlines \x1b[31m")
    'two / lines \\x1b[31m'
    """
    joined = " / ".join(text.splitlines())
    return "".join(
        char.encode("unicode_escape").decode() if category(char) == "Cc" else char
        for char in joined
    )


def value_words(glucose: Glucose, unit: Unit | None = None) -> str:
    """A result with its unit; "HI" and "LO" speak for themselves."""
    shown = glucose.shown(unit or glucose.unit)
    return shown if glucose.number is None else f"{shown} {unit or glucose.unit}"


def when(moment: Moment | None, clock: int = 24) -> str:
    """Day and time of day as lived: "Thu 12 Mar 2026 12:10"."""
    if moment is None:
        return "no time"
    local = moment.local
    time = f"{local:%H:%M}" if clock == 24 else f"{local:%I:%M %p}".lstrip("0")
    return f"{local:%a} {local.day} {local:%b %Y} {time}"
