"""Goal 1: from the command to the first paint, beside a bare window, in fresh processes.

The shell may take 1.6 times a bare window, the page with the readings 6.5 times, the checks of
opening included. The diary holds fifty years of readings. Each process ends right after it painted
what is waited for, and not well if the picture was another.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.measure import alternated, report
from tests.bench.readings import filled_diary

ROUNDS = 9

BARE = """
from PySide6 import QtCore, QtWidgets
class Painted(QtWidgets.QMainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        QtCore.QTimer.singleShot(0, lambda: os._exit(0))
app = QtWidgets.QApplication([])
window = Painted()
window.resize(1280, 800)
window.show()
app.exec()
"""

SHELL = """
import app.ui.start as start
def leave(window, *_):
    from app.ui.pages import PAGES
    titles = [window.tabs.tabText(at) for at in range(window.tabs.count())]
    menus = [action.text() for action in window.menuBar().actions()]
    seen = window.tabs.isVisible() and len(titles) == len(PAGES) and len(menus) == 5
    os._exit(0 if seen else 3)
start._fill = leave
start.has_screen = lambda: True
from app.__main__ import run
run()
"""

PAGE = """
import app.ui.start as start
fill = start._fill
def watch(window, *rest):
    fill(window, *rest)
    from PySide6.QtCore import QEvent, QObject, QTimer
    from app.ui.now import NowColumn
    page, (now,) = window.page("day"), window.findChildren(NowColumn)
    def look():
        view = page.view
        shown = len(view.marks), len(view.rows), page.body.chart.accessibleName()
        seen = now.isVisible() and page.body.isVisible()
        os._exit(0 if seen and shown == (4, 4, "Day, 4 readings") else 3)
    class Watch(QObject):
        def eventFilter(self, watched, event):
            if event.type() == QEvent.Type.Paint and page.view is not None:
                QTimer.singleShot(0, look)
            return False
    window.watch = Watch(window)
    page.body.chart.viewport().installEventFilter(window.watch)
start._fill = watch
start.has_screen = lambda: True
from app.__main__ import run
run()
"""


def main() -> int:
    """Run each case in a process of its own, alternated."""
    with tempfile.TemporaryDirectory() as folder:
        diary, _ = filled_diary(Path(folder))
        path = str(diary.path)
        diary.close()
        surroundings = os.environ | {
            "QT_QPA_PLATFORM": "offscreen",
            "HOME": folder,
            # Bytecode is written in the round that warms up, as an installed program has it.
            "PYTHONPYCACHEPREFIX": str(Path(folder) / "bytecode"),
        }
        surroundings.pop("PYTHONDONTWRITEBYTECODE", None)

        def run(code: str) -> None:
            (diary.path.parent / f".{diary.path.name}.lock").unlink(missing_ok=True)  # no crash
            words = ["thimblebook", "--diary", path, "open"]
            begin = f"import os, signal, sys\nsignal.alarm(30)\nsys.argv = {words!r}\n"
            # No timeout here: waiting with one polls in steps of 50 ms.
            done = subprocess.run(
                [sys.executable, "-c", begin + code],
                env=surroundings,
                check=False,
                capture_output=True,
                text=True,
            )
            if done.returncode:
                raise RuntimeError(f"ended with {done.returncode}: {done.stderr}")

        found = alternated(
            {
                "bare": lambda: run(BARE),
                "shell": lambda: run(SHELL),
                "page": lambda: run(PAGE),
            },
            rounds=ROUNDS,
        )
    return not all(
        [
            report("the shell painted", found["shell"], found["bare"], 1.6),
            report("the page painted, 50 years", found["page"], found["bare"], 6.5),
        ]
    )


if __name__ == "__main__":
    sys.exit(main())
