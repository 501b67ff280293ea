"""Windows around a meal, pairs of evening meals, and the permitted error of meters."""

from __future__ import annotations

import pytest

from app.statistics.meal_windows import after_window, is_before_meal, is_within_error
from app.statistics.pair_rules import MealReading, Noted, Why
from app.statistics.pairs import meal_pairs, rise_of

# After a meal is 1 to 2 h after its START: American Diabetes Association, Standards of Care, notes
# to the table of goals (V). The windows 45-75 and 90-150 min, "other" up to 240, and 0-60 min
# before: common practice (C), a rule of this diary (R). Minutes worked by hand (W), meal at 12:00.
NOON = 12 * 60
AFTER = [("12:50", "1 h"), ("13:30", "2 h"), ("14:30", "2 h"), ("14:31", "other"),
         ("13:20", "other"), ("16:00", "other"), ("16:01", "none")]  # fmt: skip


@pytest.mark.parametrize(("clock", "window"), AFTER)
def test_a_reading_after_a_meal_at_noon_falls_into_its_window(clock: str, window: str) -> None:
    assert after_window(_minute(clock) - NOON) == window


@pytest.mark.parametrize(("clock", "before"), [("11:20", True), ("12:00", True), ("11:00", True),
                                               ("10:59", False), ("12:01", False)])  # fmt: skip
def test_a_reading_up_to_an_hour_before_the_meal_is_before_it(clock: str, before: bool) -> None:
    assert is_before_meal(NOON - _minute(clock)) == before


# ISO 15197:2013, table in J Diabetes Sci Technol 2015;9:885-894 (V): 15 mg/dL (0.83 mmol/L) below
# 100 (5.55), 15 % from there on. That independent errors add as squares is textbook (C).
def test_a_rise_below_both_meters_errors_together_is_within_them() -> None:
    mmol_l = {"floor": 0.83, "floor_below": 5.55}
    mg_dl = {"floor": 15.0, "floor_below": 100.0}

    # Errors 15 and 15: together 21.21 (W); 1.32 and 1.53: 2.02 (W); 1.05 and 1.365: 1.72; 22.5
    # and 18.3: 29.0 (W).
    assert is_within_error(80, 99, **mg_dl)
    assert not is_within_error(70, 92, **mg_dl)
    assert is_within_error(8.8, 10.2, **mmol_l)
    assert not is_within_error(7.0, 9.1, **mmol_l)
    assert is_within_error(150, 122, **mg_dl)


# Seven invented evenings (W): five pairs with rises 4.7, 2.1, 6.5, 1.4, 5.2.
EVENINGS = [(6.2, 10.9, 120), (7.0, 9.1, 120), (5.5, 12.0, 120), (8.8, 10.2, 120), (6.1, 11.3, 120),
            (7.4, 9.9, 220), (9.0, 13.0, 120)]  # fmt: skip


def test_five_of_seven_evenings_are_pairs_and_two_say_why_not() -> None:
    readings, snack = [], 0
    for day, (before, after, minutes) in enumerate(EVENINGS):
        meal = day * 86400 + 18 * 3600
        readings += [
            MealReading(meal, before, "evening meal", is_before=True),
            MealReading(meal + minutes * 60, after, "evening meal", is_before=False),
        ]
        snack = meal + 3600  # the last evening had one at +60
    found = meal_pairs(readings, Noted(snacks=[snack]))
    rise = rise_of([pair.rise for pair in found.pairs])

    assert rise.n == 5
    assert rise.median == pytest.approx(4.7, abs=1e-9)
    assert (rise.lowest, rise.highest) == pytest.approx((1.4, 6.5), abs=1e-9)
    assert rise.mean == pytest.approx(3.98, abs=1e-9)
    assert {pair.start_from for pair in found.pairs} == {"before_reading"}
    assert [(each.why, each.minutes) for each in found.not_paired] == [
        (Why.OUTSIDE, 220),
        (Why.FOOD, 60),
    ]


def _minute(clock: str) -> int:
    return int(clock[:2]) * 60 + int(clock[3:])
