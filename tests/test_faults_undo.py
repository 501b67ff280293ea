"""The short form of the random runs; `python -m tests.faults.undo --long` makes a thousand."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import Terminal
from tests.faults.undo import SHORT, begin, control_fails, one_run

_PARTS = 5


@pytest.fixture(scope="module")
def start(tmp_path_factory: pytest.TempPathFactory) -> Terminal:
    return begin(tmp_path_factory.mktemp("start"))


@pytest.mark.parametrize("part", range(_PARTS))
def test_runs_of_commands_undone_give_the_start_and_done_again_the_end(
    start: Terminal, tmp_path: Path, part: int
) -> None:
    for seed in range(part, SHORT, _PARTS):
        run = one_run(start, seed, folder=tmp_path / str(seed))

        assert run.steps


def test_a_run_that_leaves_out_an_undo_is_noticed(start: Terminal, tmp_path: Path) -> None:
    assert control_fails(start, tmp_path)
