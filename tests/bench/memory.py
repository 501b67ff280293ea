"""Goal 9: resident memory with every page open on fifty years of readings, beside a bare window.

It may be 4 times that of the bare window, and may grow by 2 % over 1,000 changes of the period.
Each case runs in a process of its own; it is the most that was resident at any time. This one stays
small: Linux counts what a process held when it began another for that one too.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

ROUNDS = 3
GOAL, GROWTH = 4.0, 0.02

FILL = """
from pathlib import Path
from tests.bench.readings import filled_diary
diary, _ = filled_diary(Path(DIARY).parent)
diary.close()
"""

BARE = """
from PySide6 import QtWidgets
app = QtWidgets.QApplication([])
window = QtWidgets.QMainWindow()
window.resize(1280, 800)
window.show()
window.grab()
"""

LOADED = """
from datetime import date, timedelta
from pathlib import Path
from uuid import UUID
from PySide6.QtWidgets import QApplication
app = QApplication([])
from app.store.diary_file import open_diary
from app.ui.pages import KEYS
from app.ui.session import Session
from app.ui.window import Window
from tests.bench.pages import drawn_in, repainted_in, settle
from tests.bench.readings import FIFTY_YEARS, NOW, LAST_DAY
window = Window(remember=None)
diary = open_diary(Path(DIARY), UUID(int=1))
window.fill(Session(diary, lambda: NOW, None))
window.show()
session, today = window.session, date.fromordinal(LAST_DAY)

def look(days, turn):
    for key in KEYS:
        window.show_page(key)
        if key == "day":
            change = lambda: session.show_day(today - timedelta(days=turn * 18))
        else:
            change = lambda: session.show_days(days, today - timedelta(days=turn * 17))
        repainted_in(window.page(key), change)
        settle(window)

look(50 * 366, 0)
window.show_page("modal-day")
settle(window)
assert len(session.record.columns) == FIFTY_YEARS == drawn_in(window.page("modal-day"))
"""

CHANGES = """
for turn in range(50):  # what is kept once it was first needed
    look(90, turn)
print(resident())
for turn in range(1000 // len(KEYS)):
    look(90, turn)
"""

RESIDENT = """
import resource
def resident():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
"""


def main() -> int:
    """Take the median of three processes of each case, and one for the changes."""
    with tempfile.TemporaryDirectory() as folder:
        path = str(Path(folder) / "fifty.thimblebook")
        _resident(FILL, path)
        bare = median(_resident(BARE, path)[0] for _ in range(ROUNDS))
        loaded = median(_resident(LOADED, path)[0] for _ in range(ROUNDS))
        before, after = _resident(LOADED + CHANGES, path)
    ratio, growth = loaded / bare, after / before - 1
    print(
        f"    {'everything loaded':<44} {loaded / 1024:9.1f} MiB  floor {bare / 1024:9.1f} MiB  "
        f"ratio {ratio:.2f} goal {GOAL:g}"
    )
    print(f"    {'growth over 1,000 changes':<44} {growth:9.1%}      goal {GROWTH:.0%}")
    return not (ratio <= GOAL and growth <= GROWTH)


def _resident(code: str, diary: str) -> list[int]:
    script = f"{RESIDENT}\nDIARY = {diary!r}\n{code}\nprint(resident())"
    done = subprocess.run(
        [sys.executable, "-c", script],
        env=os.environ | {"QT_QPA_PLATFORM": "offscreen"},
        check=False,
        capture_output=True,
        text=True,
    )
    if done.returncode:
        raise RuntimeError(done.stderr)
    return [int(line) for line in done.stdout.split()]


if __name__ == "__main__":
    sys.exit(main())
