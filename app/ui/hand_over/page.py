"""The Hand-over page: the card that goes out, and the paper sheet that comes back."""

from __future__ import annotations

from typing import ClassVar

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.ui.controls import PageHead, Segment, Segments
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled_whole
from app.ui.hand_over.card_view import CardView
from app.ui.hand_over.sheet_view import SheetView
from app.ui.hand_over.words import tr
from app.ui.page import Page
from app.ui.session import Session

CARD, SHEET = "card", "sheet"


class HandOverPage(Page):
    """Two views of one paper: what a carer is given, and what the carer wrote on it."""

    key: ClassVar[str] = "hand-over"
    title: ClassVar[str] = "Hand-over"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.views = Segments(
            [Segment(CARD, tr("Card")), Segment(SHEET, tr("Return sheet"))],
            self,
            name=tr("What is shown"),
        )
        self.head = PageHead(tr("Hand-over"), parent=self, tools=[self.views])
        self.card = CardView(session, self)
        self.sheet = SheetView(session, self)
        inside = QWidget()
        inside.setObjectName("scrolled")
        column = QVBoxLayout(inside)
        column.setContentsMargins(px(24), px(16), px(24), px(16))
        column.setSpacing(px(12))
        column.addWidget(self.head)
        column.addWidget(self.card)
        column.addWidget(self.sheet)
        column.addStretch(1)
        self.area = scrolled_whole(inside, self)
        self.views.chosen.connect(lambda view: self.show_view(str(view)))
        session.day_chosen.connect(self._on_day)
        self.show_view(CARD)

    @property
    def view(self) -> str:
        """Which view is shown: "card" or "sheet"."""
        return str(self.views.value())

    def show_view(self, view: str) -> None:
        """Show the card, or the sheet to type."""
        self.views.choose(view)
        is_card = view == CARD
        self.card.setVisible(is_card)
        self.sheet.setVisible(not is_card)
        self.head.set_subtitle(
            tr("half a page for a carer or a school, with a grid to fill in")
            if is_card
            else tr("type what a carer or a school wrote; nothing is saved before you have seen it")
        )
        self.mark_stale()

    def take_focus(self) -> None:
        (self.card if self.view == CARD else self.sheet).take_focus()

    def refresh(self) -> None:
        self._begin()
        (self.card if self.view == CARD else self.sheet).refresh()

    def _begin(self) -> None:
        """Take over who is shown, once for each person; what was chosen meanwhile stays."""
        uid = self.session.person.uid
        if self.property("of") != uid.hex:
            self.setProperty("of", uid.hex)
            self.card.begin()
        self.sheet.begin()

    def _on_day(self, _day: object) -> None:
        """Another day is spoken of: the card begins there."""
        if self.session.has_person:
            self.card.begin()
            self.mark_stale()
