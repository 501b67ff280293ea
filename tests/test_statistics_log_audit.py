from __future__ import annotations

from itertools import combinations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.log_audit import audit_log

Entry = tuple[int, int]  # seconds, value
entries = st.lists(
    st.tuples(st.integers(0, 20).map(lambda minutes: minutes * 60), st.integers(100, 103)),
    max_size=6,
)


def audited(meter: list[Entry], log: list[Entry]) -> tuple[int, int, int, int]:
    found = audit_log([t for t, _ in meter], [v for _, v in meter],
                      [t for t, _ in log], [v for _, v in log])  # fmt: skip
    return found.precision.count, found.altered, found.omission.count, found.addition.count


def test_nothing_beside_nothing_has_no_shares() -> None:
    found = audit_log([], [], [], [])

    assert found.precision.share is None
    assert (found.meter_mean, found.log_mean) == (None, None)


def test_a_memory_without_a_log_is_all_omitted_and_the_other_way_all_added() -> None:
    assert audited([(0, 100), (60, 101)], []) == (0, 0, 2, 0)
    assert audited([], [(0, 100)]) == (0, 0, 0, 1)


def test_the_nearest_pair_matches_first() -> None:
    # The entry at 240 s lies nearer to the result at 300 s than to that at 0 s.
    assert audited([(0, 100), (300, 101)], [(240, 101)]) == (1, 0, 1, 0)


def test_of_equally_near_pairs_the_one_with_the_same_value_matches() -> None:
    assert audited([(0, 100), (120, 101)], [(60, 101)]) == (1, 0, 1, 0)


@given(entries, entries)
def test_every_entry_and_every_result_is_accounted_for(
    meter: list[Entry], log: list[Entry]
) -> None:
    same, altered, omitted, added = audited(meter, log)

    assert same + altered + omitted == len(meter)
    assert same + altered + added == len(log)


@given(entries, entries)
def test_no_two_left_over_could_still_be_matched(meter: list[Entry], log: list[Entry]) -> None:
    same, altered, _, _ = audited(meter, log)

    # Nearest first leaves no pair open: at least half of the most that any matching could have.
    near = [
        (i, j)
        for i, j in product(range(len(meter)), range(len(log)))
        if abs(meter[i][0] - log[j][0]) <= 300
    ]
    best = max(
        (
            size
            for size in range(1, min(len(meter), len(log)) + 1)
            if len(near) <= 12  # else there are too many choices to look through
            for chosen in combinations(near, size)
            if len({i for i, _ in chosen}) == len({j for _, j in chosen}) == size
        ),
        default=0,
    )
    assert 2 * (same + altered) >= best
    assert bool(near) == bool(same + altered)


@given(entries, entries, st.randoms(use_true_random=False))
def test_order_never_matters(meter: list[Entry], log: list[Entry], random: object) -> None:
    found = audited(meter, log)
    random.shuffle(meter)  # type: ignore[attr-defined]
    random.shuffle(log)  # type: ignore[attr-defined]

    assert audited(meter, log) == found


def test_arrays_of_unequal_length_are_refused() -> None:
    with pytest.raises(ValueError, match="meter_at"):
        audit_log([0], [100, 101], [], [])
