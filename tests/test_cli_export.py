from __future__ import annotations

import csv
import io
import stat
from pathlib import Path

import pytest

from tests.commands import Terminal


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
