from __future__ import annotations

import os
import re
import shutil
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from html.parser import HTMLParser
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtGui import QImage, QPainter

from app.domain.clock import Period, last_days
from app.domain.shipped import shipped
from app.report.out import sheet_image, write_page
from app.report.said import page_said
from app.report.sheet import paint_sheet
from app.report.web_page import web_page
from app.review.hand_over import HandOverCard
from app.review.record import record_of
from app.review.visit import VisitPage, visit_page
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.work.visits import keep_visit, tick_off, write_ask
from tests.commands import Terminal
from tests.households import INSTALLATION, NOW, corwin, new_diary, tilde, written

SPRING = Period(date(2026, 2, 7), date(2026, 5, 7))
EVENING = datetime(2026, 5, 8, 4, 0, tzinfo=UTC)
# The invented household's quarter before his visit, counted by its builder's own totals.
SAID_OF_SPRING = (
    "201 readings on 89 of 90 days",
    "none seen, n 201",
    "Night tested 3 times in 90 nights: lows at night would not be seen.",
    "33 had no mark and are in no slot",
    "42 above 180 (10.0): 21 % of 201",
    "118 (6.5) → 134 (7.4)",
    "111 (6.2) → 140 (7.8)",
    "122 (6.8) → 130 (7.2)",
    "re-timed",
    "7.6 % (60 mmol/mol), 8 May",
    "Ketones: not tested.",
    "mean 135.5 (7.5) mg/dL (mmol/L)",
)


@dataclass(frozen=True, slots=True)
class Screen:
    """A screen for commands that only print."""

    def is_there(self) -> bool:
        return False

    def open(self, diary: Path, person: str | None) -> int:
        raise AssertionError((diary, person))

    def draw(self, pictures: object) -> list[Path]:
        raise AssertionError(pictures)

    def write_page(self, page: VisitPage, out: Path, paper: str) -> None:
        write_page(page, out, paper)

    def write_card(self, card: HandOverCard, out: Path, paper: str) -> None:
        raise AssertionError((card, out, paper))


@pytest.fixture
def terminal(tmp_path: Path, qapp: object) -> Terminal:
    made = Terminal(tmp_path, now=EVENING, screen=Screen())
    shutil.copyfile(shipped("sample_db", "households.thimblebook"), made.diary)
    made.diary.chmod(0o600)
    return made


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def plain(text: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", text).split())


class Web(HTMLParser):
    """What a reader of the web page meets: its text, headings, heads of rows and columns."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.language = ""
        self.text, self.tags = "", list[tuple[str, dict[str, str | None]]]()
        self.feed(text)
        self.text = re.sub(r" ([.,:;])", r"\1", " ".join(self.text.split()))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag == "html":
            self.language = dict(attrs).get("lang") or ""

    def handle_data(self, data: str) -> None:
        self.text += f" {data}"


def test_the_page_says_every_number_of_the_quarter_before_a_visit(terminal: Terminal) -> None:
    out = terminal.folder / "visit.html"

    terminal.ok(
        *("--person", "Corwin", "page", str(out)),
        *("--from", "2026-02-07", "--to", "2026-05-07"),
    )

    web = Web(out.read_text(encoding="utf-8"))
    assert [said for said in SAID_OF_SPRING if said not in web.text] == []
    assert "69 of 201 at waking" in web.text
    assert web.language == "en"
    heads = [attrs.get("scope") for tag, attrs in web.tags if tag == "th"]
    assert heads.count("row") >= 8
    assert stat.S_IMODE(out.stat().st_mode) == 0o600


def test_the_pdf_is_one_page_with_text_fonts_and_no_picture(terminal: Terminal) -> None:
    out = terminal.folder / "visit.pdf"
    terminal.ok("--person", "Corwin", "to-ask", "Should I test at 03:00 for a while?")

    terminal.ok(
        *("--person", "Corwin", "page", str(out)),
        *("--from", "2026-02-07", "--to", "2026-05-07"),
    )

    reader = PdfReader(out)
    (page,) = reader.pages
    text = " ".join(page.extract_text().split())
    assert "201 readings on 89 of 90 days" in text
    assert "Should I test at 03:00 for a while?" in text
    assert list(page.images) == []
    fonts = page["/Resources"]["/Font"].values()  # type: ignore[index]
    assert fonts
    for each in fonts:
        below = each.get_object()["/DescendantFonts"][0].get_object()
        assert "/FontFile2" in below["/FontDescriptor"]
    assert reader.metadata is not None
    assert not reader.metadata.author
    assert "Corwin" not in (reader.metadata.title or "")
    assert stat.S_IMODE(out.stat().st_mode) == 0o600


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


def page_of(diary: Diary, *, period: Period = SPRING, now: datetime = EVENING) -> VisitPage:
    (person,) = persons(diary)
    return visit_page(diary, record_of(diary, person), period, now=now)


def test_nothing_is_invented_for_a_period_without_readings(diary: Diary) -> None:
    tilde(diary)

    said = page_said(page_of(diary))

    assert plain(said.tested.paragraphs[0]) == "Not tested: no readings in this period."
    assert said.lows.paragraphs == said.highs.paragraphs == ("Not tested.",)
    assert [len(rows) for rows in (said.averages, said.rises, said.nights)] == [0, 0, 0]
    assert "nan" not in web_page(page_of(diary)).casefold()


def test_a_period_without_readings_is_painted_too(diary: Diary, qapp: object) -> None:
    tilde(diary)

    assert not sheet_image(page_of(diary), per_inch=40).isNull()


def test_what_people_typed_is_never_read_as_markup(diary: Diary, qapp: object) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-01 07:00", "126")
    write_ask(diary, person, "is <b>this</b> & that <script>x</script> right?", now=NOW)

    web = Web(web_page(page_of(diary)))

    assert "is <b>this</b> & that <script>x</script> right?" in web.text
    assert "script" not in {tag for tag, _ in web.tags}


def test_at_most_five_questions_stand_on_the_page(diary: Diary) -> None:
    person = corwin(diary)
    for number in range(7):
        write_ask(diary, person, f"question {number}", now=NOW)
    tick_off(diary, person, 1, now=NOW)

    asks = page_said(page_of(diary)).asks.paragraphs

    assert asks[0] == "question 1"
    assert asks[-1] == "1 more in the diary"
    assert len(asks) == 6


def test_a_visit_of_the_same_day_is_the_same_visit(diary: Diary) -> None:
    person = corwin(diary)
    keep_visit(diary, person, date(2026, 5, 8), outcome=None, now=NOW)
    keep_visit(diary, person, date(2026, 5, 8), outcome="see again in August", now=NOW)

    page = page_of(diary)

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
