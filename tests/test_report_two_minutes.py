"""The sheet of an invented household for a visit: every number beside its words, in both files."""

from __future__ import annotations

import shutil
import stat
from pathlib import Path

import pytest
from pypdf import PdfReader

from app.domain.shipped import shipped
from tests.commands import Terminal
from tests.pdf_pages import Words, fonts_of, text_of, words_on
from tests.screens import SheetScreen
from tests.sheets import EVENING, Web, tidy

ASKS = (
    "After breakfast is the highest. Is that about food, or about the morning tablet?",
    "Should I test at 03:00 for a while?",
)
# Counted by the builder of the household itself, mean by mark and by slot included.
SENTENCES = (
    "Finger-stick readings. mg/dL, mmol/L in brackets. Visit of May 8, 2026.",
    "February 7 – May 7, 2026 · 90 days",
    "Lab A1C: 8.4 % (68 mmol/mol), February 6; 7.6 % (60 mmol/mol), May 8, the day of the visit",
    "201 readings on 89 of 90 days, 2.2 a day.",
    "69 of 201 at waking. 33 had no mark and are in no slot.",
    "none seen, n 201. Help needed: none written.",
    "Night tested 3 times in 90 nights: lows at night would not be seen.",
    "42 above 180 (10.0): 21 % of 201, 95 % about 16 to 27 %.",
    "1 above 250 (13.9), highest 258 (14.3). Ketones: not tested.",
    "n 69, mean 135.5 (7.5) mg/dL (mmol/L)",
    "118 (6.5) → 134 (7.4)",
    "111 (6.2) → 140 (7.8)",
    "122 (6.8) → 130 (7.2)",
    "13 readings of March 9 – 15 and 1 of March 8 re-timed:",
    "re-timed: the clock of the black meter was wrong.",
    "Plain counts each reading, evened each slot alike: 69 of 201 are at waking.",
    "None in doubt. None left out.",
    "Changed on February 9: basal insulin plan changed by the team.",
    *ASKS,
)
# Each average beside its name and what it is of.
AVERAGES = (
    ("Plain", "152 (8.4)", "n 201"),
    ("Evened", "165 (9.2)", "7 of 7 slots, thinnest n 13"),
)
# Name, median, n, below its goal, above it, mean, as the table of the web page has them.
SLOTS = {
    "waking": ["135 (7.5)", "69", "1", "39", "136 (7.5)"],
    "after breakfast": ["197 (10.9)", "13", "0", "12", "204 (11.3)"],
    "after lunch": ["186 (10.3)", "13", "0", "9", "189 (10.5)"],
    "after evening meal": ["186 (10.3)", "20", "0", "11", "184 (10.2)"],
    "night": ["too few", "3", "0", "0", "117 (6.5)"],
}


@pytest.fixture
def terminal(tmp_path: Path, qapp: object) -> Terminal:
    made = Terminal(tmp_path, now=EVENING, screen=SheetScreen())
    shutil.copyfile(shipped("sample_db", "households.thimblebook"), made.diary)
    made.diary.chmod(0o600)
    for each in ASKS:
        made.ok("--person", "Corwin", "to-ask", each)
    return made


def sent(terminal: Terminal, name: str, *more: str) -> Path:
    out = terminal.folder / name
    days = ("--from", "2026-02-07", "--to", "2026-05-07")
    terminal.ok("--person", "Corwin", "page", str(out), *days, *more)
    return out


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_pdf_has_every_number_beside_its_words(terminal: Terminal, paper: str) -> None:
    out = sent(terminal, "visit.pdf", "--paper", paper)

    text = tidy(text_of(out))
    lines = by_line(out)

    assert [said for said in SENTENCES if said not in text] == []
    for name, value, note in AVERAGES:
        assert any(line.startswith(f"{name} {value} {note}") for line in lines), name
    for name, (median, n, below, above, mean) in SLOTS.items():
        assert column_of(out, name) == [median, f"n {n}", *shown(below), *shown(above), mean]


def test_the_web_page_has_every_number_beside_its_words(terminal: Terminal) -> None:
    web = Web(sent(terminal, "visit.html").read_text(encoding="utf-8"))

    assert [said for said in SENTENCES if said not in web.text] == []
    for name, value, note in AVERAGES:
        assert web.row(name) == [name, value, note]
    for name, cells in SLOTS.items():
        assert web.row(name)[1:] == cells
    assert ("html", {"lang": "en"}) in web.tags
    assert {attrs.get("scope") for tag, attrs in web.tags if tag == "th"} == {"row", "col"}
    assert "img" not in {tag for tag, _ in web.tags}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_pdf_is_one_page_of_that_paper_with_fonts_and_no_picture(
    terminal: Terminal, paper: str
) -> None:
    out = sent(terminal, "visit.pdf", "--paper", paper)

    reader = PdfReader(out)
    (page,) = reader.pages
    box = page.mediabox
    wide, high = {"A4": (595, 842), "Letter": (612, 792)}[paper]
    assert (round(float(box.width)), round(float(box.height))) == (wide, high)
    assert list(page.images) == []
    fonts = list(fonts_of(out))
    assert fonts
    assert all("/FontFile2" in each for each in fonts)
    assert reader.metadata is not None
    assert reader.metadata.title == "Readings, February 7 – May 7, 2026 · 90 days"
    assert not reader.metadata.author
    assert stat.S_IMODE(out.stat().st_mode) == 0o600


def test_with_the_second_sheet_the_pages_are_numbered(terminal: Terminal) -> None:
    out = sent(terminal, "visit.pdf", "--second-sheet")

    pages = PdfReader(out).pages
    said = [f"page {at} of {len(pages)}" for at in range(1, len(pages) + 1)]
    assert len(pages) > 2
    for page, numbered in zip(pages, said, strict=True):
        assert numbered in " ".join(page.extract_text().split())
        assert list(page.images) == []


def by_line(out: Path) -> list[str]:
    """The words of the page line by line, each line from left to right, its columns apart."""
    lines: dict[int, list[tuple[float, str]]] = {}
    for each in words_on(out):
        near = next((at for at in lines if abs(at - each.base * 10) < 6), round(each.base * 10))
        lines.setdefault(near, []).append((each.left, each.text))
    return [" ".join(text for _, text in sorted(line)) for line in lines.values()]


def column_of(out: Path, slot: str) -> list[str]:
    """What stands below the name of a slot in the chart, from top to bottom."""
    words = words_on(out)
    over, _, under = slot.partition(" ")
    chart = [each for each in words if each.base < waking_title(words)]
    name = next(
        each
        for each in chart
        if each.text == (under or over)
        and each.size < 3
        and (not under or any(is_over(one, each) and one.text == over for one in chart))
    )
    below = [
        each
        for each in chart
        if each.base > name.base + 1 and -0.5 < each.left - name.left < 17 and each.size < 3
    ]
    return [each.text for each in sorted(below, key=lambda each: (round(each.base), each.left))]


def is_over(one: Words, other: Words) -> bool:
    return abs(one.left - other.left) < 0.5 and 0 < other.base - one.base < 5


def waking_title(words: list[Words]) -> float:
    return next(each.base for each in words if each.text == "Waking")


def shown(count: str) -> list[str]:
    return [] if count == "0" else [count]
