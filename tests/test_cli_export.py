from __future__ import annotations

import csv
import io
import stat
from dataclasses import replace
from pathlib import Path

import pytest

from app.review.second_sheet import SecondSheet
from app.review.visit import VisitPage
from tests.commands import Terminal
from tests.screens import NoScreen


class PeriodScreen(NoScreen):
    """A screen that notes which page it was given, and writes its period."""

    def write_page(
        self, page: VisitPage, out: Path, paper: str, second: SecondSheet | None = None
    ) -> None:
        assert second is None
        out.write_text(f"{page.period.first} {page.period.last} {paper}", encoding="utf-8")


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    made.ok("add", "112 mg/dL fasting 6:50 left index #run slept badly", "--keeper", "Bram")
    made.ok("add", "HI yesterday 20:10")
    made.ok("add", '2.1 2:10 "=1+1"', "--sure")
    return made


def test_an_export_comes_back_into_an_empty_diary_as_it_was(
    terminal: Terminal, tmp_path: Path
) -> None:
    out = tmp_path / "out.csv"
    (tmp_path / "other").mkdir()
    other = Terminal(tmp_path / "other")
    other.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")

    done = terminal.ok("export", "--as", "csv", str(out))
    brought = other.ok("import", str(out))

    assert done.out == f"Written for Tilde: 3 readings to {out}.\n"
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert "3 rows = 3 new" in brought.out
    assert other.ok("list", "--json").json == terminal.ok("list", "--json").json
    assert "0 new + 3 already there" in other.ok("import", str(out)).out


def test_a_dash_writes_to_the_terminal(terminal: Terminal) -> None:
    rows = list(csv.DictReader(io.StringIO(terminal.ok("export", "--as", "csv", "-").out)))

    assert [row["entered_value"] for row in rows] == ["", "2.1", "112"]
    assert [row["limit"] for row in rows] == [">", "", ""]
    assert rows[1]["note"] == "'=1+1"


def test_a_period_has_both_its_days(terminal: Terminal) -> None:
    def count(*words: str) -> int:
        return len(terminal.ok("export", "--as", "csv", "-", *words).out.splitlines()) - 1

    assert count("--from", "2026-03-12") == 2
    assert count("--to", "2026-03-11") == 1
    assert count("--from", "2026-03-13") == 0


def test_a_file_that_is_there_is_left_unless_said_otherwise(
    terminal: Terminal, tmp_path: Path
) -> None:
    out = tmp_path / "letter.csv"
    out.write_text("dear doctor", encoding="utf-8")

    refused = terminal.type("export", "--as", "csv", str(out))

    assert (refused.code, refused.out) == (1, "")
    assert refused.err == f"Something lies at {out} already; it was left as it is. Say --replace.\n"
    assert out.read_text(encoding="utf-8") == "dear doctor"
    terminal.ok("export", "--as", "csv", str(out), "--replace")
    assert out.read_text(encoding="utf-8").startswith("record_id")


@pytest.mark.parametrize("out", ["", ".", "/", "missing/out.csv"])
def test_a_place_that_is_no_file_is_refused_in_one_line(terminal: Terminal, out: str) -> None:
    done = terminal.type("export", "--as", "csv", out, "--replace")

    assert (done.code, done.out, done.err.count("\n")) == (1, "", 1)
    assert "The diary is as it was" in done.err


def test_the_diary_is_never_written_over(terminal: Terminal) -> None:
    before = terminal.diary.read_bytes()

    done = terminal.type("export", "--as", "csv", str(terminal.diary), "--replace")

    assert done.code == 1
    assert "is the diary itself" in done.err
    assert terminal.diary.read_bytes() == before


def test_a_form_that_is_not_there_yet_is_wrong_usage(
    terminal: Terminal, capsys: pytest.CaptureFixture[str]
) -> None:
    assert terminal.type("export", "--as", "fax", "out").code == 2
    assert "invalid choice: 'fax'" in capsys.readouterr().err


def empty_place(folder: Path) -> Terminal:
    folder.mkdir()
    return Terminal(folder)


def test_what_would_leave_is_said_before_it_is_written(terminal: Terminal, tmp_path: Path) -> None:
    out = tmp_path / "out.csv"

    said = terminal.ok("export", "--as", "csv", str(out), "--from", "2026-03-12", "--dry-run").out

    assert said.startswith(
        "Person: Tilde.\n"
        "Period: from 2026-03-12 on.\n"
        "Rows: 2, from 2026-03-12 to 2026-03-12.\n"
        "Of these 2 with a note, 1 with tags, 1 with the name of who wrote it, 0 in doubt, "
        "0 not counted, 0 without a time.\n"
        "Columns: record_id, measured_at,"
    )
    assert said.endswith("Nothing was written.\n")
    assert not out.exists()


def test_a_meter_file_does_not_come_in_a_second_time_after_an_export_was_restored(
    terminal: Terminal, tmp_path: Path
) -> None:
    rows = ["date,time,value", *["2026-03-01,07:05,5.6"] * 3, "2026-03-01,12:10,HI"]
    recipe = (
        'name = "kitchen"\nsource = "blue meter"\nunit = "mmol/L"\ndelimiter = "comma"\n'
        'date_format = "YYYY-MM-DD"\ntime_format = "HH:MM"\n'
        '[columns]\ndate = "date"\ntime = "time"\nvalue = "value"\n'
    )
    meter, kitchen, out = (tmp_path / name for name in ("m.csv", "kitchen.toml", "out.csv"))
    meter.write_text("\n".join(rows) + "\n")
    kitchen.write_text(recipe)
    words = ("import", str(meter), "--recipe", str(kitchen))
    terminal.ok(*words)
    other = empty_place(tmp_path / "other")
    other.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")

    terminal.ok("export", "--as", "csv", str(out))
    assert "7 rows = 7 new" in other.ok("import", str(out)).out
    again = other.ok(*words)

    assert "4 rows = 0 new + 4 already there" in again.out
    assert other.ok("list", "--json").json == terminal.ok("list", "--json").json
    sources = [row["source_row"] for row in csv.DictReader(out.read_text().splitlines())]
    assert sorted(sources) == ["", "", "", "0:blue meter", "0:blue meter", "1:blue meter",
                               "2:blue meter"]  # fmt: skip


def test_an_export_restored_after_the_meter_file_holds_what_came_from_it(
    terminal: Terminal, tmp_path: Path
) -> None:
    meter, out = tmp_path / "m.csv", tmp_path / "out.csv"
    meter.write_text("date,time,value mmol/L\n2026-03-15,07:05,5.6\n2026-02-28,07:05,6.6\n")
    words = ("import", str(meter), "--date-order", "ymd")
    later = terminal.now.replace(day=20)
    terminal.ok(*words, now=later)
    terminal.ok("export", "--as", "csv", str(out))
    other = empty_place(tmp_path / "other")
    other.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    other.ok(*words, now=later)

    brought = other.ok("import", str(out), now=later)

    assert "5 rows = 3 new + 0 already there + 0 refused + 2 held" in brought.out
    assert "the diary has this record from the file it first came from" in brought.out
    assert len(other.ok("list", "--json").json) == 5


def test_a_whole_diary_comes_back_where_none_is_and_into_no_other(
    terminal: Terminal, tmp_path: Path
) -> None:
    out = tmp_path / "all.jsonl"
    other = empty_place(tmp_path / "other")

    done = terminal.ok("export", "--as", "jsonl", str(out))
    would = other.ok("import", str(out), "--dry-run")
    assert not other.diary.exists()
    brought = other.ok("import", str(out))

    assert done.out.startswith(f"Written to {out}: the whole diary, 1 person, ")
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert would.out == brought.out.replace("Brought in", "Would be brought in")
    assert other.ok("list", "--json").json == terminal.ok("list", "--json").json
    assert "A whole diary of" in other.ok("history").out
    for words in (("import", str(out)), ("import", str(out), "--dry-run")):
        refused = other.type(*words)
        assert (refused.code, refused.out) == (1, "")
        assert "is not empty" in refused.err
    other.ok("check")


def test_a_whole_diary_on_the_terminal_is_the_file(terminal: Terminal, tmp_path: Path) -> None:
    out = tmp_path / "all.jsonl"
    terminal.ok("export", "--as", "jsonl", str(out))

    assert terminal.ok("export", "--as", "jsonl", "-").out == out.read_text(encoding="utf-8")


@pytest.mark.parametrize("form", ["jsonl", "sqlite"])
def test_a_whole_diary_is_summed_up_before_it_leaves(
    terminal: Terminal, tmp_path: Path, form: str
) -> None:
    out = tmp_path / "all"

    said = terminal.ok("export", "--as", form, str(out), "--dry-run").out

    assert "People: Tilde. Period: all of it.\n" in said
    assert "reading 3" in said
    assert said.endswith("Nothing was written.\n")
    assert not out.exists()


@pytest.mark.parametrize("words", [("--from", "2026-03-12"), ("--to", "2026-03-12")])
def test_a_whole_diary_has_every_day_and_everybody(
    terminal: Terminal, tmp_path: Path, words: tuple[str, ...]
) -> None:
    for form in ("jsonl", "sqlite"):
        done = terminal.type("export", "--as", form, str(tmp_path / "all"), *words)
        assert (done.code, "everybody in it and every day" in done.err) == (1, True)
    done = terminal.type("--person", "Tilde", "export", "--as", "jsonl", str(tmp_path / "all"))
    assert done.code == 1
    assert not (tmp_path / "all").exists()


def test_the_sqlite_file_opens_as_a_diary(terminal: Terminal, tmp_path: Path) -> None:
    out = tmp_path / "all.sqlite"

    terminal.ok("export", "--as", "sqlite", str(out))

    listed = terminal.ok("--diary", str(out), "list", "--json").json
    assert listed == terminal.ok("list", "--json").json
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert terminal.type("export", "--as", "sqlite", "-").code == 1


@pytest.mark.parametrize("data", [b"", b"\xff\xfe", b"{}\n", b'{"type":"header"'])
def test_a_file_that_is_no_whole_diary_makes_none(
    terminal: Terminal, tmp_path: Path, data: bytes
) -> None:
    other, spoiled = empty_place(tmp_path / "other"), tmp_path / "all.jsonl"
    spoiled.write_bytes(data)

    done = other.type("import", str(spoiled))

    assert (done.code, done.out, done.err.count("\n")) == (1, "", 1)
    assert "Nothing was brought in" in done.err
    assert not other.diary.exists()


@pytest.mark.parametrize("form", ["html", "pdf"])
def test_the_page_for_an_appointment_leaves_as_page_writes_it(
    terminal: Terminal, tmp_path: Path, form: str
) -> None:
    shown, out = replace(terminal, screen=PeriodScreen()), tmp_path / f"visit.{form}"
    words = ("export", "--as", form, str(out))

    would = shown.ok(*words, "--dry-run")
    assert not out.exists()
    done = shown.ok(*words)
    assert out.read_text(encoding="utf-8") == "2025-12-13 2026-03-12 A4"
    period = ("--from", "2026-03-12", "--to", "2026-03-12", "--replace")
    shown.ok(*words, *period)

    assert would.out == (
        "The page for an appointment: Tilde, 2025-12-13 to 2026-03-12, 3 readings. "
        "Nothing was written.\n"
    )
    assert done.out.startswith(f"{out}: Tilde, 2025-12-13 to 2026-03-12, 3 readings.")
    assert out.read_text(encoding="utf-8") == "2026-03-12 2026-03-12 A4"
    assert "Say --replace" in shown.type(*words).err


def test_a_page_is_named_as_it_is_written(terminal: Terminal, tmp_path: Path) -> None:
    done = terminal.type("export", "--as", "html", str(tmp_path / "visit.pdf"))

    assert (done.code, done.err) == (1, "visit.pdf should end in .html. Nothing was written.\n")
