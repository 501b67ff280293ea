from __future__ import annotations

import re
import shutil
import stat
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest

from tests.commands import Terminal
from tests.screens import CardScreen

SHEET = """day,waking,after breakfast,before lunch,after lunch
2026-03-09,6.1 07:10,,7.2 12:10 crisps,9.8 14:05
2026-03-10,,,72 12:10,
10 March,,,5.0,
"""


@pytest.fixture
def terminal(tmp_path: Path, qapp: object) -> Terminal:
    made = Terminal(tmp_path, screen=CardScreen())
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    made.ok("add", "5.6 18:07 before dinner")
    return made


def file(terminal: Terminal, text: str = SHEET) -> str:
    path = terminal.folder / "school.csv"
    path.write_text(text, encoding="utf-8")
    return str(path)


def sheet(terminal: Terminal, *words: str, text: str = SHEET) -> tuple[str, ...]:
    return (
        "return-sheet",
        file(terminal, text),
        "--keeper",
        "Ms Ardley",
        "--place",
        "school",
        *words,
    )


def tool(name: str, *words: str) -> str:
    if shutil.which(name) is None:
        pytest.skip(f"poppler's {name} is not installed here")
    return subprocess.run([name, *words], capture_output=True, text=True, check=True).stdout


def test_every_row_of_a_sheet_is_accounted_for(terminal: Terminal) -> None:
    found = terminal.ok(*sheet(terminal, "--json")).json

    assert {name: found[name] for name in ("seen", "new", "one", "already", "asked")} == {
        "seen": 5,
        "new": 3,
        "one": 0,
        "already": 0,
        "asked": 0,
    }
    assert found["refused"] == 2
    assert [each["state"] for each in found["readings"]] == ["new"] * 3
    odd = next(each for each in found["problems"] if each.get("key"))
    assert odd["key"] == "2026-03-10/before_lunch"
    assert odd["answers"] == ["72 mg/dL", "7.2 mmol/L", "--sure"]


def test_the_readings_keep_their_keeper_and_one_undo_takes_them_back(terminal: Terminal) -> None:
    terminal.ok(*sheet(terminal))

    kept = terminal.ok("list", "--json").json
    undone = terminal.ok("undo")
    left = terminal.ok("list", "--json").json

    assert sum(each["keeper"] == "Ms Ardley" for each in kept) == 3
    assert "From the sheet of Ms Ardley (school) 3 readings were saved" in undone.out
    assert len(left) == 1


def test_a_dry_run_says_where_each_reading_would_go_and_writes_nothing(terminal: Terminal) -> None:
    done = terminal.ok(*sheet(terminal, "--dry-run"))

    assert "Nothing was written." in done.out
    assert "new: 7.2 mmol/L before lunch, 2026-03-09 12:10; crisps" in done.out
    assert len(terminal.ok("list", "--json").json) == 1


def test_the_meters_reading_is_asked_about_and_answered_by_its_key(terminal: Terminal) -> None:
    terminal.ok("add", "7.2", "--at", "2026-03-09 12:07")
    key = "2026-03-09/before_lunch"

    asked = terminal.ok(*sheet(terminal))
    answered = terminal.ok(*sheet(terminal, "--answer", f"{key}=one"))

    assert f"--answer {key}=one   or   --answer {key}=two" in asked.out
    assert "0 readings were saved, 1 was one with what was there" in answered.out
    values = [each["value"] for each in terminal.ok("list", "--json").json]
    assert values.count("7.2") == 1


def test_a_sheet_brought_in_twice_adds_nothing(terminal: Terminal) -> None:
    terminal.ok(*sheet(terminal))

    again = terminal.ok(*sheet(terminal, "--json")).json

    assert (again["new"], again["already"]) == (0, 3)


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("--answer", "2026-03-09/waking=one"), "Nothing is asked about"),
        (("--answer", "all=maybe"), "answers nothing"),
        (("--meter", "violet"), "No meter here"),
        (("--unit", "stones"), "not a unit of glucose"),
    ],
)
def test_what_means_nothing_is_refused_and_nothing_is_written(
    terminal: Terminal, words: tuple[str, ...], why: str
) -> None:
    done = terminal.type(*sheet(terminal, *words))

    assert done.code == 1
    assert why in done.err
    assert len(terminal.ok("list", "--json").json) == 1


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "empty"),
        ("day,breakfast\n2026-03-09,5.5\n", "is no slot"),
        ("day,waking,waking\n2026-03-09,5.5,5.6\n", "names a slot twice"),
        ("hello\n", "names no slot"),
        ("day,waking\n2026-03-09,abc\n", "No reading of"),
    ],
)
def test_a_file_that_is_no_sheet_says_what_is_wrong(
    terminal: Terminal, text: str, why: str
) -> None:
    done = terminal.type(*sheet(terminal, text=text))

    assert done.code == 1
    assert why in done.err


def test_a_sheet_needs_somebody_who_wrote_it(terminal: Terminal) -> None:
    done = terminal.type("return-sheet", file(terminal))

    assert (done.code, done.err) == (1, "Say who wrote the sheet. Nothing was saved.\n")


def test_an_empty_sheet_is_written_with_the_titles_that_are_read(terminal: Terminal) -> None:
    out = terminal.folder / "blank.csv"

    terminal.ok("return-sheet", str(out), "--blank", "--from", "2026-03-09", "--days", "2")
    lines = out.read_text(encoding="utf-8").splitlines()
    filled = out.with_name("filled.csv")
    filled.write_text("\n".join([lines[0], lines[1].replace(",", ",6.1 07:10", 1)]))
    found = terminal.ok("return-sheet", str(filled), "--keeper", "Bram", "--json").json

    assert lines[0].startswith("day,waking,after breakfast,before lunch")
    assert [line.partition(",")[0] for line in lines[1:]] == ["2026-03-09", "2026-03-10"]
    assert (found["new"], found["readings"][0]["wall"]) == (1, "2026-03-09T07:10")


def test_a_semicolon_file_with_decimal_commas_is_read(terminal: Terminal) -> None:
    text = "Tag;waking;before_lunch\n09.03.2026;6,1 07:10;7,2 12:10\n"

    found = terminal.ok(*sheet(terminal, "--json", text=text)).json

    assert [each["value"] for each in found["readings"]] == ["6.1", "7.2"]


def test_the_card_says_what_the_family_wrote_and_marks_it_as_theirs(terminal: Terminal) -> None:
    terminal.ok("care", "set", "low-plan", "Sit down, then what is in the blue tin.")
    terminal.ok("care", "set", "contacts", "Odalys 555-0101\nBram 555-0102")
    terminal.ok("care", "set", "emergency-number", "112")
    out = terminal.folder / "card.pdf"

    terminal.ok("hand-over", str(out), "--from", "2026-03-16", "--days", "5")
    text = " ".join(tool("pdftotext", "-layout", str(out), "-").split())

    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    for words in (
        "In a low as the family wrote it",
        "Sit down, then what is in the blue tin.",
        "Odalys 555-0101",
        "Below 3.9 is a low.",
        "Limits and readings in mmol/L",
        "Mon 16 Mar",
        "Fri 20 Mar",
        "call 112",
        "5.6 mmol/L · Thu 12 Mar 18:07",
    ):
        assert words in text


def test_the_card_is_one_page_of_text_with_its_fonts_and_no_picture(terminal: Terminal) -> None:
    out = terminal.folder / "card.pdf"
    terminal.ok("hand-over", str(out))

    info = tool("pdfinfo", str(out))
    fonts = tool("pdffonts", str(out)).splitlines()[2:]

    assert re.search(r"Pages:\s+1\n", info)
    assert re.search(r"Author:\s*\n", info)
    assert "Tilde" not in info
    assert fonts
    assert all(" yes " in line for line in fonts)
    assert len(tool("pdfimages", "-list", str(out)).splitlines()) <= 2


def test_empty_parts_say_so_and_hold_nothing_made_up(terminal: Terminal) -> None:
    out = terminal.folder / "card.html"

    terminal.ok("hand-over", str(out), "--part", "low-plan", "--part", "limits")
    text = out.read_text(encoding="utf-8")

    assert "nothing is written down" in text
    assert "No goals are written down." in text
    assert "What to watch" not in text
    assert "5.6" not in text  # the last reading was not asked for


class Tables(HTMLParser):
    """Counts rows, cells and heads."""

    def __init__(self) -> None:
        super().__init__()
        self.counts: dict[str, int] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert not any(name.startswith("on") for name, _ in attrs)  # no script in disguise
        self.counts[tag] = self.counts.get(tag, 0) + 1


def test_the_web_page_has_the_empty_grid_as_a_table(terminal: Terminal) -> None:
    out = terminal.folder / "card.html"
    terminal.ok("hand-over", str(out), "--days", "3")
    tables = Tables()

    tables.feed(out.read_text(encoding="utf-8"))

    assert tables.counts["table"] == 1
    assert (tables.counts["tr"], tables.counts["td"]) == (4, 24)
    assert tables.counts["th"] == 1 + 8 + 3
    assert "script" not in tables.counts


def test_the_other_unit_has_its_own_limits_and_says_that_texts_are_as_typed(
    terminal: Terminal,
) -> None:
    out = terminal.folder / "card.html"

    terminal.ok("hand-over", str(out), "--unit", "mg/dL")
    text = out.read_text(encoding="utf-8")

    assert "<b>Below 70</b> is a low." in text
    assert "101 mg/dL" in text
    assert "a number in them may be in mmol/L, not in mg/dL" in text


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("card.txt",), "should end in .pdf or .html"),
        (("card.pdf", "--days", "15"), "1 to 14 days"),
        (("card.pdf", "--part", "doses"), "is no part of the card"),
    ],
)
def test_a_card_that_can_not_be_is_refused(
    terminal: Terminal, words: tuple[str, ...], why: str
) -> None:
    out = terminal.folder / words[0]

    done = terminal.type("hand-over", str(out), *words[1:])

    assert done.code == 1
    assert why in done.err
    assert not out.exists()


def test_texts_too_long_for_a_page_are_refused_on_paper_and_whole_on_the_web(
    terminal: Terminal,
) -> None:
    long = "what to do then " * 240
    for kind in ("low-plan", "hand-over", "what-to-watch", "sick-plan", "contacts"):
        terminal.ok("care", "set", kind, long)
    every = [word for part in ("low-plan", "hand-over", "what-to-watch", "sick-plan", "contacts")
             for word in ("--part", part)]  # fmt: skip
    paper, web = terminal.folder / "card.pdf", terminal.folder / "card.html"

    refused = terminal.type("hand-over", str(paper), "--days", "14", *every)
    terminal.ok("hand-over", str(web), "--days", "14", *every)

    assert refused.code == 1
    assert "too long for one page" in refused.err
    assert not paper.exists()
    assert web.read_text(encoding="utf-8").count("what to do then") == 5 * 240


def test_no_file_is_written_over_unasked(terminal: Terminal) -> None:
    out = terminal.folder / "card.html"
    out.write_text("mine")

    refused = terminal.type("hand-over", str(out))
    terminal.ok("hand-over", str(out), "--replace")

    assert refused.code == 1
    assert "<h1>Tilde</h1>" in out.read_text(encoding="utf-8")
