from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from uuid import UUID

import pytest
from PySide6.QtCore import QLocale
from pytestqt.qtbot import QtBot

from app.domain.glucose import Glucose, Unit
from app.domain.person import Person
from app.ui.words import moment_words, number_words, short_moment_words, value_words
from app.ui.now.words import short_name
from tests.now_columns import desk

LOCALES = ["en_GB", "de_DE", "fr_FR", "ar_EG", "hi_IN"]
TYPED = ["5.6", "5,6", "٥٫٦", "५.६", "५,६", "5.6"]
TODAY = date(2026, 5, 7)
WALL = datetime(2026, 5, 7, 18, 5)  # noqa: DTZ001  a wall time has no zone


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


def test_point_comma_and_other_digits_are_taken_by_real_keys(
    locale: QLocale, qtbot: QtBot, tmp_path: Path
) -> None:
    at = desk(qtbot, tmp_path)

    for typed in TYPED:
        at.save(typed)

    assert [reading.glucose.value for reading in at.readings()] == ["5.6"] * len(TYPED)
    at.close()


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


def test_short_names_of_similar_people_differ() -> None:
    one, other = (f"Tilde Marjolein van Oosterhout {end}" for end in "AB")

    assert short_name(one) != short_name(other)
    assert short_name("Tilde") == "Tilde"
