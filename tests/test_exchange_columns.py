from __future__ import annotations

import pytest

from app.exchange.columns import Columns, columns_by_words, role_of_title


@pytest.mark.parametrize(
    ("titles", "at"),
    [
        (("Date", "Time", "Result", "When"), {"date": 0, "time": 1, "value": 2, "mark": 3}),
        (("Date", "When", "Result", "Mark"), {"date": 0, "value": 2, "mark": 3}),
        (("When", "Result"), {"datetime": 0, "value": 1}),
        (("Date", "Timestamp", "Result"), {"datetime": 1, "value": 2}),
        (("Day", "Hour", "Glucose mmol/L"), {"date": 0, "time": 1, "value": 2}),
    ],
)
def test_when_is_a_mark_beside_a_date_and_a_time_alone(
    titles: tuple[str, ...], at: dict[str, int]
) -> None:
    found = columns_by_words(titles)

    assert isinstance(found, Columns)
    assert found.at == at


@pytest.mark.parametrize(
    ("title", "role"),
    [
        ("mg/dL", "value"),
        ("Number (mmol/L)", "value"),
        ("What", "code"),
        ("Record type", "code"),
        ("Meal", "mark"),
        ("Wieviel", None),
    ],
)
def test_a_title_alone_is_a_guess_for_a_person_to_look_at(title: str, role: str | None) -> None:
    assert role_of_title(title) == role


def test_a_unit_or_a_kind_alone_makes_no_plain_header() -> None:
    assert columns_by_words(("Date", "Time", "mmol/L")) is None  # it could be ketones
    assert columns_by_words(("Date", "Time", "What", "mmol/L")) is None
