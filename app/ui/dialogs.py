"""Small windows that tell: trouble, the standing cautions, what this program is."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from importlib.metadata import PackageNotFoundError, version

from PySide6.QtCore import QCoreApplication, Qt, qVersion
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.store.check import check_diary
from app.store.diary import Diary
from app.ui.controls import Button, SectionTitle, TextColumn
from app.ui.controls.drawing import px


def tr(text: str) -> str:
    """Translate a text of these windows."""
    return QCoreApplication.translate("Dialogs", text)


def tell(
    parent: QWidget, title: str, *paragraphs: str, closed: Callable[[], object] | None = None
) -> None:
    """Show a few sentences until they are closed; Esc and Enter close them."""
    dialog = QDialog(parent)
    dialog.setWindowTitle(title)
    dialog.setAccessibleName(title)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    column = QVBoxLayout(dialog)
    column.setContentsMargins(px(24), px(20), px(24), px(16))
    column.setSpacing(px(10))
    column.addWidget(SectionTitle(title, dialog))
    for paragraph in paragraphs:
        text = TextColumn(paragraph, dialog)
        text.setMinimumWidth(px(420))
        column.addWidget(text)
    close = Button(tr("Close"), dialog)
    close.clicked.connect(dialog.accept)
    close.setDefault(True)
    column.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
    if closed is not None:
        dialog.finished.connect(lambda _how: closed())
    dialog.open()


def show_cautions(parent: QWidget) -> None:
    """Show the cautions that always hold."""
    tell(
        parent,
        tr("Cautions"),
        tr(
            "Thimblebook records, counts and shows. It never suggests a dose, and nothing in it "
            "says that you are safe. It is not an alarm and wakes nobody."
        ),
        tr(
            "A meter within its standard may be off by about 15 %. Unwashed fingers, old strips "
            "and a wrong clock mislead more than that."
        ),
        tr(
            "General information. Follow the plan that your own care team gave you; if you have "
            "none, ask for one. In an emergency call your local emergency number."
        ),
    )


def our_version() -> str:
    """The version of this program, where it is installed."""
    try:
        return version("thimblebook")
    except PackageNotFoundError:
        return tr("not installed")


def show_about(parent: QWidget) -> None:
    """Show versions, which help when something is wrong."""
    tell(
        parent,
        tr("About Thimblebook"),
        tr("A diary on this computer: no account, no network."),
        f"Thimblebook {our_version()} · Qt {qVersion()} · SQLite {sqlite3.sqlite_version}",
    )


def check_in_words(diary: Diary) -> str:
    """Look at the whole file, and say in a sentence what was found."""
    try:
        found = check_diary(diary)
    except DiaryError as trouble:
        return str(trouble)
    if found.wrong:
        return tr("Something is wrong with the file: {what}. Nothing was changed.").format(
            what="; ".join(found.wrong)
        )
    return tr("The file is sound: {readings} readings, {changes} changes in the journal.").format(
        readings=found.readings, changes=found.changes
    )
