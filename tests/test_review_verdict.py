from __future__ import annotations

import pytest

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.targets import preset
from app.review.verdict import verdict_of
from tests.households import result

MMOL, MG = Unit.MMOL_L, Unit.MG_DL


@pytest.mark.parametrize(
    ("value", "unit", "mark", "goals", "words"),
    [
        ("7.2", MMOL, Mark.BEFORE_LUNCH, "nice-under-18", "above the target, 7.0, before a meal"),
        ("7.0", MMOL, Mark.BEFORE_LUNCH, "nice-under-18", "within 4.0 – 7.0, before a meal"),
        ("4.8", MMOL, Mark.AFTER_LUNCH, "nice-under-18", "below the target, 5.0, after a meal"),
        ("8.1", MMOL, Mark.WAKING, "ispad-2022", "above the target, 8.0, on waking"),
        ("8.1", MMOL, Mark.NONE, "ispad-2022", "within 4.0 – 10.0"),
        ("10.1", MMOL, Mark.NONE, "ispad-2022", "above the target, 10.0"),
        ("14.0", MMOL, Mark.NONE, "ispad-2022", "far above the target, 10.0"),
        ("HI", MMOL, Mark.NONE, "ispad-2022", "far above the target, 10.0"),
        ("3.1", MMOL, Mark.NONE, "ispad-2022", "below the low line, 3.9"),
        ("2.9", MMOL, Mark.NONE, "ispad-2022", "far below the low line, 3.9"),
        ("LO", MG, Mark.NONE, "ada-adults", "far below the low line, 70"),
        ("180", MG, Mark.AFTER_LUNCH, "ada-adults", "above the target, 180, after a meal"),
        (
            "179", MG, Mark.AFTER_LUNCH, "ada-adults", "within the target, under 180, after a meal",
        ),
        ("112", MG, Mark.NONE, "ada-adults", "between 70 and 180, no target"),
        ("200", MG, Mark.NONE, "ada-adults", "above 180, no target"),
        ("5.6", MMOL, Mark.NONE, None, "between 3.9 and 10.0, no target"),
        ("14.0", MMOL, Mark.NONE, None, "above 13.9, no target"),
        ("3.0", MMOL, Mark.NONE, None, "below the low line, 3.9"),
    ],
)  # fmt: skip
def test_reading_is_said_against_its_own_goal(
    value: str, unit: Unit, mark: Mark, goals: str | None, words: str
) -> None:
    targets = preset(goals).from_day(1) if goals else None

    assert verdict_of(result(value, unit), mark, None, targets).words == words


def test_edge_is_judged_in_the_unit_that_was_entered() -> None:
    targets = preset("ispad-2022").from_day(1)

    in_mmol = verdict_of(result("10.0", MMOL), Mark.NONE, None, targets)
    in_mg = verdict_of(result("181", MG), Mark.NONE, None, targets)

    assert (in_mmol.side, in_mg.side) == ("within", "above")


def test_minutes_after_the_meal_choose_between_two_limits() -> None:
    targets = preset("ada-pregnancy").from_day(1)

    one_hour = verdict_of(result("130", MG), Mark.AFTER_LUNCH, 60, targets)
    two_hours = verdict_of(result("130", MG), Mark.AFTER_LUNCH, 120, targets)

    assert (one_hour.side, two_hours.side) == ("within", "above")
    assert "(" in two_hours.words
