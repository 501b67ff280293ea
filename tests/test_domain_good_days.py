from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.errors import NeedsAnswer, Refused
from app.domain.good_days import last_good_day, printed_day, read_printed

DAYS = st.dates(date(2000, 1, 1), date(2100, 1, 1))


@given(DAYS, DAYS, st.integers(1, 400))
def test_the_last_good_day_is_the_earlier_of_both_and_never_later_than_either(
    printed: date, opened: date, days: int
) -> None:
    both = last_good_day(printed.isoformat(), opened.toordinal(), days)

    assert both == min(printed.toordinal(), opened.toordinal() + days)


@given(DAYS)
def test_a_month_ends_with_its_last_day(day: date) -> None:
    last = printed_day(f"{day:%Y-%m}")

    assert (last.year, last.month) == (day.year, day.month)
    assert date.fromordinal(last.toordinal() + 1).day == 1


def test_without_a_date_no_day_is_known() -> None:
    assert last_good_day(None, None, 90) is None
    assert last_good_day(None, 738_000, None) is None


def test_a_printed_date_of_another_program_that_is_none_is_no_date() -> None:
    assert last_good_day("2025-13", 738_000, 10) == 738_010


@pytest.mark.parametrize("text", ["2026-13", "soon", "", "2026-02-30", "31", "99/99"])
def test_what_is_no_date_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        read_printed(text)


def test_two_digits_that_could_be_either_are_asked_about() -> None:
    with pytest.raises(NeedsAnswer) as asked:
        read_printed("05/26")

    assert asked.value.questions[0].answers == ("2026-05",)
