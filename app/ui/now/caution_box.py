"""What is said once after a low or a very high reading was saved; it can be put away."""

from __future__ import annotations

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

from app.domain.cautions import Caution
from app.domain.levels import Level
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.ui.controls import Button, FlatButton
from app.ui.controls.drawing import mirrored, paint_box, px
from app.ui.controls.flow import FlowRow
from app.ui.controls.wrapping import WrapLabel, hfw_policy
from app.ui.gate import writes
from app.ui.now.words import tr

_BAR = 3
_MOST_LINES = 6
_LOW = (Level.LOW, Level.VERY_LOW)


class CautionBox(QFrame):
    """A white box with a bar, in words alone; hidden until it has something to say.

    Signals: closed() when the person put it away, recheck_wanted() rechecks after lows were
    switched off and shall be reminded of again.
    """

    closed = Signal()
    recheck_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._caution: Caution | None = None
        self._title = WrapLabel("", self, role=Role.STRONG)
        self._says = [WrapLabel("", self) for _ in range(_MOST_LINES)]
        self._team = WrapLabel("", self, role=Role.SMALL, ink="ink2")
        self._source = WrapLabel("", self, role=Role.SMALL, ink="ink3")
        self._close = FlatButton(self.tr("Close"), size="bar", name=self.tr("Close this caution"))
        self._whence = FlatButton(self.tr("Source"), size="bar", underlined=True)
        self.recheck: Button = writes(Button("", self, size="bar"))
        self._offer = FlowRow([self.recheck], self, gap=4)
        self._foot = FlowRow([self._close, self._whence], self, gap=4)
        self._column = QVBoxLayout(self)
        for part in (
            self._title,
            *self._says,
            self._offer,
            self._team,
            self._source,
            self._foot,
        ):
            self._column.addWidget(part)
        self._offer.hide()
        self.recheck.clicked.connect(self._on_recheck)
        self._close.clicked.connect(self._on_closed)
        self._whence.clicked.connect(self._on_source)
        self.setSizePolicy(hfw_policy())
        follow_theme(self._restyle)
        self.hide()

    @property
    def caution(self) -> Caution | None:
        """What it says; None while it is hidden."""
        return self._caution

    def say(self, caution: Caution, *, name: str = "") -> None:
        """Show a caution, also to a screen reader; `name` says whose, of several."""
        self._caution = caution
        said = [*caution.says, *[""] * len(self._says)]
        for label, sentence in zip(self._says, said, strict=False):
            label.setText(tr(sentence))
            label.setVisible(bool(sentence))
        title = tr(caution.title)
        self._title.setText(f"{name} · {title}" if name else title)
        self._team.setText(tr(caution.care_team_line))
        self._source.setText(tr("Source: {source}").format(source=caution.source))
        self._source.hide()
        self.setAccessibleName(" ".join(caution.lines))
        self.show()
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, " ".join(caution.lines)))

    def say_or_hide(self, caution: Caution | None, *, name: str = "", recheck: str = "") -> None:
        """Show a caution; with none, what was shown before belongs to an older reading.

        `recheck` is the time of one that nobody is reminded of: it is offered.
        """
        self.offer_recheck(recheck)
        if caution is None:
            self.put_away()
        else:
            self.say(caution, name=name)

    def offer_recheck(self, at: str) -> None:
        """Offer to remind of a recheck at a time; with an empty one, offer nothing."""
        self.recheck.setText(tr("Remind of a recheck at {time}").format(time=at))
        self.recheck.setAccessibleName(self.recheck.text())
        self.recheck.updateGeometry()
        self._offer.setVisible(bool(at))

    def put_away(self) -> None:
        """Hide it for good: it is said once."""
        self._caution = None
        self.hide()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._on_closed()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter = tokens_now(), QPainter(self)
        is_low = self._caution is not None and self._caution.level in _LOW
        paint_box(painter, self.rect(), fill=tokens.field, edge=tokens.line, radius=0)
        bar = mirrored(self, QRect(0, 0, _BAR, self.height()))
        painter.fillRect(bar, QColor(tokens.very_low if is_low else tokens.brass))
        painter.end()

    def _on_closed(self) -> None:
        self.put_away()
        self.closed.emit()

    def _on_recheck(self) -> None:
        self._offer.hide()
        self.recheck_wanted.emit()

    def _on_source(self) -> None:
        self._source.setVisible(self._source.isHidden())

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(14), px(10), px(10), px(6))
        self._column.setSpacing(px(6))
        self.update()
