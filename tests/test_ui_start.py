"""The begin of the window, in a process of its own."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

SPARED = """
import linecache
from app.ui.start import spare_sources
spare_sources()
import app.look.theme, app.domain.person, app.statistics.moments
read = [name for name in linecache.cache if "app" in name]
from PySide6.QtWidgets import QApplication, QLabel
made = QApplication(["-"])
label = QLabel("a")
label.setText("b")
print(len(read), label.text(), label.sizeHint().width() > 0)
"""


def test_no_source_is_read_at_the_start_and_qt_speaks_as_before() -> None:
    done = subprocess.run(
        [sys.executable, "-c", SPARED], cwd=ROOT, capture_output=True, text=True, check=True
    )

    assert done.stdout.split() == ["0", "b", "True"]
