"""The last good day of strips and of control solution, and printed dates as people read them."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date
from functools import lru_cache

from app.domain.errors import NeedsAnswer, Question, Refused

_ISO = re.compile(r"(\d{4})-(\d{1,2})(?:-(\d{1,2}))?")
_MONTH_YEAR = re.compile(r"(\d{1,2})[/. ](\d{4})")
_YEAR_MONTH = re.compile(r"(\d{4})[/. ](\d{1,2})")
_SHORT = re.compile(r"(\d{1,2})[/. -](\d{2})")


def printed_day(printed: str) -> date:
    """The last day that a printed date means: of a month alone its last day.

    >>> printed_day("2024-04"), printed_day("2025-12-31")
    (datetime.date(2024, 4, 30), datetime.date(2025, 12, 31))
    """
    if len(printed) > 7:
        return date.fromisoformat(printed)
    year, month = int(printed[:4]), int(printed[5:])
    return date(year, month, monthrange(year, month)[1])


def last_good_day(printed: str | None, opened: int | None, days_open: int | None) -> int | None:
    """The earlier of the printed date and the opening day plus the days that the label gives.

    Parameters
    ----------
    printed : str or None
        A month ("2024-04") or a day ("2024-04-30").
    opened : int or None
        Date ordinal of the day of opening.
    days_open : int or None
        Days after opening that the label gives; None where it gives none.

    Returns
    -------
    int or None
        A date ordinal, that day still good; None where neither date is known.

    Notes
    -----
    Common practice: labels of strips and of control solution say whichever comes first.

    >>> opened = date(2024, 1, 31).toordinal()
    >>> date.fromordinal(last_good_day(None, opened, 90))
    datetime.date(2024, 4, 30)
    """
    ends = [] if printed is None else [_ordinal(printed)]
    if opened is not None and days_open is not None:
        ends.append(opened + days_open)
    known = [each for each in ends if each is not None]
    return min(known) if known else None


def read_printed(text: str) -> str:
    """A printed date as it is kept: "2026-05" or "2026-05-31".

    Raises
    ------
    NeedsAnswer
        Two digits can be a day or a year: both ways to say it are the answers.
    Refused
        It is no date.

    >>> read_printed("05/2026"), read_printed("2026-5-31")
    ('2026-05', '2026-05-31')
    """
    said = text.strip()
    if found := _ISO.fullmatch(said):
        year, month, day = int(found[1]), int(found[2]), int(found[3] or 0)
    elif found := _MONTH_YEAR.fullmatch(said):
        year, month, day = int(found[2]), int(found[1]), 0
    elif found := _YEAR_MONTH.fullmatch(said):
        year, month, day = int(found[1]), int(found[2]), 0
    elif found := _SHORT.fullmatch(said):
        raise _which_one(said, int(found[1]), int(found[2]))
    else:
        raise _no_date(said)
    try:
        date(year, month, day or 1)
    except ValueError:
        raise _no_date(said) from None
    return f"{year:04}-{month:02}" + (f"-{day:02}" if day else "")


@lru_cache(maxsize=512)
def _ordinal(printed: str) -> int | None:
    try:
        return printed_day(printed).toordinal()
    except ValueError:  # a file of another program may hold "2025-13": no date to go by
        return None


def _which_one(said: str, one: int, other: int) -> NeedsAnswer:
    ways = [(2000 + other, one), (2000 + one, other)]
    answers = tuple(dict.fromkeys(f"{year}-{month:02}" for year, month in ways if 1 <= month <= 12))
    if not answers:
        raise _no_date(said)
    return NeedsAnswer(
        (Question("printed", f'Which month is the printed date "{said}"?', answers),)
    )


def _no_date(said: str) -> Refused:
    return Refused(
        f'"{said}" is no printed date; write it as 2026-05 or 2026-05-31. Nothing was saved.'
    )
