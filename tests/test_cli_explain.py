from __future__ import annotations

from pathlib import Path

from app.review.help import all_help
from tests.commands import Terminal


def test_alone_it_lists_every_figure_without_any_diary(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)

    lines = terminal.ok("explain").out.splitlines()

    assert [line.split()[0] for line in lines] == list(all_help())
    assert not terminal.diary.exists()


def test_a_figure_is_explained_with_what_it_needs_and_its_caution(tmp_path: Path) -> None:
    said = " ".join(Terminal(tmp_path).ok("explain", "MODD").out.split())

    assert said.startswith("Difference from day to day (MODD) How far the same slot lies")
    assert "Needs 5 pairs" in said
    assert "Source Molnar, Taylor, Ho, Diabetologia 1972;8:342-348" in said
    assert "(read second-hand)" in said


def test_the_same_as_json(tmp_path: Path) -> None:
    (found,) = Terminal(tmp_path).ok("explain", "cv", "--json").json

    assert found["key"] == "cv"
    assert found["minimum"] == "14 readings on 5 days"
    assert "36 %" in found["caution"]


def test_what_is_no_figure_is_refused(tmp_path: Path) -> None:
    done = Terminal(tmp_path).type("explain", "stars")

    assert done.code == 1
    assert done.err == 'No figure is called "stars". Say explain alone to see them all.\n'
