"""Meters' memories on the Kit page: may each be cleared, and when it writes over results."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from functools import partial

from PySide6.QtWidgets import QWidget

from app.domain.kit import Meter
from app.domain.person import Person
from app.look.type import Role
from app.review.kit import KitShown
from app.review.memory_check import NO_WAY_BACK, MemoryChecked, memory_checked
from app.store.diary import Diary
from app.store.kit_rows import kit_of
from app.ui.controls import TextColumn
from app.ui.figures.cells import Cell
from app.ui.job import Job
from app.ui.kit.kit_section import KitSection, cells, heads
from app.ui.kit.memory_box import MemoryBox
from app.ui.kit.memory_words import counts_text, short_answer, short_room
from app.ui.kit.words import tr
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import count_words, joined
from app.work.backup import backup_now
from app.work.kit_named import own_kit
from app.work.kit_things import edit_meter
from app.work.memory_check import keep_check


class MemorySection(KitSection):
    """A line for each meter; Enter checks its memory anew and lists every record."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Meters' memories"), parent)
        self.checked: tuple[MemoryChecked, ...] = ()
        self.box: MemoryBox | None = None
        self.job, self.looking, self.doing = Job(self), Job(self), Job(self)
        self.job.answered.connect(self._on_checked)
        self.looking.answered.connect(self._on_looked)
        self.doing.answered.connect(self._on_done)
        for each in (self.job, self.looking, self.doing):
            each.failed.connect(session.tell_trouble)
        self.title.set_note(tr("may it be cleared? Enter on a meter lists its records"))
        self.table = self.add_table(
            tr("Meters, and whether their memory may be cleared"), strip_column=7, may_go=(4, 5)
        )
        self.note = TextColumn(tr(NO_WAY_BACK), self, role=Role.SMALL, ink="ink3")
        self.column.addWidget(self.note)
        self.table.picked.connect(self._on_picked)
        session.backed_up.connect(self._look_again)
        self.setVisible(False)

    def show_kit(self, found: KitShown) -> None:
        self.found = found
        self._look_again()

    def _look_again(self) -> None:
        # A backup changes no row of the diary, and yet it may be what the answer waited for.
        if self.found is not None:
            self.job.start(partial(_checks, self.session.diary, self.session.person))

    def _on_checked(self, checked: tuple[MemoryChecked, ...]) -> None:
        self.checked = checked
        person, today = self.session.person, self.session.today()
        names = (
            *(tr("Meter"), tr("Cleared?"), tr("Records"), tr("Mine"), tr("Control")),
            *(tr("Not mine"), tr("Not copied"), tr("Writes over what is not copied")),
        )
        rows = [_line(each, short_room(each.room, person, today)) for each in checked]
        self.table.cells.set_cells(heads(*names, at_end=(2, 3, 4, 5, 6)), rows)
        self.setVisible(bool(checked))
        if self.box is not None:
            same = [each for each in checked if each.meter.uid == self.box.found.meter.uid]
            if same:
                self.box.show_found(same[0])

    def _on_picked(self, _column: int) -> None:
        meter = self.checked[self.table.currentIndex().row()].meter
        session, keeps = self.session, self.may_write
        self.looking.start(
            partial(_looked, session.diary, session.person, meter, session.now(), keeps=keeps)
        )

    def _on_looked(self, found: MemoryChecked) -> None:
        self.box = MemoryBox(self.session, found, self)
        self.box.keep_said.connect(self._on_keep_said)
        self.box.backup_asked.connect(self._on_backup)
        self.box.finished.connect(self._on_closed)
        self.open(self.box)

    def _on_closed(self, _result: int) -> None:
        self.box = None
        self.table.setFocus()

    def _on_keep_said(self, kept: bool) -> None:
        if self.box is None:
            return
        session, meter = self.session, self.box.found.meter
        self.doing.start(partial(_kept, session.diary, session.person, meter, kept, session.now()))

    def _on_backup(self) -> None:
        session = self.session
        self.doing.start(partial(_backed_up, session.diary, session.now()))

    def _on_done(self, said: Said) -> None:
        if said.undo:
            self.done_with.emit(said.sentence)
        else:
            self.session.said.emit(said)
            self._look_again()


def _checks(diary: Diary, person: Person) -> tuple[MemoryChecked, ...]:
    """The check of each meter that is in use or was copied; nothing of it is kept."""
    kit = own_kit(kit_of(diary), person)
    found = [memory_checked(diary, each) for each in kit.meters]
    return tuple(e for e in found if e.copy is not None or e.meter.last_day is None)


def _looked(
    diary: Diary, person: Person, meter: Meter, now: datetime, *, keeps: bool
) -> MemoryChecked:
    """Check one memory and keep what was found, as the command does."""
    found = memory_checked(diary, meter)
    if keeps and found.counts is not None:
        keep_check(diary, person, meter, found.counts, now=now)
    return found


def _kept(diary: Diary, person: Person, meter: Meter, kept: bool, now: datetime) -> Said:
    done = edit_meter(diary, person, meter, {"keep_memory": int(kept)}, now=now)
    return Said(done.sentence)


def _backed_up(diary: Diary, now: datetime) -> Said:
    made = backup_now(diary, now=now)
    return Said(
        tr("A backup was made and checked: {name}.").format(name=made.path.name), undo=False
    )


def _line(found: MemoryChecked, room: str) -> list[Cell]:
    counts = found.counts
    numbers = ["–"] * 5
    if counts is not None:
        numbers = [
            count_words(n)
            for n in (
                counts.total,
                counts.mine,
                counts.control,
                counts.not_mine,
                counts.not_copied,
            )
        ]
    texts = (found.meter.name, short_answer(found), *numbers, room)
    row = cells(*texts, at_end=(2, 3, 4, 5, 6), quiet=(7,))
    if counts is not None:  # columns that have no room are in the words of the first cell
        row[0] = replace(row[0], said=joined((*texts[:2], counts_text(found))))
    return row
