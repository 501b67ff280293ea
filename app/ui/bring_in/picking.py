"""Asking which file to bring in."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QWidget

from app.ui.bring_in.words import tr


def ask_for_file(parent: QWidget, then: Callable[[Path], object]) -> QFileDialog:
    """Ask with the file dialog of the system, and go on with the file that is chosen."""
    dialog = QFileDialog(parent, tr("Bring in a file"))
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    dialog.setNameFilters(
        [
            tr("Files to bring in (*.csv *.txt *.tsv *.xlsx *.jsonl)"),
            tr("All files (*)"),
        ],
    )
    dialog.fileSelected.connect(lambda name: then(Path(name)))
    dialog.open()
    return dialog
