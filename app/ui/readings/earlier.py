"""What a reading said before it was corrected, with until when and by whom, in its form."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.domain.person import Person
from app.domain.reading import Reading
from app.look.type import Role
from app.store.diary import Diary
from app.ui.controls import Label, WrapLabel
from app.ui.controls.drawing import px
from app.ui.job import Job
from app.ui.readings.typed import as_it_came
from app.ui.readings.words import tr
from app.ui.session import Session
from app.ui.words import clock_words, count_words, date_words, number_words

if TYPE_CHECKING:
    from app.work.history import Correction

_MOST = 4  # corrections shown, the newest first; the rest are in the history
_HANG = ("Note", "Tag")  # parts that a reading may have many of: they come and go


class Earlier(QWidget):
    """Lines above the fields, and `came`, the raw side of the reading, for below them."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._uid: UUID | None = None
        self.came = Label("", parent, role=Role.SMALL, ink="ink3", wrap=True)
        self.words = WrapLabel("", self, role=Role.SMALL, ink="ink2")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, px(4))
        column.addWidget(self.words)
        self._job = Job(self)
        self._job.answered.connect(self._on_found)
        self._job.failed.connect(_pass_over)
        self.hide()

    def show_reading(self, reading: Reading) -> None:
        """Show what the journal holds of a reading; it is looked up off the GUI thread."""
        self.came.setText(as_it_came(reading))
        self.came.setVisible(bool(self.came.text()))
        if reading.uid != self._uid:
            self.hide()
        self._uid = reading.uid
        session = self._session
        self._job.start(partial(_found, session.diary, session.person, reading.uid))

    def _on_found(self, found: tuple[Correction, ...]) -> None:
        session = self._session
        if not session.has_person:
            return
        newest = sorted(found, key=lambda each: each.entry, reverse=True)  # parts stay in order
        lines = [correction_words(each, session.today(), session.person) for each in newest[:_MOST]]
        if len(newest) > _MOST:
            rest = tr("{n} earlier changes are in Edit ▸ History")
            lines.append(rest.format(n=count_words(len(newest) - _MOST)))
        self.words.setText("\n".join(lines))
        self.setAccessibleName(". ".join(lines))
        self.setVisible(bool(lines))


def correction_words(correction: Correction, today: date, person: Person) -> str:
    """One correction: "Result was 8.1 mmol/L until Tue 3 Mar 18:20, Odalys"."""
    when = f"{date_words(correction.at.date(), today, person)} {clock_words(correction.at, person)}"
    said = _what(correction).format(
        part=_part_name(correction.part), old=_text(correction), when=when
    )
    plain = tr("on this computer")
    by = correction.by.removesuffix(f", {plain}")
    return said if by == plain else f"{said}, {by}"


def _what(correction: Correction) -> str:
    if correction.part == "Place":
        out = correction.old == "in the bin"
        return tr("Taken out of the bin {when}") if out else tr("Put into the bin {when}")
    if correction.part in _HANG and None in (correction.old, correction.new):
        added = correction.old is None
        return tr("{part} added {when}") if added else tr("{part} taken away {when}: {old}")
    if correction.old is None:
        return tr("{part} not said until {when}")
    return tr("{part} was {old} until {when}")


def _text(correction: Correction) -> str:
    old = correction.old or ""
    return number_words(old) if correction.part == "Value" else old


def _part_name(part: str) -> str:
    """A part of a reading as its field in the form is called."""
    names = {
        "Value": tr("Result"),
        "Time": tr("Time"),
        "Mark": tr("Mark"),
        "Minutes after the meal": tr("Minutes after the meal began"),
        "Sampling site": tr("Sampling site"),
        "Hands": tr("Hands"),
        "Standing": tr("Standing"),
        "Keeper": tr("Keeper"),
        "Note": tr("Note"),
        "Tag": tr("Tag"),
    }
    return names.get(part, part)


def _found(diary: Diary, person: Person, uid: UUID) -> tuple[Correction, ...]:
    from app.work.history import history_of

    return history_of(diary, person, uid)


def _pass_over(trouble: Exception) -> None:
    """That it is busy just now is no reason to hinder a correction."""
    if not isinstance(trouble, DiaryError):
        raise trouble
