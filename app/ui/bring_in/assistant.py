"""The import as the page shows it: how the file is read, what is asked, its rows, and Save."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.domain.person import Person
from app.look.theme import follow_theme
from app.ui.bring_in.asking import Asking, first_question, wants_columns
from app.ui.bring_in.body import Body
from app.ui.bring_in.doing import Doing, Picked
from app.ui.bring_in.ends import Ends
from app.ui.bring_in.row_tools import AS_IT_WAS
from app.ui.bring_in.rows import ALL, FIRST_AND_WORST
from app.ui.bring_in.words import head_words, told, tr
from app.ui.controls import ToAnswer
from app.ui.controls.drawing import px
from app.ui.said import Said
from app.ui.session import Session
from app.work.bring_in import BroughtIn
from app.work.picked import LookedAtPicked, RowLine, Wish
from app.work.row_answers import RowAnswers

_RAW_ROWS = 60  # lines that are shown while a question about the whole file is open
_LONGEST_NAME = 60


class Assistant(QWidget):
    """One file at a time. Signals: closed(), another_asked()."""

    closed = Signal()
    another_asked = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._picked: Picked | None = None
        self._person: Person | None = None
        self._looked: LookedAtPicked | None = None
        self._wish = Wish()
        self._wanted = FIRST_AND_WORST
        self._asking: Asking | None = None
        self._line: int | None = None  # of the row that something was just said of
        self.doing = Doing(session, self)
        self.body = Body(self)
        self.ends = Ends(self)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.body, 1)
        self._column.addWidget(self.ends)
        self._connect()
        follow_theme(self._restyle)

    def open(self, path: Path) -> None:
        """Begin with a file on the disk; what was looked at before is let go."""
        if self.doing.saving:
            self.body.trouble.say(tr("A file is being saved; wait for that, or stop it first."))
            return
        self._person = self._session.person
        self._wish, self._wanted = Wish(), FIRST_AND_WORST
        self._let_go()
        self.body.head.set_subtitle(path.name)
        self.doing.open(path)
        self.ends.cancel.setFocus()

    def take_focus(self) -> None:
        """To what is asked first, else to Save, else to the way out."""
        if not self.body.take_focus():
            (self.ends.save if self.ends.save.isEnabled() else self.ends.cancel).setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._on_left()
        else:
            super().keyPressEvent(event)

    # What is heard.

    def _on_opened(self, picked: Picked) -> None:
        self._picked = picked
        self._look()

    def _on_wished(self, wish: Wish) -> None:
        self._wish = wish
        self._look()

    def _on_columns_tried(self, roles: dict[str, int]) -> None:
        self._on_wished(replace(self._wish, columns=roles))

    def _on_columns(self, roles: dict[str, int]) -> None:
        self.ends.cancel.setFocus()  # the button goes with the panel
        self.body.panel.hide()
        self._on_columns_tried(roles)

    def _on_person(self, person: Person) -> None:
        self._person = person
        self._look()

    def _on_session_person(self) -> None:
        if self._picked is not None and self._session.has_person:
            self._on_person(self._session.person)

    def _look(self) -> None:
        if self._picked is not None and self._person is not None and not self.doing.saving:
            self.body.trouble.say("")
            self.doing.look(self._picked, self._person, self._wish)

    def _on_looked(self, looked: LookedAtPicked) -> None:
        if self._picked is None:  # it was let go meanwhile
            self.doing.let_go(looked)
            return
        here = QApplication.focusWidget()
        # The box of a question goes with its answer; so does the focus, unless it was elsewhere.
        moves = here is None or (self.isAncestorOf(here) and not self.body.keeps(here))
        before, self._looked = self._looked, looked
        person = self._person or self._session.person
        self.body.choices.show_file(looked, self._wish, self._session.persons, person)
        self.body.choices.show()
        self.body.panel.show_file(looked, self._wish.columns)
        if wants_columns(looked):
            self.body.panel.show()
        self._show_rows(looked, person)
        self._show_question(looked)
        if before is not None:
            self.doing.let_go(before)
        self.body.head.set_subtitle(head_words(looked, self._picked.name))
        self.ends.show_looked(looked, self._wish)
        self._on_row()
        self.body.set_tab_order(self.ends)
        if moves:
            self.take_focus()

    def _on_saved(self, found: BroughtIn) -> None:
        person, name = self._person, self._picked.name if self._picked else ""
        self.close_file()
        self._session.follow()  # off the GUI thread: it may be a hundred thousand rows
        whose = None if person is None or person == self._session.person else person.name
        self._session.said.emit(Said(told(found, name, whose), undo=found.written))

    def _on_failed(self, problem: BaseException) -> None:
        if not isinstance(problem, DiaryError):
            raise problem
        self.body.trouble.say(str(problem))
        if self._looked is not None:
            self.ends.show_looked(self._looked, self._wish)
        else:
            self.take_focus()

    def _on_answered(self, key: str) -> None:
        if self._asking is not None:
            self._on_wished(self._asking.said(key))

    def _on_wanted(self, wanted: str) -> None:
        self._wanted = wanted
        self.body.model.want(wanted)

    def _on_row(self) -> None:
        """Another row is selected, or none."""
        line = self.body.view.selected_line()
        wish = self._wish
        was_said = line is not None and line.line in wish.answers.by_line
        self.body.tools.show_row(line, was_said=was_said, of_meter=wish.meter is not None)

    def _on_row_said(self, line: int, word: str) -> None:
        answers = self._wish.answers
        by_line = {**answers.by_line, line: word}
        if word == AS_IT_WAS:
            del by_line[line]
        self._line = line
        self.body.view.setFocus()  # what was pressed may not fit the row any more
        self._on_wished(replace(self._wish, answers=RowAnswers(by_line, answers.for_all)))

    def _on_save(self) -> None:
        if self._picked is None or self._person is None or self.doing.busy:
            return
        wish = self._wish
        if self.ends.remembers:
            known = self._looked.recipe_name if self._looked else None
            name = known or Path(self._picked.name).stem[:_LONGEST_NAME] or "file"
            wish = replace(wish, remember=name)
        self.doing.save(self._picked, self._person, wish)

    def _on_left(self) -> None:
        if self.doing.saving:
            self.doing.stop()
        else:
            self.close_file()

    def close_file(self) -> None:
        """Let go of the file; nothing more of it is saved."""
        self._let_go()
        self.closed.emit()

    def _on_panel(self) -> None:
        self.body.panel.setVisible(self.body.panel.isHidden())

    def _on_busy(self, busy: bool) -> None:
        saving = self.doing.saving
        self.body.set_open(to_change=not saving)
        self.ends.show_busy(busy, saving=saving)
        if not busy and self._looked is not None:
            self.ends.show_looked(self._looked, self._wish)

    # What is shown.

    def _let_go(self) -> None:
        before, self._looked, self._picked = self._looked, None, None
        self.doing.drop()
        if self._session.has_person:
            self.body.model.show((), (), self._session.person, self._session.today())
        self.body.clear()
        if before is not None:
            self.doing.let_go(before)
        self.ends.show_nothing()

    def _show_rows(self, looked: LookedAtPicked, person: Person) -> None:
        rows: Sequence[RowLine] = looked.rows
        lines, wanted = looked.peek.lines, ALL
        if looked.found is None:
            self.body.account.hide()
            shown = enumerate(lines[:_RAW_ROWS], 1)
            rows = tuple(RowLine(n, "", "", None, None) for n, text in shown if text.strip())
        else:
            wanted = self.body.account.show_found(looked.found, self._wanted)
        self.body.model.show(lines, rows, person, self._session.today(), wanted=wanted)

    def _show_question(self, looked: LookedAtPicked) -> None:
        asking = first_question(looked, self._wish)
        self._asking = asking
        shown = self._line  # a row that something was said of stays selected
        if shown is None and asking is not None:
            shown = asking.line
        if shown is not None:
            self.body.view.show_line(shown)
        self._line = None
        if asking is None:
            self.body.put_box(None)
            return
        box = ToAnswer(asking.sentence, asking.answers, self, lead=asking.lead)
        box.answered.connect(self._on_answered)
        self.body.put_box(box)

    def _connect(self) -> None:
        doing = self.doing
        doing.opened.connect(self._on_opened)
        doing.looked.connect(self._on_looked)
        doing.saved.connect(self._on_saved)
        doing.failed.connect(self._on_failed)
        doing.stepped.connect(self.ends.show_step)
        doing.busy_changed.connect(self._on_busy)
        self.body.choices.wished.connect(self._on_wished)
        self.body.choices.person_chosen.connect(self._on_person)
        self.body.choices.columns_asked.connect(self._on_panel)
        self.body.panel.tried.connect(self._on_columns_tried)
        self.body.panel.chosen.connect(self._on_columns)
        self.body.account.wanted.connect(self._on_wanted)
        self.body.view.selected.connect(self._on_row)
        self.body.tools.said.connect(self._on_row_said)
        self.body.another.clicked.connect(self.another_asked)
        self.ends.left.connect(self._on_left)
        self.ends.save_asked.connect(self._on_save)
        self._session.person_changed.connect(self._on_session_person)
        self._session.record_changed.connect(self._look)  # a row may be one with what was typed

    def _restyle(self) -> None:
        self._column.setSpacing(px(8))
