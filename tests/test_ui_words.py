from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from uuid import UUID

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QApplication

from app.domain.clock import Period
from app.domain.glucose import Glucose, Unit
from app.domain.person import Person
from app.ui.words import (
    moment_words,
    number_words,
    period_words,
    short_moment_words,
    value_words,
)

LOCALES = ["en_GB", "de_DE", "fr_FR", "ar_EG", "hi_IN"]
TODAY = date(2026, 5, 7)
WALL = datetime(2026, 5, 7, 18, 5)  # noqa: DTZ001  a wall time has no zone
ONE_MONTH = Period(date(2026, 1, 4), date(2026, 1, 17))
TWO_MONTHS = Period(date(2026, 1, 28), date(2026, 2, 3))
TWO_YEARS = Period(date(2025, 12, 28), date(2026, 1, 3))
ONE_DAY = Period(date(2026, 1, 4), date(2026, 1, 4))


@pytest.fixture(params=LOCALES)
def locale(request: pytest.FixtureRequest) -> Iterator[QLocale]:
    before = QLocale()
    chosen = QLocale(request.param)
    QLocale.setDefault(chosen)
    yield chosen
    QLocale.setDefault(before)


@pytest.fixture
def english() -> Iterator[None]:
    before = QLocale()
    QLocale.setDefault(QLocale("en_GB"))
    yield
    QLocale.setDefault(before)


def person(*, clock: int = 24, order: str = "dmy") -> Person:
    return Person(1, UUID(int=1), "Tilde", Unit.MMOL_L, "Europe/Lisbon", clock, order)


def test_numbers_are_shown_with_the_marks_of_the_system(locale: QLocale) -> None:
    shown = value_words(Glucose("5.6", Unit.MMOL_L))

    expected = {"en_GB": "5.6", "de_DE": "5,6", "fr_FR": "5,6", "ar_EG": "٥٫٦", "hi_IN": "5.6"}
    assert shown == f"{expected[locale.name()]} mmol/L"


def test_digits_are_those_of_qt_for_every_number(locale: QLocale) -> None:
    for number in (0, 7, 112, 600):
        assert number_words(str(number)) == locale.toString(number).replace(
            locale.groupSeparator(), ""
        )


def test_times_and_dates_are_in_the_order_of_the_person(english: None) -> None:
    assert moment_words(WALL, TODAY, person()) == "today, Thu 7 May, 18:05"
    assert moment_words(WALL, TODAY, person(order="mdy")) == "today, Thu May 7, 18:05"
    assert short_moment_words(WALL, date(2026, 5, 20), person()) == "Thu 7 May 18:05"
    assert short_moment_words(WALL, date(2027, 5, 20), person()) == "Thu 7 May 2026 18:05"
    assert short_moment_words(WALL, date(2026, 5, 8), person()) == "yesterday 18:05"


def test_clock_of_twelve_hours_says_which_half(english: None) -> None:
    shown = moment_words(WALL, TODAY, person(clock=12)).casefold()

    assert shown == "today, thu 7 may, 6:05 pm"


@pytest.mark.parametrize(
    ("order", "period", "words"),
    [
        ("dmy", ONE_MONTH, "4 – 17 January 2026"),
        ("dmy", TWO_MONTHS, "28 January – 3 February 2026"),
        ("dmy", TWO_YEARS, "28 December 2025 – 3 January 2026"),
        ("dmy", ONE_DAY, "4 January 2026"),
        ("mdy", ONE_MONTH, "January 4 – 17, 2026"),
        ("mdy", TWO_MONTHS, "January 28 – February 3, 2026"),
        ("mdy", TWO_YEARS, "December 28, 2025 – January 3, 2026"),
        ("mdy", ONE_DAY, "January 4, 2026"),
        ("ymd", ONE_MONTH, "2026 January 4 – January 17"),
        ("ymd", TWO_YEARS, "2025 December 28 – 2026 January 3"),
    ],
)
def test_a_period_is_said_in_the_order_of_the_person(
    qapp: QApplication, order: str, period: Period, words: str
) -> None:
    assert period_words(period, order) == words


@pytest.mark.parametrize(
    ("order", "period", "words"),
    [
        ("dmy", ONE_MONTH, "4 – 17 Jan"),
        ("dmy", TWO_YEARS, "28 Dec – 3 Jan"),
        ("mdy", ONE_MONTH, "Jan 4 – 17"),
        ("ymd", TWO_MONTHS, "Jan 28 – Feb 3"),
    ],
)
def test_a_period_in_short_leaves_the_year_out(
    english: None, order: str, period: Period, words: str
) -> None:
    assert period_words(period, order, short=True) == words
