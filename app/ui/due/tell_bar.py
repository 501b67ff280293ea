"""A quiet bar above the notice: what is due now, or what was missed, until it is closed."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QColor,
    QKeyEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.ui.controls import Button, FlatButton, FlowRow
from app.ui.controls.drawing import mirrored, paint_box, px
from app.ui.controls.wrapping import WrapLabel, hfw_policy
from app.ui.due.words import tr

_BAR = 3
MOST_LINES = 8


class TellBar(QFrame):
    """Sentences with a bar in brass at their side; hidden until there is something to tell.

    Signals: write_wanted(), later_wanted(), elsewhere_wanted() about the one thing it tells,
    closed().
    """

    write_wanted = Signal()
    later_wanted = Signal()
    elsewhere_wanted = Signal()
    closed = Signal()

    def __init__(self, title: str, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines: tuple[str, ...] = ()
        self._title = WrapLabel(title, self, role=Role.STRONG)
        self._says = WrapLabel("", self)
        self._hint = WrapLabel(hint, self, role=Role.SMALL, ink="ink2")
        self._hint.setVisible(bool(hint))
        self.write = Button(tr("Write it now"), size="bar")
        self.later = Button(tr("In 10 minutes"), size="bar")
        self.elsewhere = Button(tr("Done elsewhere"), size="bar")
        self.close_it = FlatButton(tr("Close"), size="bar", name=tr("Close what is told here"))
        buttons = [self.write, self.later, self.elsewhere, self.close_it]
        self._buttons = FlowRow(buttons, self, gap=0)
        self._column = QVBoxLayout(self)
        for part in (self._title, self._says, self._hint, self._buttons):
            self._column.addWidget(part)
        self.setSizePolicy(hfw_policy())
        self.write.clicked.connect(self.write_wanted)
        self.later.clicked.connect(self.later_wanted)
        self.elsewhere.clicked.connect(self.elsewhere_wanted)
        self.close_it.clicked.connect(self.put_away)
        follow_theme(self._restyle)
        self.hide()

    @property
    def lines(self) -> tuple[str, ...]:
        """What it tells."""
        return self._lines

    def tell(
        self,
        lines: Sequence[str],
        *,
        answers: bool = False,
        is_test: bool = False,
        aloud: bool = True,
    ) -> None:
        """Tell these; `answers` where it is one thing that can be answered here.

        Parameters
        ----------
        is_test : bool
            A reading answers it.
        aloud : bool
            To a screen reader too: there is something new in it.
        """
        self._lines = tuple(lines)
        shown, more = self._lines[:MOST_LINES], len(self._lines) - MOST_LINES
        said = "\n".join(shown)
        if more > 0:
            said += "\n" + tr("and {n} more; the Plan page shows them").format(n=more)
        self._says.setText(said)
        for button in (self.later, self.elsewhere):
            button.setVisible(answers)
        self.write.setVisible(answers and is_test)
        self._buttons.settle()
        spoken = ". ".join((self._title.text(), *self._lines))
        self.setAccessibleName(spoken)
        self.show()
        if aloud:
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, spoken))

    def put_away(self) -> None:
        """Tell nothing any more."""
        self._lines = ()
        self.hide()
        self.closed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.put_away()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter = tokens_now(), QPainter(self)
        paint_box(painter, self.rect(), fill=tokens.wash, edge=None, radius=0)
        bar = mirrored(self, QRect(0, 0, px(_BAR), self.height()))
        painter.fillRect(bar, QColor(tokens.brass))
        painter.end()

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(14), px(8), px(10), px(4))
        self._column.setSpacing(px(4))
        self.update()
