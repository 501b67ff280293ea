"""The window in which something that is no reading is written down, kind by kind."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.errors import DiaryError, NeedsAnswer, Question
from app.look.theme import follow_theme
from app.look.type import Role
from app.ui.controls import Answer, Button, Choice, Field, FieldNote, Label, ToAnswer
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled
from app.ui.dialogs import tell
from app.ui.job import Job
from app.ui.said import Said
from app.ui.session import Session
from app.ui.write_down.day_forms import ChangeForm, DaysForm, LabForm, TagForm
from app.ui.write_down.form import Form, wide_choice
from app.ui.write_down.saving import Asked, Done
from app.ui.write_down.timed_forms import EventForm, HelpForm, KetoneForm
from app.ui.write_down.words import SURE, answer_words, asked_words, is_of_value, tr

if TYPE_CHECKING:
    from app.domain.person import Person


class Kind(NamedTuple):
    """What can be written down: its key, its words, and its form."""

    key: str
    words: str
    form: type[Form]


KINDS = (
    Kind("help", "help from another person was needed", HelpForm),
    Kind("ketone", "a ketone test", KetoneForm),
    Kind("lab", "a laboratory value", LabForm),
    Kind("change", "a change from a day on", ChangeForm),
    Kind("days", "days: sick, travel, set aside …", DaysForm),
    Kind("event", "an event: meal, snack, exercise …", EventForm),
    Kind("tag", "a tag on a day or a reading", TagForm),
)


class WriteDownDialog(QDialog):
    """A choice of kinds and its form. Escape leaves; what was typed stands there again."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._person: Person | None = None
        self._forms: dict[str, Form] = {}
        self._asked: Asked | None = None
        self._question: ToAnswer | None = None
        self._open_question: Question | None = None
        self.job = Job(self)
        self.job.answered.connect(self._on_saved)
        self.job.failed.connect(self._on_failed)
        self.setWindowTitle(tr("Write down"))
        self.setAccessibleName(tr("Write down what is no reading"))
        self.kind: Choice = wide_choice(((each.key, each.words) for each in KINDS), tr("What"))
        self.trouble = FieldNote(parent=self)
        self.saves = Button(tr("&Save"), self, main=True, size="form")
        self.leaves = Button(tr("Cancel"), self)
        self._lay_out()
        self.kind.currentIndexChanged.connect(lambda _at: self._on_kind())
        self.saves.clicked.connect(self.submit)
        self.leaves.clicked.connect(self.reject)
        follow_theme(self._restyle)

    @property
    def form(self) -> Form:
        """The form of the kind that is chosen."""
        return self._forms[str(self.kind.value())]

    @property
    def question(self) -> ToAnswer | None:
        """What is asked just now."""
        return self._question

    def open_for(self, session: Session, key: str | None = None) -> None:
        """Open for the person shown; what was typed for another person goes."""
        self._session = session
        if self._person != session.person:
            self._drop_forms()
            self._person = session.person
            words = tr("For {name}, beside the readings").format(name=session.person.name)
            self._for.setText(words)
        for form in self._forms.values():
            form.when.show_now(session.now())
            form.show_writer(session.diary.writer)
        if key is not None:
            self.kind.choose(key)
        self._on_kind()
        self.open()
        self.kind.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def submit(self) -> None:
        """Save what stands in the form, or say what stands in the way."""
        if self.job.busy:
            return
        session = self._session
        if self._asked is None:
            self._asked = Asked(session.diary, session.person, session.now())
        self._drop_question()
        self.trouble.clear_error()
        self.saves.setEnabled(False)
        self.kind.setEnabled(False)  # what is being saved stays in sight until that is settled
        self.job.start(partial(self.form.call(), self._asked))

    def reject(self) -> None:
        """Leave, unless it is being saved just now."""
        if not self.job.busy:
            self._drop_question()
            super().reject()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        is_enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if is_enter and self.kind.hasFocus():  # nothing is filled in yet
            self.form.take_focus()
        elif is_enter and self._question is None:
            self.submit()
        elif not is_enter:
            super().keyPressEvent(event)

    def _on_saved(self, done: Done) -> None:
        self._settle()
        key = str(self.kind.value())
        self._asked = None
        self._take_out(self._forms.pop(key))
        self.accept()
        self._session.changed(Said(done.sentence))
        if done.caution:
            title, *says = done.caution
            tell(self.parentWidget() or self, title, *says)

    def _on_failed(self, trouble: BaseException) -> None:
        self._settle()
        if isinstance(trouble, NeedsAnswer) and trouble.questions[0].answers:
            self._ask(trouble.questions[0])
        elif isinstance(trouble, DiaryError):
            self._asked = None
            self.trouble.show_error(str(trouble))
            self.form.take_focus()
            self._area.ensureWidgetVisible(self.trouble)
        else:
            raise trouble

    def _settle(self) -> None:
        self.saves.setEnabled(True)
        self.kind.setEnabled(True)

    def _ask(self, question: Question) -> None:
        answers = [Answer(each, answer_words(each)) for each in question.answers]
        self._open_question = question
        self._question = ToAnswer(asked_words(question), answers, self, stacked=True)
        self._question.answered.connect(self._on_answered)
        self._inner.insertWidget(self._inner.indexOf(self.trouble), self._question)
        self._question.show()
        self._question.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self._inner.activate()
        self._area.ensureWidgetVisible(self._question)

    def _on_answered(self, answer: str) -> None:
        if self._open_question is None or self._asked is None:
            return
        value = is_of_value(self._open_question)
        if answer == SURE:
            self._asked = self._asked.kept_as_typed(value=value)
        else:
            self.form.take_answer(answer, value=value)
        self.submit()

    def _on_kind(self) -> None:
        key = str(self.kind.value())
        if key not in self._forms:
            kind = next(each for each in KINDS if each.key == key)
            made = kind.form(self._session.person, self._session.now(), self)
            made.changed.connect(self._on_changed)
            made.show_writer(self._session.diary.writer)
            self._forms[key] = made
            self._inner.insertWidget(self._inner.indexOf(self.trouble), made)
            self.setTabOrder(made.last_control, self.leaves)
            self.setTabOrder(self.leaves, self.saves)
        for other, form in self._forms.items():
            form.setVisible(other == key)
        self._on_changed()

    def _on_changed(self) -> None:
        """What was asked or refused speaks of other words than those that stand there now."""
        self._asked = None
        self._drop_question()
        self.trouble.clear_error()

    def _drop_question(self) -> None:
        if self._question is not None:
            self._inner.removeWidget(self._question)
            self._question.hide()
            self._question.deleteLater()
        self._question = self._open_question = None

    def _drop_forms(self) -> None:
        for form in self._forms.values():
            self._take_out(form)
        self._forms.clear()

    def _take_out(self, form: Form) -> None:
        self._inner.removeWidget(form)
        form.hide()
        form.deleteLater()

    def _lay_out(self) -> None:
        inside = QWidget(self)
        inside.setObjectName("scrolled")
        self._for = Label("", inside, ink="ink2", wrap=True)
        self._inner = QVBoxLayout(inside)
        self._inner.addWidget(Label(tr("Write down"), inside, role=Role.TITLE))
        self._inner.addWidget(self._for)
        self._inner.addWidget(Field(tr("Wh&at"), self.kind, inside))
        self._inner.addWidget(self.trouble)
        self._inner.addStretch(1)
        self._area = scrolled(inside, self)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._foot = QHBoxLayout()
        self._foot.addStretch(1)
        self._foot.addWidget(self.leaves)
        self._foot.addWidget(self.saves)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._area, 1)
        whole.addLayout(self._foot)

    def _restyle(self) -> None:
        self._inner.setContentsMargins(px(24), px(20), px(24), px(8))
        self._inner.setSpacing(px(10))
        self._foot.setContentsMargins(px(24), px(8), px(24), px(16))
        self.resize(px(460), min(px(600), 640))
