from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.fuzz.files import sound_files

ROOT = Path(__file__).parents[1]


def test_a_hundred_mutated_files_are_imported_with_an_account_or_refused_with_a_reason() -> None:
    done = subprocess.run(
        (sys.executable, "-m", "tests.fuzz", "--count", "100"),
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert done.returncode == 0, done.stderr
    first, second = done.stdout.splitlines()
    parts = (part.split() for part in first.split(": ")[1].split(","))
    counts = {what: int(count) for count, what in parts}
    assert sum(counts.values()) == 100
    assert counts["imported"] >= 20  # else the files would be too spoiled to try anything
    assert counts["refused"] >= 5
    assert "the slowest" in second
    assert "MiB at the most" in second or "not counted" in second


def test_every_sound_file_is_read_before_it_is_spoiled() -> None:
    assert len(sound_files()) >= 30
