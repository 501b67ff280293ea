"""What is looked at now and then: the meter against the laboratory, and the private note."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.review.hints import Hints, hints_of
from app.review.kit import KitShown
from app.review.meter_against_lab import MeterAgainstLab, meter_against_lab
from app.ui.controls import Button
from app.ui.job import Job
from app.ui.kit.kit_section import KitSection
from app.ui.kit.lab_box import LabBox
from app.ui.kit.private_note import PrivateNote
from app.ui.kit.words import tr
from app.ui.session import Session


class AsidesSection(KitSection):
    """Each opens on its button. Signals: reading_chosen(int) another page should show."""

    reading_chosen = Signal(int)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("To look at now and then"), parent)
        self.lab_job, self.note_job = Job(self), Job(self)
        self.lab_job.answered.connect(self._on_pairs)
        self.note_job.answered.connect(self._on_hints)
        for each in (self.lab_job, self.note_job):
            each.failed.connect(session.tell_trouble)
        self.lab = Button(tr("Meter against laboratory…"), self, size="bar")
        self.note = Button(tr("Private note…"), self, size="bar")
        self.add_tools((self.lab, self.note))
        self.lab.clicked.connect(self._on_lab)
        self.note.clicked.connect(self._on_note)

    def show_kit(self, found: KitShown) -> None:
        self.found = found

    def _on_lab(self) -> None:
        session = self.session
        session.complete()
        self.lab_job.start(partial(meter_against_lab, session.diary, session.record))

    def _on_note(self) -> None:
        self.note_job.start(partial(hints_of, self.session.diary, self.session.person))

    def _on_pairs(self, pairs: MeterAgainstLab) -> None:
        meters = (
            {each.meter.id: each.meter.name for each in self.found.meters} if self.found else {}
        )
        box = LabBox(self.session, pairs, meters, self)
        box.reading_chosen.connect(self.reading_chosen)
        box.finished.connect(lambda _result: self.lab.setFocus())
        self.open(box)

    def _on_hints(self, hints: Hints) -> None:
        box = PrivateNote(self.session, hints, self)
        box.reading_chosen.connect(self.reading_chosen)
        box.finished.connect(lambda _result: self.note.setFocus())
        self.open(box)
