from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale
from pytestqt.qtbot import QtBot

from app.ui.now.words import short_name
from tests.now_columns import desk

LOCALES = ["en_GB", "de_DE", "fr_FR", "ar_EG", "hi_IN"]
TYPED = ["5.6", "5,6", "٥٫٦", "५.६", "५,६", "5.6"]


@pytest.fixture(params=LOCALES)
def locale(request: pytest.FixtureRequest) -> Iterator[QLocale]:
    before = QLocale()
    chosen = QLocale(request.param)
    QLocale.setDefault(chosen)
    yield chosen
    QLocale.setDefault(before)


def test_point_comma_and_other_digits_are_taken_by_real_keys(
    locale: QLocale, qtbot: QtBot, tmp_path: Path
) -> None:
    at = desk(qtbot, tmp_path)

    for typed in TYPED:
        at.save(typed)

    assert [reading.glucose.value for reading in at.readings()] == ["5.6"] * len(TYPED)
    at.close()


def test_short_names_of_similar_people_differ() -> None:
    one, other = (f"Tilde Marjolein van Oosterhout {end}" for end in "AB")

    assert short_name(one) != short_name(other)
    assert short_name("Tilde") == "Tilde"
