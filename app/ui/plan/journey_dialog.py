"""Journeys in a window of their own: what was written around them, beside the rule one chose.

It lists, and says where the current text is to be looked up. It never says that somebody may drive.
"""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.domain.clock import last_days
from app.domain.driving import DrivingRule, driving_rules
from app.domain.errors import DiaryError
from app.look.type import Role
from app.review.journey_words import ONLY_WRITTEN, journey_lines
from app.review.journeys import Journey, Journeys, journeys_of
from app.ui.controls import Button, Choice, Field, FieldNote, Hairline, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.gate import writes
from app.ui.job import Job
from app.ui.plan.words import tr
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import clock_words, full_date_words, joined
from app.work.driving import NO_RULE, set_driving_rule

DAYS = 90  # journeys that are listed: a rule of this diary


class JourneyDialog(QDialog):
    """The rule to choose, its own words and its source, and the journeys, the newest first."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._held: object = NO_RULE
        title = tr("Journeys and driving")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.job = Job(self)
        self.job.answered.connect(self._show)
        self.job.failed.connect(session.tell_trouble)
        rules = [(tr("No rule"), NO_RULE), *((tr(each.name), each.key) for each in driving_rules())]
        self.rule: Choice = writes(Choice(rules, name=tr("Rule that journeys are held against")))
        self.says = TextColumn("")
        self.source = TextColumn("", role=Role.SMALL, ink="ink2")
        self.only = TextColumn(tr(ONLY_WRITTEN), ink="ink2")
        self.noted = TextColumn("")
        self._trouble = FieldNote(parent=self)
        self.writes_one = writes(Button(tr("Write a journey down…"), self))
        self.closes = Button(tr("Close"), self)
        self._lay_out(title)
        self.resize(px(680), min(px(620), parent.height()))
        self.rule.activated.connect(self._on_rule)
        self.writes_one.clicked.connect(self._on_write)
        self.closes.clicked.connect(self.accept)
        session.said.connect(self._on_said)
        session.person_changed.connect(self.reject)
        for part in (self.rule, self.writes_one):
            part.setEnabled(session.diary.writable)
        (self.rule if session.diary.writable else self.closes).setFocus()
        self._ask()

    def done(self, how: int) -> None:
        """Close; a question that is open is dropped."""
        self.job.close()
        super().done(how)

    def _lay_out(self, title: str) -> None:
        inner = QWidget(self)
        inner.setObjectName("scrolled")
        column = QVBoxLayout(inner)
        column.setContentsMargins(px(24), px(20), px(24), px(8))
        column.setSpacing(px(8))
        column.addWidget(Label(title, inner, role=Role.TITLE))
        column.addWidget(self.only)
        column.addWidget(Field(tr("Rule that journeys are held against"), self.rule))
        for part in (self.says, self.source, Hairline(inner), self.noted):
            column.addWidget(part)
        column.addStretch(1)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setWidget(inner)
        area.setAccessibleName(title)
        last = QHBoxLayout()
        last.setContentsMargins(px(24), px(8), px(24), px(16))
        last.addWidget(self.writes_one)
        last.addStretch(1)
        last.addWidget(self.closes)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(area)
        whole.addWidget(self._trouble)
        whole.addLayout(last)

    def _ask(self) -> None:
        session = self._session
        period = last_days(DAYS, session.today())
        self.job.start(
            partial(journeys_of, session.diary, session.record, period, now=session.now())
        )

    def _on_said(self, _said: object) -> None:
        self._ask()

    def _show(self, found: Journeys) -> None:
        self._held = found.rule.key if found.rule else NO_RULE
        with QSignalBlocker(self.rule):
            self.rule.choose(self._held)
        self._show_rule(found.rule)
        lines = [line for each in reversed(found.journeys) for line in self._lines(each, found)]
        none = tr("No journey of the last {n} days is written.").format(n=DAYS)
        self.noted.setText("\n".join(lines).strip() or none)

    def _show_rule(self, rule: DrivingRule | None) -> None:
        if rule is None:
            self.says.setText(
                tr("No rule was chosen: what was written is listed, and held against nothing.")
            )
            self.source.setText("")
        else:
            self.says.setText("\n".join((*(tr(each) for each in rule.says), tr(rule.check))))
            self.source.setText(tr("Source: {source}").format(source=tr(rule.source)))
        self.source.setVisible(rule is not None)

    def _lines(self, journey: Journey, found: Journeys) -> tuple[str, ...]:
        start = journey.event.start.local
        day = full_date_words(start.date(), found.person)
        head = joined((day, clock_words(start, found.person), journey.event.text or ""))
        return ("", head, *(tr(each) for each in journey_lines(journey, found.rule)))

    def _on_rule(self) -> None:
        session = self._session
        if self.rule.value() == self._held:
            return
        try:
            chosen = set_driving_rule(
                session.diary, session.person, str(self.rule.value()), now=session.now()
            )
        except DiaryError as trouble:
            self._trouble.show_error(str(trouble))
            return
        self._trouble.clear_error()
        name = tr(chosen.name) if chosen else tr("no rule")
        session.changed(Said(tr("Journeys are held against: {rule}.").format(rule=name)))

    def _on_write(self) -> None:
        from app.ui.write_down.dialog import WriteDownDialog
        from app.ui.write_down.timed_forms import EventForm

        dialog = WriteDownDialog(self._session, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open_for(self._session, "event")
        if isinstance(dialog.form, EventForm):
            dialog.form.kind.choose("journey")
