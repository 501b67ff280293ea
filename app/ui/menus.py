"""The menu bar, where every action stands with its key."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence

from app.domain.errors import DiaryError
from app.look.theme import Choice, Theme
from app.ui.gate import writes
from app.ui.menu_of_changes import MenuOfChanges
from app.ui.menu_of_safety import MenuOfSafety
from app.ui.menu_of_together import MenuOfTogether
from app.ui.pages import PAGES

if TYPE_CHECKING:
    from app.domain.person import Person
    from app.ui.job import Job
    from app.ui.session import Session
    from app.ui.window import Window
    from app.ui.write_down.dialog import WriteDownDialog

Keys = str | QKeySequence.StandardKey
# No Ctrl+Alt: on many keyboards that is the key that letters with accents are typed with.
_THEME_KEYS: dict[Choice, str] = {"system": "Shift+F7", "light": "Shift+F8", "dark": "Shift+F9"}


class Menus(QObject):
    """Diary, Edit, View, Go, Help. What needs a diary is off until `fill` gives one."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._session: Session | None = None
        self._checking: Job | None = None
        self._writing: WriteDownDialog | None = None
        bar = window.menuBar()
        self._menus = {
            "diary": bar.addMenu(self.tr("&Diary")),
            "edit": bar.addMenu(self.tr("&Edit")),
            "view": bar.addMenu(self.tr("&View")),
            "go": bar.addMenu(self.tr("&Go")),
            "help": bar.addMenu(self.tr("&Help")),
        }
        self._of_pages: dict[str, list[QAction]] = {}
        self.add_person = self._add(
            "diary", self.tr("Add a person…"), "Ctrl+N", self._on_add_person
        )
        self._people = self._menus["diary"].addMenu(self.tr("Person"))
        self.write_down = self._add("diary", self.tr("Write down…"), "Ctrl+D", self._on_write_down)
        self.who_writes = self._add(
            "diary", self.tr("Who writes here…"), "Ctrl+Shift+W", self._on_who_writes
        )
        self.settings = self._add("diary", self.tr("Settings…"), "Ctrl+,", self._on_settings)
        self._menus["diary"].addSeparator()
        self.bring_in = self._add(
            "diary", self.tr("Import…"), QKeySequence.StandardKey.Open, window.ask_for_file
        )
        self.send_out = self._add("diary", self.tr("Export…"), "Ctrl+Shift+E", self._on_send_out)
        self.together = MenuOfTogether(self._add, window)
        self.changes = MenuOfChanges(self._add, window)
        self.undo = self.changes.undo
        for menu in ("diary", "edit"):
            self._menus[menu].addSeparator()
        self.check = self._add("diary", self.tr("Check the file"), "Ctrl+K", self._on_check)
        self.safety = MenuOfSafety(self._add, lambda: window.guard)
        self._menus["diary"].addSeparator()
        self._add("diary", self.tr("Close"), "Ctrl+Q", window.close)
        self.begin_meal = self._add(
            "edit", self.tr("A meal has begun"), "Ctrl+Shift+M", self._on_begin_meal
        )
        self._fill_view()
        self._fill_go()
        self._add("help", self.tr("Cautions"), "F1", self._on_cautions)
        self._add("help", self.tr("About Thimblebook"), "Shift+F1", self._on_about)
        self._of_diary = (
            self.add_person,
            self.write_down,
            self.who_writes,
            self.settings,
            self.bring_in,
            self.send_out,
            self.check,
            self.begin_meal,
        )
        for action in self._of_diary:
            action.setEnabled(False)
            if action not in (self.check, self.send_out):  # those only look at the diary
                writes(action)

    def fill(self, session: Session) -> None:
        """Turn on what needs a diary."""
        from app.ui.job import Job

        self._session = session
        self._checking = Job(self)  # pages and rows of fifty years take a second
        self._checking.answered.connect(self._on_checked)
        self._checking.failed.connect(self._on_failed)
        for action in self._of_diary:
            action.setEnabled(True)
        self.together.fill(session)
        self.changes.fill(session)
        session.person_changed.connect(self._list_people)
        self._list_people()

    def empty(self) -> None:
        """Turn off what needs a diary: it is let go of."""
        self._session = None
        self._of_pages.clear()
        self._people.clear()
        self.safety.set_enabled(False)
        self.together.empty()
        self.changes.empty()
        for action in self._of_diary:
            action.setEnabled(False)

    def add_page(self, key: str, actions: Sequence[tuple[str, QAction]]) -> None:
        """Put the actions of a page into their menus; they show while the page does."""
        self._of_pages[key] = [action for _, action in actions]
        for menu, action in actions:
            self._menus[menu].addAction(action)

    def show_page(self, key: str) -> None:
        """Show the actions of one page and hide those of the others."""
        for page, actions in self._of_pages.items():
            for action in actions:
                action.setVisible(page == key)
        for at, kind in enumerate(PAGES):
            self._pages[at].setChecked(kind.key == key)

    def _add(self, menu: str, text: str, keys: Keys, does: Callable[[], object]) -> QAction:
        action = QAction(text, self._window)
        action.setShortcut(QKeySequence(keys))
        action.setStatusTip(text)
        action.triggered.connect(lambda _checked=False: does())
        self._menus[menu].addAction(action)
        self._window.addAction(action)
        return action

    def _fill_view(self) -> None:
        group = QActionGroup(self)
        choices: dict[Choice, str] = {
            "system": self.tr("As the system"),
            "light": self.tr("Light"),
            "dark": self.tr("Dark"),
        }
        for choice, text in choices.items():
            action = self._add("view", text, _THEME_KEYS[choice], partial(self._theme, choice))
            action.setCheckable(True)
            action.setChecked(Theme.current().choice == choice)
            group.addAction(action)
        self._menus["view"].addSeparator()

    def _fill_go(self) -> None:
        self._pages = []
        group = QActionGroup(self)
        for at, kind in enumerate(PAGES):
            action = self._add(
                "go",
                self._window.tr(kind.title),
                f"Alt+{(at + 1) % 10}",  # the tenth page has 0
                partial(self._window.show_page, kind.key),
            )
            action.setCheckable(True)
            group.addAction(action)
            self._pages.append(action)
        self._menus["go"].addSeparator()
        self._add("go", self.tr("Next page"), "Ctrl+PgDown", lambda: self._step(1))
        self._add("go", self.tr("Page before"), "Ctrl+PgUp", lambda: self._step(-1))
        self._add("go", self.tr("Entry line"), "Ctrl+L", self._window.focus_entry)
        self._add("go", self.tr("Column or page"), "F6", self._window.change_side)
        self._menus["go"].addSeparator()

    def _theme(self, choice: Choice) -> None:
        Theme.current().choose(choice)

    def _step(self, by: int) -> None:
        tabs = self._window.tabs
        tabs.setCurrentIndex((tabs.currentIndex() + by) % tabs.count())

    def _list_people(self) -> None:
        self._people.clear()
        if self._session is None or not self._session.has_person:
            return
        for at, person in enumerate(self._session.persons, 1):
            action = self._people.addAction(person.name.replace("&", "&&"))
            if at < 10:
                action.setShortcut(QKeySequence(f"Ctrl+{at}"))
            action.setCheckable(True)
            action.setChecked(person.uid == self._session.person.uid)
            action.triggered.connect(partial(self._choose, person))

    def _choose(self, person: Person, _checked: bool = False) -> None:
        from app.ui.said import Said

        if self._session is None:
            return
        try:
            self._session.choose(person)
        except DiaryError as trouble:
            self._list_people()
            self._session.said.emit(Said(str(trouble), undo=False))

    def _on_failed(self, trouble: Exception) -> None:
        from app.ui.said import Said

        if not isinstance(trouble, DiaryError):
            raise trouble
        if self._session is not None:
            self._session.said.emit(Said(str(trouble), undo=False))

    def _on_check(self) -> None:
        if self._window.guard is not None:
            self._window.guard.check()
            return
        from app.ui.dialogs import check_in_words

        if self._session is not None and self._checking is not None:
            self._checking.start(partial(check_in_words, self._session.diary))

    def _on_checked(self, sentence: str) -> None:
        from app.ui.said import Said

        if self._session is not None:
            self._session.said.emit(Said(sentence, undo=False))

    def _on_begin_meal(self) -> None:
        dues, session = self._window.dues, self._session
        if dues is not None and session is not None and session.has_person:
            dues.doing.begin_meal(session.person)

    def _on_add_person(self) -> None:
        from app.ui.first_start import ask_for_person

        if self._session is not None:
            ask_for_person(self._session, self._window)

    def _on_write_down(self) -> None:
        from app.ui.write_down.dialog import WriteDownDialog

        if self._session is None or not self._session.has_person:
            return
        if self._writing is None:
            self._writing = WriteDownDialog(self._session, self._window)
        self._writing.open_for(self._session)

    def _on_who_writes(self) -> None:
        from app.ui.who_writes import WhoWrites

        if self._session is not None:
            WhoWrites(self._session, self._window).open()

    def _on_send_out(self) -> None:
        from app.ui.send_out.dialog import SendOutDialog

        if self._session is not None and self._session.has_person:
            SendOutDialog(self._session, self._window).open()

    def _on_settings(self) -> None:
        from app.ui.first_start import ask_for_settings
        from app.ui.said import Said

        if self._session is None or not self._session.has_person:
            return
        try:
            ask_for_settings(self._session, self._window)
        except DiaryError as trouble:
            self._session.said.emit(Said(str(trouble), undo=False))

    def _on_cautions(self) -> None:
        from app.ui.dialogs import show_cautions

        show_cautions(self._window)

    def _on_about(self) -> None:
        from app.ui.dialogs import show_about

        show_about(self._window)
