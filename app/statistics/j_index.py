"""J-index: how high and how uneven readings are, in one number without a unit."""

from __future__ import annotations

from numpy.typing import ArrayLike

from app.statistics.moments import mean, standard_deviation
from app.statistics.values import as_values

# J = 0.001 (mean + SD)^2 in mg/dL: J. M. Wojcicki (1995), Horm. Metab. Res. 27, 41-42 (from
# memory). The mmol/L form has 0.324 = 0.001 x 18^2 (read second-hand, PMC3160264, table); by the
# exact factor it would be 0.324562, so the forms differ by 0.17 %. The diary uses the mg/dL form.
PER_MG_DL = 0.001
PER_MMOL_L = 0.324


def j_index(values: ArrayLike, *, scale: float = PER_MG_DL) -> float | None:
    """The square of mean and SD together; None with fewer than two readings.

    Parameters
    ----------
    values : array_like, shape (n,)
        The readings that have a number, in mg/dL; order does not matter.
    scale : float, default 0.001
        `PER_MMOL_L` for values in mmol/L.

    Raises
    ------
    ValueError
        If `values` is not one-dimensional or not all finite.

    References
    ----------
    J. M. Wojcicki (1995), Horm. Metab. Res. 27, 41-42 (from memory).

    Examples
    --------
    >>> round(j_index([92, 118, 145, 187, 103, 231, 76, 160, 134, 112]), 6)
    33.385829
    """
    numbers = as_values(values)
    middle, spread = mean(numbers), standard_deviation(numbers)
    if middle is None or spread is None:
        return None
    return scale * (middle + spread) ** 2
