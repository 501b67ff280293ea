"""The Now column: person, entry line, slip, what was just saved; room below for what is due."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QApplication, QWidget

from app.domain.cautions import caution_for
from app.domain.clock import zone_named
from app.domain.entry import Entry
from app.domain.errors import DiaryError
from app.domain.marks import Mark
from app.domain.person import Person
from app.review.last import last_of
from app.ui.now.choices import choices_of
from app.ui.now.frame import NowFrame
from app.ui.now.reader import LineReader
from app.ui.now.saver import Saver
from app.ui.now.saving import Saved, Undone
from app.ui.now.shown import entry_shown, last_shown
from app.ui.now.slip import State
from app.ui.now.words import recheck_time, saved_words, short_name
from app.ui.question_words import sentence_of, title_of
from app.ui.session import Session
from app.ui.words import clock_words

if TYPE_CHECKING:
    from app.ui.due.part import DuePart

TICK_MS = 20_000  # how often "33 min ago", and the time of a line without one, are read anew
SETTLE_MS = 700  # nobody is asked about a number of which half is typed: a rule of this diary


class NowColumn(NowFrame):
    """Fixed at the left of the window, the same on every page.

    Signals: `pending_changed(object)` the Entry that Enter would save now, or None;
    `person_wanted()` somebody is to be added.
    """

    pending_changed = Signal(object)
    person_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._entry: Entry | None = None
        self._settled = False
        self._saved: Saved | None = None
        self._moved_to: QWidget | None = None
        self.saver = Saver(session.diary, self)
        self._reader = LineReader(session, self)
        self.dues: DuePart | None = None
        self._tick = QTimer(self)
        self._tick.setInterval(TICK_MS)
        self._settle_timer = QTimer(self)
        self._settle_timer.setSingleShot(True)
        self._settle_timer.setInterval(SETTLE_MS)
        self._connect()
        self._on_person_changed()
        self._tick.start()

    def take_focus(self) -> None:
        """Put the keyboard focus into the entry line, behind what was typed."""
        taking = self.line if self.line.isEnabled() else self.person  # it may be read only
        taking.setFocus(Qt.FocusReason.OtherFocusReason)
        self.line.end(False)

    def write_mark(self, mark: Mark | None, person: Person | None = None) -> None:
        """Begin a reading in the line: its mark stands there, the number is still to be typed."""
        self._on_person_chosen(person or self._session.person)
        self.line.begin_with(mark)

    def add_dues(self, *, running: Callable[[], float] | None = None) -> DuePart:
        """Watch and show from now on what is due: its modules are imported no sooner."""
        from app.ui.due.part import DuePart

        self.dues = DuePart(self._session, self, running=running, saving=lambda: self.saver.busy)
        self.dues.write_wanted.connect(self.write_mark)
        self._show_line()
        return self.dues

    def tick(self) -> None:
        """Read anew what goes by the clock."""
        self._show_line()

    def _connect(self) -> None:
        session, saver = self._session, self.saver
        session.person_changed.connect(self._on_person_changed)
        session.record_changed.connect(self._on_record_changed)
        session.writer_changed.connect(self._show_person)
        session.said.connect(self.notice.dismiss)  # something else was done since
        self.person.person_chosen.connect(self._on_person_chosen)
        self.person.person_wanted.connect(self.person_wanted)
        self.line.textChanged.connect(self._on_text_changed)
        self.line.submitted.connect(self._on_submitted)
        self.line.answer_wanted.connect(self._on_answer_wanted)
        self.slip.answered.connect(self._on_answered)
        self.slip.left.connect(self.take_focus)
        self.notice.undo_asked.connect(self._on_undo_asked)
        self.caution.closed.connect(self.take_focus)
        saver.saved.connect(self._on_saved)
        saver.undone.connect(self._on_undone)
        saver.refused.connect(self._on_refused)
        saver.waited.connect(self._on_waited)
        self._reader.tags_changed.connect(self._show_line)
        self._settle_timer.timeout.connect(self.settle)
        self._tick.timeout.connect(self.tick)

    # What the session shows.

    def _on_person_changed(self) -> None:
        self.notice.dismiss()
        self.caution.put_away()
        self._reader.forget()
        self._show_person()
        self._on_record_changed()

    def _on_record_changed(self) -> None:
        self._reader.fetch()
        self._show_line()

    def _on_person_chosen(self, person: Person) -> None:
        if person.uid != self._session.person.uid:
            try:
                self._session.choose(person)
            except DiaryError as problem:
                self.trouble.say(str(problem))
        self.take_focus()

    def _show_person(self) -> None:
        has_person = self._session.has_person
        chosen = self._session.person if has_person else None
        self.person.show_people(self._session.persons, chosen)
        self.line.setEnabled(has_person)
        said: list[str] = [] if chosen is None else [chosen.unit, chosen.zone]
        if chosen is not None:
            self.line.show_example(chosen.unit)
        writer = self._session.diary.writer
        if writer:
            said.append(self.tr("you are {name}").format(name=writer))
        self.show_sub(" · ".join(said))

    # What is typed.

    def _on_text_changed(self, _text: str) -> None:
        self._settled = False
        self._settle_timer.start()
        self.trouble.say("")
        if self.line.text():
            self.notice.dismiss()
        self._show_line()
        self.show_top()

    def settle(self) -> None:
        """Ask, or say what is wrong, without waiting for more to be typed."""
        self._settled = True
        self._show_line()

    def _show_line(self) -> None:
        """Read the line as it stands and let the slip say it."""
        if self.saver.busy:
            return
        typed, is_typed = self.line.text(), self.line.is_typed and self._session.has_person
        entry = self._reader.read(typed) if is_typed else None
        if self.dues is not None:
            self.dues.give_way(typing=is_typed)
        pending = entry if entry is not None and entry.is_ready else None
        if pending != (self._entry if self._entry and self._entry.is_ready else None):
            self.pending_changed.emit(pending)
        self._entry = entry
        if entry is None:
            self._show_rest()
        else:
            self._show_entry(typed, entry)
        self.give_way(to_caution=self.slip.state in (State.LAST, State.HINT))
        self.tell_line()

    def _show_entry(self, typed: str, entry: Entry) -> None:
        record, today = self._session.record, self._today()
        shown = entry_shown(entry, record, today)
        if entry.is_ready and shown is not None and entry.glucose is not None:
            caution = caution_for(entry.glucose, care=None)
            self.slip.show_pending(
                shown,
                head=self.tr("Will be saved as"),
                heads_up=caution.heads_up if caution else "",
                ready=True,
            )
            return
        if self._settled and entry.problems:
            self.trouble.say(" ".join(entry.problems))
        elif self._settled:
            question = entry.questions[0]
            choices = choices_of(
                typed, entry, question, self._reader.read, person=record.person, today=today
            )
            title, asks = title_of(question, entry), sentence_of(question, entry)
            self.slip.show_question(title, shown, asks, choices)
            self.order_tabs()
            return
        if shown is None:
            self._show_rest()
        else:
            self.slip.show_pending(shown, head=self.tr("Not saved yet"), ready=False)

    def _show_rest(self) -> None:
        """Show what there is while nothing is typed that can be shown."""
        if not self._session.has_person:
            self.slip.show_nothing()
            return
        record = self._session.record
        last = last_of(record, self._session.now())
        if last is None:
            self.slip.show_hint(record.person.unit)
        else:
            self.slip.show_last(*last_shown(last, record.person, self._today()))

    def _on_answer_wanted(self) -> None:
        if not self._settled:
            self.settle()
        self.slip.focus_first()

    def _on_answered(self, line: str) -> None:
        self.line.setText(line)
        self.take_focus()
        self.settle()  # a second question waits for nothing

    # What is saved.

    def _on_submitted(self) -> None:
        if self.saver.busy or not self.line.text().strip():
            return
        self.settle()
        entry = self._entry
        if entry is None or not entry.is_ready:
            return
        self.line.setReadOnly(True)
        self.saver.save(
            self._session.person,
            self.line.text(),
            entry,
            now=self._session.now(),
            keeper=self._session.diary.writer,
        )

    def _on_waited(self) -> None:
        self.slip.show_saving(self.tr("Saving; the diary is busy"))
        had_focus = self.line.hasFocus()
        self.line.setEnabled(False)
        self._moved_to = QApplication.focusWidget() if had_focus else None

    def _free_line(self) -> None:
        self.line.setReadOnly(False)
        if not self.line.isEnabled():
            self.line.setEnabled(True)
            if self._moved_to is QApplication.focusWidget():  # nobody went elsewhere meanwhile
                self.take_focus()
            self._moved_to = None

    def _on_saved(self, saved: Saved) -> None:
        self._free_line()
        self.line.setText("")  # unlike clear(), it leaves nothing for Ctrl+Z to bring back
        self._follow()
        self._saved = saved
        now = self._session.now().astimezone(zone_named(saved.person.zone))
        several = len(self._session.persons) > 1
        self.notice.say(saved_words(saved.entered, saved.person, now, several=several))
        name = short_name(saved.person.name) if several else ""
        self.caution.say_or_hide(saved.caution, name=name, recheck=recheck_time(saved))
        self.show_saved(self.tr("Saved {time}").format(time=clock_words(now, saved.person)))
        self.order_tabs()
        self.show_top()

    def _on_undo_asked(self) -> None:
        if self._saved is not None and not self.saver.busy:
            self.saver.take_back(self._saved, now=self._session.now())

    def _on_undone(self, undone: Undone) -> None:
        self._free_line()
        self._saved = None
        self.caution.put_away()
        self._follow()
        if not self.line.text():  # to be corrected, or typed over
            self.line.setText(undone.line)
            self.line.selectAll()
        self.notice.say(undone.taken_back.sentence, undo=False)
        self.line.setFocus(Qt.FocusReason.OtherFocusReason)

    def _on_refused(self, sentence: str) -> None:
        self._free_line()
        self._show_line()
        self.trouble.say(sentence)
        self.tell_line()

    def _follow(self) -> None:
        try:
            self._session.changed()
        except DiaryError as problem:  # it is saved; that it can't be read again is another thing
            self.trouble.say(str(problem))
        self._show_line()

    def _today(self) -> date:
        return self._session.now().astimezone(zone_named(self._session.person.zone)).date()
