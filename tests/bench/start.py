"""Goal 1: from the command to the first paint, beside a bare window, in fresh processes.

The shell may take 1.6 times a bare window, the page with the readings 6.5 times, the checks of
opening included. The diary holds fifty years of readings.
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
import sys
from PySide6 import QtCore, QtWidgets
class Painted(QtWidgets.QMainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        QtCore.QTimer.singleShot(0, app.quit)
app = QtWidgets.QApplication([])
window = Painted()
window.resize(1280, 800)
window.show()
app.exec()
"""

SHELL = """
import sys
import app.ui.start as start
def leave(*_):
    from PySide6.QtWidgets import QApplication
    QApplication.quit()
start._fill = leave
sys.argv = ["thimblebook", "--diary", DIARY, "open"]
from app.__main__ import run
start.has_screen = lambda: True
run()
"""

PAGE = """
import sys
import app.ui.start as start
fill = start._fill
def watch(window, *rest):
    from PySide6.QtCore import QEvent, QObject, QTimer
    from PySide6.QtWidgets import QApplication
    fill(window, *rest)
    class Watch(QObject):
        def eventFilter(self, watched, event):
            if event.type() == QEvent.Type.Paint:
                QTimer.singleShot(0, QApplication.quit)
            return False
    window.watch = Watch(window)
    page = window.page("day")
    assert page.findChildren(QObject), "the page is empty"
    from app.ui.charts.chart import Chart
    (chart, *_) = page.findChildren(Chart)
    chart.viewport().installEventFilter(window.watch)
start._fill = watch
sys.argv = ["thimblebook", "--diary", DIARY, "open"]
from app.__main__ import run
start.has_screen = lambda: True
run()
"""


def main() -> int:
    """Run each case in a process of its own, alternated."""
    with tempfile.TemporaryDirectory() as folder:
        diary, _ = filled_diary(Path(folder))
        path = str(diary.path)
        diary.close()
        surroundings = os.environ | {"QT_QPA_PLATFORM": "offscreen", "HOME": folder}

        def run(code: str) -> None:
            script = f"import signal\nsignal.alarm(30)\nDIARY = {path!r}\n{code}"
            # No timeout here: waiting with one polls in steps of 50 ms.
            done = subprocess.run(
                [sys.executable, "-c", script],
                env=surroundings,
                check=False,
                capture_output=True,
                text=True,
            )
            if done.returncode:
                raise RuntimeError(done.stderr)

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
