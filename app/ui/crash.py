"""What is written down when the interpreter itself is taken down, and read at the next start."""

from __future__ import annotations

import faulthandler
import os
import re
from contextlib import suppress
from pathlib import Path

CRASH = "crash.log"
_PLACE = re.compile(r'File "([^"]*)"')


def watch_for_crash(state: Path) -> bool:
    """Let a crash of the interpreter leave a trace in the state folder; whether the last one did.

    The trace of the last one goes into the log of troubles, its files named without the folders
    that lead to them: those can hold the name of a person.
    """
    from app.ui.trouble_hook import write_report

    crashed = False
    file = state / CRASH
    with suppress(OSError):
        state.mkdir(mode=0o700, parents=True, exist_ok=True)
        found = file.read_text(encoding="utf-8", errors="replace") if file.exists() else ""
        if found.strip():
            crashed = True
            write_report(state, "-- the program was taken down\n" + _PLACE.sub(_short, found))
        handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        file.chmod(0o600)  # whoever made it
        # It stays open: who crashes can open no file any more.
        faulthandler.enable(handle)
    return crashed


def _short(found: re.Match[str]) -> str:
    return 'File "' + "/".join(Path(found[1]).parts[-3:]) + '"'
