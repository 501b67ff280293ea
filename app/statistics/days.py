"""Days that have readings, counted."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.values import as_labels


def days_with_readings(days: ArrayLike) -> int:
    """How many different days there are.

    Parameters
    ----------
    days : array_like of int, shape (n,)
        The diary-day number of each reading; order does not matter.

    Examples
    --------
    >>> days_with_readings([5, 3, 5])
    2
    """
    numbers = as_labels(days, "days", np.size(days))
    if (numbers[1:] >= numbers[:-1]).all():  # as the store gives them: no sort
        return int(np.count_nonzero(numbers[1:] != numbers[:-1])) + (numbers.size > 0)
    return int(np.unique(numbers).size)
