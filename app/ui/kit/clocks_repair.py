"""Setting a clock right: known moments above, old and new times below, and nothing by itself."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.clock_anchors import Anchor
from app.domain.errors import DiaryError, NeedsAnswer
from app.look.type import Role
from app.review.clock_words import room_words, why_words
from app.review.memories import Record
from app.ui.controls import Button, CheckBox, Hairline, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled
from app.ui.gate import writes
from app.ui.job import Job
from app.ui.kit.clocks_draft import Stretch, changes_something, planned, proposed
from app.ui.kit.clocks_moment import KnownMoment
from app.ui.kit.clocks_preview import ClockPreview
from app.ui.kit.clocks_words import (
    count_and_dates,
    plan_words,
    stamp_words,
    stretch_title,
    wall_named,
)
from app.ui.kit.words import tr
from app.ui.session import Session
from app.work.clock_plan import RepairPlan
from app.work.repair_clock import Repaired, apply_repair

_WIDE, _HIGH, _LEAST = 720, 600, 28 * 5  # at a text size of 13 px


class RepairDialog(QDialog):
    """New times for a stretch, shown with every key. Signals: done_with(str), what was done.

    Where known moments disagree, nothing is chosen: another button says what keeping them means.
    """

    done_with = Signal(str)

    def __init__(self, session: Session, stretch: Stretch, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session, self.stretch = session, stretch
        self.plan: RepairPlan | None = None
        self.job = Job(self)
        self.job.answered.connect(self._on_written)
        self.job.failed.connect(self._on_failed)
        self.held = [
            CheckBox(self._said_before(each), self, checked=True) for each in stretch.earlier
        ]
        first = tr("One more moment") if self.held else tr("Known moment")
        second = tr("One more, to check")
        self.moments = [KnownMoment(first, self), KnownMoment(second, self, heads=False)]
        self._at = 0
        self.words = TextColumn("", self)
        self.preview = ClockPreview(stretch, session.person, session.today(), self)
        self.leave = Button(tr("Leave"), self, size="form")
        self.save = writes(Button(tr("Set right"), self, main=True, size="form"))
        self.keep = writes(Button(tr("Keep all, without a time"), self, size="form"))
        self._lay_out()
        self.moments[0].begin(proposed(stretch))
        for at, moment in enumerate(self.moments):
            moment.changed.connect(self._on_changed)
            moment.entered.connect(self._on_entered)
            moment.reached.connect(partial(self._on_reached, at))
        for box in self.held:
            box.toggled.connect(self._on_changed)
        self.preview.record_chosen.connect(self._on_chosen)
        self.leave.clicked.connect(self.reject)
        for each in (self.save, self.keep):
            each.clicked.connect(self._on_save)
        self._on_changed()
        self.moments[0].true.setFocus()

    def _lay_out(self) -> None:
        stretch = self.stretch
        title = (
            tr("The clock of {meter}").format(meter=stretch.run.memory.meter.name)
            if stretch.proposal is None
            else stretch_title(stretch.proposal).rstrip(".")
        )
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        inner = QWidget(self)
        inner.setObjectName("scrolled")
        column = QVBoxLayout(inner)
        column.setContentsMargins(px(24), px(16), px(24), px(4))
        column.setSpacing(px(8))
        column.addWidget(SectionTitle(title, inner))
        column.addWidget(TextColumn(self._about(), inner, ink="ink2"))
        for box in self.held:
            column.addWidget(box)
        for moment in self.moments:
            column.addWidget(moment)
        hint = tr(
            "Times of {zone}, as 14 Nov 18:20 or yesterday 7:10. Enter on a line below takes its "
            "stamp."
        ).format(zone=stretch.zone)
        column.addWidget(TextColumn(hint, inner, role=Role.SMALL, ink="ink3"))
        column.addWidget(Hairline(inner))
        column.addWidget(self.words)
        column.addWidget(self.preview, 1)
        self.preview.setMinimumHeight(px(_LEAST))
        # Only with a large text does the whole scroll; else the table alone does.
        area = scrolled(inner, self)
        row = QHBoxLayout()
        row.setContentsMargins(px(24), px(4), px(24), px(12))
        row.addWidget(TextColumn(tr("The raw stamps stay."), self, role=Role.SMALL, ink="ink3"), 1)
        row.addWidget(self.leave)
        row.addWidget(self.keep)
        row.addWidget(self.save)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(area, 1)
        whole.addLayout(row)
        parent = self.parentWidget()
        window = None if parent is None else parent.window()
        wide, high = px(_WIDE), px(_HIGH)
        if window is not None:
            wide, high = min(wide, window.width()), min(high, window.height())
        self.resize(wide, high)

    def _about(self) -> str:
        parts = [count_and_dates(self.stretch.run.records)]
        proposal = self.stretch.proposal
        if proposal is not None:
            parts += [why_words(proposal), room_words(proposal)]
        return " ".join(part for part in parts if part)

    def _said_before(self, anchor: Anchor) -> str:
        why = f" ({anchor.why})" if anchor.why else ""
        true = wall_named(anchor.true.local, self.session.today(), self.session.person)
        return tr("{shown} was {true}{why}").format(
            shown=stamp_words(anchor.shown), true=true, why=why
        )

    def _on_reached(self, at: int) -> None:
        self._at = at

    def _on_chosen(self, record: Record) -> None:
        if record.shown is not None:
            self.moments[self._at].take_stamp(stamp_words(record.shown))

    def _on_entered(self) -> None:
        """Enter goes on to the button, and only there a second one changes anything."""
        if self.save.isEnabled():
            self.save.setFocus()
        else:
            self.preview.table.setFocus()

    def _on_changed(self) -> None:
        stretch, session = self.stretch, self.session
        held = [
            anchor
            for anchor, box in zip(stretch.earlier, self.held, strict=True)
            if box.isChecked()
        ]
        self.plan = None
        try:
            typed = [each.known for each in self.moments]
            self.plan = planned(stretch, typed, held, session.person, now=session.now())
        except NeedsAnswer as asked:
            self._tell(" ".join(each.asks for each in asked.questions))
        except DiaryError as trouble:
            self._tell(str(trouble))
        else:
            self._tell(self._nothing() if self.plan is None else plan_words(self.plan))
        plan = self.plan
        self.preview.show_plan(plan)
        disagrees = plan is not None and plan.disagrees
        changes = plan is not None and changes_something(stretch, plan)
        self.save.setEnabled(changes and not disagrees)
        self.keep.setVisible(changes and disagrees)

    def _nothing(self) -> str:
        if self.held:
            return tr("No known moment holds any more. Type one that does.")
        return tr(
            "Nothing says yet what these stamps truly mean. Type a moment that you know, of a "
            "meal or of the new battery."
        )

    def _tell(self, text: str) -> None:
        self.words.setText(text)
        self.words.setAccessibleName(text)

    def _on_save(self) -> None:
        session = self.session
        if self.plan is not None and not self.job.busy:
            self.job.start(
                partial(apply_repair, session.diary, session.person, self.plan, now=session.now())
            )

    def _on_written(self, done: Repaired) -> None:
        self.done_with.emit(f"{done.sentence} " + tr("The raw stamps stay."))
        self.accept()

    def _on_failed(self, trouble: BaseException) -> None:
        if not isinstance(trouble, DiaryError):
            raise trouble
        self._tell(str(trouble))
