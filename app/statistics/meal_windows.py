"""When a reading is before a meal, 1 h or 2 h after it, and when a rise is no more than error.

After a meal is counted from its start: American Diabetes Association, Standards of Care, notes to
the table of goals (1 to 2 h after the start; read). How wide the windows are is common practice and
a rule of this diary.
"""

from __future__ import annotations

import math
from typing import Literal

AfterWindow = Literal["1 h", "2 h", "other", "none"]

BEFORE_MINUTES = 60
ONE_HOUR = (45, 75)
TWO_HOURS = (90, 150)
AFTER_MINUTES = 240
# ISO 15197:2013 (table read): 95 % of results within 15 mg/dL (0.83 mmol/L) of the reference below
# 100 mg/dL (5.55 mmol/L), and within 15 % of it from there on.
ERROR_SHARE = 0.15


def after_window(minutes: int) -> AfterWindow:
    """The window of a reading so many minutes after the meal began; all ends belong to it.

    >>> [after_window(minutes) for minutes in (50, 80, 90, 150, 151, 241, -1)]
    ['1 h', 'other', '2 h', '2 h', 'other', 'none', 'none']
    """
    if ONE_HOUR[0] <= minutes <= ONE_HOUR[1]:
        return "1 h"
    if TWO_HOURS[0] <= minutes <= TWO_HOURS[1]:
        return "2 h"
    return "other" if 0 <= minutes <= AFTER_MINUTES else "none"


def is_before_meal(minutes: int, *, within: int = BEFORE_MINUTES) -> bool:
    """Whether a reading so many minutes before the meal began counts as before it.

    >>> [is_before_meal(minutes) for minutes in (-1, 0, 40, 60, 61)]
    [False, True, True, True, False]
    """
    return 0 <= minutes <= within


def permitted_error(value: float, *, floor: float, floor_below: float) -> float:
    """How far a result may lie from the truth by the standard for meters.

    Parameters
    ----------
    value : float
        The result.
    floor, floor_below : float
        Below `floor_below` the error is `floor`: 15 and 100 mg/dL, or 0.83 and 5.55 mmol/L.
    """
    return floor if value < floor_below else ERROR_SHARE * value


def is_within_error(before: float, after: float, *, floor: float, floor_below: float) -> bool:
    """Whether two results differ by less than their permitted errors together.

    Independent errors add as squares: ``|after - before| < sqrt(e1**2 + e2**2)``. For the arguments
    see `permitted_error`.

    Examples
    --------
    >>> is_within_error(8.8, 10.2, floor=0.83, floor_below=5.55)
    True
    >>> is_within_error(7.0, 9.1, floor=0.83, floor_below=5.55)
    False
    """
    errors = [permitted_error(each, floor=floor, floor_below=floor_below)
              for each in (before, after)]  # fmt: skip
    return abs(after - before) < math.hypot(*errors)
