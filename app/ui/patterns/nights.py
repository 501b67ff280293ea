"""Bedtime, night and waking told together: what all nights show, then the tested ones by name."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.glucose import Unit, shown
from app.look.type import Role
from app.review.night_stories import NightsFound
from app.review.night_words import night_words, nights_sentences
from app.review.one_night import DAWN_RISE, Night, Told
from app.ui.controls import SectionTitle
from app.ui.controls.drawing import px
from app.ui.patterns.evidence_list import EvidenceList, Item
from app.ui.patterns.prose import Prose
from app.ui.patterns.words import many, tr
from app.ui.session import Session
from app.ui.words import date_words, joined, number_words

_IN_SHORT = {
    Told.NO_NIGHT: "not tested in the night",
    Told.NO_WAKING: "no value on waking",
    Told.LOW_THEN_HIGH: "low in the night, high on waking",
    Told.LOW: "low in the night",
    Told.FOOD: "food noted between",
    Told.RISE: "rose by {line} or more",
    Told.NO_RISE: "rose by less, or fell",
    Told.OFF_SCALE: "off the meter's scale",
}


class NightStories(QWidget):
    """Signals: day_asked(date)."""

    day_asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = SectionTitle(tr("Bedtime, night, waking"), self)
        self.list = EvidenceList(self, below_each_other=True)
        self._words = Prose("", self, role=Role.SMALL, ink="ink2")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(4))
        for widget in (self._title, self._words, self.list):
            column.addWidget(widget)
        column.addStretch(1)
        self.list.day_asked.connect(self.day_asked)

    @property
    def words(self) -> str:
        """What all nights show together."""
        return self._words.text()

    def show_nights(self, found: NightsFound, session: Session) -> None:
        """Show the nights of a period: those with a value from the night one by one."""
        tested = [night for night in found.nights if night.between]
        self._words.setText("\n".join(nights_sentences(found)))
        self._title.set_note(
            tr("nights tested, the newest first, {unit}").format(unit=found.unit) if tested else ""
        )
        items = [_item(night, found.unit, session) for night in reversed(tested)]
        name = many(len(items), "{n} night with a value", "{n} nights with a value")
        self.list.show_items(items, name=name)
        self.list.setVisible(bool(items))


def _item(night: Night, unit: Unit, session: Session) -> Item:
    parts = (night.bedtime, night.lowest, night.waking)
    values = " → ".join("–" if one is None else one.glucose.shown(unit) for one in parts)
    when = date_words(night.evening, session.today(), session.person)
    line = f"{number_words(shown(DAWN_RISE.in_unit(unit), unit))} {unit}"
    said = [when, tr(_IN_SHORT[night.told]).format(line=line)]
    if night.rise_within_error:
        said.append(tr("within error"))
    return Item(
        None,
        number_words(values),
        joined(said),
        night.evening,
        joined([when, night_words(night, unit)]),
    )
