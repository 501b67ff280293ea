from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from threading import current_thread, main_thread
from typing import Any

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.domain.marks import Mark
from app.look.tokens import LIGHT
from app.report.screen import Painted, painted
from app.review.visit import VisitPage
from app.store.asks import asks_of
from app.store.diary import Diary
from app.store.people import persons
from app.ui.appointment.page import AppointmentPage
from app.ui.appointment.show import FullScreenSheet
from app.ui.session import Session
from app.work.take_back import undo_last
from app.work.visits import LONGEST_ASK, write_ask
from tests.households import NOW, corwin, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        person = corwin(made)
        for day in range(1, 8):
            written(made, person, f"2026-03-0{day} 07:00", str(120 + day), Mark.WAKING)
        yield made


def opened(diary: Diary, qtbot: QtBot, width: int = 988) -> AppointmentPage:
    session = Session(diary, lambda: NOW, None)
    page = AppointmentPage(session)
    session.setParent(page)
    qtbot.addWidget(page)
    page.resize(width, 760)
    page.show()
    qtbot.waitUntil(lambda: page.found is not None and not page.job.busy)
    return page


def test_the_sheet_stands_there_as_soon_as_it_is_worked_out(diary: Diary, qtbot: QtBot) -> None:
    page = opened(diary, qtbot)

    assert page.preview.isVisible()
    assert "7 readings on 7 of 30 days" in page.preview.accessibleDescription()
    assert page.save.isEnabled()


def test_another_period_makes_another_sheet(diary: Diary, qtbot: QtBot) -> None:
    page = opened(diary, qtbot)

    page.session.show_days(7)
    qtbot.waitUntil(lambda: not page.job.busy)

    assert page.found is not None
    assert page.found.page.period.days == 7


def test_a_question_is_kept_ticked_off_and_taken_back(diary: Diary, qtbot: QtBot) -> None:
    page = opened(diary, qtbot)
    person = page.session.person

    page.asks.line.setFocus()
    QTest.keyClicks(page.asks.line, "should I test at night?")
    QTest.keyClick(page.asks.line, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: len(page.asks.buttons) == 1)
    assert page.asks.line.text() == ""
    page.asks.buttons[0].click()
    qtbot.waitUntil(lambda: not page.asks.buttons)

    assert [each.done_at is not None for each in asks_of(diary, person)] == [True]
    undo_last(diary, person, now=NOW)
    undo_last(diary, person, now=NOW)
    assert asks_of(diary, person) == ()


def test_a_question_that_is_refused_stays_in_its_line(diary: Diary, qtbot: QtBot) -> None:
    page = opened(diary, qtbot)
    said: list[str] = []
    page.session.said.connect(lambda each: said.append(each.sentence))
    endless = "x" * (LONGEST_ASK + 1)

    page.asks.line.setText(endless)
    QTest.keyClick(page.asks.line, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(said))

    assert page.asks.line.text() == endless
    assert "Nothing was saved" in said[-1]


@pytest.mark.parametrize("ending", [".pdf", ".html"])
def test_the_sheet_is_saved_for_this_user_alone(
    diary: Diary, qtbot: QtBot, tmp_path: Path, ending: str
) -> None:
    page = opened(diary, qtbot)
    said: list[str] = []
    page.session.said.connect(lambda each: said.append(each.sentence))

    page.save_to(tmp_path / f"visit{ending}")
    qtbot.waitUntil(lambda: bool(said))

    assert (tmp_path / f"visit{ending}").stat().st_mode & 0o077 == 0
    assert said == [f"The sheet was saved as visit{ending}. Only you can read it."]


def test_a_visit_is_written_down_by_its_form(diary: Diary, qtbot: QtBot) -> None:
    page = opened(diary, qtbot)

    page.visit.outcome.setText("see again in August")
    QTest.keyClick(page.visit.outcome, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page.found is not None and page.found.page.visit is not None)

    assert page.found is not None
    assert page.found.page.visit is not None
    assert page.found.page.visit.outcome == "see again in August"


def test_the_whole_screen_shows_one_part_after_the_other(diary: Diary, qtbot: QtBot) -> None:
    page = opened(diary, qtbot)
    assert page.found is not None
    shown = FullScreenSheet(page.found.page)
    qtbot.addWidget(shown)
    shown.show()
    heads = []

    for _ in shown.parts:
        heads.append(shown.shown.heading)
        QTest.keyClick(shown, Qt.Key.Key_Right)
    QTest.keyClick(shown, Qt.Key.Key_Left)

    assert heads[0].startswith("Corwin")
    assert any(head.startswith("Lows") for head in heads)
    assert len(set(heads)) == len(heads)
    assert shown.shown.heading == heads[-2]
    with qtbot.waitSignal(shown.destroyed):
        QTest.keyClick(shown, Qt.Key.Key_Escape)


def test_the_second_sheet_is_shown_when_it_is_asked_for(diary: Diary, qtbot: QtBot) -> None:
    page = opened(diary, qtbot)
    qtbot.waitUntil(lambda: page.preview.pages == 1)

    QTest.keyClick(page.second, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: page.preview.pages == 2)

    assert len(page.preview.images) == 2
    assert page.pages.text() == "2 pages"
    width = page.preview.width()
    assert page.preview.heightForWidth(width) > 2 * width
    QTest.keyClick(page.second, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: page.preview.pages == 1)


def test_the_second_sheet_goes_into_the_file(diary: Diary, qtbot: QtBot, tmp_path: Path) -> None:
    page = opened(diary, qtbot)
    said: list[str] = []
    page.session.said.connect(lambda each: said.append(each.sentence))
    page.second.setChecked(True)
    qtbot.waitUntil(lambda: page.preview.pages == 2)

    page.save_to(tmp_path / "visit.pdf")
    qtbot.waitUntil(lambda: bool(said))

    assert len(PdfReader(tmp_path / "visit.pdf").pages) == 2


def test_a_sheet_is_worked_out_and_painted_in_another_thread(
    diary: Diary, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    names: list[str] = []

    def seen(page: VisitPage, *more: Any, **how: Any) -> Painted:
        names.append(current_thread().name)
        return painted(page, *more, **how)

    monkeypatch.setattr("app.ui.appointment.preview.painted", seen)
    page = opened(diary, qtbot)
    qtbot.waitUntil(lambda: page.preview.pages == 1)

    page.paper.setCurrentIndex(1)
    page.paper.activated.emit(1)
    qtbot.waitUntil(lambda: len(names) > 1 and page.preview.images[0].height() < 1.3 * page.width())

    assert names
    assert main_thread().name not in names


def test_another_paper_has_another_shape(diary: Diary, qtbot: QtBot) -> None:
    page = opened(diary, qtbot)
    qtbot.waitUntil(lambda: page.preview.pages == 1)
    a4 = page.preview.images[0]

    page.paper.setCurrentIndex(1)
    with qtbot.waitSignal(page.preview.painted_anew):
        page.paper.activated.emit(1)

    letter = page.preview.images[0]
    assert a4.height() / a4.width() == pytest.approx(297 / 210, abs=0.01)
    assert letter.height() / letter.width() == pytest.approx(279.4 / 215.9, abs=0.01)


def test_on_the_whole_screen_others_are_nobody_and_private_notes_stay_away(
    diary: Diary, qtbot: QtBot
) -> None:
    person = persons(diary)[0]
    tilde(diary)
    written(diary, person, "2026-03-09 02:10", "58", note="a private word")
    write_ask(diary, person, "May Tilde come along?", now=NOW)
    page = opened(diary, qtbot)
    qtbot.waitUntil(lambda: page.found is not None)
    assert page.found is not None
    shown = FullScreenSheet(page.found.page)
    qtbot.addWidget(shown)

    told = []
    for _ in shown.parts:
        told.append(shown.accessibleName())
        QTest.keyClick(shown, Qt.Key.Key_Right)

    everything = " ".join(told)
    assert "May someone come along?" in everything
    assert "Tilde" not in everything
    assert "private word" not in everything
    assert "Corwin" in told[0]


def test_the_whole_screen_is_white_with_dark_words_as_paper_is(diary: Diary, qtbot: QtBot) -> None:
    page = opened(diary, qtbot)
    assert page.found is not None
    shown = FullScreenSheet(page.found.page)
    qtbot.addWidget(shown)
    shown.resize(900, 600)
    shown.show()

    for _ in shown.parts:
        picture = shown.grab().toImage()
        assert picture.pixelColor(2, 2).name() == LIGHT.page.lower()
        dark = (
            picture.pixelColor(x, y).lightness() for x in range(0, 900, 3) for y in range(36, 90)
        )
        assert min(dark) < 80
        QTest.keyClick(shown, Qt.Key.Key_Down)

    QTest.keyClick(shown, Qt.Key.Key_Home)
    assert shown.at == 0
    QTest.keyClick(shown, Qt.Key.Key_End)
    assert shown.at == len(shown.parts) - 1
