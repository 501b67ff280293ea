"""Composition root: reads the clock and the user's folders once, and hands them to a command."""

from __future__ import annotations

import os
import sys
from datetime import UTC, datetime
from pathlib import Path

import platformdirs

from app.cli import main
from app.cli.surroundings import Surroundings


def run() -> None:
    """Run the command line of this process and leave with its exit code."""
    os.umask(0o077)  # nobody else on this computer reads what we write
    for stream in (sys.stdout, sys.stderr):
        # A console that can't show a letter shows its code: a save never fails for a print.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    surroundings = Surroundings(
        now=datetime.now(UTC),
        diary=Path(platformdirs.user_data_dir("thimblebook", appauthor=False))
        / "diary.thimblebook",
        state=Path(platformdirs.user_state_dir("thimblebook", appauthor=False)),
        out=sys.stdout,
        err=sys.stderr,
    )
    sys.exit(main(sys.argv[1:], surroundings))


if __name__ == "__main__":
    run()
