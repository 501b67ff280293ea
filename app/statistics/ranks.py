"""Order statistics: by counting where values lie on a meter's grid, else by partial sorting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.statistics.values import FloatArray, IntArray

# Meters print whole mg/dL or tenths of mmol/L.
GRID_STEPS = (1, 10)
# A table longer than this costs more than it saves; 3,000 mg/dL is no glucose result.
LONGEST_GRID = 30_000
# Below this, sorting is as quick as counting (measured).
COUNT_FROM = 2_000


@dataclass(frozen=True, slots=True)
class Grid:
    """Values as codes into their rising levels: ``levels[codes]`` is exactly the values."""

    codes: IntArray
    levels: FloatArray


def on_grid(values: FloatArray) -> Grid | None:
    """Values as counts of whole numbers or tenths; None where one lies off that grid.

    Infinite values are the two ends of the grid. Exact: a value is on the grid only if it is the
    double nearest to its tenth, so that counting and sorting give the same quantiles.
    """
    finite = np.isfinite(values)
    inner = values if finite.all() else np.where(finite, values, 0.0)
    if inner.size and not 0 <= float(inner.min()) <= float(inner.max()) < LONGEST_GRID:
        return None
    for step in GRID_STEPS:
        whole = np.rint(inner * step)
        if (whole / step == inner).all():
            break
    else:
        return None
    codes = whole.astype(np.int64)
    levels = np.arange(int(codes.max(initial=0)) + 1) / step
    if inner is values:
        return Grid(codes, levels)
    codes = np.where(finite, codes + 1, np.where(values > 0, levels.size + 1, 0))
    return Grid(codes, np.concatenate(([-np.inf], levels, [np.inf])))


def positions(n: IntArray | int, probabilities: FloatArray, kind: int) -> tuple[IntArray, FloatArray]:
    """The rank below each quantile (from 0) and how far to go on towards the next, 0 to 1.

    References
    ----------
    R. J. Hyndman, Y. Fan (1996), Am. Stat. 50, 361-365: types 7 and 6.
    """
    if kind == 7:
        at = (n - 1) * probabilities
    elif kind == 6:
        at = np.clip((n + 1) * probabilities - 1, 0, np.asarray(n) - 1)
    else:
        raise ValueError(f"only the quantile types 7 and 6 are known: kind={kind}")
    # 0.1 * 30 is not 3 in binary. Left alone, the next rank would be asked, which may be off the
    # scale and have no number.
    nearest = np.rint(at)
    at = np.where(np.abs(at - nearest) < 1e-9, nearest, at)
    lower = np.floor(at)
    return lower.astype(np.int64), at - lower


def between(lower: FloatArray, upper: FloatArray, fraction: FloatArray) -> FloatArray:
    """Go `fraction` of the way from `lower` to `upper`; any step towards infinity arrives there.

    From -inf towards +inf there is no number: NaN.
    """
    with np.errstate(invalid="ignore"):
        inside = lower + fraction * (upper - lower)
        off_scale = lower + upper  # infinite on the side that is, NaN where the two disagree
    whole = np.isfinite(lower) & np.isfinite(upper)
    return np.where(fraction == 0, lower, np.where(whole, inside, off_scale))


def ranked(values: FloatArray, ranks: IntArray) -> FloatArray:
    """The values at the given ranks, counted from 0 in rising order."""
    if values.size >= COUNT_FROM and (grid := on_grid(values)) is not None:
        counts = np.bincount(grid.codes, minlength=grid.levels.size)[np.newaxis, :]
        return ranked_by_group(counts, grid.levels, ranks.reshape(1, -1)).reshape(ranks.shape)
    return np.partition(values, np.unique(ranks))[ranks]


def ranked_by_group(counts: IntArray, levels: FloatArray, ranks: IntArray) -> FloatArray:
    """The values at ranks within groups of which only the counts of each level are known.

    Parameters
    ----------
    counts : array, shape (groups, levels)
    levels : array, shape (levels,)
        Rising.
    ranks : array, shape (groups, m)
        From 0, each below its group's count.

    Returns
    -------
    array, shape (groups, m)
    """
    # One running count over all groups: a rank in a group is a rank in all, past those before it.
    running = np.cumsum(counts)
    sizes = counts.sum(axis=1)
    before = np.cumsum(sizes) - sizes
    found = np.searchsorted(running, before[:, np.newaxis] + ranks, side="right")
    return np.asarray(levels[found % levels.size], dtype=np.float64)
