"""Journeys beside the rule that the person chose: what was written, never whether one may drive."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.domain.clock import last_days
from app.domain.driving import driving_rules
from app.domain.errors import DiaryError
from app.look.type import Role
from app.review.journey_words import ONLY_WRITTEN, journey_lines
from app.review.journeys import Journey, Journeys, journeys_of
from app.review.sick_words import long_words
from app.ui.controls import Button, Choice, FieldNote, FlowRow, Hairline, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.job import Job
from app.ui.plan.words import many, tr
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import count_words, joined, moment_words

DAYS = 180  # how far back journeys are listed
NO_RULE = "none"


class JourneysDialog(QDialog):
    """The rule, its source and where to check it; then the journeys, the newest first."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        title = tr("Journeys")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.job = Job(self)
        self.job.answered.connect(self._show)
        self.job.failed.connect(session.tell_trouble)
        rules = [(tr("no rule"), NO_RULE), *((tr(each.name), each.key) for each in driving_rules())]
        self.rule = Choice(rules, name=tr("Rule that journeys are held against"))
        self.said = TextColumn("", ink="ink2")
        self.closes = Button(tr("Close"), main=True)
        self._trouble = FieldNote(parent=self)
        self._parts: list[QWidget] = []
        self._build(title)
        self.rule.setEnabled(session.diary.writable)
        self.rule.activated.connect(self._on_rule)
        self.closes.clicked.connect(self.accept)
        session.said.connect(self._on_said)
        self.resize(px(680), min(px(640), parent.height()))
        self.rule.setFocus()
        self._ask()

    @property
    def texts(self) -> list[str]:
        """Everything that is said, in the order it is read."""
        labels = [each for each in self._parts if isinstance(each, QLabel)]
        return [self.said.text(), *(each.text() for each in labels)]

    def done(self, how: int) -> None:
        """Close; a question that is open is dropped."""
        self.job.close()
        super().done(how)

    def _build(self, title: str) -> None:
        inner = QWidget(self)
        inner.setObjectName("scrolled")
        self._column = QVBoxLayout(inner)
        self._column.setContentsMargins(px(24), px(20), px(24), px(8))
        self._column.setSpacing(px(8))
        self._column.addWidget(Label(title, role=Role.TITLE))
        self._column.addWidget(FlowRow([Label(tr("Held against"), ink="ink2"), self.rule], gap=8))
        self._column.addWidget(self.said)
        self._journeys = QVBoxLayout()
        self._journeys.setSpacing(px(6))
        self._column.addLayout(self._journeys)
        self._column.addStretch(1)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setWidget(inner)
        area.setAccessibleName(title)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(area)
        whole.addWidget(self._trouble)
        last = QHBoxLayout()
        last.setContentsMargins(px(24), px(8), px(24), px(16))
        last.addStretch(1)
        last.addWidget(self.closes)
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
        rule = found.rule
        self.rule.choose(rule.key if rule else NO_RULE)
        lines = [ONLY_WRITTEN]
        if rule is not None:
            source = tr("Source: {source}.").format(source=tr(rule.source))
            lines = [*map(tr, rule.says), source, tr(rule.check), ONLY_WRITTEN]
        self.said.setText("\n".join(lines))
        while (item := self._journeys.takeAt(0)) is not None:
            part = item.widget()
            if part is not None:
                part.hide()
                part.deleteLater()
        self._parts = []
        if not found.journeys:
            self._add(
                TextColumn(
                    tr(
                        "No journey is written in the last {n} days. Write one down in the Diary "
                        "menu: an event, a journey, with its end."
                    ).format(n=count_words(DAYS))
                )
            )
            return
        n = len(found.journeys)
        count = many(
            n,
            "{n} journey in {days} days",
            "{n} journeys in {days} days, the newest first",
            days=count_words(DAYS),
        )
        self._add(Label(count, ink="ink2"))
        for journey in reversed(found.journeys):
            self._add(Hairline())
            self._add(TextColumn(self._head(found, journey), role=Role.STRONG))
            said = "\n".join(tr(line) for line in journey_lines(journey, rule))
            self._add(TextColumn(said, ink="ink2"))

    def _add(self, part: QWidget) -> None:
        self._journeys.addWidget(part)
        self._parts.append(part)

    def _head(self, found: Journeys, journey: Journey) -> str:
        when = moment_words(journey.event.start.local, self._session.today(), found.person)
        lasts = "" if journey.end is None else long_words((journey.end - journey.start) // 60)
        return joined((when, lasts, journey.event.text or ""))

    def _on_rule(self, _index: int) -> None:
        from app.work.driving import set_driving_rule

        session, key = self._session, str(self.rule.value())
        try:
            rule = set_driving_rule(session.diary, session.person, key, now=session.now())
        except DiaryError as trouble:
            self._trouble.show_error(str(trouble))
            return
        self._trouble.clear_error()
        said = tr("Journeys are held against: {rule}.") if rule else tr("No rule for journeys.")
        session.changed(Said(said.format(rule=tr(rule.name) if rule else "")))
