"""The form of one reading, beside the table: whatever was typed stays until it is saved."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.domain.errors import Busy, DiaryError
from app.domain.reading import Reading
from app.look.icons import Icon
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.store.readings import reading_with_id
from app.ui.controls import Button, FlatButton, Label, ToAnswer
from app.ui.controls.drawing import px
from app.ui.gate import writes
from app.ui.patience import Patience
from app.ui.readings.earlier import Earlier
from app.ui.readings.form_fields import FormFields
from app.ui.readings.form_question import question_box
from app.ui.readings.reread import SURE, Asked, reread
from app.ui.readings.typed import OpenReading, Typed, typed_of
from app.ui.readings.words import tr
from app.ui.said import Said
from app.ui.session import Session
from app.work.edit import Done, Edit, edit_reading

_NO_LIMIT = (1 << 24) - 1  # Qt's own largest width
WIDTH = 300.0  # px at a text size of 13 px


class ReadingForm(QWidget):
    """Corrects one reading. Signals: closed() when the table is to have the focus again.

    Escape leaves and keeps what was typed; it stands there again when the same reading is opened.
    """

    closed = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._open: OpenReading | None = None
        self._drafts: dict[int, Typed] = {}
        self._question: ToAnswer | None = None
        self._alone = False
        self.fields = FormFields()
        self._title = Label(tr("Correct a reading"), self, role=Role.SECTION)
        self._close = FlatButton(
            "", self, icon=Icon.CROSS, size="bar", name=tr("Close; what you typed is kept")
        )
        self._kept = Label("", self, role=Role.SMALL, ink="ink2", wrap=True)
        self.earlier = Earlier(session, self)
        self._trouble = Label("", self, wrap=True)
        self.save = writes(Button(tr("Save"), self, main=True, size="form"))
        self.forget = FlatButton(tr("As it was"), self, underlined=True)
        self._scroll = QScrollArea(self)
        self._patience = Patience(self._on_written, self._on_not_written, self._on_waiting, self)
        self._lay_out()
        self._close.clicked.connect(self.leave)
        self.save.clicked.connect(self.submit)
        self.forget.clicked.connect(self._on_forget)
        self.fields.changed.connect(self._on_changed)
        self.fields.submitted.connect(self.submit)
        self.setAccessibleName(tr("Correct a reading"))
        self.hide()
        follow_theme(self._restyle)

    @property
    def row_id(self) -> int | None:
        """The local id of the reading that is open; None while the form is closed."""
        return None if self._open is None else self._open.reading.id

    @property
    def is_changed(self) -> bool:
        """Whether something is typed that is not saved."""
        return self._open is not None and self.fields.typed() != self._open.before

    def open(self, row_id: int) -> None:
        """Show one reading, with what was typed for it before."""
        self._keep_draft()
        reading, why = None, tr("This reading is no longer in the diary.")
        try:
            reading = reading_with_id(self._session.diary, self._session.person, row_id)
        except DiaryError as trouble:
            why = str(trouble)
        if reading is None:
            self._session.said.emit(Said(why, undo=False))
            return
        self._show(reading)
        self.show()
        self.fields.value.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.fields.value.selectAll()

    def spread(self, *, alone: bool) -> None:
        """Take all the room there is, or a column beside the table."""
        self._alone = alone
        self.setMinimumWidth(0 if alone else px(WIDTH))
        self.setMaximumWidth(_NO_LIMIT if alone else px(WIDTH))
        self._column.setContentsMargins(0 if alone else px(16), 0, 0, 0)
        self.update()

    def suggest(self, keepers: Sequence[str]) -> None:
        """Offer the names of keepers that were used before."""
        self.fields.suggest_keepers(keepers)

    def follow(self) -> None:
        """Take in what changed in the diary meanwhile; what was typed stays."""
        if self._open is None:
            return
        self._keep_draft()
        before = self._open.reading
        with suppress(DiaryError):  # busy just now: to save it is to look again
            reading = reading_with_id(self._session.diary, self._session.person, before.id)
            if reading is None:
                self.leave()
            elif reading != before:
                self._show(reading)

    def forget_all(self) -> None:
        """Let go of everything typed: another person's readings are shown now."""
        self._drafts.clear()
        self._open = None
        self.hide()

    def leave(self) -> None:
        """Close; what was typed is kept."""
        self._keep_draft()
        self._shut()

    def submit(self) -> None:
        """Save what is different, or say what stands in the way."""
        if self._open is None:
            return
        if not self.is_changed:
            self.leave()
            return
        self._clear()
        session, held = self._session, self._open
        moment = held.reading.moment
        found = reread(
            self.fields.typed(),
            held.before,
            session.person,
            now=session.now(),
            zone=None if moment is None else moment.zone,
            value_sure=held.value_sure,
            time_sure=held.time_sure,
        )
        for name, sentence in found.problems.items():
            self.fields.show_error(name, sentence)
        if found.problems:
            self.fields.control(next(iter(found.problems))).setFocus()
        elif found.asked:
            self._ask(found.asked[0])
        else:
            self._write(held.reading.id, found.edit)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        is_enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
        elif is_enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.submit()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._alone:
            return
        painter = QPainter(self)
        left = self.width() - 1 if self.layoutDirection() is Qt.LayoutDirection.RightToLeft else 0
        painter.fillRect(left, 0, 1, self.height(), QColor(tokens_now().line))
        painter.end()

    def _show(self, reading: Reading) -> None:
        before = typed_of(reading, self._session.person)
        draft = self._drafts.get(reading.id)
        self._open = OpenReading(reading, before)
        self._clear()
        self.fields.set_typed(draft or before)
        self._kept.setText(tr("Not saved yet: what you typed before.") if draft else "")
        self._kept.setVisible(draft is not None)
        self.earlier.show_reading(reading)
        self._on_changed()

    def _write(self, row_id: int, edit: Edit) -> None:
        session, diary = self._session, self._session.diary
        call = partial(edit_reading, diary, session.person, row_id, edit, now=session.now())
        self._patience.do(call)

    def _on_written(self, done: Done) -> None:
        if self._open is not None:
            self._drafts.pop(self._open.reading.id, None)
        self._shut()
        self._session.changed(Said(done.sentence))

    def _on_not_written(self, trouble: DiaryError) -> None:
        self._trouble.setText(str(trouble))
        self._trouble.show()

    def _on_waiting(self, waits: bool) -> None:
        self._on_not_written(Busy(tr("Saving; the diary is busy") if waits else ""))
        self.fields.setEnabled(not waits)  # what is typed now would be lost when it is saved

    def _shut(self) -> None:
        self._open = None
        self.hide()
        self.closed.emit()

    def _ask(self, asked: Asked) -> None:
        self._question = question_box(asked, self)
        if self._question is None:
            self.fields.show_error(asked.field, asked.question.asks)
            self.fields.control(asked.field).setFocus()
            return
        self._question.answered.connect(self._on_answered)
        self.fields.place(asked.field, self._question)
        self._question.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self._scroll.ensureWidgetVisible(self._question)

    def _on_answered(self, answer: str) -> None:
        if self._question is None or self._open is None:
            return
        name = self._question.objectName()
        field = self.fields.value if name == "value" else self.fields.time
        if answer != SURE:
            field.setText(answer)
        elif name == "value":
            self._open.value_sure = True
        else:
            self._open.time_sure = True
        self._drop_question()
        field.setFocus()
        self.submit()

    def _on_changed(self) -> None:
        if self._open is not None:
            self._open.value_sure = self._open.time_sure = False
            self.forget.setVisible(self.is_changed)

    def _on_forget(self) -> None:
        if self._open is not None:
            self._drafts.pop(self._open.reading.id, None)
            self._show(self._open.reading)
            self.fields.value.setFocus()

    def _keep_draft(self) -> None:
        if self._open is None:
            return
        if self.is_changed:
            self._drafts[self._open.reading.id] = self.fields.typed()
        else:
            self._drafts.pop(self._open.reading.id, None)

    def _clear(self) -> None:
        self.fields.clear_errors()
        self._trouble.hide()
        self._drop_question()

    def _drop_question(self) -> None:
        if self._question is not None:
            self._question.hide()
            self._question.deleteLater()
            self._question = None

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(self._title, 1)
        head.addWidget(self._close)
        inside = QWidget()
        inside.setObjectName("scrolled")
        within = QVBoxLayout(inside)
        within.setContentsMargins(0, 0, 4, 0)
        for part in (self._kept, self.earlier, self.fields, self.earlier.came):
            within.addWidget(part)
        within.addStretch(1)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setWidget(inside)
        foot = QHBoxLayout()
        foot.addWidget(self.save)
        foot.addWidget(self.forget)
        foot.addStretch(1)
        self._column = QVBoxLayout(self)
        self._column.addLayout(head)
        self._column.addWidget(self._scroll, 1)
        self._column.addWidget(self._trouble)
        self._column.addLayout(foot)

    def _restyle(self) -> None:
        self._column.setSpacing(px(6))
        self.spread(alone=self._alone)
