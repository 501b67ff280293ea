"""At which minutes of the day a person usually tests, by mark: evidence for a shifted clock."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

MINUTES = 1440

# Rules of this diary: a test is within a quarter of an hour or so of its usual time; one in twenty
# comes at any time at all; a mark with fewer tests than this says nothing of its own.
_SPREAD_MIN = 10.0
_ANY_TIME = 0.05
_FEWEST = 8
_SAID_SPREAD_MIN = 30.0
_SAID_WEIGHT = 5.0


class UsualHours:
    """How likely each minute of the day is for a test with a mark, by what was seen.

    Parameters
    ----------
    seen : iterable of (str, int)
        Mark and minute of the local day of each test.
    said : mapping of str to int, optional
        Usual minutes that the person gave, by mark; each weighs like five tests.
    """

    def __init__(
        self, seen: Iterable[tuple[str, int]], said: Mapping[str, int] | None = None
    ) -> None:
        counts: dict[str, NDArray[np.float64]] = {}
        whole = np.zeros(MINUTES)
        for mark, minute in seen:
            whole[minute] += 1
            if mark != "none":
                counts.setdefault(mark, np.zeros(MINUTES))[minute] += 1
        self._whole = _log_density(_smoothed(whole, _SPREAD_MIN))
        self._by_mark: dict[str, NDArray[np.float64]] = {}
        for mark in sorted({*counts, *(said or {})}):
            found = counts.get(mark, np.zeros(MINUTES))
            weights = _smoothed(found, _SPREAD_MIN)
            if said and mark in said:
                one = np.zeros(MINUTES)
                one[said[mark] % MINUTES] = _SAID_WEIGHT
                weights = weights + _smoothed(one, _SAID_SPREAD_MIN)
            if found.sum() >= _FEWEST or (said and mark in said):
                self._by_mark[mark] = _log_density(weights)

    def for_shift(self, mark: str, minute: int, shift_min: int) -> float:
        """The log ratio by which a test fits better when its minute is moved by `shift_min`.

        Above 0 the moved minute is the likelier one.
        """
        log = self._by_mark.get(mark, self._whole)
        return float(log[(minute + shift_min) % MINUTES] - log[minute % MINUTES])


def _smoothed(counts: NDArray[np.float64], spread: float) -> NDArray[np.float64]:
    """Counts spread over neighbouring minutes by a bell curve, around midnight too."""
    away = np.minimum(np.arange(MINUTES), MINUTES - np.arange(MINUTES))
    bell = np.exp(-0.5 * (away / spread) ** 2)
    bell /= bell.sum()
    found = np.fft.irfft(np.fft.rfft(counts) * np.fft.rfft(bell), n=MINUTES)
    return np.asarray(np.maximum(found, 0.0), dtype=np.float64)


def _log_density(weights: NDArray[np.float64]) -> NDArray[np.float64]:
    total = weights.sum()
    share = weights / total if total > 0 else np.full(MINUTES, 1 / MINUTES)
    return np.asarray(np.log((1 - _ANY_TIME) * share + _ANY_TIME / MINUTES), dtype=np.float64)
