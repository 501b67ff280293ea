"""One ink bar that says what was done, and takes it back."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QTimer, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QEnterEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QApplication, QFrame, QHBoxLayout, QWidget

from app.look.icons import Icon
from app.look.theme import follow_theme, tokens_now
from app.ui.controls.buttons import FlatButton
from app.ui.controls.drawing import paint_box, px
from app.ui.controls.labels import Label

STAYS_MS = 20_000


class Notice(QFrame):
    """A bar in the layout, never over rows: what happened, Undo, close. Hidden until it has a word.

    It goes after 20 s without focus or pointer on it; the same can be taken back in the Edit menu
    after that. Signals: undo_asked(), closed() when it goes by itself or is closed.
    """

    undo_asked = Signal()
    closed = Signal()

    def __init__(self, parent: QWidget | None = None, *, stays_ms: int = STAYS_MS) -> None:
        super().__init__(parent)
        self._words = Label("", self, ink="page", wrap=True)
        self._undo = FlatButton(
            self.tr("Undo"), self, underlined=True, strong=True, on_ink=True, size="bar"
        )
        self._close = FlatButton(
            "", self, icon=Icon.CROSS, on_ink=True, size="bar", name=self.tr("Close this notice")
        )
        self._row = QHBoxLayout(self)
        self._row.setSpacing(4)
        self._row.addWidget(self._words, 1)
        self._row.addWidget(self._undo)
        self._row.addWidget(self._close)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(stays_ms)
        self._timer.timeout.connect(self.dismiss)
        self._undo.clicked.connect(self._on_undo)
        self._close.clicked.connect(self.dismiss)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._on_focus_changed)
        follow_theme(self._restyle)
        self.hide()

    @property
    def stays_ms(self) -> int:
        """How long it stays without focus or pointer on it."""
        return self._timer.interval()

    @property
    def sentence(self) -> str:
        """What it says."""
        return self._words.text()

    def say(self, sentence: str, *, undo: bool = True) -> None:
        """Show a sentence in the past tense, with or without a way to take it back."""
        self._words.setText(sentence)
        self._undo.setVisible(undo)
        self.setAccessibleName(sentence)
        self.show()
        self._count_down()
        # The notice does not take the focus, so a screen reader has to be told.
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, sentence))

    def dismiss(self) -> None:
        """Take the bar away."""
        self._timer.stop()
        if not self.isHidden():
            self.hide()
            self.closed.emit()

    def enterEvent(self, event: QEnterEvent) -> None:
        self._timer.stop()
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        self._count_down()
        super().leaveEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_box(painter, QRect(self.rect()), fill=tokens_now().ink, edge=None)
        painter.end()

    def _count_down(self) -> None:
        attended = self.underMouse() or self.isAncestorOf(QApplication.focusWidget() or self)
        if self.isHidden() or attended:
            self._timer.stop()
        else:
            self._timer.start()

    def _on_focus_changed(self, old: QWidget | None, new: QWidget | None) -> None:
        if any(widget is not None and self.isAncestorOf(widget) for widget in (old, new)):
            self._count_down()

    def _on_undo(self) -> None:
        self._timer.stop()
        self.hide()
        self.undo_asked.emit()

    def _restyle(self) -> None:
        self._row.setContentsMargins(px(12), px(3), px(12), px(3))
        self.update()
