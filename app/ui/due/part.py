"""What the Now column has of things that are due: the box, the sections, and what is done there."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint, Qt, Signal
from PySide6.QtWidgets import QMenu, QWidget

from app.ui.due.doing import DueDoing
from app.ui.due.follow_box import FollowBox, boxed
from app.ui.due.now_rows import About, now_rows
from app.ui.due.rows import Row
from app.ui.due.section import DueSections
from app.ui.due.watch import DueWatch
from app.ui.due.words import tr
from app.ui.words import count_words

if TYPE_CHECKING:
    from app.ui.now.frame import NowFrame
    from app.ui.session import Session

LATER_MINUTES = 5  # a recheck that is put off comes again so soon: a rule of this diary
_LATER = (5, 15, 30)


class DuePart(QObject):
    """Watches, shows and does.

    Signals: write_wanted(Mark or None, Person) a test is to be written.

    Parameters
    ----------
    running : callable, optional
        Seconds of a clock that only goes forward; Qt's own where none is given.
    saving : callable, optional
        Whether a reading is just being saved.
    """

    write_wanted = Signal(object, object)

    def __init__(
        self,
        session: Session,
        column: NowFrame,
        *,
        running: Callable[[], float] | None = None,
        saving: Callable[[], bool] = lambda: False,
    ) -> None:
        super().__init__(column)
        self._session, self._column, self._box = session, column, FollowBox()
        self._typing = False
        self._opened = ""  # the key of a follow-up that somebody wants to read
        self.sections = DueSections(column)
        column.add_follow(self._box)
        column.add_section(self.sections)
        self.watch = DueWatch(session, self, running=running, saving=saving)
        self.doing = DueDoing(session, self)
        self.watch.looked.connect(self._show)
        self.sections.opened.connect(self._on_opened)
        self.sections.menu_wanted.connect(self._on_menu)
        self._box.later_wanted.connect(partial(self.put_off, minutes=LATER_MINUTES))
        self._box.put_away.connect(self._on_put_away)
        self._box.help_wanted.connect(self._on_help)
        column.caution.recheck_wanted.connect(self.remind_of_rechecks)

    @property
    def last_stop(self) -> QWidget:
        """What Tab comes to last, where it is shown."""
        return self.sections.kit.list

    def give_way(self, *, typing: bool) -> None:
        """While something is typed the box gives its place to it, and is a row again."""
        if typing is not self._typing:
            self._typing = typing
            self._show()

    def put_off(self, about: About, minutes: int) -> None:
        """Remind of it again after some minutes."""
        self.doing.later(about.watched.person, about.reminder, minutes)

    def remind_of_rechecks(self) -> None:
        """Ask for rechecks after lows again, from the caution beside one of the person shown."""
        self.doing.remind_of_rechecks(self._session.person)
        self._column.line.setFocus(Qt.FocusReason.OtherFocusReason)

    def menu_for(self, row: Row) -> QMenu:
        """Everything that can be done with a row."""
        about = row.about
        menu = QMenu(self.sections)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        if not isinstance(about, About):
            return menu
        person, reminder = about.watched.person, about.reminder
        menu.addAction(tr("Write it now"), partial(self._on_opened, row))
        writable = self._session.diary.writable
        for minutes in _LATER:
            said = tr("Remind again in {n} minutes").format(n=count_words(minutes))
            action = menu.addAction(said, partial(self.put_off, about, minutes))
            action.setEnabled(about.is_due and writable)
        for words, does in (
            (tr("Done elsewhere"), self.doing.elsewhere),
            (tr("Put aside"), self.doing.put_away),
        ):
            menu.addAction(words, partial(does, person, reminder)).setEnabled(writable)
        return menu

    def _show(self) -> None:
        zone = self._session.person.zone if self._session.has_person else ""
        rows = now_rows(self.watch.watched, zone)
        everything = (*rows.due, *rows.follow_up, *rows.kit)
        opened = next((each for each in everything if each.key == self._opened), None)
        row = None if self._typing else boxed(rows.due) or opened
        self._box.show_row(row)
        if row is not None:
            rows = rows.without(row)
        self.sections.show_rows(rows)
        self._column.order_tabs()

    def _on_opened(self, row: Row) -> None:
        about = row.about
        if not isinstance(about, About):
            return
        followed = about.reminder.follow_up
        if followed is not None and row in (*self.sections.follow_up.rows, *self.sections.kit.rows):
            self._opened = row.key  # it asks for no test: its words are to be read
            self._show()
            self._box.take_focus()
            return
        planned = about.reminder.planned
        self.write_wanted.emit(planned.mark if planned else None, about.watched.person)

    def _on_menu(self, row: Row, at: QPoint) -> None:
        menu = self.menu_for(row)
        if not menu.isEmpty():
            menu.popup(at)

    def _on_put_away(self, about: About) -> None:
        self._opened = ""
        self.doing.put_away(about.watched.person, about.reminder)

    def _on_help(self, about: About) -> None:
        """Another person's help can be told by no number: it is asked for, and written down."""
        from app.ui.write_down.dialog import WriteDownDialog

        if about.watched.person.uid != self._session.person.uid:
            self._session.choose(about.watched.person)
        dialog = WriteDownDialog(self._session, self._column.window())
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open_for(self._session, "help")
