"""The window: the Now column at the left, the pages at the right, the notice below them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QKeyEvent
from PySide6.QtWidgets import QApplication

from app.ui.gate import Gate
from app.ui.menus import Menus
from app.ui.pages import PAGES
from app.ui.remembered import Remembered
from app.ui.shell import Shell

if TYPE_CHECKING:
    from app.ui.due.part import DuePart
    from app.ui.now import NowColumn
    from app.ui.page import Page
    from app.ui.safety.guard import Guard
    from app.ui.said import Said
    from app.ui.session import Session


class Window(Shell):
    """The shell, painted before anything slow is imported; `fill` puts the diary into it.

    Parameters
    ----------
    remember : Path or None
        The file that keeps size, page and theme of this window; None remembers nothing.

    Signals: activated() each time it comes to the front.
    """

    activated = Signal()

    def __init__(self, *, remember: Path | None) -> None:
        super().__init__()
        self.setAcceptDrops(True)
        self.menus = Menus(self)
        self.remember = remember
        self.session: Session | None = None
        self.guard: Guard | None = None
        self.gate = Gate(self)
        self._remembered = Remembered(remember)
        self._escapes = 0
        self._now: NowColumn | None = None
        self._remembered.recall_theme()
        self.build()
        self.tabs.currentChanged.connect(self._on_tab_changed)
        self.undo_asked.connect(self.menus.undo.trigger)
        self._remembered.recall(self)

    def fill(self, session: Session, *, whole: bool = True) -> None:
        """Put the diary into the shell: the Now column, and the page that is to be seen first.

        Without `whole`, what is due comes later, with `add_dues`: the page is seen before.
        """
        from app.ui.now import NowColumn

        self.furnish()
        self.session = session
        session.diary.hurry()
        self.end_first_start()
        session.setParent(self)
        column = NowColumn(session, self.now_place)
        self.now_row.addWidget(column)
        self._now = column
        session.said.connect(self._on_said)
        session.person_changed.connect(self._on_person_changed)
        session.reading_chosen.connect(self._on_reading_chosen)
        column.person_wanted.connect(self.menus.add_person.trigger)
        self.menus.fill(session)
        session.writing_changed.connect(self.gate.shut)
        self.gate.adopt(self)
        self._on_tab_changed(self.tabs.currentIndex())
        # Only once there is a page: with nothing between the two, Qt finds nothing to be moved.
        self.setTabOrder(column.person, self.tabs)
        if whole:
            self.add_dues()
        self._on_person_changed()
        column.take_focus()

    def add_dues(self) -> None:
        """Let the Now column watch and show what is due."""
        if self._now is not None and self._now.dues is None:
            part = self._now.add_dues()
            self._now.order_tabs()  # its lists come before the tabs are put behind them
            self.setTabOrder(part.last_stop, self.tabs)
            self.gate.adopt(self._now)

    def empty(self) -> None:
        """Let go of the diary: another one, or this one again, comes in its place."""
        from app.ui.job import Job

        if self.guard is not None:
            self.guard.close()
            self.guard.deleteLater()
            self.guard = None
        for job in self.findChildren(Job):
            job.close()
        self.menus.empty()
        self.gate.shut("")
        self.stack.empty()
        if self._now is not None:
            self._now.hide()
            self._now.deleteLater()
            self._now = None
        if self.session is not None:
            self.session.close()
            self.session.diary.close()
            self.session.deleteLater()
            self.session = None
        self.setWindowTitle("Thimblebook")

    def show_page(self, key: str) -> None:
        """Show a page by its key."""
        self.tabs.setCurrentIndex([kind.key for kind in PAGES].index(key))

    def page(self, key: str) -> Page:
        """The page of a key, made where it was not seen yet."""
        if self.session is None:
            raise RuntimeError("the window holds no diary yet")
        made = self.stack.made(key)
        if made is None:
            if key != PAGES[0].key:  # the Day page alone does with the newest days
                self.session.complete()
            made = self.stack.make(key, self.session)
            self.menus.add_page(key, made.menu_actions())
            self.gate.adopt(made)
            self._introduce(key, made)
        return made

    def ask_for_file(self) -> None:
        """Ask which file to bring in, and begin with it."""
        from app.ui.bring_in.ways import pick

        pick(self)

    def bring_in(self, path: Path) -> None:
        """Begin to bring a file in."""
        from app.ui.bring_in.ways import begin

        begin(self, path)

    def focus_entry(self) -> None:
        """Put the focus into the entry line."""
        if self._now is not None:
            self._now.take_focus()

    @property
    def dues(self) -> DuePart | None:
        """What the Now column has of things that are due; None while there is no diary."""
        return None if self._now is None else self._now.dues

    def change_side(self) -> None:
        """Move the focus from the Now column to the page, or back."""
        here = QApplication.focusWidget()
        if here is not None and self.now_place.isAncestorOf(here):
            self.page(PAGES[self.tabs.currentIndex()].key).take_focus()
        else:
            self.focus_entry()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        from app.ui.bring_in.ways import dropped

        if dropped(self, event.mimeData()) is not None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        from app.ui.bring_in.ways import dropped

        path = dropped(self, event.mimeData())
        if path is not None:
            event.acceptProposedAction()
            self.bring_in(path)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._escapes += 1
            if self._escapes == 2:
                self._escapes = 0
                self.focus_entry()
            return
        self._escapes = 0
        super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.ActivationChange and self.isActiveWindow() and self.session:
            self.session.follow()
            self.activated.emit()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stop what runs, keep the look of the window, let go of the diary: in that order."""
        from app.ui.job import Job

        self.hide()  # a save that waits for another program takes seconds: nobody has to see it
        if self.guard is not None:
            self.guard.stop_working()
        for job in self.findChildren(Job):
            job.close()
        self._remembered.keep(self)
        if self.session is not None:
            self.session.close()
            self.session.diary.close()
        super().closeEvent(event)

    def _on_tab_changed(self, at: int) -> None:
        if self.session is not None and self.session.has_person:
            self.page(PAGES[at].key)
        here = QApplication.focusWidget()
        was_in_page = here is not None and self.stack.isAncestorOf(here)
        self.stack.setCurrentIndex(at)
        self.menus.show_page(PAGES[at].key)
        if was_in_page and self.session is not None:  # what had the focus is no longer seen
            self.page(PAGES[at].key).take_focus()

    def _introduce(self, key: str, made: QObject) -> None:
        """Let the Day page show what is being typed in the Now column."""
        show = getattr(made, "show_pending", None)
        if key == "day" and self._now is not None and show is not None:
            self._now.pending_changed.connect(show)

    def _on_reading_chosen(self, row_id: int) -> None:
        """Show a reading that was chosen on another page in the table."""
        from app.ui.readings.page import ReadingsPage

        page = self.page(ReadingsPage.key)
        self.show_page(ReadingsPage.key)
        if isinstance(page, ReadingsPage):
            page.show_reading(row_id)

    def _on_said(self, said: Said) -> None:
        self.notice.say(said.sentence, undo=said.undo)

    def _on_person_changed(self) -> None:
        has_person = self.session is not None and self.session.has_person
        self.tabs.setEnabled(has_person)
        self.stack.setVisible(has_person)  # what was there is nobody's any more
        if has_person:
            self.page(PAGES[self.tabs.currentIndex()].key)
        name = self.session.person.name if self.session is not None and has_person else ""
        self.setWindowTitle(f"{name} – Thimblebook" if name else "Thimblebook")
