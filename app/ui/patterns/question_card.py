"""One question with its answer: two shares on the same line, then what can be said."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.ui.controls import WrapLabel
from app.ui.controls.drawing import px
from app.ui.patterns.prose import Prose
from app.ui.patterns.question_words import AnswerWords
from app.ui.patterns.share_line import ShareLine


class QuestionCard(QWidget):
    """Question, both sides, verdict and sentences; `in_full` with each slot."""

    def __init__(
        self, answer: AnswerWords, parent: QWidget | None = None, *, in_full: bool = False
    ) -> None:
        super().__init__(parent)
        self.answer = answer
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        if answer.asked:
            self._column.addWidget(WrapLabel(answer.asked, self, role=Role.STRONG))
        self._column.addWidget(Prose(answer.question, self, ink="ink2"))
        self._grid = QGridLayout()
        self._grid.setContentsMargins(0, 0, 0, 0)
        top = Qt.AlignmentFlag.AlignTop
        for at, side in enumerate(answer.sides):
            first = 3 * at
            self._grid.addWidget(WrapLabel(side.name, self), first, 0, 2, 1)
            if answer.has_shares:
                line = ShareLine(self)
                line.show_share(side.share, side.said)
                self._grid.addWidget(line, first, 1, 2, 1, top)
            self._grid.addWidget(WrapLabel(side.strong, self, role=Role.STRONG), first, 2)
            range_ = WrapLabel(side.range, self, role=Role.SMALL, ink="ink2")
            self._grid.addWidget(range_, first + 1, 2, top)
            quiet = WrapLabel(side.quiet, self, role=Role.SMALL, ink="ink3")
            self._grid.addWidget(quiet, first + 2, 0, 1, 3)
            self._grid.setRowStretch(first + 1, 1)  # a long name leaves the numbers together
        for column, share in enumerate((3, 3 if answer.has_shares else 0, 3)):
            self._grid.setColumnStretch(column, share)
        if answer.sides:
            self._column.addLayout(self._grid)
        self._column.addWidget(Prose(answer.verdict, self, role=Role.STRONG))
        sentences = (*(answer.details if in_full else ()), *answer.sentences)
        if sentences:
            words = Prose("\n".join(sentences), self, role=Role.SMALL, ink="ink3")
            self._column.addWidget(words)
        said = [answer.asked, answer.question, *(side.said for side in answer.sides)]
        self.setAccessibleName(". ".join(filter(None, [*said, answer.verdict])))
        follow_theme(self._restyle)

    def _restyle(self) -> None:
        self._column.setSpacing(px(4))
        self._grid.setHorizontalSpacing(px(10))
        self._grid.setVerticalSpacing(px(1))
