"""A meter, new or to be changed: what it is called, shows and remembers, and from when to when."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.domain.errors import Refused
from app.domain.glucose import LimitPair, Unit
from app.domain.kit import Meter
from app.review.kit import KitShown
from app.ui.controls import CheckBox
from app.ui.kit.forms import day_said, day_text, whole
from app.ui.kit.removing import RemovingForm
from app.ui.kit.words import tr
from app.ui.session import Session
from app.work.kit_things import add_meter, edit_meter
from app.work.meter_range import range_fields

MOST_RESULTS = 100_000
_PRINTED = {Unit.MMOL_L: "0.6-33.3", Unit.MG_DL: "20-600"}


class MeterForm(RemovingForm):
    """Without a meter it makes a new one, in the person's unit unless another is chosen."""

    def __init__(
        self,
        session: Session,
        _shown: KitShown,
        parent: QWidget | None = None,
        *,
        meter: Meter | None = None,
    ) -> None:
        title = tr("New meter") if meter is None else tr("Meter {name}").format(name=meter.name)
        super().__init__(session, title, parent)
        self._meter = meter
        unit = meter.unit if meter else session.person.unit
        self.name = self.add_line(
            tr("What you call it"),
            hint=tr("its colour, or whose it is"),
            text=meter.name if meter else "",
        )
        others = [each for each in Unit if each is not unit]
        self.unit = self.add_choice(
            tr("Unit that it shows"), [(str(each), each) for each in (unit, *others)]
        )
        self.range = self.add_line(
            tr("Lowest and highest result"),
            hint=tr("as printed, {range}; or empty").format(range=_PRINTED[unit]),
            text=_shows(meter),
            beside=True,
        )
        self.memory = self.add_line(
            tr("Results that its memory holds"),
            hint=tr("as its leaflet says, or empty"),
            text=str(meter.capacity) if meter and meter.capacity else "",
        )
        self.serial = self.add_line(
            tr("Serial number"),
            hint=tr("or empty"),
            text=(meter and meter.serial) or "",
            beside=True,
        )
        self.first = self.add_line(
            tr("First day of use"),
            hint=tr("2026-03-01, or empty"),
            text=day_text(meter.first_day if meter else None),
        )
        self.last = self.add_line(
            tr("Last day of use"),
            hint=tr("empty while it is in use"),
            text=day_text(meter.last_day if meter else None),
            beside=True,
        )
        self.keep = CheckBox(
            tr("Its memory must be kept"), self, checked=bool(meter and meter.keep_memory)
        )
        self.keep.setToolTip(
            tr("As for drivers who have to show it: then no check says that it may be cleared.")
        )
        self.keep.setAccessibleDescription(self.keep.toolTip())
        self.add_field(self.keep)
        if meter is not None:
            self.let_remove("meter", meter.id, meter.uid, meter.name)
        self.close_up()
        self.name.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, fields = self.session, self._fields(now)
        if self._meter is None:
            given = {name: value for name, value in fields.items() if value is not None}
            unit = Unit(given.pop("unit"))
            name = given.pop("name")
            done = add_meter(session.diary, session.person, name, now=now, unit=unit, **given)
        else:
            done = edit_meter(session.diary, session.person, self._meter, fields, now=now)
        return done.sentence

    def _fields(self, now: datetime) -> dict[str, Any]:
        """The columns as typed; of a meter that is there, only those that differ."""
        unit, meter = Unit(str(self.unit.value())), self._meter
        capacity = whole(self.memory.text(), tr("Results that its memory holds"))
        if capacity is not None and not 1 <= capacity <= MOST_RESULTS:
            raise Refused(tr("A memory holds 1 to 100,000 results. Nothing was saved."))
        first, last = (day_said(each.text(), self.session, now) for each in (self.first, self.last))
        if first is not None and last is not None and last < first:
            raise Refused(tr("The last day of use would be before the first. Nothing was saved."))
        fields: dict[str, Any] = {
            "name": self.name.text(),
            "unit": unit.value,
            "capacity": capacity,
            "serial": self.serial.text().strip() or None,
            "first_day": first.toordinal() if first else None,
            "last_day": last.toordinal() if last else None,
            "keep_memory": int(self.keep.isChecked()),
        }
        shows = self.range.text().strip()
        if shows != _shows(meter) or (meter is not None and unit is not meter.unit and shows):
            ends: dict[str, Any] = dict.fromkeys(("low_mg", "low_mmol", "high_mg", "high_mmol"))
            fields |= range_fields(shows, unit) if shows else ends
        if meter is None:
            return fields
        there: dict[str, Any] = {
            "name": meter.name,
            "unit": meter.unit.value,
            "capacity": meter.capacity,
            "serial": meter.serial,
            "first_day": meter.first_day,
            "last_day": meter.last_day,
            "keep_memory": int(meter.keep_memory),
        }
        return {name: value for name, value in fields.items() if there.get(name, ...) != value}


def _shows(meter: Meter | None) -> str:
    if meter is None or meter.low is None or meter.high is None:
        return ""
    return f"{_end(meter.low, meter.unit)}-{_end(meter.high, meter.unit)}"


def _end(limit: LimitPair, unit: Unit) -> str:
    return f"{limit.in_unit(unit):.{unit.places}f}"
