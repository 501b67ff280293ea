"""Published goals against the numbers that the guidelines print.

How sure each value is: V read in the guideline, V2 read in another source that quotes it, M from
memory, W worked from the printed unit. The goals agreed with a person's care team come first.
"""

from __future__ import annotations

import pytest

from app.domain.glucose import LimitPair
from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_HIGH_ABOVE, VERY_LOW_BELOW
from app.domain.marks import Mark
from app.domain.targets import Limit, limit_for, preset

Pair = tuple[float, float]

PRINTED: list[tuple[str, Mark, int | None, Pair | None, Pair | None, bool]] = [
    # American Diabetes Association, Standards of Care, section 6 (table of 2020, V): 80-130 mg/dL
    # (4.4-7.2 mmol/L) before meals, less than 180 (10.0) 1 to 2 hours after the start of the meal.
    ("ada-adults", Mark.WAKING, None, (80, 4.4), (130, 7.2), False),
    ("ada-adults", Mark.BEFORE_LUNCH, None, (80, 4.4), (130, 7.2), False),
    ("ada-adults", Mark.AFTER_LUNCH, None, None, (180, 10.0), True),
    # NICE NG17, adults with type 1: 5 to 7 mmol/L on waking, 4 to 7 before meals (V); 5 to 9 at
    # least 90 minutes after eating (M). mg/dL worked from these (W).
    ("nice-adults-type-1", Mark.WAKING, None, (90, 5.0), (126, 7.0), False),
    ("nice-adults-type-1", Mark.BEFORE_LUNCH, None, (72, 4.0), (126, 7.0), False),
    ("nice-adults-type-1", Mark.AFTER_LUNCH, None, (90, 5.0), (162, 9.0), False),
    # NICE NG18, under 18: 4 to 7 on waking and before meals, 5 to 9 after (V2). mg/dL (W).
    ("nice-under-18", Mark.WAKING, None, (72, 4.0), (126, 7.0), False),
    ("nice-under-18", Mark.BEFORE_EVENING_MEAL, None, (72, 4.0), (126, 7.0), False),
    ("nice-under-18", Mark.AFTER_BREAKFAST, None, (90, 5.0), (162, 9.0), False),
    # de Bock et al., ISPAD 2022, Pediatric Diabetes 2022;23:1270-1276 (V): 70-180 mg/dL
    # (4-10 mmol/L) all day, fasting 70-144 (4-8).
    ("ispad-2022", Mark.WAKING, None, (70, 4.0), (144, 8.0), False),
    ("ispad-2022", Mark.FASTING, None, (70, 4.0), (144, 8.0), False),
    ("ispad-2022", Mark.BEFORE_LUNCH, None, (70, 4.0), (180, 10.0), False),
    ("ispad-2022", Mark.NIGHT, None, (70, 4.0), (180, 10.0), False),
    # ADA, Standards of Care, section 15, pregnancy (upper ends V): fasting less than 95 mg/dL
    # (5.3 mmol/L), one hour after a meal less than 140 (7.8), two hours less than 120 (6.7).
    ("ada-pregnancy", Mark.WAKING, None, None, (95, 5.3), True),
    ("ada-pregnancy", Mark.AFTER_LUNCH, 60, None, (140, 7.8), True),
    ("ada-pregnancy", Mark.AFTER_LUNCH, 120, None, (120, 6.7), True),
    # ADA 2024, table 13.1, older adults (V): fasting and before meals, and at bedtime.
    ("ada-older-healthy", Mark.WAKING, None, (80, 4.4), (130, 7.2), False),
    ("ada-older-healthy", Mark.BEFORE_LUNCH, None, (80, 4.4), (130, 7.2), False),
    ("ada-older-healthy", Mark.BEDTIME, None, (80, 4.4), (180, 10.0), False),
    ("ada-older-complex", Mark.WAKING, None, (90, 5.0), (150, 8.3), False),
    ("ada-older-complex", Mark.BEDTIME, None, (100, 5.6), (180, 10.0), False),
    ("ada-older-very-complex", Mark.WAKING, None, (100, 5.6), (180, 10.0), False),
    ("ada-older-very-complex", Mark.BEDTIME, None, (110, 6.1), (200, 11.1), False),
]


def limit_of(key: str, mark: Mark, after_min: int | None) -> Limit | None:
    return limit_for(preset(key).from_day(0), mark, after_min)


@pytest.mark.parametrize(("key", "mark", "after_min", "low", "high", "high_open"), PRINTED)
def test_a_preset_has_the_printed_numbers(
    key: str,
    mark: Mark,
    after_min: int | None,
    low: Pair | None,
    high: Pair | None,
    high_open: bool,
) -> None:
    found = limit_of(key, mark, after_min)

    assert found is not None
    assert found.low == (None if low is None else LimitPair(*low))
    assert found.high == (None if high is None else LimitPair(*high))
    assert found.high_open is high_open


@pytest.mark.parametrize(
    ("key", "mark", "after_min"),
    [
        ("ada-adults", Mark.BEDTIME, None),
        ("ada-adults", Mark.NIGHT, None),
        ("nice-under-18", Mark.BEDTIME, None),
        ("ada-pregnancy", Mark.AFTER_LUNCH, None),  # one hour or two: the goals differ
        ("ada-pregnancy", Mark.BEFORE_LUNCH, None),
        ("ada-older-healthy", Mark.AFTER_LUNCH, None),
    ],
)
def test_where_a_guideline_prints_nothing_nothing_is_judged(
    key: str, mark: Mark, after_min: int | None
) -> None:
    assert limit_of(key, mark, after_min) is None


@pytest.mark.parametrize(
    ("pair", "printed"),
    [
        # Agiostratidou et al., Diabetes Care 2017;40:1622-1630: level 1 below 70 mg/dL
        # (3.9 mmol/L), level 2 below 54 (3.0) (V).
        (LOW_BELOW, (70, 3.9)),
        (VERY_LOW_BELOW, (54, 3.0)),
        # Battelino et al., Diabetes Care 2019;42:1593-1603, table: in range 70-180 (3.9-10.0) with
        # both ends, then 181-250 (10.1-13.9), and above 250 (13.9) (V).
        (HIGH_ABOVE, (180, 10.0)),
        (VERY_HIGH_ABOVE, (250, 13.9)),
    ],
)
def test_the_levels_have_the_printed_limits(pair: LimitPair, printed: Pair) -> None:
    assert (pair.mg_dl, pair.mmol_l) == printed
