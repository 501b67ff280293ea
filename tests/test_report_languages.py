"""The sheet in other clocks, dates, scripts and longer words: all has its place, none is cut."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, time
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.domain.clock import Period
from app.domain.marks import Mark
from app.domain.person import Person
from app.report.dates import clock_words, day_words, days_words, period_words
from app.report.said import page_said
from app.report.second_said import second_said
from app.report.sheet import paint_sheet
from app.report.web_page import web_page
from app.report.words import isolated, plain, signed, without_names
from app.review.visit import VisitPage
from app.store.diary import Diary
from app.work.people import add_person
from app.work.visits import write_ask
from tests.households import NOW, new_diary, written
from tests.pdf_pages import words_on
from tests.pseudo import Pseudo
from tests.sheets import Web, page_of, saved, second_of, spring_of

LONG_NAME = "Wolfeschlegelsteinhausenbergerdorff-Papadiamantopoulou the younger, née Ó Súil"
HEBREW = "האם לבדוק בלילה? (3:00)"


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def pseudo(qapp: QApplication) -> Iterator[Pseudo]:
    made = Pseudo()
    qapp.installTranslator(made)
    yield made
    qapp.removeTranslator(made)


@pytest.fixture
def from_right(qapp: QApplication) -> Iterator[None]:
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    yield
    qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


def person_of(
    diary: Diary, *, name: str = "Tilde", clock: int = 24, date_order: str = "dmy"
) -> Person:
    return add_person(
        diary,
        name,
        unit="mg/dL",
        zone="America/Chicago",
        now=NOW,
        clock=clock,
        date_order=date_order,
    )


def left_over(page: VisitPage, size: str = "A4") -> float:
    """Millimetres between the last words and the foot."""
    image = QImage(1, 1, QImage.Format.Format_Grayscale8)
    painter = QPainter(image)
    left = paint_sheet(painter, page, size=size)
    painter.end()
    return left


@pytest.mark.parametrize(
    ("order", "day", "full", "few", "months", "years"),
    [
        (
            "dmy",
            "7 May",
            "7 May 2026",
            "3 – 7 May 2026",
            "30 April – 7 May 2026",
            "30 December 2025 – 2 January 2026",
        ),
        (
            "mdy",
            "May 7",
            "May 7, 2026",
            "May 3 – 7, 2026",
            "April 30 – May 7, 2026",
            "December 30, 2025 – January 2, 2026",
        ),
        (
            "ymd",
            "May 7",
            "2026 May 7",
            "2026 May 3 – 7",
            "2026 April 30 – May 7",
            "2025 December 30 – 2026 January 2",
        ),
    ],
)
def test_days_stand_in_the_order_of_the_person(
    diary: Diary, order: str, day: str, full: str, few: str, months: str, years: str
) -> None:
    person, seventh = person_of(diary, date_order=order), date(2026, 5, 7)

    assert day_words(seventh, person) == day
    assert day_words(seventh, person, year=True) == full
    assert days_words(date(2026, 5, 3), seventh, person, year=True) == few
    assert days_words(date(2026, 4, 30), seventh, person, year=True) == months
    assert days_words(date(2025, 12, 30), date(2026, 1, 2), person, year=True) == years
    assert period_words(Period(seventh, seventh), person) == f"{full} · 1 day"


@pytest.mark.parametrize(
    ("clock", "said"),
    [
        (24, ["00:05", "09:30", "12:00", "23:59"]),
        (12, ["12:05 AM", "9:30 AM", "12:00 PM", "11:59 PM"]),
    ],
)
def test_times_are_told_by_the_clock_of_the_person(
    diary: Diary, clock: int, said: list[str]
) -> None:
    person = person_of(diary, clock=clock)
    walls = [time(*at) for at in ((0, 5), (9, 30), (12, 0), (23, 59))]

    assert [clock_words(each, person) for each in walls] == said


def test_lows_are_told_by_that_clock_too(diary: Diary) -> None:
    person = person_of(diary, clock=12, date_order="mdy")
    written(diary, person, "2026-03-11 18:07", "58")

    lows = " ".join(page_said(page_of(diary)).lows.paragraphs).replace("\u00a0", " ")
    (row,) = second_said(second_of(diary)).lows.rows

    assert "March 11 6:07 PM 58 (3.2)" in lows
    assert row.cells[0][0].text == "March 11 6:07 PM"


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["Tilde", "Corwin"])
def test_in_a_longer_language_all_has_its_place(
    tmp_path: Path, pseudo: Pseudo, name: str, size: str
) -> None:
    with spring_of(tmp_path, name) as (page, second):
        assert left_over(page, size) >= 0
        out = saved(page, tmp_path, size=size, second=second)
    wide = float(PdfReader(out).pages[0].mediabox.width) * 25.4 / 72

    for at in range(len(PdfReader(out).pages)):
        assert all(11 < each.left < wide - 11 for each in words_on(out, at))
    assert "Lows" in pseudo.asked


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_from_the_right_the_words_are_mirrored_and_time_still_runs_to_the_right(
    tmp_path: Path, from_right: None, size: str
) -> None:
    with spring_of(tmp_path, "Corwin") as (page, second):
        assert left_over(page, size) >= 0
        out = saved(page, tmp_path, size=size, second=second)
    words = words_on(out)
    middle = float(PdfReader(out).pages[0].mediabox.width) * 25.4 / 72 / 2

    name = next(each for each in words if each.text == "Corwin")
    columns = [
        next(each.left for each in words if each.text == text and each.size < 3)
        for text in ("waking", "bedtime", "night")
    ]
    assert name.left > middle
    assert columns == sorted(columns)
    heads = [
        next(each.left for each in words_on(out, 1) if each.text == text)
        for text in ("day", "waking", "night")
    ]
    assert heads == sorted(heads, reverse=True)


def test_the_web_page_says_that_it_is_written_from_the_right(
    diary: Diary, from_right: None
) -> None:
    person_of(diary)

    assert Web(web_page(page_of(diary))).tags[0] == ("html", {"lang": "en", "dir": "rtl"})


def test_a_sign_stays_before_its_number_from_the_right(from_right: None) -> None:
    assert signed("2.8", above=True) == "\u200e+2.8"
    assert signed("2.8", above=False) == "\u200e−2.8"


def test_a_sign_has_no_mark_of_direction_from_the_left() -> None:
    assert signed("2.8", above=True) == "+2.8"


def test_what_is_typed_in_a_script_from_the_right_moves_nothing_around_it() -> None:
    assert isolated("why at night?") == "why at night?"
    assert plain(HEBREW) == f"\u2068{HEBREW}\u2069"


def test_long_names_and_long_questions_have_their_place(
    diary: Diary, tmp_path: Path, qapp: object
) -> None:
    person = person_of(diary, name=LONG_NAME)
    written(diary, person, "2026-03-11 07:10", "126", Mark.WAKING)
    for _ in range(3):
        write_ask(diary, person, "Schwarzenbergplatzstrassenbahnhaltestelle" * 3, now=NOW)
    write_ask(diary, person, HEBREW, now=NOW)

    page = page_of(diary)
    out = saved(page, tmp_path, second=second_of(diary))

    assert left_over(page) >= 0
    words = words_on(out)
    period = next(each for each in words if each.text.startswith("1 – 12 March"))
    name = "".join(each.text for each in words[: words.index(period)])
    assert name.replace(" ", "") == LONG_NAME.replace(" ", "")
    # What reads a file glyph by glyph meets this script backwards.
    assert "האם"[::-1] in PdfReader(out).pages[0].extract_text()


def test_on_a_screen_that_others_see_they_are_nobody() -> None:
    names = ("Odalys", "Bram", "Bram B.", "school")

    hidden = without_names("Ask bram b. and <b>Odalys</b>: the School's Bramble?", names)

    assert hidden == "Ask someone and <b>someone</b>: the someone's Bramble?"
    assert without_names("Ask Bram.", ()) == "Ask Bram."
