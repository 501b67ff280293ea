"""Dates and ranges of the kit; C: common practice, labels differ; W: worked by the calendar."""

from __future__ import annotations

from datetime import date

import pytest

from app.domain.control import side_of
from app.domain.glucose import Glucose, Unit
from app.domain.good_days import last_good_day
from app.domain.kit import ControlRange


@pytest.mark.parametrize(
    ("printed", "opened", "days", "last"),
    [
        (None, date(2024, 1, 31), 90, date(2024, 4, 30)),  # W
        ("2024-04", None, None, date(2024, 4, 30)),  # W: a month ends with its last day
        ("2024-05", date(2024, 3, 10), 90, date(2024, 5, 31)),  # W: print comes first
        ("2026-12-31", date(2026, 3, 1), 90, date(2026, 5, 30)),  # W: the label comes first
        ("2024-02", None, None, date(2024, 2, 29)),  # W: a leap year
    ],
)
def test_the_last_good_day_is_the_earlier_of_label_and_print(
    printed: str | None, opened: date | None, days: int | None, last: date
) -> None:
    found = last_good_day(printed, opened.toordinal() if opened else None, days)

    assert found == last.toordinal()


def test_both_ends_of_a_control_range_pass() -> None:
    printed = ControlRange("normal", "96", "144", Unit.MG_DL)  # C

    sides = [side_of(Glucose(value, Unit.MG_DL), printed) for value in ("95", "96", "144", "145")]

    assert sides == ["below", None, None, "above"]
