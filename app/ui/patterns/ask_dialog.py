"""A small window in which a question is put together, asked and answered in place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QSizePolicy, QVBoxLayout, QWidget

from app.domain.clock import Period
from app.domain.errors import DiaryError
from app.domain.marks import SLOTS, Mark
from app.domain.question import Kind, Outcome, Question
from app.look.theme import follow_theme
from app.review.asking_words import asked_so_far
from app.ui.controls import Button, CheckBox, Choice, FieldNote, FlowRow, Label, SectionTitle
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled
from app.ui.job import Job
from app.ui.patterns.asking import NAMED, Offers, Told, ask_and_keep, offers_of
from app.ui.patterns.question_card import QuestionCard
from app.ui.patterns.question_words import answer_words
from app.ui.patterns.words import many, tr
from app.ui.reading_words import mark_name
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import period_words

_LONGEST = 36  # letters of a person's own word in a list; the whole stands in its tip
_KINDS = (
    ("Days with something written", Kind.DAYS),
    ("Weekdays and weekends", Kind.WEEKDAYS),
    ("Two meters", Kind.METERS),
    ("Two keepers", Kind.KEEPERS),
    ("Two places", Kind.PLACES),
)
_OUTCOMES = (
    ("days or nights with a low", Outcome.LOW),
    ("days or nights with a high", Outcome.HIGH),
    ("the mean", Outcome.MEAN),
)


class AskDialog(QDialog):
    """What is compared, where and by what; the answer comes below, and the question is kept."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._offers: Offers | None = None
        self.job, self._offering = Job(self), Job(self)
        self.setWindowTitle(tr("Ask a question"))
        self.setAccessibleName(tr("Ask a question"))
        self._build()
        self.job.answered.connect(self._on_answered)
        self.job.failed.connect(self._on_failed)
        self._offering.answered.connect(self._on_offers)
        self._offering.failed.connect(self._on_failed)
        self.kind.activated.connect(self._on_kind)
        self.ask.clicked.connect(self._on_ask)
        self._shut.clicked.connect(self.reject)
        follow_theme(self._restyle)

    def open_for(self, session: Session) -> None:
        """Open with what the person shown has written; what was chosen before is kept."""
        self._session = session
        self._clear()
        period = session.all_days()
        words = period_words(session.period, session.person.date_order)
        self.period.clear()
        self.period.addItem(tr("everything written"), period)
        self.period.addItem(words, session.period)
        self._offering.start(
            partial(offers_of, session.diary, session.record, period, session.now())
        )
        self._fit()
        self.open()
        self.kind.setFocus(Qt.FocusReason.ShortcutFocusReason)

    @property
    def card(self) -> QuestionCard | None:
        """The answer in place, once there is one."""
        return self._card

    @property
    def note(self) -> str:
        """The line below the button: how many were asked, or what went wrong."""
        return self._note.error or self._said

    def _build(self) -> None:
        self.kind = _choice(((tr(text), value) for text, value in _KINDS), tr("What is compared"))
        self.word = _choice((), tr("Tag, event or name of days"))
        self.first, self.second = _choice((), tr("First side")), _choice((), tr("Second side"))
        slots: list[tuple[str, object]] = [(tr("whole day"), None)]
        slots += [(mark_name(slot), slot) for slot in SLOTS]
        self.slot = _choice(slots, tr("Slot"))
        self.outcome = _choice(
            ((tr(text), value) for text, value in _OUTCOMES), tr("What is looked at")
        )
        self.period = _choice((), tr("Days"))
        self.same = CheckBox(tr("other days on the same weekdays alone"), self)
        self.ask = Button(tr("Ask"), self, main=True, size="form")
        self.ask.setDefault(True)
        self._shut = Button(tr("Close"), self)
        self._note, self._said = FieldNote("", self), ""
        self._card: QuestionCard | None = None
        self._rows: dict[QWidget, FlowRow] = {}
        self._labels: list[Label] = []
        inside = QWidget()
        inside.setObjectName("scrolled")
        self._column = column = QVBoxLayout(inside)
        column.addWidget(SectionTitle(tr("Ask a question"), self))
        for label, control in (
            (tr("Compare"), self.kind),
            (tr("days with"), self.word),
            (tr("the one"), self.first),
            (tr("and the other"), self.second),
            (tr("looking at"), self.outcome),
            (tr("at"), self.slot),
            (tr("in"), self.period),
        ):
            name = Label(label, self, ink="ink2")
            name.setBuddy(control)
            row = FlowRow([name, control], self)
            self._rows[control] = row
            self._labels.append(name)
            column.addWidget(row)
        column.addWidget(self.same)
        column.addWidget(FlowRow([self.ask, self._shut], self))
        column.addWidget(self._note)
        self._answer = QVBoxLayout()
        column.addLayout(self._answer)
        column.addStretch(1)
        self._area = scrolled(inside, self)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self._area)

    def _on_offers(self, offers: Offers) -> None:
        if offers.period != self._session.all_days():
            return
        self._offers = offers
        kept = self.word.value()
        self.word.clear()
        for each in offers.words:
            days = many(each.days, "{word}, {n} day", "{word}, {n} days", word=_short(each.word))
            self.word.addItem(days, each.word)
            self.word.setItemData(self.word.count() - 1, each.word, Qt.ItemDataRole.ToolTipRole)
        if kept in [each.word for each in offers.words]:
            self.word.choose(kept)
        self._fit()

    def _on_kind(self, _at: int) -> None:
        self._clear()
        self._fit()

    def _fit(self) -> None:
        """Show the lines that the chosen kind needs, filled with what is written."""
        kind = self._kind()
        named = kind in NAMED
        names = self._offers.names.get(kind, ()) if self._offers is not None else ()
        if named:
            for at, choice in enumerate((self.first, self.second)):
                choice.clear()
                for name in names:
                    choice.addItem(_short(name), name)
                choice.setCurrentIndex(min(at, len(names) - 1))
        self._rows[self.word].setVisible(kind is Kind.DAYS)
        self._rows[self.outcome].setVisible(kind is Kind.DAYS)
        self.same.setVisible(kind is Kind.DAYS)
        for choice in (self.first, self.second):
            self._rows[choice].setVisible(named)
        for row in self._rows.values():
            row.settle()  # what a list offers decides how wide it is
        lacking = self._lacking(kind, names)
        self.ask.setEnabled(not lacking)
        self._note.clear_error()
        self._note.set_hint(lacking or self._said)

    def _lacking(self, kind: Kind, names: Sequence[str]) -> str:
        if self._offers is None:
            return tr("Looking for what is written …")
        if kind is Kind.DAYS and not self._offers.words:
            return tr(
                "No tag, event or named stretch of days is written yet, so there are no days to "
                "pick out. Tag readings or note events first."
            )
        if kind in NAMED and len(names) < 2:
            return tr("Two with readings are needed to compare; there are fewer.")
        return ""

    def _kind(self) -> Kind:
        return Kind(str(self.kind.value()))  # Qt gives back the plain text of it

    def _question(self) -> Question:
        kind, slot, outcome = self._kind(), self.slot.value(), self.outcome.value()
        period = self.period.value()
        ends = period if isinstance(period, Period) else self._session.all_days()
        what: tuple[str, ...] = ()
        if kind is Kind.DAYS:
            what = (str(self.word.value()),)
        elif kind in NAMED:
            what = (str(self.first.value()), str(self.second.value()))
        return Question(
            kind=kind,
            what=what,
            slot=Mark(str(slot)) if slot else None,
            outcome=Outcome(str(outcome)) if kind is Kind.DAYS else None,
            first_day=ends.first.toordinal(),
            last_day=ends.last.toordinal(),
            same_weekdays=kind is Kind.DAYS and self.same.isChecked(),
        )

    def _on_ask(self) -> None:
        session = self._session
        self.ask.setEnabled(False)
        self._note.clear_error()
        self.job.start(
            partial(ask_and_keep, session.diary, session.record, self._question(), session.now())
        )

    def _on_answered(self, told: Told) -> None:
        self._clear()
        self._card = QuestionCard(answer_words(told.found, tr("Answered now")), self, in_full=True)
        self._answer.addWidget(self._card)
        self._said = asked_so_far(told.count)
        self._fit()
        if told.is_new:
            words = told.found.question.words
            kept = tr("The question is kept and counted: {words}").format(words=words)
            self._session.changed(Said(kept, undo=True))

    def _on_failed(self, trouble: BaseException) -> None:
        if not isinstance(trouble, DiaryError):
            raise trouble
        self._clear()
        self._fit()
        self._note.show_error(str(trouble))

    def _clear(self) -> None:
        self._said = ""
        if self._card is not None:
            self._answer.removeWidget(self._card)
            self._card.hide()
            self._card.deleteLater()
            self._card = None

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(24), px(20), px(24), px(16))
        self._column.setSpacing(px(8))
        wide = max(label.sizeHint().width() for label in self._labels)
        for label in self._labels:
            label.setMinimumWidth(wide)
        self.setMinimumWidth(min(px(560), 940))
        self.resize(self.minimumWidth(), min(px(600), 640))


def _choice(choices: Iterable[tuple[str, object]], name: str) -> Choice:
    made = Choice(choices, name=name)
    policy = made.sizePolicy()
    policy.setHorizontalPolicy(QSizePolicy.Policy.Preferred)
    made.setSizePolicy(policy)
    return made


def _short(word: str) -> str:
    return word if len(word) <= _LONGEST else f"{word[: _LONGEST - 1].rstrip()}…"
