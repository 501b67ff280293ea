"""A date or a time that is typed alone."""

from __future__ import annotations

from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as some

from app.domain.entry.alone import date_alone, time_alone

THE_SEVENTH = date(2026, 2, 7)


@pytest.mark.parametrize(
    "text",
    ["7.2.2026", "07/02/2026", "7-2-26", "2026-02-07", "20260207", "7 Feb 2026", "Feb 7, 2026"],
)
def test_a_date_is_read_in_any_usual_way(text: str) -> None:
    assert date_alone(text, "dmy") == THE_SEVENTH


def test_the_order_decides_where_figures_alone_do_not() -> None:
    assert date_alone("02/07/2026", "mdy") == THE_SEVENTH
    assert date_alone("02/07/2026", "dmy") == date(2026, 7, 2)


@pytest.mark.parametrize(
    "text", ["", "7", "7 Feb", "7/2", "yesterday", "31.04.2026", "7.2.2026 8.2.2026", "soon"]
)
def test_what_is_no_whole_date_is_none(text: str) -> None:
    assert date_alone(text, "dmy") is None


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("7:30", time(7, 30)),
        ("0730", time(7, 30)),
        ("7.30", time(7, 30)),
        ("7h30", time(7, 30)),
        ("7 pm", time(19)),
        ("7", time(7)),
        ("noon", time(12)),
        ("00:00", time(0)),
    ],
)
def test_a_time_is_read_in_any_usual_way(text: str, read: time) -> None:
    assert time_alone(text) == read


@pytest.mark.parametrize("text", ["", "25:10", "7:60", "24:00", "7:30 8:30", "7:30+02:00", "soon"])
def test_what_is_no_time_of_one_day_is_none(text: str) -> None:
    assert time_alone(text) is None


@given(some.dates(date(1970, 1, 1), date(2199, 12, 31)), some.sampled_from(["dmy", "mdy", "ymd"]))
def test_a_date_as_a_field_shows_it_is_that_date(day: date, order: str) -> None:
    shown = {"dmy": f"{day.day} {day:%b %Y}", "mdy": f"{day:%b} {day.day}, {day.year}"}

    assert date_alone(shown.get(order, day.isoformat()), order) == day


@given(some.text(max_size=12))
def test_no_text_whatever_is_an_error(text: str) -> None:
    assert isinstance(date_alone(text, "dmy"), date | None)
    assert isinstance(time_alone(text), time | None)
