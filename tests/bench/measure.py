"""Cases run in turn, round after round, so that a drifting machine drifts for all alike."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from statistics import median

Case = Callable[[], object]


def alternated(cases: Mapping[str, Case], *, rounds: int = 9) -> dict[str, float]:
    """The median of each case in milliseconds, after one round that warms up."""
    took: dict[str, list[float]] = {name: [] for name in cases}
    for turn in range(rounds + 1):
        for name, case in cases.items():
            begun = time.perf_counter()
            case()
            if turn:
                took[name].append((time.perf_counter() - begun) * 1e3)
    return {name: median(found) for name, found in took.items()}


def report(name: str, product: float, floor: float, goal: float) -> bool:
    """Print the ratio beside its goal; returns whether the goal is reached."""
    ratio = product / floor
    print(
        f"    {name:<44} {product:9.2f} ms   floor {floor:9.2f} ms   "
        f"ratio {ratio:.2f} goal {goal:g}"
    )
    return ratio <= goal
