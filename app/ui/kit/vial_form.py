"""A vial of strips, new or to be corrected: its dates, strips and printed ranges."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.domain.errors import Refused
from app.domain.good_days import read_printed
from app.domain.kit import GLUCOSE, KETONE, LEVELS, ControlRange, Meter, Vial
from app.review.kit import KitShown
from app.ui.controls import Field, LineField
from app.ui.kit.forms import day_said, day_text, meter_choices, meter_of, whole
from app.ui.kit.removing import RemovingForm
from app.ui.kit.words import level_name, tr
from app.ui.session import Session
from app.work.kit_vials import add_vial, edit_vial, read_range
from app.work.note_down import moment_typed

_NO_METER = 0


class VialForm(RemovingForm):
    """Without a vial it makes a new one, in use with a meter; a corrected date moves doubt."""

    def __init__(
        self,
        session: Session,
        shown: KitShown,
        parent: QWidget | None = None,
        *,
        vial: Vial | None = None,
    ) -> None:
        title = tr("Vial {name}").format(name=vial.name) if vial else tr("New vial of strips")
        super().__init__(session, title, parent)
        self._shown, self._vial = shown, vial
        self.lot = self.add_line(
            tr("Lot, or your name for it"), text=(vial.lot or "") if vial else ""
        )
        kinds = [(tr("glucose"), GLUCOSE), (tr("ketones"), KETONE)]
        self.kind = self.add_choice(tr("Strips for"), kinds, beside=True)
        self.printed = self.add_line(
            tr("Printed expiry"),
            hint=tr("2027-05 or 2027-05-31; a month ends with its last day"),
            text=(vial.printed or "") if vial else "",
        )
        self.opened = self.add_line(
            tr("Opened on"),
            hint=tr("2026-03-01, today; empty: not yet"),
            text=day_text(vial.opened_day) if vial else "",
            beside=True,
        )
        self.days = self.add_line(
            tr("Days after opening"),
            hint=tr("as the label says, or empty"),
            text=_number(vial.days_open if vial else None),
        )
        self.strips = self.add_line(
            tr("Strips in it"),
            hint=tr("as the label says, or empty"),
            text=_number(vial.strips if vial else None),
            beside=True,
        )
        self.ranges = {level: self._range_line(level) for level in ("normal", "low", "high")}
        self.range = self.ranges["normal"]
        if vial is None:
            self._add_use()
        else:
            self.kind.choose(vial.kind) if vial.kind in (GLUCOSE, KETONE) else None
            self.kind.setEnabled(False)  # what strips measure is no matter of a correction
            self.finished = self.add_line(
                tr("Last day of use"),
                hint=tr("empty while it is in use"),
                text=day_text(vial.finished_day),
            )
            self.let_remove("vial", vial.id, vial.uid, vial.name)
        self.close_up()
        self.lot.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        return self._add(now) if self._vial is None else self._correct(self._vial, now)

    def _add_use(self) -> None:
        choices = [*meter_choices(self._shown), (tr("no meter yet"), _NO_METER)]
        self.meter = self.add_choice(tr("Used with"), choices)
        self.since = self.add_line(
            tr("From"), hint=tr("empty: when it is opened, else now"), beside=True
        )
        self.opened.setText(self.session.today().isoformat())

    def _range_line(self, level: str) -> LineField:
        there = self._vial.range_for(level) if self._vial else None
        label = tr("Range, {level} level").format(level=level_name(level))
        line = LineField(_range_text(there), self, name=label)
        hint = tr("for control tests: 5.2-7.8") if level == "normal" else tr("or empty")
        self.add_field(Field(label, line, parent=self, hint=hint), beside=level != "normal")
        return line

    def _add(self, now: datetime) -> str:
        session, opened = self.session, day_said(self.opened.text(), self.session, now)
        meter = None
        if self.meter.value() != _NO_METER:
            meter = meter_of(self._shown, self.meter.value())
        done = add_vial(
            session.diary,
            session.person,
            now=now,
            lot=self.lot.text() or None,
            kind=str(self.kind.value()),
            printed=self._printed(),
            opened=opened,
            days_open=whole(self.days.text(), tr("Days after opening")),
            strips=whole(self.strips.text(), tr("Strips in it")),
            ranges=self._ranges(meter),
            meter=meter,
            since=None if meter is None else self._begin(opened, now),
        )
        return done.sentence

    def _begin(self, opened: date | None, now: datetime) -> int:
        """When the use begins: as said, else with the day of opening, else now."""
        person, typed = self.session.person, self.since.text().strip()
        if typed:
            return moment_typed(typed, person, now=now).instant
        if opened is None or opened == self.session.today():
            return int(now.timestamp())
        return moment_typed(f"{opened} 00:00", person, now=now, sure=True).instant

    def _correct(self, vial: Vial, now: datetime) -> str:
        session = self.session
        opened, finished = (
            day_said(each.text(), session, now) for each in (self.opened, self.finished)
        )
        fields: dict[str, Any] = {
            "lot": " ".join(self.lot.text().split()) or None,
            "printed_expiry": self._printed(),
            "opened_day": opened.toordinal() if opened else None,
            "days_open": whole(self.days.text(), tr("Days after opening")),
            "strips": whole(self.strips.text(), tr("Strips in it")),
            "finished_day": finished.toordinal() if finished else None,
        }
        there = {
            "lot": vial.lot,
            "printed_expiry": vial.printed,
            "opened_day": vial.opened_day,
            "days_open": vial.days_open,
            "strips": vial.strips,
            "finished_day": vial.finished_day,
        }
        other = {name: value for name, value in fields.items() if there[name] != value}
        used = next((use.meter for use in self._uses(vial)), None)
        meter = next((e.meter for e in self._shown.meters if e.meter.id == used), None)
        done = edit_vial(
            session.diary, session.person, vial, other, now=now, ranges=self._ranges(meter)
        )
        return done.sentence

    def _uses(self, vial: Vial) -> tuple[Any, ...]:
        return next((each.uses for each in self._shown.vials if each.vial.id == vial.id), ())

    def _printed(self) -> str | None:
        typed = self.printed.text().strip()
        return read_printed(typed) if typed else None

    def _ranges(self, meter: Meter | None) -> list[ControlRange]:
        """The ranges that were typed, or typed over, in the unit that its meter shows."""
        found = []
        for level in LEVELS:
            typed = self.ranges[level].text().strip()
            there = self._vial.range_for(level) if self._vial else None
            if typed == _range_text(there):
                continue
            if not typed:
                raise Refused(
                    tr("A printed range can be corrected, not left empty. Nothing was saved.")
                )
            unit = there.unit if there else meter.unit if meter else self.session.person.unit
            found.append(read_range(typed, level, unit))
        return found


def _number(count: int | None) -> str:
    return "" if count is None else str(count)


def _range_text(printed: ControlRange | None) -> str:
    return "" if printed is None else f"{printed.low}-{printed.high}"
