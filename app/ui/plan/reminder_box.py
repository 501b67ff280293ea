"""What is reminded of, and how: chosen per person, kept in the diary, taken back by Undo."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSignalBlocker, QTime, Signal
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.domain.follow_ups import (
    CHOICES,
    LOW_RECHECK,
    NOTHING_CHOSEN,
    SICK_GLUCOSE,
    SICK_KETONES,
    FollowRule,
    ReminderWishes,
    follow_rule,
    follow_texts,
    rule_name,
)
from app.domain.person import Person
from app.look.theme import follow_theme
from app.look.type import Role
from app.ui.autostart import Autostart, autostart
from app.ui.controls import CheckBox, FlowRow, Label, SectionTitle, TextColumn, TimeField
from app.ui.controls.drawing import px
from app.ui.plan.words import tr
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import count_words, number_words

_QUIET = (22 * 60, 7 * 60)  # what the fields begin with: a rule of this diary
_SIDE_BY_SIDE_PX = 700


class ReminderBox(QWidget):
    """Signals: changed() after a choice was kept."""

    changed = Signal()

    def __init__(
        self, session: Session, parent: QWidget | None = None, *, opens: Autostart | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._opens = opens or autostart()
        self._wishes = ReminderWishes()
        self._room = 0
        self.kinds = {kind: CheckBox(tr(rule_name(kind))) for kind in CHOICES}
        self.tray = CheckBox(tr("also in the system's tray, where there is one"))
        self.beep = CheckBox(tr("with a beep"))
        self.values = CheckBox(tr("with what is to be tested and the value"))
        self.quiet = CheckBox(tr("quiet from"))
        self.begins = TimeField(QTime(), name=tr("Quiet hours begin"))
        self.ends = TimeField(QTime(), name=tr("Quiet hours end"))
        self.start = CheckBox(tr("open Thimblebook with the desktop session"))
        self._build()
        for kind, box in self.kinds.items():
            box.toggled.connect(partial(self._on_kind, kind))
        for box in (self.tray, self.beep, self.values, self.quiet):
            box.toggled.connect(self._on_wishes)
        for field in (self.begins, self.ends):
            field.editingFinished.connect(self._on_wishes)
        self.start.toggled.connect(self._on_start)
        follow_theme(self._restyle)

    def show_choices(
        self, rules: tuple[FollowRule, ...], wishes: ReminderWishes, person: Person
    ) -> None:
        """Show what the person chose."""
        self._wishes = wishes
        for kind, box in self.kinds.items():
            rule = follow_rule(rules, kind)
            _check(box, rule.on)
            box.setText(_kind_words(rule))
            box.setToolTip(tr(str(follow_texts()[kind]["source"])))
            box.updateGeometry()
        for box, on in (
            (self.tray, wishes.tray),
            (self.beep, wishes.beep),
            (self.values, wishes.with_values),
            (self.quiet, wishes.quiet is not None),
            (self.start, self._opens.is_on),
        ):
            _check(box, on)
        clock = "HH:mm" if person.clock == 24 else "h:mm AP"
        begins, ends = wishes.quiet or _QUIET
        for field, minute in ((self.begins, begins), (self.ends, ends)):
            with QSignalBlocker(field):
                field.setDisplayFormat(clock)
                field.setTime(QTime(minute // 60, minute % 60))
            field.setEnabled(wishes.quiet is not None)
        for part in self.findChildren(CheckBox):
            part.setEnabled(self._session.diary.writable or part is self.start)
        self._quiet_row.settle()
        self.fit(self._room)

    def fit(self, room: int) -> None:
        """Two columns where there is room."""
        self._room = room
        boxes = [*self.kinds.values(), self.values, self.tray, self.beep, self.start]
        widest = max(box.sizeHint().width() for box in boxes)
        wide = room >= max(px(_SIDE_BY_SIDE_PX), 2 * widest + px(32))
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self._halves.setDirection(way)
        self._halves.setSpacing(px(32) if wide else px(12))

    def _build(self) -> None:
        self._quiet_row = FlowRow([self.quiet, self.begins, Label(tr("to")), self.ends], gap=8)
        self._quiet_hint = TextColumn(
            tr("What belongs to a low that was just written is said in quiet hours too."),
            role=Role.SMALL,
            ink="ink3",
        )
        self._at_first = TextColumn(tr(NOTHING_CHOSEN), role=Role.SMALL, ink="ink2")
        self._care = TextColumn(
            tr(
                "The caution beside a low is always shown once, and the kit is listed in the Now "
                "column in any case. Your care team's plan comes first."
            ),
            role=Role.SMALL,
            ink="ink3",
        )
        self._no_alarm = TextColumn(
            tr(
                "Reminders show only while this program runs on a computer that is on and awake. "
                "Thimblebook is not an alarm and wakes nobody; a calendar file lets a telephone "
                "ring."
            ),
            role=Role.SMALL,
            ink="ink2",
        )
        self._untried = TextColumn(
            tr("Opening with the session was not tried on this system."),
            role=Role.SMALL,
            ink="ink3",
        )
        self._untried.setVisible(not self._opens.tried)
        left, right = QVBoxLayout(), QVBoxLayout()
        left.addWidget(SectionTitle(tr("Reminders")))
        for box in self.kinds.values():
            left.addWidget(box)
        left.addWidget(self._at_first)
        left.addWidget(self._care)
        left.addStretch(1)
        right.addWidget(SectionTitle(tr("How it is said")))
        for part in (self.values, self.tray, self.beep, self._quiet_row, self._quiet_hint):
            right.addWidget(part)
        for part in (self.start, self._untried, self._no_alarm):
            right.addWidget(part)
        right.addStretch(1)
        self._columns = (left, right)
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._halves.setContentsMargins(0, 0, 0, 0)
        for half in self._columns:
            self._halves.addLayout(half, 1)

    def _on_kind(self, kind: str, on: bool) -> None:
        from app.work.follow_ups import set_follow_rule

        session = self._session
        try:
            set_follow_rule(session.diary, session.person, kind, now=session.now(), on=on)
        except DiaryError as trouble:
            self._refused(trouble)
            return
        said = tr("Reminds: {what}.") if on else tr("Does not remind any more: {what}.")
        session.changed(Said(said.format(what=tr(rule_name(kind)))))
        self.changed.emit()

    def _on_wishes(self) -> None:
        from app.work.reminding import set_reminders

        session = self._session
        quiet = (_minute(self.begins), _minute(self.ends)) if self.quiet.isChecked() else None
        wishes = ReminderWishes(
            quiet=quiet,
            with_values=self.values.isChecked(),
            beep=self.beep.isChecked(),
            tray=self.tray.isChecked(),
        )
        if wishes == self._wishes:
            return
        try:
            sentence = set_reminders(session.diary, session.person, wishes, now=session.now())
        except DiaryError as trouble:
            self._refused(trouble)
            return
        self._wishes = wishes
        session.changed(Said(sentence))
        self.changed.emit()

    def _on_start(self, on: bool) -> None:
        try:
            self._opens.turn(on)
        except DiaryError as trouble:
            self._refused(trouble)
            return
        said = (
            tr("Thimblebook opens with the desktop session from now on.")
            if on
            else tr("Thimblebook no longer opens with the desktop session.")
        )
        self._session.said.emit(Said(said, undo=False))

    def _refused(self, trouble: DiaryError) -> None:
        self._session.said.emit(Said(str(trouble), undo=False))
        self.changed.emit()

    def _restyle(self) -> None:
        for half in self._columns:
            half.setSpacing(px(4))


def _kind_words(rule: FollowRule) -> str:
    """A kind of follow-up, and after how long where that can be chosen."""
    name = tr(rule_name(rule.kind))
    if rule.kind == LOW_RECHECK:
        return tr("{what}, {n} min").format(what=name, n=count_words(rule.seconds // 60))
    if rule.kind in (SICK_GLUCOSE, SICK_KETONES):
        return tr("{what}, every {n} h").format(what=name, n=_hours(rule.seconds / 3600))
    return name


def _hours(hours: float) -> str:
    return number_words(f"{hours:.1f}".removesuffix(".0"))


def _check(box: CheckBox, on: bool) -> None:
    with QSignalBlocker(box):
        box.setChecked(on)


def _minute(field: TimeField) -> int:
    return field.time().hour() * 60 + field.time().minute()
