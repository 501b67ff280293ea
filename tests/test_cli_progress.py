from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from app.cli.progress import progress
from tests.commands import Terminal


class Tty(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_long_work_is_told_in_whole_per_cent_and_wiped_out_at_the_end() -> None:
    stream = Tty()

    with progress(stream, "Writing") as step:
        assert step is not None
        for done in range(0, 20_001, 50):
            step(done, 20_000)

    said = stream.getvalue().split("\r")
    assert said[1:4] == ["Writing: 0 %", "Writing: 1 %", "Writing: 2 %"]
    assert said[-3] == "Writing: 100 %"
    assert said[-2].strip() == said[-1] == ""
    assert len(said) == 1 + 101 + 2


def test_short_work_and_no_terminal_are_told_nothing() -> None:
    stream = Tty()
    with progress(stream, "Writing") as step:
        assert step is not None
        step(10, 9_999)
    assert stream.getvalue() == ""

    with progress(io.StringIO(), "Writing") as step:
        assert step is None


def test_the_line_is_wiped_out_where_the_work_ends_badly() -> None:
    stream = Tty()

    with pytest.raises(OSError), progress(stream, "Writing") as step:
        assert step is not None
        step(5_000, 10_000)
        raise OSError

    assert stream.getvalue().endswith("\r")


def test_what_stays_behind_is_said_and_is_not_in_the_file(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    terminal.ok("add", "7.2 before lunch note: =cousin's party", "--at", "2026-03-12 12:10")
    out = tmp_path / "out.csv"
    words = ("export", "--as", "csv", str(out), "--without", "notes", "--without", "source")

    said = terminal.ok(*words, "--dry-run").out
    terminal.ok(*words)

    assert "with a note" not in said
    assert "Stays behind: notes, source." in said
    (row,) = csv.DictReader(out.read_text(encoding="utf-8").splitlines())
    assert row["note"] == row["raw_value"] == ""
    assert row["glucose_mmol_l"] == "7.2"


@pytest.mark.parametrize("form", ["jsonl", "sqlite", "html", "pdf", "ics"])
def test_only_readings_can_leave_in_parts(tmp_path: Path, form: str) -> None:
    terminal = Terminal(tmp_path)
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")

    done = terminal.type("export", "--as", form, str(tmp_path / "out"), "--without", "notes")

    assert (done.code, done.out) == (1, "")
    assert "--without goes with --as csv" in done.err
    assert not (tmp_path / "out").exists()
    assert terminal.type("export", "--as", "csv", "x", "--without", "everything").code == 2
