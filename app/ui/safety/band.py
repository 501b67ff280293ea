"""The band over the pages: what is worth a word about the file, a line each, until closed."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from html import escape

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QColor,
    QKeyEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from app.look.icons import Icon
from app.look.theme import follow_theme, tokens_now
from app.ui.controls import Answer, Button, FlatButton, FoldingRow, Label
from app.ui.controls.drawing import mirrored, px
from app.ui.controls.wrapping import hfw_policy

_BAR = 3


class NoteLine(QFrame):
    """One note: a bar, what is so, what can be done. Signals: answered(str), closed()."""

    answered = Signal(str)
    closed = Signal()

    def __init__(
        self,
        sentence: str,
        answers: Sequence[Answer],
        parent: QWidget | None = None,
        *,
        lead: str = "",
        closable: bool = True,
    ) -> None:
        super().__init__(parent)
        self.sentence, self._lead = "", lead
        self._words = Label("", self, wrap=True)
        self._words.setTextFormat(Qt.TextFormat.RichText)
        self.buttons = [Button(each.text, self, size="bar") for each in answers]
        side = QWidget(self)
        row = QHBoxLayout(side)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        for answer, button in zip(answers, self.buttons, strict=True):
            button.clicked.connect(partial(self.answered.emit, answer.key))
            row.addWidget(button)
        if closable:
            close = FlatButton(
                "", self, icon=Icon.CROSS, size="bar", name=self.tr("Close this note")
            )
            close.clicked.connect(self.closed)
            self.buttons.append(close)
            row.addWidget(close)
        self._row = QVBoxLayout(self)
        self._row.addWidget(FoldingRow(self._words, side, self, main_px=420))
        self.reword(sentence)
        self.setSizePolicy(hfw_policy())
        follow_theme(self._restyle)

    def reword(self, sentence: str) -> None:
        """Say it otherwise in the same place; the focus stays where it is."""
        self.sentence = f"{self._lead} {sentence}".strip()
        bold = f"<b>{escape(self._lead)}</b> " if self._lead else ""
        self._words.setText(bold + escape(sentence))
        self.setAccessibleName(self.sentence)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        # Keys that a button does not use come up to here.
        step = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}.get(Qt.Key(event.key()), 0)
        at = next((i for i, button in enumerate(self.buttons) if button.hasFocus()), None)
        if at is not None and step and 0 <= at + step < len(self.buttons):
            self.buttons[at + step].setFocus(Qt.FocusReason.ShortcutFocusReason)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        painter.fillRect(self.rect(), QColor(tokens.wash))
        painter.fillRect(0, self.height() - 1, self.width(), 1, QColor(tokens.line))
        bar = mirrored(self, QRect(0, 0, _BAR, self.height()))
        painter.fillRect(bar, QColor(tokens.brass))
        painter.end()

    def _restyle(self) -> None:
        self._row.setContentsMargins(px(16), px(4), px(12), px(5))
        self.update()


class NoteBand(QWidget):
    """Notes by their codes, the gravest first; it takes no room while there is none.

    Signals: answered(code, key) a button of a note was pressed.
    """

    answered = Signal(str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines: dict[str, NoteLine] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self.setAccessibleName(self.tr("Notes about the file"))
        self.setSizePolicy(hfw_policy())
        self.hide()

    @property
    def sentences(self) -> dict[str, str]:
        """What each note says, by its code."""
        return {code: line.sentence for code, line in self._lines.items()}

    def line(self, code: str) -> NoteLine:
        """The note of a code."""
        return self._lines[code]

    def reword(self, code: str, sentence: str) -> None:
        """Say a note otherwise where it is shown, quietly: nobody is told of each per cent."""
        if code in self._lines:
            self._lines[code].reword(sentence)

    def tell(
        self,
        code: str,
        sentence: str,
        *,
        lead: str = "",
        answers: Sequence[Answer] = (),
        closable: bool = True,
        first: bool = False,
    ) -> None:
        """Show a note in the place of an earlier one of its code; `first` above all others."""
        before = self._lines.get(code)
        fresh = NoteLine(sentence, answers, self, lead=lead, closable=closable)
        if before is not None and before.sentence == fresh.sentence:
            fresh.deleteLater()
            fresh.hide()
            return
        at = 0 if first else self._column.count()
        if before is not None:
            at = self._column.indexOf(before)
            self._take_out(before)
        fresh.answered.connect(partial(self.answered.emit, code))
        fresh.closed.connect(partial(self.drop, code))
        self._lines[code] = fresh
        self._column.insertWidget(at, fresh)
        fresh.show()  # at once: the layout would do it later, and the band be too low till then
        self.show()
        self.updateGeometry()
        # The note does not take the focus, so a screen reader has to be told.
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, fresh.sentence))

    def drop(self, code: str) -> None:
        """Take a note away."""
        line = self._lines.pop(code, None)
        if line is not None:
            self._take_out(line)
        self.setVisible(bool(self._lines))

    def clear(self) -> None:
        """Take all notes away: another file is shown."""
        for code in list(self._lines):
            self.drop(code)

    def _take_out(self, line: NoteLine) -> None:
        self._column.removeWidget(line)
        line.hide()
        line.deleteLater()
