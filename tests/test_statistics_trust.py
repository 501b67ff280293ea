"""How far to trust an average: each line of the rule, from both sides."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.trust import Trust, trust_in_average

EVEN = [10, 10, 10, 10, 10, 10, 10, 0]


def judge(
    slots: list[int] = EVEN, *, n: int = 70, days: int = 20, in_doubt: int = 0, unmarked: int = 0
) -> Trust:
    return trust_in_average(slots, n=n, days=days, in_doubt=in_doubt, unmarked=unmarked)


def test_a_full_and_even_record_is_good_and_needs_no_reason() -> None:
    assert judge() == Trust("good", ())


@pytest.mark.parametrize(
    ("change", "code", "verdict"),
    [
        ({"slots": [2, 2, 2, 2, 2, 2, 1, 0], "n": 13}, "few_readings", "no"),
        ({"slots": [2, 2, 2, 2, 2, 2, 2, 0], "n": 14}, "few_readings", "partly"),
        ({"slots": [8, 8, 8, 8, 9, 9, 9, 0], "n": 59}, "few_readings", "partly"),
        ({"days": 4}, "few_days", "no"),
        ({"days": 5}, "few_days", "partly"),
        ({"days": 19}, "few_days", "partly"),
        ({"slots": [80, 4, 4, 4, 4, 4, 0, 0], "n": 100}, "one_slot", "no"),
        ({"slots": [79, 5, 4, 4, 4, 4, 0, 0], "n": 100}, "one_slot", "partly"),
        ({"slots": [41, 15, 15, 15, 14, 0, 0, 0], "n": 100}, "one_slot", "partly"),
        ({"slots": [10, 10, 10, 10, 9, 0, 0, 51], "n": 100}, "one_slot", "partly"),
        ({"slots": [35, 35, 0, 0, 0, 0, 0, 30], "n": 100}, "few_slots", "no"),
        ({"slots": [34, 33, 33, 0, 0, 0, 0, 0], "n": 100}, "few_slots", "partly"),
        ({"slots": [25, 25, 25, 25, 0, 0, 0, 0], "n": 100}, "few_slots", "partly"),
        ({"n": 100, "in_doubt": 25}, "in_doubt", "no"),
        ({"n": 100, "in_doubt": 24}, "in_doubt", "partly"),
        ({"n": 100, "in_doubt": 5}, "in_doubt", "partly"),
        ({"n": 100, "unmarked": 11}, "unmarked", "partly"),
    ],
)
def test_each_line_has_its_own_verdict(change: dict[str, object], code: str, verdict: str) -> None:
    found = judge(**change)  # type: ignore[arg-type]

    assert found.verdict == verdict
    assert (code, verdict) in [(reason.code, reason.weighs) for reason in found.reasons]


@pytest.mark.parametrize(
    "change",
    [
        {"slots": [9, 9, 9, 9, 8, 8, 8, 0], "n": 60},
        {"slots": [40, 15, 15, 15, 15, 0, 0, 0], "n": 100},
        {"n": 100, "in_doubt": 4},
        {"n": 100, "unmarked": 10},
        {"n": 10_000, "in_doubt": 499, "unmarked": 1_000},
    ],
)
def test_what_lies_on_the_good_side_of_a_line_is_good(change: dict[str, object]) -> None:
    assert judge(**change).verdict == "good"  # type: ignore[arg-type]


def test_every_reason_that_applies_is_listed_the_graver_first() -> None:
    found = judge([13, 0, 0, 0, 0, 0, 0, 0], n=20, days=4, in_doubt=2, unmarked=7)

    assert [(reason.code, reason.weighs) for reason in found.reasons] == [
        ("few_days", "no"),
        ("few_slots", "no"),
        ("few_readings", "partly"),
        ("one_slot", "partly"),
        ("in_doubt", "partly"),
        ("unmarked", "partly"),
    ]


def test_a_reason_carries_the_numbers_behind_it() -> None:
    (reason,) = judge(n=100, in_doubt=30).reasons

    assert (reason.count, reason.of, reason.line, reason.slot) == (30, 100, 25, None)


def test_an_empty_record_is_not_to_be_trusted() -> None:
    found = judge([0] * 8, n=0, days=0)

    assert found.verdict == "no"
    assert [reason.code for reason in found.reasons] == ["few_readings", "few_days", "few_slots"]


@pytest.mark.parametrize(
    "change", [{"n": 69}, {"in_doubt": 71}, {"unmarked": -1}, {"slots": [10] * 6}]
)
def test_counts_that_contradict_each_other_are_refused(change: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"slot_counts|in_doubt|unmarked"):
        judge(**change)  # type: ignore[arg-type]


@given(
    st.lists(st.integers(0, 200), min_size=8, max_size=8),
    st.integers(0, 60),
    st.floats(0, 1),
    st.integers(0, 50),
)
def test_the_verdict_is_that_of_the_rule_read_aloud(
    slots: list[int], days: int, doubtful: float, unmarked: int
) -> None:
    n = sum(slots) + unmarked
    in_doubt = int(doubtful * n)

    found = judge(slots, n=n, days=days, in_doubt=in_doubt, unmarked=unmarked)

    covered = sum(count > 0 for count in slots[:7])
    no = n < 14 or days < 5 or max(slots) * 10 >= n * 8 or covered < 3 or in_doubt * 4 >= n
    good = (
        n >= 60
        and days >= 20
        and max(slots) * 10 <= n * 4
        and covered >= 5
        and in_doubt * 20 < n
        and unmarked * 10 <= n
    )
    assert found.verdict == ("no" if no else "good" if good else "partly")
    assert bool(found.reasons) == (found.verdict != "good")
