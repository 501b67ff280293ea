"""The form of one reading, beside the table: whatever was typed stays until it is saved."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.domain.entry import Entry, with_answer
from app.domain.errors import DiaryError, Question
from app.domain.marks import known_mark
from app.domain.numerals import plain_number
from app.domain.reading import Reading
from app.look.icons import Icon
from app.look.theme import follow_theme
from app.look.type import Role
from app.store.readings import reading_with_id
from app.ui.controls import Answer, Button, FlatButton, Hairline, Label, ToAnswer
from app.ui.controls.drawing import px
from app.ui.readings.form_fields import FormFields
from app.ui.readings.line import tr
from app.ui.readings.typed import NO_SITE, Typed, tags_of, typed_of
from app.ui.said import Said
from app.ui.session import Session
from app.work.edit import KEEP, Edit, edit_reading
from app.work.retype import typed_time, typed_value

_SURE = "--sure"
_LONGEST_AFTER = 1440  # minutes: beyond a day it was another meal


@dataclass(slots=True)
class _Draft:
    """What was typed for one reading and not saved yet."""

    typed: Typed
    value_sure: bool = False
    time_sure: bool = False


class ReadingForm(QWidget):
    """Corrects one reading. Signals: closed() when the table is to have the focus again.

    Escape leaves and keeps what was typed; it stands there again when the same reading is opened.
    """

    closed = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._reading: Reading | None = None
        self._as_was: Typed | None = None
        self._drafts: dict[int, _Draft] = {}
        self._value_sure = self._time_sure = False
        self._question: ToAnswer | None = None
        self.fields = FormFields(self)
        self._title = Label(tr("Correct a reading"), self, role=Role.SECTION)
        self._close = FlatButton(
            "", self, icon=Icon.CROSS, size="bar", name=tr("Close; what you typed is kept")
        )
        self._kept = Label("", self, role=Role.SMALL, ink="ink2", wrap=True)
        self._trouble = Label("", self, ink="ink", wrap=True)
        self.save = Button(tr("Save"), self, main=True, size="form")
        self._forget = FlatButton(tr("As it was"), self, underlined=True)
        self._scroll = QScrollArea(self)
        self._lay_out()
        self._close.clicked.connect(self.leave)
        self.save.clicked.connect(self.submit)
        self._forget.clicked.connect(self._on_forget)
        self.fields.changed.connect(self._on_changed)
        self.fields.submitted.connect(self.submit)
        self.setAccessibleName(tr("Correct a reading"))
        self.hide()
        follow_theme(self._restyle)

    @property
    def row_id(self) -> int | None:
        """The local id of the reading that is open."""
        return None if self._reading is None or self.isHidden() else self._reading.id

    @property
    def is_changed(self) -> bool:
        """Whether something was typed that is not saved."""
        return bool(self._as_was and self.fields.typed().changed_from(self._as_was))

    def open(self, row_id: int) -> None:
        """Show one reading, with what was typed for it before."""
        self._keep_draft()
        reading = reading_with_id(self._session.diary, self._session.person, row_id)
        if reading is None:
            self._session.said.emit(
                Said(tr("This reading is no longer in the diary."), undo=False)
            )
            return
        self._show(reading)
        self.show()
        self.fields.value.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.fields.value.selectAll()

    def follow(self) -> None:
        """Take in what changed in the diary meanwhile; what was typed stays."""
        if self._reading is None or self.isHidden():
            return
        self._keep_draft()
        reading = reading_with_id(self._session.diary, self._session.person, self._reading.id)
        if reading is None:
            self.leave()
        elif reading != self._reading:
            self._show(reading)

    def forget_all(self) -> None:
        """Let go of everything typed, for another person's readings are shown now."""
        self._drafts.clear()
        self._reading = self._as_was = None
        self.hide()

    def leave(self) -> None:
        """Close; what was typed is kept."""
        self._keep_draft()
        self.hide()
        self.closed.emit()

    def submit(self) -> None:
        """Save what is different, or say what stands in the way."""
        if self._reading is None or self._as_was is None:
            return
        self._clear_trouble()
        typed = self.fields.typed()
        changed = typed.changed_from(self._as_was)
        if not changed:
            self.leave()
            return
        edit = self._edit(typed, changed)
        if edit is None:
            return
        session, row_id = self._session, self._reading.id
        try:
            done = edit_reading(session.diary, session.person, row_id, edit, now=session.now())
        except DiaryError as trouble:
            self._trouble.setText(str(trouble))
            self._trouble.show()
            return
        self._drafts.pop(row_id, None)
        self._reading = self._as_was = None
        self.hide()
        session.changed(Said(done.sentence))
        self.closed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and (
            event.modifiers() & Qt.KeyboardModifier.ControlModifier
        ):
            self.submit()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        from app.look.theme import tokens_now

        painter = QPainter(self)
        turned = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        painter.setPen(tokens_now().line)
        x = self.width() - 1 if turned else 0
        painter.drawLine(x, 0, x, self.height())
        painter.end()

    def _edit(self, typed: Typed, changed: set[str]) -> Edit | None:
        """What to change; None where a field has to be looked at first."""
        after = self._minutes(typed)
        value = self._read_value(typed) if changed & {"value", "unit"} else None
        time = self._read_time(typed) if "time" in changed else None
        entries = [entry for entry in (value, time) if entry is not None]
        if after is KEEP and "after_min" in changed or any(not each.is_ready for each in entries):
            return None
        mark = known_mark(typed.mark)
        return Edit(
            value=value or KEEP,
            time=time or KEEP,
            mark=mark if "mark" in changed and mark is not None else KEEP,
            after_min=after if changed & {"after_min", "mark"} else KEEP,
            site=typed.site if "site" in changed else KEEP,
            hands=typed.hands if "hands" in changed else KEEP,
            note=(typed.note.strip() or None) if "note" in changed else KEEP,
            tags=tags_of(typed.tags) if "tags" in changed else KEEP,
            keeper=(" ".join(typed.keeper.split()) or None) if "keeper" in changed else KEEP,
            keep_odd=self._value_sure,
        )
