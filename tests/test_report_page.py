from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtGui import QImage, QPainter

from app.domain.clock import last_days
from app.domain.shipped import shipped
from app.report.said import page_said
from app.report.screen import painted
from app.report.sheet import paint_sheet
from app.report.web_page import web_page
from app.review.record import record_of
from app.review.visit import visit_page
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.work.visits import keep_visit, tick_off, write_ask
from tests.commands import Terminal
from tests.households import INSTALLATION, NOW, corwin, new_diary, tilde, written
from tests.screens import SheetScreen
from tests.sheets import EVENING, SPRING, Web, page_of


@pytest.fixture
def terminal(tmp_path: Path, qapp: object) -> Terminal:
    made = Terminal(tmp_path, now=EVENING, screen=SheetScreen())
    shutil.copyfile(shipped("sample_db", "households.thimblebook"), made.diary)
    made.diary.chmod(0o600)
    return made


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def plain(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", text).split())


def test_a_file_that_lies_there_is_not_written_over_unasked(terminal: Terminal) -> None:
    out = terminal.folder / "visit.pdf"
    out.write_text("mine")

    done = terminal.type("--person", "Corwin", "page", str(out))

    assert done.code == 1
    assert "Say --replace" in done.err
    assert out.read_text() == "mine"


def test_a_page_has_to_end_as_what_it_is(terminal: Terminal) -> None:
    done = terminal.type("--person", "Corwin", "page", str(terminal.folder / "visit.doc"))

    assert (done.code, "should end in .pdf or .html" in done.err) == (1, True)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_where_nothing_can_be_written_one_sentence_says_so(terminal: Terminal) -> None:
    shut = terminal.folder / "shut"
    shut.mkdir(mode=0o500)

    done = terminal.type("--person", "Corwin", "page", str(shut / "visit.pdf"))

    assert done.code == 1
    assert "name a folder where you may write" in done.err


def test_nothing_is_invented_for_a_period_without_readings(diary: Diary) -> None:
    tilde(diary)

    said = page_said(page_of(diary, SPRING, now=EVENING))

    assert plain(said.tested.paragraphs[0]) == "Not tested: no readings in this period."
    assert said.lows.paragraphs == said.highs.paragraphs == ("Not tested.",)
    assert [len(rows) for rows in (said.averages, said.rises, said.nights)] == [0, 0, 0]
    assert "nan" not in web_page(page_of(diary, SPRING, now=EVENING)).casefold()


def test_a_period_without_readings_is_painted_too(diary: Diary, qapp: object) -> None:
    tilde(diary)

    seen = painted(page_of(diary, SPRING, now=EVENING), None, "A4", 400, most=1)

    assert [image.isNull() for image in seen.images] == [False]


def test_what_people_typed_is_never_read_as_markup(diary: Diary, qapp: object) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-01 07:00", "126")
    write_ask(diary, person, "is <b>this</b> & that <script>x</script> right?", now=NOW)

    web = Web(web_page(page_of(diary, SPRING, now=EVENING)))

    assert "is <b>this</b> & that <script>x</script> right?" in web.text
    assert "script" not in {tag for tag, _ in web.tags}


def test_at_most_five_questions_stand_on_the_page(diary: Diary) -> None:
    person = corwin(diary)
    for number in range(7):
        write_ask(diary, person, f"question {number}", now=NOW)
    tick_off(diary, person, 1, now=NOW)

    asks = page_said(page_of(diary, SPRING, now=EVENING)).asks.paragraphs

    assert asks[0] == "question 1"
    assert asks[-1] == "1 more in the diary"
    assert len(asks) == 6


def test_a_visit_of_the_same_day_is_the_same_visit(diary: Diary) -> None:
    person = corwin(diary)
    keep_visit(diary, person, date(2026, 5, 8), outcome=None, now=NOW)
    keep_visit(diary, person, date(2026, 5, 8), outcome="see again in August", now=NOW)

    page = page_of(diary, SPRING, now=EVENING)

    assert page.visit is not None
    assert (page.visit.day, page.visit.outcome) == (
        date(2026, 5, 8).toordinal(),
        "see again in August",
    )


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["Tilde", "Corwin"])
@pytest.mark.parametrize("days", [7, 90, 365])
def test_everything_has_its_place_above_the_foot(
    terminal: Terminal, name: str, paper: str, days: int
) -> None:
    long = "How long can a question be that still has to be read by somebody with two minutes? " * 3
    for _ in range(5):
        terminal.ok("--person", name, "to-ask", long[:160])
    with open_diary(terminal.diary, INSTALLATION, now=NOW) as diary:
        person = next(each for each in persons(diary) if each.name == name)
        record = record_of(diary, person)
        page = visit_page(diary, record, last_days(days, date(2026, 5, 7)), now=EVENING)
    image = QImage(1, 1, QImage.Format.Format_Grayscale8)
    painter = QPainter(image)

    left = paint_sheet(painter, page, size=paper)

    painter.end()
    assert left >= 0
