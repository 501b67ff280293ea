"""The ladder from "seen once" to "repeating", and the exact bound that it stands on."""

from __future__ import annotations

import pytest
from scipy.stats import beta
from statsmodels.stats.proportion import proportion_confint

from app.statistics.exact_bound import exact_lower_bound
from app.statistics.patterns import HIGHS, LOWS, Rule, Step, step_of

# C. J. Clopper, E. S. Pearson, Biometrika 1934;26:404-413 (M). If each of k is seen, the share is
# at least 0.05 ** (1 / k) with 95 % one-sided confidence (W): 22, 37, 55 and 65 %.
ALL_OF = [(2, 22), (3, 37), (5, 55), (7, 65)]


@pytest.mark.parametrize(("count", "percent"), ALL_OF)
def test_all_of_a_few_prove_no_more_than_this(count: int, percent: int) -> None:
    found = exact_lower_bound(count, count)

    assert found == pytest.approx(0.05 ** (1 / count), abs=1e-12)
    assert round(100 * found) == percent


@pytest.mark.parametrize("n", [1, 5, 14, 60, 365, 18_000])
@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.995])
def test_the_bound_agrees_with_scipy_and_statsmodels(n: int, confidence: float) -> None:
    for count in {1, 2, n // 3, n // 2, n - 1, n} - {0}:
        if count > n:
            continue
        found = exact_lower_bound(count, n, confidence=confidence)
        low, _ = proportion_confint(count, n, alpha=2 * (1 - confidence), method="beta")

        assert found == pytest.approx(beta.ppf(1 - confidence, count, n - count + 1), rel=1e-9)
        assert found == pytest.approx(low, rel=1e-9)


# A rule of this diary (R), its limits worked with the exact bound (W): repeating lows are 3 or more
# of so many days, with the bound above 10 %; repeating highs 5 or more, with it above 50 %.
REPEATING_LOWS = [(3, 8), (4, 14), (5, 20), (6, 27), (7, 34)]
REPEATING_HIGHS = [(5, 5), (6, 6), (7, 8), (8, 9), (9, 11), (10, 13), (14, 19)]


@pytest.mark.parametrize(
    ("count", "most", "rule"),
    [(*each, LOWS) for each in REPEATING_LOWS] + [(*each, HIGHS) for each in REPEATING_HIGHS],
)
def test_so_many_of_at_most_so_many_repeat(count: int, most: int, rule: Rule) -> None:
    assert step_of(count, most, rule) is Step.REPEATING
    assert step_of(count, most + 1, rule) is not Step.REPEATING


# A patient handout of 2011 (V): two lows, or three highs, at the same time of day. The rest is (R).
STEPS = [
    (LOWS, 0, 2, Step.CANNOT_TELL), (LOWS, 2, 2, Step.CANNOT_TELL), (LOWS, 0, 3, Step.NOT_SEEN),
    (LOWS, 1, 3, Step.SEEN_ONCE), (LOWS, 2, 3, Step.SEEN_AGAIN), (LOWS, 2, 90, Step.SEEN_AGAIN),
    (LOWS, 3, 3, Step.REPEATING), (LOWS, 3, 25, Step.SEEN_AGAIN),
    (HIGHS, 4, 4, Step.CANNOT_TELL), (HIGHS, 1, 5, Step.SEEN_ONCE), (HIGHS, 2, 5, Step.SEEN_ONCE),
    (HIGHS, 3, 5, Step.SEEN_AGAIN), (HIGHS, 4, 5, Step.SEEN_AGAIN), (HIGHS, 8, 29, Step.SEEN_AGAIN),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "count", "n", "step"), STEPS)
def test_the_step_of_so_many_days(rule: Rule, count: int, n: int, step: Step) -> None:
    assert step_of(count, n, rule) is step
