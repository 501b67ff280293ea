"""Which days the pages speak of: so many, all of them, or from one day to another."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QToolButton, QWidget

from app.domain.clock import Period
from app.domain.person import Person
from app.review.periods import USUAL_DAYS
from app.ui.controls.from_to import FromTo
from app.ui.controls.segments import Segment, Segments
from app.ui.session import Session
from app.ui.words import count_words, date_format

ALL, OWN = "all", "own"  # what the last segments stand for; the others are numbers of days


def _tr(text: str) -> str:
    return QCoreApplication.translate("PeriodBar", text)


class PeriodBar(Segments):
    """The lengths of a period, and one of one's own; it shows and changes that of the session.

    `from_to` is for the page to place below its head; it is seen while a period of one's own is
    shown or about to be chosen. A length keeps the last day; the same length again ends today.

    Parameters
    ----------
    session : Session
        What the pages speak of.
    parent : QWidget
        The page.
    offers_all : bool
        Offer every day there is, for a list.
    """

    def __init__(self, session: Session, parent: QWidget, *, offers_all: bool = False) -> None:
        days = _tr("{days} days")
        lengths = [Segment(n, count_words(n), days.format(days=count_words(n))) for n in USUAL_DAYS]
        every = [Segment(ALL, _tr("All"))] if offers_all else []
        own = Segment(OWN, _tr("From – to"))
        super().__init__([*lengths, *every, own], parent, name=_tr("Period"))
        self.setToolTip(_tr("The last day stays; the same length once more ends today"))
        self._session, self._offers_all = session, offers_all
        self._seen: tuple[Period, Person] | None = None
        self._is_choosing = False
        self.from_to = FromTo(parent)
        self.from_to.hide()
        self.chosen.connect(self._on_chosen)
        self.from_to.chosen.connect(session.show_period)
        self.from_to.left.connect(self.take_focus)

    def show_chosen(self) -> None:
        """Show what the session's period is; while another one is being typed, it stays."""
        session = self._session
        seen = (session.period, session.person)
        if seen == self._seen and self._is_choosing:
            return
        self._seen, self._is_choosing = seen, False
        self.choose(self._value())
        self.from_to.show_period(session.period, date_format(session.person.date_order))
        self.from_to.setVisible(self.value() == OWN)

    def take_focus(self) -> None:
        """Go to the chosen length."""
        for button in self.findChildren(QToolButton):
            if button.isChecked():
                button.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _value(self) -> object:
        session = self._session
        if session.days in USUAL_DAYS:
            return session.days
        is_all = session.days is None and session.period == session.all_days()
        return ALL if self._offers_all and is_all else OWN

    def _on_chosen(self, value: object) -> None:
        session = self._session
        self._is_choosing = value == OWN
        if isinstance(value, int):
            ending = None if value == session.days else session.period.last
            session.show_days(value, None if ending == session.today() else ending)
        elif value == ALL:
            session.show_period(session.all_days())
        else:
            self.from_to.show_period(session.period, date_format(session.person.date_order))
            self.from_to.show()
            self.from_to.take_focus()
