"""Which vial a meter uses, from when on, and when a vial was used up."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.domain.errors import Refused
from app.domain.kit import Vial
from app.review.kit import KitShown
from app.ui.controls import CheckBox
from app.ui.kit.forms import KitForm, meter_choices, meter_of
from app.ui.kit.words import tr
from app.ui.session import Session
from app.work.kit_vials import end_use, use_vial
from app.work.note_down import moment_typed

_USED_UP = 0


class UseForm(KitForm):
    """The vial that a meter had until then is used no more, unless both are said to be."""

    def __init__(
        self,
        session: Session,
        shown: KitShown,
        parent: QWidget | None = None,
        *,
        vial: Vial | None = None,
    ) -> None:
        super().__init__(session, tr("Use of a vial"), parent)
        self._shown = shown
        lines = sorted(shown.vials, key=lambda each: (not each.in_use, -each.vial.id))
        self.vial = self.add_choice(tr("Vial"), [(each.vial.name, each.vial.id) for each in lines])
        if vial is not None:
            self.vial.choose(vial.id)
        self.meter = self.add_choice(
            tr("Used with"), [*meter_choices(shown), (tr("none: it is used up"), _USED_UP)]
        )
        self.since = self.add_line(tr("From"), hint=tr("now, 18:20, 1 Mar 06:00"), text="now")
        self.until = self.add_line(tr("Until"), hint=tr("empty while it goes on"), beside=True)
        self.both = CheckBox(tr("The meter goes on using its other vial too"), self)
        self.add_field(self.both)
        self.meter.currentIndexChanged.connect(self._on_meter)
        self.close_up()
        self.vial.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, person = self.session, self.session.person
        vial = next((e.vial for e in self._shown.vials if e.vial.id == self.vial.value()), None)
        if vial is None:
            raise Refused(tr("There is no vial yet; New vial begins one. Nothing was saved."))
        typed = self.since.text().strip()
        start = moment_typed(None if typed in ("", "now") else typed, person, now=now)
        if self.meter.value() == _USED_UP:
            return end_use(session.diary, person, vial, start, now=now).sentence
        typed = self.until.text().strip()
        end = moment_typed(typed, person, now=now) if typed else None
        meter = meter_of(self._shown, self.meter.value())
        done = use_vial(
            session.diary,
            person,
            vial,
            meter,
            start,
            now=now,
            end=end,
            beside=self.both.isChecked(),
        )
        return done.sentence

    def _on_meter(self) -> None:
        goes_on = self.meter.value() != _USED_UP
        self.until.setEnabled(goes_on)
        self.both.setEnabled(goes_on)
