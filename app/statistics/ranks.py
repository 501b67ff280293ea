"""Order statistics: by counting where there are few different values, else by partial sorting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.statistics.values import FloatArray, IntArray

# Meters print whole mg/dL or tenths of mmol/L, so that even fifty years hold less than a thousand
# different numbers, converted ones too. With more than this, counting costs more than it saves.
MOST_LEVELS = 4_096
# Below this, sorting is as quick as counting (measured).
COUNT_FROM = 2_000
# How many bits number the cells, and the factor by which a value chooses one: any large odd number
# serves, and each spreads the values in another way. A small table stays in the processor's cache.
TRIES = (
    (16, np.uint64(0x9E3779B97F4A7C15)),
    (18, np.uint64(0xC2B2AE3D27D4EB4F)),
    (18, np.uint64(0x165667B19E3779F9)),
    (18, np.uint64(0xD6E8FEB86659FD93)),
)


@dataclass(frozen=True, slots=True)
class Levels:
    """Values as codes into their different, rising levels: ``levels[codes]`` is the values."""

    codes: IntArray
    levels: FloatArray


def on_levels(values: FloatArray) -> Levels | None:
    """Values as counts of few levels; None where they are too many to be worth it.

    Each value is put into a cell that its own bits choose. If every value is then found in its
    cell, no two different ones share one, and the cells can be counted in place of the values. That
    needs no sort, and is exact: counting and sorting give the same quantiles. Infinite values are
    levels like others.
    """
    bits = np.ascontiguousarray(values).view(np.uint64)
    for cell_bits, multiplier in TRIES:
        cell = (bits * multiplier >> np.uint64(64 - cell_bits)).view(np.int64)
        table = np.full(1 << cell_bits, np.nan)
        table[cell] = values
        used = np.flatnonzero(~np.isnan(table))
        if used.size > MOST_LEVELS:
            return None
        if (table[cell] == values).all():
            break
    else:
        return None
    used = used[np.argsort(table[used])]
    codes = np.empty(table.size, dtype=np.int64)
    codes[used] = np.arange(used.size)
    return Levels(codes[cell], table[used])


def positions(
    n: IntArray | int, probabilities: FloatArray, kind: int
) -> tuple[IntArray, FloatArray]:
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
    # 100 * 0.29 falls short of 29 in binary. Left alone, the rank below would be asked too, which
    # may be off the scale and have no number.
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
    if values.size >= COUNT_FROM and (coded := on_levels(values)) is not None:
        counts = np.bincount(coded.codes, minlength=coded.levels.size)[np.newaxis, :]
        return ranked_by_group(counts, coded.levels, ranks.reshape(1, -1)).reshape(ranks.shape)
    return partitioned(values, ranks)


def partitioned(values: FloatArray, ranks: IntArray) -> FloatArray:
    """The values at the given ranks, by partial sorting."""
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
