"""The mean's interval: days are what chance deals, and the same diary gives the same interval."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.statistics.intervals import CHUNK, mean_interval, resampled_means

records = st.lists(st.tuples(st.integers(20, 600), st.integers(0, 9)), min_size=2, max_size=40)


def test_less_than_two_days_give_no_interval() -> None:
    assert mean_interval([], []) is None
    assert mean_interval([100, 200, 300], [7, 7, 7]) is None


def test_the_same_readings_give_the_same_interval_again() -> None:
    values, days = [100, 150, 230, 90, 170], [1, 1, 2, 3, 3]

    assert mean_interval(values, days) == mean_interval(values, days)


def test_equal_readings_have_an_interval_of_no_width() -> None:
    found = mean_interval([5.6] * 12, list(range(12)))

    assert found is not None
    assert (found.low, found.high) == pytest.approx((5.6, 5.6), abs=1e-12)


def test_days_that_hang_together_make_the_interval_wider_than_days_that_do_not() -> None:
    rng = np.random.default_rng(8)
    days = np.repeat(np.arange(60), 6)
    level = rng.normal(140, 40, 60)[days]
    together = level + rng.normal(0, 5, days.size)
    mixed = rng.permutation(together)

    clustered, loose = mean_interval(together, days), mean_interval(mixed, days)

    assert clustered is not None
    assert loose is not None
    assert clustered.high - clustered.low > 1.8 * (loose.high - loose.low)


def test_the_closed_form_takes_over_beyond_400_days() -> None:
    values = 140 + 40 * np.sin(np.arange(401) * 0.7)

    up_to, beyond = mean_interval(values[:400], range(400)), mean_interval(values, range(401))

    assert up_to is not None
    assert beyond is not None
    assert (up_to.method, up_to.days) == ("bootstrap", 400)
    assert (beyond.method, beyond.days) == ("closed form", 401)


def test_resampling_in_chunks_draws_every_resample() -> None:
    days = np.arange(400)
    resamples = CHUNK // 400 + 7

    assert resampled_means(days * 1.0, days, resamples=resamples).shape == (resamples,)


def test_nothing_to_resample_is_refused() -> None:
    with pytest.raises(ValueError, match="values is empty"):
        resampled_means([], [])
    with pytest.raises(ValueError, match="resamples=0"):
        resampled_means([1, 2], [1, 2], resamples=0)


@settings(max_examples=25)
@given(records, st.randoms(use_true_random=False))
def test_order_never_matters(records: list[tuple[int, int]], random: object) -> None:
    before = mean_interval([v for v, _ in records], [d for _, d in records], resamples=200)
    random.shuffle(records)  # type: ignore[attr-defined]

    after = mean_interval([v for v, _ in records], [d for _, d in records], resamples=200)

    if before is None:
        assert after is None
    else:
        assert after is not None
        assert (after.low, after.high) == pytest.approx((before.low, before.high), abs=1e-9)


@settings(max_examples=25)
@given(records, st.booleans())
def test_the_interval_lies_within_the_day_means_and_around_the_mean(
    records: list[tuple[int, int]], closed: bool
) -> None:
    values, days = np.array([v for v, _ in records]), np.array([d for _, d in records])

    found = mean_interval(values, days, bootstrap_up_to_days=0 if closed else 400)

    if np.unique(days).size < 2:
        assert found is None
        return
    assert found is not None
    assert found.low <= found.high
    if closed:
        assert (found.low + found.high) / 2 == pytest.approx(values.mean(), abs=1e-9)
    else:
        day_means = [values[days == day].mean() for day in np.unique(days)]
        assert min(day_means) - 1e-9 <= found.low
        assert found.high <= max(day_means) + 1e-9


def test_a_wider_coverage_gives_a_wider_interval() -> None:
    values, days = np.arange(30.0) * 7 % 31, np.arange(30)

    narrow, wide = (mean_interval(values, days, confidence=c) for c in (0.8, 0.99))

    assert narrow is not None
    assert wide is not None
    assert wide.low < narrow.low < narrow.high < wide.high
