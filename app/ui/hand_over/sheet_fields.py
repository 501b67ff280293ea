"""Who wrote a paper sheet, where, on which days, in which unit and with which meter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from PySide6.QtCore import QDate, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QCompleter, QWidget

from app.domain.glucose import Unit
from app.domain.kit import Kit
from app.domain.marks import Mark
from app.domain.person import Person
from app.review.hand_over import GRID_DAYS, USUAL_DAYS
from app.store.diary import Diary
from app.store.kit_rows import kit_of
from app.store.named_ids import names_of
from app.ui.controls import Choice, DateField, Field, FlowRow, LineField, Segment, Segments
from app.ui.controls.drawing import px
from app.ui.hand_over.words import tr
from app.ui.words import date_format
from app.work.kit_named import own_kit
from app.work.return_sheet import usual_minutes

_FIELD_PX, _BESIDE_PX = 150, 900


@dataclass(frozen=True, slots=True)
class Known:
    """What the diary knows that a sheet is typed against."""

    person: Person
    usual: Mapping[Mark, int]
    keepers: tuple[str, ...]
    places: tuple[str, ...]
    kit: Kit


def known_of(diary: Diary, person: Person) -> Known:
    """Ask the diary for it; any thread may."""
    return Known(
        person=person,
        usual=usual_minutes(diary, person),
        keepers=tuple(names_of(diary, person, "keeper").values()),
        places=tuple(names_of(diary, person, "place").values()),
        kit=own_kit(kit_of(diary), person),
    )


class SheetFields(QWidget):
    """The head of a sheet.

    Signals: changed() keeper, place or meter, days_changed(), unit_changed().
    """

    changed = Signal()
    days_changed = Signal()
    unit_changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.keeper, self.place = LineField(parent=self), LineField(parent=self)
        self.first = DateField(QDate(2000, 1, 1), self, order="d MMM yyyy", name=tr("First day"))
        self.days = Segments(
            [Segment(n, str(n), tr("{n} days").format(n=n)) for n in GRID_DAYS[1:]],
            self,
            name=tr("Days of the sheet"),
        )
        self.days.choose(USUAL_DAYS)
        self.unit = Choice([(unit.value, unit) for unit in Unit], self, name=tr("Unit"))
        self.meter = Choice([(tr("not said"), None)], self, name=tr("Meter"))
        self._lay_out()
        for field in (self.keeper, self.place):
            field.setFixedWidth(px(_FIELD_PX))
            field.textChanged.connect(lambda _text: self.changed.emit())
        self.first.dateChanged.connect(lambda _day: self.days_changed.emit())
        self.days.chosen.connect(lambda _n: self.days_changed.emit())
        self.unit.activated.connect(lambda _at: self.unit_changed.emit())
        self.meter.activated.connect(lambda _at: self.changed.emit())

    @property
    def chosen_unit(self) -> Unit:
        """The unit of the sheet."""
        return Unit(str(self.unit.value()))

    @property
    def chosen_meter(self) -> str | None:
        """The meter that was used, as "#2"; None where it is not said."""
        meter = self.meter.value()
        return None if meter is None else str(meter)

    @property
    def chosen_days(self) -> list[date]:
        """The days of the rows."""
        first = self.first.date()
        start = date(first.year(), first.month(), first.day())
        return [start + timedelta(days=at) for at in range(int(str(self.days.value())))]

    def begin(self, person: Person, first: date) -> None:
        """Begin a sheet of a person: nobody wrote it yet. No signal comes."""
        blocked = (self.keeper, self.place, self.first, self.unit)
        blockers = [QSignalBlocker(each) for each in blocked]
        self.keeper.clear()
        self.place.clear()
        self.first.setDisplayFormat(date_format(person.date_order))
        self.first.setDate(QDate(first.year, first.month, first.day))
        self.unit.choose(person.unit)
        for blocker in blockers:
            blocker.unblock()

    def show_known(self, known: Known) -> None:
        """Offer keepers, places and meters that the diary has; what is chosen stays."""
        _suggest(self.keeper, known.keepers)
        _suggest(self.place, known.places)
        chosen, meters = self.chosen_meter, known.kit.meters
        self.meter.clear()
        self.meter.addItem(tr("not said"), None)
        for meter in meters:
            self.meter.addItem(meter.name, f"#{meter.id}")
        if chosen in [f"#{meter.id}" for meter in meters]:
            self.meter.choose(chosen)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        wide = event.size().width() >= px(_BESIDE_PX)
        directions = QBoxLayout.Direction
        self._rows.setDirection(directions.LeftToRight if wide else directions.TopToBottom)

    def _lay_out(self) -> None:
        self._rows = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(px(12))
        who = FlowRow(
            [Field(tr("Who wrote it"), self.keeper), Field(tr("Where"), self.place)], self, gap=12
        )
        who.setMaximumWidth(2 * px(_FIELD_PX) + px(24))
        self._rows.addWidget(who)
        what = [
            Field(tr("First day"), self.first),
            Field(tr("Days"), self.days),
            Field(tr("Unit of the sheet"), self.unit),
            Field(tr("Meter"), self.meter),
        ]
        self._rows.addWidget(FlowRow(what, self, gap=12), 1)


def _suggest(field: LineField, names: Sequence[str]) -> None:
    completer = QCompleter(list(names), field)
    completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    popup = completer.popup()
    if popup is not None:
        popup.setObjectName("popup")  # a window of its own: it needs a ground
    field.setCompleter(completer)
