from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.glucose import Unit
from app.domain.levels import Level
from app.domain.marks import Mark
from app.review.figure import Mean, Missing, OffScale
from app.review.parts import Evened, Share
from app.review.words import (
    evened_words,
    figure_words,
    level_words,
    mean_words,
    percent,
    share_words,
)
from app.statistics.proportion import share_of


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "0 %"),
        (1e-9, "less than 1 %"),
        (0.0049, "less than 1 %"),
        (0.005, "1 %"),
        (0.194, "19 %"),
        (0.195, "20 %"),
        (0.994, "99 %"),
        (0.995, "more than 99 %"),
        (1 - 1e-9, "more than 99 %"),
        (1.0, "100 %"),
    ],
)
def test_what_is_neither_none_nor_all_never_reads_so(share: float, words: str) -> None:
    assert percent(share) == words


@pytest.mark.parametrize(
    ("count", "n", "words"),
    [
        # Limits by Wilson's formula, in whole percent.
        (12, 64, "12 of 64 (19 %; 95 %: 11 to 30 %)"),
        (0, 64, "0 of 64 (0 %; 95 %: up to 6 %)"),
        (64, 64, "64 of 64 (100 %; 95 %: at least 94 %)"),
        (0, 2000, "0 of 2000 (0 %; 95 %: under 1 %)"),
        (2000, 2000, "2000 of 2000 (100 %; 95 %: over 99 %)"),
        (1, 2000, "1 of 2000 (less than 1 %; 95 %: <1 to <1 %)"),
        (1999, 2000, "1999 of 2000 (more than 99 %; 95 %: >99 to >99 %)"),
    ],
)
def test_a_share_has_its_count_and_its_limits(count: int, n: int, words: str) -> None:
    assert share_words(Share(Level.LOW, share_of(count, n), None)) == words


def test_a_share_from_too_few_has_its_count_alone() -> None:
    assert share_words(Share(Level.LOW, share_of(2, 5), Missing("few"))) == "2 of 5"
    assert share_words(Share(Level.LOW, share_of(0, 0), None)) == "0 of 0"


@given(st.integers(1, 100_000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_only_none_reads_as_0_and_only_all_as_100(counted: tuple[int, int]) -> None:
    count, n = counted

    words = share_words(Share(Level.LOW, share_of(count, n), None))
    share, limits = words.split(" (")[1].rstrip(")").split("; 95 %: ")

    assert (share == "0 %") == (count == 0) == limits.startswith(("up to", "under"))
    assert (share == "100 %") == (count == n) == limits.startswith(("at least", "over"))
    assert not {"0", "100"} & set(limits.split())


@pytest.mark.parametrize(
    ("figure", "unit", "words"),
    [
        (7.25, Unit.MMOL_L, "7.3"),
        (3.95, Unit.MMOL_L, "4.0"),
        (116.5, Unit.MG_DL, "117"),
        (OffScale("below", None), Unit.MMOL_L, "LO"),
        (OffScale("above", None), Unit.MG_DL, "HI"),
        (OffScale("below", 1.1), Unit.MMOL_L, "<1.1"),
        (OffScale("above", 600.0), Unit.MG_DL, ">600"),
        (Missing("needs 3 readings"), Unit.MG_DL, "not shown: needs 3 readings"),
    ],
)
def test_a_figure_is_rounded_once_or_says_why_not(
    figure: float | OffScale | Missing, unit: Unit, words: str
) -> None:
    assert figure_words(figure, unit) == words


@pytest.mark.parametrize(
    ("mean", "words"),
    [
        (Mean(5, 7.25), "7.3"),
        (Mean(5, 7.25, low=6.94, high=7.55), "7.3 (95 %: about 6.9 to 7.6)"),
        (Mean(5, None, at_least=9.87), "at least 9.8"),  # never more than is certain
        (Mean(5, None, at_most=9.81), "at most 9.9"),
        (Missing("there are no readings"), "not shown: there are no readings"),
    ],
)
def test_a_mean_or_its_bound_never_says_too_much(mean: Mean | Missing, words: str) -> None:
    assert mean_words(mean, Unit.MMOL_L) == words


def test_an_evened_average_says_what_it_rests_on() -> None:
    found = Evened(9.2, None, None, (Mark.WAKING, Mark.BEDTIME), smallest_n=4, unmarked=3)

    assert evened_words(found, Unit.MMOL_L) == (
        "9.2 (2 of 7 slots, the thinnest n 4, 3 unmarked outside it; night left out)"
    )


@pytest.mark.parametrize(
    ("unit", "words"),
    [
        (Unit.MMOL_L, ["below 3.0", "3.0 – 3.8", "3.9 – 10.0", "10.1 – 13.9", "above 13.9"]),
        (Unit.MG_DL, ["below 54", "54 – 69", "70 – 180", "181 – 250", "above 250"]),
    ],
)
def test_the_ranges_of_the_levels_meet_without_a_gap(unit: Unit, words: list[str]) -> None:
    assert [level_words(level, unit) for level in Level] == words
