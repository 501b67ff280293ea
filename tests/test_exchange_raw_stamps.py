from __future__ import annotations

import pytest

from app.exchange.raw_stamps import shown_times
from tests.memories import a_wall

WALL = a_wall("2026-03-04T07:05")


@pytest.mark.parametrize(
    "text",
    ["2026-03-04T07:05", "2026-03-04 07:05", "04.03.2026 07:05", "4/3/2026 7:05 AM"],
)
def test_stamps_of_common_forms_are_read(text: str) -> None:
    assert shown_times([(text, None)], date_order="dmy") == [WALL]


def test_what_is_known_decides_between_day_first_and_month_first() -> None:
    stamps = [("03/04/2026 07:05 AM", WALL), ("05/06/2026 06:00 PM", None)]

    assert shown_times(stamps, date_order="dmy")[1] == a_wall("2026-05-06T18:00")


def test_without_anything_known_the_persons_order_decides() -> None:
    stamps = [("05/06/2026 06:00 PM", None)]

    assert shown_times(stamps, date_order="mdy") == [a_wall("2026-05-06T18:00")]
    assert shown_times(stamps, date_order="dmy") == [a_wall("2026-06-05T18:00")]


def test_texts_that_no_order_but_one_can_read_decide_it() -> None:
    stamps = [("25/06/2026 18:00", None), ("05/06/2026 18:00", None)]

    assert shown_times(stamps, date_order="mdy")[1] == a_wall("2026-06-05T18:00")


def test_a_time_moved_to_the_place_of_a_journey_still_tells_the_order() -> None:
    stamps = [("07/04/2026 04:10 PM", a_wall("2026-07-04T22:10"))]

    assert shown_times(stamps, date_order="dmy") == [a_wall("2026-07-04T16:10")]


def test_a_stamp_that_says_no_time_is_none() -> None:
    stamps = [("soon", None), (None, None), ("04.03.2026 07:05", WALL)]

    assert shown_times(stamps, date_order="dmy") == [None, None, WALL]
