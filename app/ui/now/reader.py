"""Reading the typed line for the person shown; no question to the diary stands in its way."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, Signal

from app.domain.entry import Entry, EntryContext, read_entry
from app.domain.errors import DiaryError
from app.store.tags import tag_labels
from app.ui.job import Job
from app.ui.session import Session


class LineReader(QObject):
    """Knows the person's tags, fetched off the GUI thread, so that a key press never waits.

    Signals: tags_changed() when words that are tags are other than before.
    """

    tags_changed = Signal()

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._tags: tuple[str, ...] = ()
        self._job = Job(self)
        self._job.answered.connect(self._on_answered)
        self._job.failed.connect(self._on_failed)

    def read(self, typed: str) -> Entry:
        """Understand a line as it would be saved now."""
        person = self._session.person
        context = EntryContext(
            now=self._session.now(),
            zone=person.zone,
            unit=person.unit,
            date_order=person.date_order,
            known_tags=self._tags,
            day_start=person.day_start,
        )
        return read_entry(typed, context)

    def forget(self) -> None:
        """Forget the tags: another person has others."""
        self._tags = ()

    def fetch(self) -> None:
        """Ask for the tags anew."""
        if self._session.has_person:
            self._job.start(partial(tag_labels, self._session.diary, self._session.person))

    def _on_answered(self, tags: tuple[str, ...]) -> None:
        if tags != self._tags:
            self._tags = tags
            self.tags_changed.emit()

    def _on_failed(self, problem: BaseException) -> None:
        if not isinstance(problem, DiaryError):  # busy just now: words stay words, not tags
            raise problem
