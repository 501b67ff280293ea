"""The plan as a calendar file, so that a telephone rings: what it says, and by which clock."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QFileDialog, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.look.type import Role
from app.ui.controls import Button, CheckBox, FieldNote, Label, RadioButton, TextColumn
from app.ui.controls.drawing import px
from app.ui.plan.calendar_text import calendar_text
from app.ui.plan.words import many, tr
from app.ui.said import Said
from app.ui.session import Session
from app.work.send_out import export_calendar


class CalendarDialog(QDialog):
    """Asks what the file says, then where it goes; Esc writes nothing."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        person = session.person
        title = tr("Calendar file of the plan")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.floats = RadioButton(tr("By the clocks of wherever I am"), self)
        self.zoned = RadioButton(tr("By the clocks of {zone}").format(zone=person.zone), self)
        self.floats.setChecked(True)
        self.quiet = CheckBox(tr("Say only “reminder”, nothing of tests or of whom"), self)
        self._trouble = FieldNote(parent=self)
        self.saves = Button(tr("&Save as…"), self, main=True)
        leaves = Button(tr("Cancel"), self)
        column = QVBoxLayout(self)
        column.setContentsMargins(px(24), px(20), px(24), px(16))
        column.setSpacing(px(10))
        column.addWidget(Label(title, self, role=Role.TITLE))
        says = TextColumn(
            tr(
                "An iCalendar file with an alarm for each planned test, to be brought into the "
                "calendar of a telephone, which rings. Brought in again, it updates what is there."
            ),
            self,
            ink="ink2",
        )
        says.setMinimumWidth(px(420))
        column.addWidget(says)
        for part in (self.floats, self.zoned, self.quiet, self._trouble):
            column.addWidget(part)
        last = QHBoxLayout()
        last.addStretch(1)
        last.addWidget(leaves)
        last.addWidget(self.saves)
        column.addLayout(last)
        self.saves.clicked.connect(self._on_save)
        leaves.clicked.connect(self.reject)
        self.floats.setFocus()

    def write(self, out: Path) -> None:
        """Write the file, and say so in the window; or say here why not."""
        session = self._session
        try:
            count, text = calendar_text(
                session.diary,
                session.person,
                session.now(),
                quiet=self.quiet.isChecked(),
                zoned=self.zoned.isChecked(),
            )
            export_calendar(session.diary, out, text)
        except DiaryError as trouble:
            self._trouble.show_error(str(trouble))
            return
        written = many(count, "{n} planned test", "{n} planned tests")
        sentence = tr("{tests} written to {file}; bring it into a calendar.").format(
            tests=written, file=out.name
        )
        session.said.emit(Said(sentence, undo=False))
        self.accept()

    def _on_save(self) -> None:
        dialog = QFileDialog(self, tr("Save the calendar file"), str(Path.home()))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix("ics")
        dialog.setNameFilter(tr("Calendar files") + " (*.ics)")
        dialog.selectFile(tr("plan") + ".ics")
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        # An older calendar is brought up to date, anything else left alone: export_calendar asks.
        dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)
        dialog.fileSelected.connect(lambda name: self.write(Path(name)))
        dialog.open()
