"""The account of a file in one line that adds up, and which rows are shown."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.look.type import Role
from app.ui.bring_in.rows import ALL, FIRST_AND_WORST, PROBLEMS, TO_ANSWER
from app.ui.bring_in.words import account_parts, tr
from app.ui.controls import FlowRow, FoldingRow, Hairline, Label, Segment, Segments
from app.ui.controls.drawing import px
from app.ui.words import count_words
from app.work.bring_in import BroughtIn


class Account(QWidget):
    """Numbers between two rules. Signals: wanted(which rows)."""

    wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.segments: Segments | None = None
        self._folding: FoldingRow | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(px(6))
        self._column.addWidget(Hairline(self))
        self._column.addWidget(Hairline(self))
        self.hide()

    def show_found(self, found: BroughtIn, wanted: str) -> str:
        """Show the account; which rows are shown then: `wanted`, where there are any such."""
        account = found.account
        worse = account.refused + account.held
        segments = [Segment(ALL, tr("All {n}").format(n=count_words(account.seen)))]
        if worse:
            segments += [
                Segment(FIRST_AND_WORST, tr("First and worst")),
                Segment(PROBLEMS, tr("Problems {n}").format(n=count_words(worse))),
            ]
        if found.asked:
            words = tr("To answer {n}").format(n=count_words(len(found.asked)))
            segments.append(Segment(TO_ANSWER, words))
        shown = wanted if wanted in [each.value for each in segments] else ALL
        said = account_parts(found)
        self._lay_out(_numbers(said), segments)
        self.setAccessibleName(" ".join(f"{count_words(n)} {words}" for n, words in said))
        if self.segments is not None:
            self.segments.choose(shown)
        self.show()
        return shown

    def _lay_out(self, numbers: Sequence[QWidget], segments: Sequence[Segment]) -> None:
        if self._folding is not None:
            self._column.removeWidget(self._folding)
            self._folding.deleteLater()
        self.segments = Segments(segments, name=tr("Which rows"))
        self.segments.chosen.connect(self.wanted)
        self._folding = FoldingRow(FlowRow(numbers, gap=10), self.segments, self, main_px=300)
        self._column.insertWidget(1, self._folding)
        self._folding.show()
        self.segments.setVisible(len(segments) > 1)


def _numbers(said: Sequence[tuple[int, str]]) -> list[QWidget]:
    found: list[QWidget] = []
    for number, words in said:
        pair = QWidget()
        row = QHBoxLayout(pair)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(5))
        row.addWidget(Label(count_words(number), pair, role=Role.TITLE))
        row.addWidget(Label(words, pair, ink="ink2"))
        found.append(pair)
    return found
