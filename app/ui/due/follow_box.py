"""A recheck that is due, in the place where the eye is: what to do, and the ways to answer it."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QColor,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from app.domain.follow_ups import LOW_AGAIN, LOW_HELP, LOW_RECHECK
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.ui.controls import Button, FlatButton, FlowRow, Label
from app.ui.controls.drawing import mirrored, paint_box, px
from app.ui.controls.wrapping import WrapLabel, hfw_policy
from app.ui.due.now_rows import About
from app.ui.due.rows import Row
from app.ui.due.words import tr

KINDS = (LOW_RECHECK, LOW_AGAIN, LOW_HELP)
_BAR = 3
_MOST_LINES = 6


class FollowBox(QFrame):
    """Washed in brass, with the time at its far end; hidden while nothing of the kind is due.

    Signals: later_wanted(About) remind again in five minutes, put_away(About) no recheck,
    help_wanted(About) that another person helped is to be written down.
    """

    later_wanted = Signal(object)
    put_away = Signal(object)
    help_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._about: About | None = None
        self._key = ""
        self._kind = Label("", self, role=Role.STRONG)
        self._title = WrapLabel("", self, role=Role.STRONG)
        self._when = Label("", self, role=Role.STRONG)
        self._says = [WrapLabel("", self) for _ in range(_MOST_LINES)]
        self._team = WrapLabel("", self, role=Role.SMALL, ink="ink2")
        self._source = WrapLabel("", self, role=Role.SMALL, ink="ink2")
        self.later = Button(tr("In 5 minutes"), size="bar")
        self.away = Button(tr("No recheck"), size="bar")
        self.helped = Button(tr("Help was needed…"), size="bar")
        self._whence = FlatButton(tr("Source"), size="bar", underlined=True)
        self._head = FlowRow([self._kind, self._when], self, last_far=True)
        self._buttons = FlowRow([self.later, self.away, self.helped, self._whence], self, gap=0)
        self._column = QVBoxLayout(self)
        for part in (
            self._head,
            self._title,
            *self._says,
            self._team,
            self._source,
            self._buttons,
        ):
            self._column.addWidget(part)
        self.setSizePolicy(hfw_policy())
        self.later.clicked.connect(lambda: self.later_wanted.emit(self._about))
        self.away.clicked.connect(lambda: self.put_away.emit(self._about))
        self.helped.clicked.connect(lambda: self.help_wanted.emit(self._about))
        self._whence.clicked.connect(lambda: self._source.setVisible(self._source.isHidden()))
        follow_theme(self._restyle)
        self.hide()

    @property
    def about(self) -> About | None:
        """What it speaks of; None while it is hidden."""
        return self._about

    @property
    def key(self) -> str:
        """The key of the row that it stands for; empty while it is hidden."""
        return self._key

    def show_row(self, row: Row | None) -> None:
        """Speak of a row of the Due list, or of nothing."""
        about = row.about if row is not None else None
        if row is None or not isinstance(about, About) or about.reminder.follow_up is None:
            self._about, self._key = None, ""
            self.hide()
            return
        followed, is_new = about.reminder.follow_up, row.key != self._key
        self._about, self._key = about, row.key
        is_recheck = followed.kind in (LOW_RECHECK, LOW_AGAIN)
        self._kind.setText(
            tr("Get help now")
            if followed.urgent
            else tr("Recheck due")
            if is_recheck
            else tr("Due")
        )
        self.away.setText(tr("No recheck") if is_recheck else tr("Put away"))
        self.away.setAccessibleName(self.away.text())
        self.away.updateGeometry()
        self.helped.setVisible(is_recheck or followed.urgent)
        title, name = tr(followed.title), f"{about.watched.person.name} · "
        # Whose it is stands there where the rows are of several people.
        self._title.setText(f"{name}{title}" if row.title.startswith(name) else title)
        self._when.setText(row.when)
        says = [*dict.fromkeys((row.note, *(tr(each) for each in followed.says)))]
        for place, label in enumerate(self._says):
            label.setText(says[place] if place < len(says) else "")
            label.setVisible(bool(label.text()))
        self._says[0].set_ink("ink2")
        self._team.setText(tr(followed.care_team_line))
        self._source.setText(tr("Source: {source}").format(source=tr(followed.source)))
        if is_new:
            self._source.hide()
        self._head.settle()
        lines = ". ".join((row.words, *says[1:], self._team.text()))
        self.setAccessibleName(lines)
        self.show()
        if is_new:
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, lines))

    def take_focus(self) -> None:
        """Go to its first button."""
        self.later.setFocus(Qt.FocusReason.OtherFocusReason)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter = tokens_now(), QPainter(self)
        paint_box(painter, self.rect(), fill=tokens.wash, edge=tokens.brass)
        bar = mirrored(self, QRect(0, 0, _BAR, self.height()))
        painter.fillRect(bar, QColor(tokens.brass))
        painter.end()

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(14), px(10), px(10), px(6))
        self._column.setSpacing(px(6))
        self.update()


def boxed(rows: tuple[Row, ...]) -> Row | None:
    """The row that the box speaks of: the first recheck that is due, help before all."""
    found = [
        row
        for row in rows
        if row.late
        and isinstance(row.about, About)
        and row.about.reminder.follow_up is not None
        and row.about.reminder.follow_up.kind in KINDS
    ]
    found.sort(key=lambda row: not row.about.reminder.urgent)  # type: ignore[attr-defined]
    return found[0] if found else None
