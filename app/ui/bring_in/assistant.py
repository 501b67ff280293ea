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
from app.ui.bring_in.account import Account
from app.ui.bring_in.asking import Asking, first_question, wants_columns
from app.ui.bring_in.choices import Choices
from app.ui.bring_in.columns import ColumnsPanel
from app.ui.bring_in.doing import Doing, Picked
from app.ui.bring_in.ends import Ends
from app.ui.bring_in.rows import ALL, FIRST_AND_WORST, RowsModel
from app.ui.bring_in.table import RowsView
from app.ui.bring_in.words import head_words, told, tr
from app.ui.controls import Button, PageHead, ToAnswer
from app.ui.controls.drawing import px
from app.ui.now.trouble import Trouble
from app.ui.said import Said
from app.ui.session import Session
from app.work.bring_in import BroughtIn
from app.work.picked import LookedAtPicked, RowLine, Wish

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
        self.doing = Doing(session, self)
        # In the order of the eye, which is that of the Tab key.
        self.another = Button(tr("Another file…"), self)
        self.head = PageHead(tr("Bring in a file"), parent=self, tools=[self.another])
        self.choices = Choices(self)
        self.panel = ColumnsPanel(self)
        self.trouble = Trouble(self)
        self.account = Account(self)
        self.box: ToAnswer | None = None
        self.model = RowsModel(self)
        self.view = RowsView(self.model, self)
        self.ends = Ends(self)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        for part in (self.head, self.choices, self.panel, self.trouble, self.account):
            self._column.addWidget(part)
        self._column.addWidget(self.view, 1)
        self._column.addWidget(self.ends)
        self._connect()
        follow_theme(self._restyle)

    def open(self, path: Path) -> None:
        """Begin with a file on the disk; what was looked at before is let go."""
        self._person = self._session.person
        self._wish, self._wanted = Wish(), FIRST_AND_WORST
        self._let_go()
        self.head.set_subtitle(path.name)
        self.doing.open(path)
        self.ends.cancel.setFocus()

    def take_focus(self) -> None:
        """To what is asked first, else to Save, else to the way out."""
        if self.box is not None:
            self.box.setFocus()
        elif self.panel.isVisible() and self.panel.choices:
            self.panel.take_focus()
        else:
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
        self.panel.hide()
        self._on_columns_tried(roles)

    def _on_person(self, person: Person) -> None:
        self._person = person
        self._look()

    def _on_session_person(self) -> None:
        if self._picked is not None and self._session.has_person:
            self._on_person(self._session.person)

    def _look(self) -> None:
        if self._picked is not None and self._person is not None and not self.doing.saving:
            self.trouble.say("")
            self.doing.look(self._picked, self._person, self._wish)

    def _on_looked(self, looked: LookedAtPicked) -> None:
        if self._picked is None:
            return  # it was let go meanwhile
        here = QApplication.focusWidget()
        # The box of a question goes with its answer; so does the focus, unless it was elsewhere.
        moves = here is None or (self.isAncestorOf(here) and not self._is_choosing(here))
        before, self._looked = self._looked, looked
        person = self._person or self._session.person
        self.choices.show_file(looked, self._wish, self._session.persons, person)
        self.choices.show()
        self.panel.show_file(looked, self._wish.columns)
        if wants_columns(looked):
            self.panel.show()
        self._show_rows(looked, person)
        self._show_question(looked)
        if before is not None:
            self.doing.let_go(before)
        self.head.set_subtitle(head_words(looked, self._picked.name))
        self.ends.show_looked(looked, self._wish)
        if moves:
            self.take_focus()

    def _is_choosing(self, here: QWidget) -> bool:
        return self.choices.isAncestorOf(here) or self.panel.isAncestorOf(here)

    def _on_saved(self, found: BroughtIn) -> None:
        person, name = self._person, self._picked.name if self._picked else ""
        self.close_file()
        self._session.follow()  # off the GUI thread: it may be a hundred thousand rows
        whose = None if person is None or person == self._session.person else person.name
        self._session.said.emit(Said(told(found, name, whose), undo=found.written))

    def _on_failed(self, problem: BaseException) -> None:
        if not isinstance(problem, DiaryError):
            raise problem
        self.trouble.say(str(problem))
        if self._looked is not None:
            self.ends.show_looked(self._looked, self._wish)
        else:
            self.take_focus()

    def _on_answered(self, key: str) -> None:
        if self._asking is not None:
            self._on_wished(self._asking.said(key))

    def _on_wanted(self, wanted: str) -> None:
        self._wanted = wanted
        self.model.want(wanted)

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
        self.panel.setVisible(self.panel.isHidden())

    def _on_busy(self, busy: bool) -> None:
        saving = self.doing.saving
        for part in (self.choices, self.panel, self.another, self.box):
            if part is not None:
                part.setEnabled(not saving)
        self.ends.show_busy(busy, saving=saving)
        if not busy and self._looked is not None:
            self.ends.show_looked(self._looked, self._wish)

    # What is shown.

    def _let_go(self) -> None:
        before, self._looked, self._picked = self._looked, None, None
        self.trouble.say("")
        if self._session.has_person:
            self.model.show((), (), self._session.person, self._session.today())
        for part in (self.choices, self.panel, self.account):
            part.hide()
        if before is not None:
            self.doing.let_go(before)
        self._put_box(None)
        self.ends.show_nothing()

    def _show_rows(self, looked: LookedAtPicked, person: Person) -> None:
        rows: Sequence[RowLine] = looked.rows
        lines, wanted = looked.peek.lines, ALL
        if looked.found is None:
            self.account.hide()
            shown = enumerate(lines[:_RAW_ROWS], 1)
            rows = tuple(RowLine(n, "", "", None, None) for n, text in shown if text.strip())
        else:
            wanted = self.account.show_found(looked.found, self._wanted)
        self.model.show(lines, rows, person, self._session.today(), wanted=wanted)

    def _show_question(self, looked: LookedAtPicked) -> None:
        asking = first_question(looked, self._wish)
        self._asking = asking
        if asking is None:
            self._put_box(None)
            return
        box = ToAnswer(asking.sentence, asking.answers, self, lead=asking.lead)
        box.answered.connect(self._on_answered)
        self._put_box(box)
        if asking.line is not None:
            self.view.show_line(asking.line)

    def _put_box(self, box: ToAnswer | None) -> None:
        if self.box is not None:
            self._column.removeWidget(self.box)
            self.box.hide()
            self.box.deleteLater()
        self.box = box
        if box is not None:
            self._column.insertWidget(self._column.indexOf(self.view), box)
            box.show()
            QWidget.setTabOrder(self.choices.encoding, box)

    def _connect(self) -> None:
        doing = self.doing
        doing.opened.connect(self._on_opened)
        doing.looked.connect(self._on_looked)
        doing.saved.connect(self._on_saved)
        doing.failed.connect(self._on_failed)
        doing.stepped.connect(self.ends.show_step)
        doing.busy_changed.connect(self._on_busy)
        self.choices.wished.connect(self._on_wished)
        self.choices.person_chosen.connect(self._on_person)
        self.choices.columns_asked.connect(self._on_panel)
        self.panel.tried.connect(self._on_columns_tried)
        self.panel.chosen.connect(self._on_columns)
        self.account.wanted.connect(self._on_wanted)
        self.another.clicked.connect(self.another_asked)
        self.ends.left.connect(self._on_left)
        self.ends.save_asked.connect(self._on_save)
        self._session.person_changed.connect(self._on_session_person)

    def _restyle(self) -> None:
        self._column.setSpacing(px(8))
