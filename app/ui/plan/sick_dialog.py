"""Sick days in a window of their own: what was written, the gaps, the family's plan, read aloud."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.domain.clock import moment_now
from app.domain.errors import DiaryError
from app.look.type import Role
from app.review.figure import Missing
from app.review.sick_day import SickDay, sick_day_of
from app.review.sick_words import fortnight_words, gap_words, peak_words, read_aloud, since_words
from app.review.words import mean_words
from app.ui.controls import Button, FieldNote, Hairline, Label, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.job import Job
from app.ui.plan.sick_chart import SickChart
from app.ui.plan.words import tr
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import date_words, full_date_words, joined
from app.work.note_down import Noted


class SickDialog(QDialog):
    """Sick days that go on, else the last ones. It names no treatment and judges nothing."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._found: SickDay | None = None
        title = tr("Sick days")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.job = Job(self)
        self.job.answered.connect(self._show)
        self.job.failed.connect(session.tell_trouble)
        self._build(title)
        self.resize(px(760), min(px(740), parent.height()))
        self.begins.clicked.connect(self._on_begin)
        self.ends.clicked.connect(self._on_end)
        self.texts.clicked.connect(self._on_texts)
        self.closes.clicked.connect(self.accept)
        session.said.connect(self._on_said)
        self._ask()

    def done(self, how: int) -> None:
        """Close; a question that is open is dropped."""
        self.job.close()
        super().done(how)

    def _build(self, title: str) -> None:
        self._when = Label("", ink="ink2", wrap=True)
        self._empty = TextColumn(
            tr(
                "No sick days are written. While they go on, glucose and ketones stand here side "
                "by side, with your family's own plan and a list to read out on the telephone."
            ),
            ink="ink2",
        )
        self.chart = SickChart()
        self._checks = TextColumn("")
        self._bands = TextColumn("", role=Role.SMALL, ink="ink3")
        self._gaps_title = SectionTitle(tr("Longer between than planned"))
        self._gaps = TextColumn("", ink="ink2")
        self._plan_title = SectionTitle(tr("Your own sick-day plan"))
        self._plan = TextColumn("")
        self._aloud_title = SectionTitle(tr("To read aloud"))
        self.aloud = TextColumn("")
        self._mean_title = SectionTitle(tr("The fortnight's average"))
        self._mean = TextColumn("", ink="ink2")
        self._care = TextColumn("", role=Role.SMALL, ink="ink2")
        self._trouble = FieldNote(parent=self)
        self.begins = Button(tr("Sick days begin now"))
        self.ends = Button(tr("They end now"))
        self.texts = Button(tr("Texts and contacts…"))
        self.closes = Button(tr("Close"))
        inner = QWidget(self)
        inner.setObjectName("scrolled")
        column = QVBoxLayout(inner)
        column.setContentsMargins(px(24), px(20), px(24), px(8))
        column.setSpacing(px(8))
        column.addWidget(Label(title, role=Role.TITLE))
        self._shown = (
            self.chart,
            self._bands,
            Hairline(),
            self._checks,
            self._plan_title,
            self._plan,
            self._aloud_title,
            self.aloud,
            self._gaps_title,
            self._gaps,
            self._mean_title,
            self._mean,
        )
        for part in (self._when, self._empty, *self._shown, self._care):
            column.addWidget(part)
        column.addStretch(1)
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
        for button in (self.begins, self.ends):
            last.addWidget(button)
        last.addStretch(1)
        last.addWidget(self.texts)
        last.addWidget(self.closes)
        whole.addLayout(last)
        for part in (self._empty, *self._shown):
            part.hide()

    def _ask(self) -> None:
        session = self._session
        self.job.start(partial(sick_day_of, session.diary, session.record, now=session.now()))

    def _on_said(self, _said: object) -> None:
        self._ask()

    def _show(self, found: SickDay | None) -> None:
        self._found = found
        self._empty.setVisible(found is None)
        for part in self._shown:
            part.setVisible(found is not None)
        goes_on = found is not None and found.goes_on
        writable = self._session.diary.writable
        self.begins.setVisible(not goes_on)
        self.ends.setVisible(goes_on)
        self.begins.setEnabled(writable)
        self.ends.setEnabled(writable)
        self.texts.setEnabled(writable)
        (self.ends if goes_on else self.begins).setFocus()
        if found is None:
            self._when.setText("")
            self._care.setText("")
            return
        self._fill(found)

    def _fill(self, found: SickDay) -> None:
        glucose = since_words(tr("Glucose"), found.glucose_checks, goes_on=found.goes_on)
        ketones = since_words(tr("Ketones"), found.ketone_checks, goes_on=found.goes_on)
        self._when.setText(self._when_words(found))
        self.chart.show_days(found, joined((glucose, ketones)))
        bands = tr("Ketone bands: {source}").format(source=found.bands_source)
        self._bands.setText(bands)
        average = mean_words(found.mean, found.person.unit)
        if not isinstance(found.mean, Missing):
            average = f"{average} {found.person.unit} (n {found.glucose_checks.n})"
        said = [
            glucose,
            ketones,
            tr("Glucose average: {average}; ketones are in no average").format(average=average),
        ]
        if found.peak is not None:
            said.append(tr("Highest ketones: {what}").format(what=peak_words(found.peak)))
        self._checks.setText("\n".join(said))
        gaps = [
            f"{name}: {gap_words(found, gap)}"
            for name, checks in (
                (tr("Glucose"), found.glucose_checks),
                (tr("Ketones"), found.ketone_checks),
            )
            for gap in checks.gaps
        ]
        self._gaps.setText("\n".join(gaps))
        for part in (self._gaps_title, self._gaps):
            part.setVisible(bool(gaps))
        plan, phone = found.care.sick_plan or "", found.care.team_phone or ""
        plan = f"“{plan}”" if plan else ""
        telephone = tr("Care team: {number}").format(number=phone) if phone else ""
        self._plan.setText("\n".join(each for each in (plan, telephone) if each))
        for part in (self._plan_title, self._plan):
            part.setVisible(bool(plan or phone))
        lines = read_aloud(found)
        self.aloud.setText("\n".join(lines) or tr("Nothing is written in these days."))
        self._mean.setText("\n".join(fortnight_words(found)))
        number = found.care.emergency_number
        care = tr("General information. Follow the plan that your own care team gave you.")
        call = tr("In an emergency call {number}.").format(number=number) if number else ""
        self._care.setText(" ".join(each for each in (care, call) if each))

    def _when_words(self, found: SickDay) -> str:
        today, person = self._session.today(), found.person
        first = full_date_words(date.fromordinal(found.span.first_day), person)
        if found.goes_on:
            when = tr("since {day}, they go on").format(day=first)
        else:
            ended = found.span.last_day or found.span.first_day
            last = date_words(date.fromordinal(ended), today, person)
            when = tr("{first} to {last}").format(first=first, last=last)
        aside = tr("set aside: averages can be asked without them")
        return joined((when, found.span.text or "", aside if found.span.set_aside else ""))

    def _on_begin(self) -> None:
        from app.work.sick import start_sick

        self._do(start_sick)

    def _on_end(self) -> None:
        from app.work.sick import stop_sick

        self._do(stop_sick)

    def _on_texts(self) -> None:
        """The family's own plan and the numbers to call, typed in the window they have."""
        from app.store.people import care_texts
        from app.ui.hand_over.texts_dialog import TextsDialog

        session = self._session
        try:
            care = care_texts(session.diary, session.person)
        except DiaryError as trouble:
            self._trouble.show_error(str(trouble))
            return
        dialog = TextsDialog(session, care, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def _do(self, does: Callable[..., Noted]) -> None:
        session, now = self._session, self._session.now()
        at = moment_now(now, session.person.zone)
        try:
            done = does(session.diary, session.person, at, now=now)
        except DiaryError as trouble:
            self._trouble.show_error(str(trouble))
            return
        self._trouble.clear_error()
        session.changed(Said(done.sentence))
