from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.domain.shipped import shipped
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.ui.session import Session
from app.ui.year.page import YearPage
from tests.households import INSTALLATION, NOW, new_diary, tilde, written

EVENING = datetime(2026, 5, 6, 20, 0, tzinfo=UTC)


@pytest.fixture
def sample(tmp_path: Path) -> Iterator[Diary]:
    path = Path(shutil.copyfile(shipped("sample_db", "households.thimblebook"), tmp_path / "h"))
    path.chmod(0o600)
    with open_diary(path, INSTALLATION, now=EVENING) as made:
        yield made


def opened(diary: Diary, qtbot: QtBot, name: str, now: datetime = EVENING) -> YearPage:
    session = Session(diary, lambda: now, None)
    session.choose(next(each for each in session.persons if each.name == name))
    session.show_days(30, now.date())
    page = YearPage(session)
    session.setParent(page)
    qtbot.addWidget(page)
    page.resize(988, 760)
    page.show()
    qtbot.waitUntil(lambda: page.found is not None)
    return page


def test_the_months_from_the_first_reading_on_end_with_that_of_the_period(
    sample: Diary, qtbot: QtBot
) -> None:
    page = opened(sample, qtbot, "Tilde")

    assert page.found is not None
    months = [each.first for each in page.found.months]
    assert (months[0], months[-1]) == (date(2025, 9, 1), date(2026, 5, 1))
    assert page.body.grid.isVisible()
    assert page.body.numbers.cells.rowCount() > 12


def test_a_step_by_key_shows_the_month_before(sample: Diary, qtbot: QtBot) -> None:
    page = opened(sample, qtbot, "Tilde")

    page.head.before.setFocus()
    QTest.keyClick(page.head.before, Qt.Key.Key_Left)
    qtbot.waitUntil(
        lambda: page.found is not None and page.found.months[-1].first == date(2026, 4, 1)
    )


def test_a_change_opens_its_before_and_after_and_goes_back(sample: Diary, qtbot: QtBot) -> None:
    page = opened(sample, qtbot, "Corwin")
    (button, *_) = page.body.beside.buttons

    button.click()
    qtbot.waitUntil(lambda: page.sides_found is not None)
    shown = page.sides_found
    page.sides.back.click()

    assert shown is not None
    assert shown.change.day == date(2026, 2, 9).toordinal()
    assert page.sides_found is None


def test_a_diary_without_readings_says_so(tmp_path: Path, qtbot: QtBot) -> None:
    with new_diary(tmp_path) as diary:
        tilde(diary)
        page = opened(diary, qtbot, "Tilde", NOW)

        assert page.empty.isVisible()
        assert not page.body.isVisible()


def test_one_reading_is_one_mark_and_the_rest_are_gaps(tmp_path: Path, qtbot: QtBot) -> None:
    with new_diary(tmp_path) as diary:
        written(diary, tilde(diary), "2026-03-10 07:00", "6.1")
        page = opened(diary, qtbot, "Tilde", NOW)

        assert page.found is not None
        assert sum(month.n for month in page.found.months) == 1
