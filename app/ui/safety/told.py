"""What the band over the pages says of the open diary: its state, its place, its copies."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from app.store.damage import DAMAGED
from app.ui.controls import Answer
from app.ui.safety.band import NoteBand
from app.ui.safety.words import (
    come_words,
    damage_words,
    ended_words,
    read_only_words,
    shrank_words,
    tr,
)

if TYPE_CHECKING:
    from pathlib import Path

    from app.store.backup_facts import BackupFacts
    from app.store.opening import OpeningNote
    from app.work.keeping import Kept

RESTORE, RESCUE, AGAIN, REOPEN, STOP = "restore", "rescue", "again", "reopen", "stop"
TOGETHER = "together"
READ_ONLY, GONE, ENDED, BACKUP, SHRANK, CHECK, DOING = (
    *("read_only", "gone", "ended", "backup", "shrank", "check", "doing"),
)
_BUSY_MS = 300  # what takes no longer is not spoken of (common practice, no source)


class Told(QObject):
    """The notes of one diary, each in its words."""

    def __init__(self, band: NoteBand) -> None:
        super().__init__(band)
        self.band = band
        self.others: dict[str, Path] = {}  # by the code of a note, the copy that it is about
        self._doing, self._stops = "", False
        self._slow = QTimer(self)
        self._slow.setSingleShot(True)
        self._slow.setInterval(_BUSY_MS)
        self._slow.timeout.connect(self._on_slow)

    def damaged(self, newest: BackupFacts | None) -> None:
        """Tell of damage, with the newest checked backup and the two ways out."""
        answers = [Answer(RESCUE, tr("Rescue into a new file…"))]
        if newest is not None:
            answers.insert(0, Answer(RESTORE, tr("Restore that backup…")))
        words = damage_words(newest, shown=True)
        lead = tr("The diary is damaged.")
        self.band.tell(DAMAGED, words, lead=lead, answers=answers, closable=False, first=True)

    def read_only(self) -> None:
        """Tell that nothing can be written at its place."""
        lead = tr("This diary can only be read here.")
        self.band.tell(READ_ONLY, read_only_words(), lead=lead, closable=False, first=True)

    def gone(self, sentence: str) -> None:
        """Tell that the file is no longer the one that was opened; an empty sentence ends that."""
        if not sentence:
            self.band.drop(GONE)
            return
        answers = [Answer(AGAIN, tr("Look again")), Answer(REOPEN, tr("Open what is there"))]
        self.band.tell(GONE, sentence, answers=answers, closable=False, first=True)

    def place(self, notes: Sequence[OpeningNote]) -> None:
        """Tell what is worth a word about the place of the file, what is new of it."""
        for at, note in enumerate(notes):
            if note.code not in (DAMAGED, READ_ONLY) and not note.told_before:
                code = f"{note.code}-{at}"
                answers = []
                if note.other is not None:
                    self.others[code] = note.other
                    answers = [Answer(TOGETHER, tr("Bring together…"))]
                self.band.tell(code, note.sentence, answers=answers)

    def ended(self, *, crashed: bool, sound: bool) -> None:
        """Tell that the last window did not end properly, and how the check of it stands."""
        after = (
            tr("The whole file was looked over: it is sound.")
            if sound
            else tr("The whole file is being looked over now.")
        )
        self.band.tell(ENDED, f"{ended_words(crashed=crashed)} {after}")

    def disagrees(self, wrong: Sequence[str]) -> None:
        """Tell what does not fit together though nothing is damaged."""
        self.band.drop(ENDED)
        words = tr("Something in the file does not fit together: {what}. Nothing was changed.")
        self.band.tell(CHECK, words.format(what="; ".join(wrong)))

    def kept(self, kept: Kept) -> None:
        """Tell what went wrong with a backup, and of one that holds far fewer rows."""
        if kept.trouble:
            self.trouble(" ".join(kept.trouble))
        elif kept.made:
            self.band.drop(BACKUP)
        for each in kept.made:
            if each.apart:
                self.band.tell(SHRANK, shrank_words(each))

    def trouble(self, sentence: str) -> None:
        """Tell what could not be done."""
        self.band.tell(BACKUP, sentence)

    def doing(self, sentence: str, *, stops: bool = False) -> None:
        """Tell what is under way, where it takes long enough to speak of it; `stops` on demand."""
        self._doing, self._stops = sentence, stops
        self._slow.start()

    def come(self, percent: int) -> None:
        """Tell how far it has come, where it is spoken of."""
        self.band.reword(DOING, come_words(self._doing, percent))

    def done(self) -> None:
        """What was under way has ended."""
        self._slow.stop()
        self.band.drop(DOING)

    def _on_slow(self) -> None:
        answers = [Answer(STOP, tr("Stop"))] if self._stops else []
        self.band.tell(DOING, self._doing, answers=answers, closable=False)
