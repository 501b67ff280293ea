"""With which meter readings were made that were typed before any was written down."""

from __future__ import annotations

from datetime import date, datetime

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.domain.clock import Period
from app.domain.errors import Refused
from app.review.kit import KitShown
from app.ui.controls import TextColumn
from app.ui.kit.forms import KitForm, day_said, day_text, meter_choices, meter_of
from app.ui.kit.words import many, tr
from app.ui.session import Session
from app.work.kit_tests import say_kit_of_readings


class UnmeteredForm(KitForm):
    """Those that say a meter already stay as they are; how many it would be stands below."""

    def __init__(self, session: Session, shown: KitShown, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Readings without a meter"), parent)
        self._shown = shown
        without = shown.without_meter
        self.meter = self.add_choice(tr("Made with"), meter_choices(shown))
        self.first = self.add_line(
            tr("First day"), hint=tr("2026-03-01, 1 Mar"), text=day_text(without.first_day)
        )
        self.last = self.add_line(
            tr("Last day"), hint=tr("it included"), text=day_text(without.last_day), beside=True
        )
        self.count = TextColumn("", self, ink="ink2")
        self.add_field(self.count)
        for line in (self.first, self.last):
            line.textChanged.connect(self._show_count)
        self._show_count()
        self.close_up()
        self.meter.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        meter = meter_of(self._shown, self.meter.value())
        period = self._period(now)
        if period is None:
            raise Refused(tr("Say the first and the last day. Nothing was changed."))
        _, sentence = say_kit_of_readings(
            self.session.diary, self.session.person, self._ids(period), now=now, meter=meter
        )
        return sentence

    def _period(self, now: datetime) -> Period | None:
        """The days as typed, None where one is missing."""
        first, last = (day_said(each.text(), self.session, now) for each in (self.first, self.last))
        if first is None or last is None:
            return None
        if last < first:
            raise Refused(tr("The last day would be before the first. Nothing was changed."))
        return Period(first, last)

    def _ids(self, period: Period) -> list[int]:
        columns = self.session.record.between(period)
        found: list[int] = columns.id[columns.meter == 0].tolist()
        return found

    def _show_count(self) -> None:
        try:
            period = Period(
                *(date.fromisoformat(e.text().strip()) for e in (self.first, self.last))
            )
        except (ValueError, Refused):  # it is still being typed, or in another way
            self.count.setText("")
            return
        n = len(self._ids(period))
        self.count.setText(
            many(
                n,
                "{n} reading without a meter lies in these days. One undo takes it back.",
                "{n} readings without a meter lie in these days. One undo takes it back.",
            )
        )
