"""The questions that were asked, the newest first, with their answers of today."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.review.asked_before import AskedSoFar
from app.ui.controls import FlatButton, Hairline, SectionTitle
from app.ui.controls.drawing import px
from app.ui.patterns.prose import Prose
from app.ui.patterns.question_card import QuestionCard
from app.ui.patterns.question_words import words_of
from app.ui.patterns.words import many, tr
from app.ui.session import Session
from app.ui.words import count_words

AT_FIRST = 2


class Questions(QWidget):
    """Signals: all_asked() when every question is to be answered."""

    all_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = SectionTitle(tr("Questions asked"), self)
        self._none = Prose("", self, role=Role.SMALL, ink="ink2")
        self._shown: list[QuestionCard] = []
        self._rules: list[Hairline] = []
        self._cards = QVBoxLayout()
        self._cards.setContentsMargins(0, 0, 0, 0)
        self.button = FlatButton("", self, size="bar", underlined=True)
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._title)
        column.addWidget(self._none)
        column.addLayout(self._cards)
        column.addWidget(self.button)
        column.addStretch(1)
        self.button.hide()
        self.button.clicked.connect(self.all_asked)
        follow_theme(self._restyle)

    @property
    def cards(self) -> list[QuestionCard]:
        """The questions that are shown."""
        return list(self._shown)

    def show_questions(self, asked: AskedSoFar, session: Session) -> None:
        """Show the newest ones, and how many there are in all."""
        for old in (*self._shown, *self._rules):
            self._cards.removeWidget(old)
            old.hide()
            old.deleteLater()
        self._shown, self._rules = [], []
        for each in asked.newest:
            if self._shown:
                self._rules.append(Hairline(self))
                self._cards.addWidget(self._rules[-1])
            words = words_of(each, session.person, session.today())
            self._shown.append(QuestionCard(words, self))
            self._cards.addWidget(self._shown[-1])
        self._title.set_count(asked.count or None)
        self._none.setText(
            tr(
                "None yet. A question asked before looking says more than what catches the eye "
                "afterwards; each one is counted."
            )
            if not asked.count
            else many(
                asked.count,
                "{n} question asked so far.",
                "{n} questions asked so far; the more are asked, the more sides differ by chance "
                "alone.",
            )
        )
        more = asked.count - len(asked.newest)
        self.button.setText(tr("all {n}").format(n=count_words(asked.count)))
        self.button.setAccessibleName(tr("Show all questions"))
        self.button.setVisible(more > 0)

    def _restyle(self) -> None:
        self._column.setSpacing(px(6))
        self._cards.setSpacing(px(8))
