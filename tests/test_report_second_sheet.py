from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtGui import QImage, QPainter

from app.domain.clock import Period, last_days, moment_at
from app.domain.marks import SLOTS, Mark
from app.domain.reading import Standing
from app.report.paper import MM, Paper
from app.report.second import lay_out
from app.report.second_said import second_said
from app.report.web_page import web_page
from app.review.second_sheet import SecondSheet
from app.store import schema
from app.store.diary import Diary
from app.work.note_down import note_help
from tests.households import NOW, corwin, new_diary, tilde, written
from tests.pdf_pages import Words, words_on
from tests.sheets import SPRING, Web, page_of, saved, second_of, spring_of


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def entries(sheet: SecondSheet) -> list[str]:
    return [
        each.glucose.shown(sheet.unit)
        for row in sheet.rows
        for cell in (*row.slots, row.others)
        for each in cell
    ]


@pytest.mark.parametrize("name", ["Tilde", "Corwin"])
def test_every_reading_that_counts_stands_in_it_once(tmp_path: Path, name: str) -> None:
    with spring_of(tmp_path, name) as (page, second):
        assert len(entries(second)) == second.n + second.set_aside
        assert second.n == page.figures.n
        for at, mark in enumerate(SLOTS):
            assert sum(len(row.slots[at]) for row in second.rows if row.slots) - sum(
                each.set_aside for row in second.rows if row.slots for each in row.slots[at]
            ) == page.of_mark(mark)


def test_each_day_of_the_period_is_in_one_row(tmp_path: Path) -> None:
    with spring_of(tmp_path, "Corwin") as (_, second):
        days = [
            row.first + timedelta(days=on)
            for row in second.rows
            for on in range((row.last - row.first).days + 1)
        ]

    assert days == [SPRING.first + timedelta(days=on) for on in range(SPRING.days)]
    assert [row.first for row in second.rows if row.is_empty] == [date(2026, 2, 15)]


def test_days_that_are_still_to_come_are_no_days_without_a_reading(diary: Diary) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-11 07:00", "126", Mark.WAKING)

    second = second_of(diary, Period(date(2026, 3, 11), date(2026, 3, 31)))

    assert [(row.first.day, row.last.day) for row in second.rows] == [(11, 11), (12, 12)]


def test_a_reading_has_its_letter_its_doubt_and_both_units(diary: Diary, qapp: object) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-11 07:00", "49", Mark.WAKING)
    written(diary, person, "2026-03-11 12:00", "260", Mark.BEFORE_LUNCH, hands="not")
    written(diary, person, "2026-03-11 15:10", "HI")
    written(diary, person, "2026-03-11 15:30", "120", standing=Standing.SET_ASIDE)
    written(diary, person, "2026-03-11 15:40", "99", standing=Standing.NOT_MINE)

    web = Web(web_page(page_of(diary), second=second_of(diary)))
    row = next(row for row in web.rows if row[0] == "Wed 11")

    assert row[1] == "49 (2.7) LL"
    assert row[3] == "260 (14.4) HH ?"
    assert row[-1] == "15:10 HI HH 15:30 120 (6.7) x"
    assert "1 of another person left out" in web.text


def test_the_web_page_groups_the_days_of_a_month(tmp_path: Path, qapp: object) -> None:
    with spring_of(tmp_path, "Corwin") as (page, second):
        text = web_page(page, second=second)
    web = Web(text)

    groups = [attrs for tag, attrs in web.tags if tag == "th" and attrs.get("scope") == "rowgroup"]
    assert len(groups) == 4
    assert all(attrs["colspan"] == "10" for attrs in groups)
    assert text.count("<tbody>") == text.count("</tbody>")
    assert "<tbody>\n</tbody>" not in text
    assert ["February 15: no reading"] in web.rows


def test_a_low_has_its_note_and_a_private_note_stays_at_home(diary: Diary, qapp: object) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-11 02:10", "58", note="shaky at the gate")
    written(diary, person, "2026-03-11 02:26", "66", note="for this copy alone")
    written(diary, person, "2026-03-11 02:43", "94")
    with diary.change("private", {}, now=NOW) as change:
        copy = {"uid": b"\x07" * 16, "label": "this computer"}
        made = change.connection.execute(schema.copy.insert().values(**copy)).lastrowid
        change.edit(schema.note, 2, private_copy=made)

    said = second_said(second_of(diary))
    (row,) = said.lows.rows

    cells = [" ".join(line.text for line in cell).replace("\u00a0", " ") for cell in row.cells]
    assert cells == [
        "11 March 02:10",
        "58 (3.2) L → 02:26 66 (3.7) L → 02:43 94 (5.2)",
        "back above by 33 min",
        "shaky at the gate",
    ]
    assert "alone" not in web_page(page_of(diary), second=second_of(diary))


def test_a_low_without_a_recheck_says_when_the_next_value_was(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-11 02:10", "3.1")
    written(diary, person, "2026-03-11 04:15", "6.0")

    (row,) = second_said(second_of(diary)).lows.rows

    assert row.cells[2][0].text == "no recheck written; next value 2 h 5 min later"


def test_help_is_told_with_its_low_and_without_one(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-11 02:10", "2.4")
    for wall in ("2026-03-11 02:15", "2026-03-09 16:00"):
        at = moment_at(datetime.fromisoformat(wall), person.zone, 0)
        tied = wall.startswith("2026-03-11")
        note_help(diary, person, at, now=NOW, what="gave juice", with_reading=tied)

    rows = second_said(second_of(diary)).lows.rows

    told = [[" ".join(line.text for line in cell) for cell in row.cells] for row in rows]
    assert [each[0] for each in told] == ["9 March 16:00", "11 March 02:10"]
    assert told[0][1:] == [
        "no low reading tied to it",
        "another person's help was needed",
        "gave juice",
    ]
    assert told[1][2].endswith("help was needed")
    assert told[1][3] == "help: gave juice"


def test_without_readings_it_says_so_and_invents_nothing(
    diary: Diary, tmp_path: Path, qapp: object
) -> None:
    tilde(diary)

    out = saved(page_of(diary), tmp_path, second=second_of(diary))

    text = " ".join(PdfReader(out).pages[1].extract_text().split())
    assert "Not tested: no readings in this period." in text
    assert len(PdfReader(out).pages) == 2


def test_with_readings_and_no_low_it_says_of_how_many(diary: Diary) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-11 07:00", "126")

    assert second_said(second_of(diary)).lows.empty == "None seen in 1 reading."


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_heads_are_repeated_and_nothing_runs_into_the_foot(
    tmp_path: Path, qapp: object, size: str
) -> None:
    with spring_of(tmp_path, "Tilde") as (page, second):
        out = saved(page, tmp_path, size=size, second=second)
    reader = PdfReader(out)
    high = float(reader.pages[0].mediabox.height) * 25.4 / 72

    for at in range(1, len(reader.pages)):
        words = words_on(out, at)
        foot = next(each.base for each in words if each.text.startswith("page "))
        assert foot < high - 8
        assert all(each.base < foot - 2 or abs(each.base - foot) < 0.5 for each in words)
        heads = {"day": "Readings by day", "when": "Lows with their notes"}
        titles = {each.text for each in words if each.text in heads.values()}
        assert {heads[each.text] for each in words if each.text in heads} == titles


def test_no_cell_runs_into_its_neighbour(tmp_path: Path, qapp: object) -> None:
    with spring_of(tmp_path, "Corwin") as (page, second):
        out = saved(page, tmp_path, second=second)
    image = QImage(1, 1, QImage.Format.Format_Grayscale8)
    painter = QPainter(image)
    paper = Paper(painter)

    for line in _lines(words_on(out, 1)):
        for one, other in pairwise(line):
            wide = paper.text_width(one.text, one.size / 25.4 * 72) / MM
            assert one.left + wide < other.left + 0.3, (one.text, other.text)
    painter.end()


def _lines(words: list[Words]) -> Iterator[list[Words]]:
    for base in sorted({each.base for each in words if each.size < 2.5}):
        yield sorted(
            (each for each in words if each.base == base and each.size < 2.5),
            key=lambda each: each.left,
        )


def test_a_month_never_stands_alone_at_the_foot_and_no_row_is_lost(
    tmp_path: Path, qapp: object
) -> None:
    with spring_of(tmp_path, "Tilde", period=last_days(1096, date(2026, 5, 7))) as (_, second):
        said = second_said(second)
    image = QImage(1, 1, QImage.Format.Format_Grayscale8)
    painter = QPainter(image)

    pages = lay_out(Paper(painter), said)

    painter.end()
    blocks = [block for page in pages for block in page]
    assert all(block.rows for block in blocks)
    assert not any(block.rows[-1].row.heading for block in blocks if block.table is said.readings)
    laid = [each.row for block in blocks for each in block.rows]
    assert laid == [*said.readings.rows, *said.lows.rows]


def test_a_day_with_more_readings_than_a_page_holds_goes_on_on_the_next(
    diary: Diary, tmp_path: Path, qapp: object
) -> None:
    person = corwin(diary)
    for at in range(150):
        written(diary, person, f"2026-03-11 {at // 10:02d}:{at % 10 * 6:02d}", str(100 + at))

    out = saved(page_of(diary), tmp_path, second=second_of(diary))

    words = [each.text for at in range(1, len(PdfReader(out).pages)) for each in words_on(out, at)]
    shown = [int(each.split()[1]) for each in words if each[2:3] == ":"]
    assert shown == [100 + at for at in range(150)]


def test_an_endless_note_is_broken_and_loses_no_letter(
    diary: Diary, tmp_path: Path, qapp: object
) -> None:
    person = corwin(diary)
    note = "x" * 400 + " and then juice"
    written(diary, person, "2026-03-11 02:10", "58", note=note)

    out = saved(page_of(diary), tmp_path, second=second_of(diary))

    written_there = "".join(each.text for each in words_on(out, 1) if each.left > 130)
    assert written_there.count("x") >= 400
    assert "and then juice" in " ".join(each.text for each in words_on(out, 1))
