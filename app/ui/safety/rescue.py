"""Saving what can still be read: where to, and the report on what was saved and what is missing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QDialog, QFileDialog, QHBoxLayout, QVBoxLayout, QWidget

from app.look.type import Role
from app.store.spoiled import counted, days_in_words
from app.ui.controls import Button, Hairline, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.safety.words import tr

if TYPE_CHECKING:
    from app.store.salvage import Salvaged, TableSaved


def ask_where(damaged: Path, then: Callable[[Path], object], parent: QWidget) -> None:
    """Ask for the name of the new file; one that is there already is not offered to be replaced."""
    dialog = QFileDialog(parent, tr("Rescue into a new file"), str(damaged.parent))
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setNameFilter(tr("Diaries (*.thimblebook)"))
    dialog.setDefaultSuffix("thimblebook")
    dialog.selectFile(free_name(damaged).name)
    dialog.fileSelected.connect(lambda chosen: then(Path(chosen)))
    dialog.open()


def free_name(damaged: Path) -> Path:
    """A name beside the damaged file that nothing has yet."""
    number, found = 1, damaged.with_name(f"{damaged.stem}-rescued.thimblebook")
    while found.exists():
        number += 1
        found = damaged.with_name(f"{damaged.stem}-rescued-{number}.thimblebook")
    return found


def show_report(found: Salvaged, parent: QWidget, *, opens: Callable[[], object]) -> QDialog:
    """Show what was saved by its kind, and what is missing by its days."""
    dialog = QDialog(parent)
    dialog.setWindowTitle(tr("What was rescued"))
    dialog.setAccessibleName(dialog.windowTitle())
    column = QVBoxLayout(dialog)
    column.setContentsMargins(px(24), px(20), px(24), px(16))
    column.setSpacing(px(8))
    column.addWidget(Label(dialog.windowTitle(), dialog, role=Role.TITLE))
    column.addWidget(_text(tr("Saved into {file}.").format(file=found.out), dialog))
    column.addWidget(Hairline(dialog))
    for line in report_lines(found):
        column.addWidget(_text(line, dialog))
    column.addWidget(Hairline(dialog))
    column.addWidget(_text(report_end(found), dialog, ink="ink2"))
    row = QHBoxLayout()
    row.addStretch(1)
    close, show = Button(tr("Close"), dialog), Button(tr("Open the new file"), dialog, main=True)
    close.clicked.connect(dialog.reject)
    show.clicked.connect(dialog.accept)
    dialog.accepted.connect(opens)
    row.addWidget(close)
    row.addWidget(show)
    column.addLayout(row)
    dialog.open()
    return dialog


def report_lines(found: Salvaged) -> list[str]:
    """What is not as written first: from where, and the days of what is missing; then the rest."""
    whole = [each for each in found.tables if not (each.from_backup + each.rebuilt + each.missing)]
    lines = [_line(each) for each in found.tables if each not in whole]
    if whole:
        largest = sorted(whole, key=lambda each: -each.kept)
        listed = ", ".join(counted(each.kept, each.table) for each in largest)
        lines.append(tr("Whole and as written: {listed}.").format(listed=listed))
    return lines


def report_end(found: Salvaged) -> str:
    """What else is missing, and what to do about it."""
    said = []
    if found.entries:
        said.append(
            tr("{n} changes of the journal can't be read any more.").format(n=found.entries)
        )
    if found.references:
        said.append(tr("{n} links led to something missing.").format(n=found.references))
    if not found.verified:
        said.append(
            tr("The old file kept no hash of its rows, so that none of them could be checked.")
        )
    if any(each.missing for each in found.tables):
        said.append(
            tr("Look for what is missing in the meter and on paper before you clear either.")
        )
    else:
        said.append(tr("Nothing is known to be missing."))
    said.append(tr("The damaged file was left untouched."))
    return " ".join(said)


def _line(each: TableSaved) -> str:
    parts = [
        words.format(n=count)
        for count, words in (
            (each.kept, tr("{n} as written")),
            (each.from_backup, tr("{n} from the backup")),
            (each.rebuilt, tr("{n} from the journal")),
        )
        if count
    ]
    saved = counted(each.kept + each.from_backup + each.rebuilt, each.table)
    line = f"{saved}: {', '.join(parts) or tr('none')}"
    if not each.missing:
        return line
    days = days_in_words(each.days)
    missing = tr("{n} missing").format(n=each.missing)
    return f"{line}; {missing}" + (f" ({days})" if days else "")


def _text(words: str, parent: QWidget, *, ink: str = "ink") -> TextColumn:
    text = TextColumn(words, parent, ink=ink)
    text.setMinimumWidth(px(460))
    return text
