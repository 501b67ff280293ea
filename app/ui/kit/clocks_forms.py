"""Forms about meters' clocks: a setting, a stay in another zone, a stretch chosen by its stamps."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from app.domain.errors import DiaryError, Refused
from app.review.clock_stretch import a_wall, memory_of, run_stamped
from app.review.clocks import Clocks, Proposal
from app.ui.controls import Choice, Field
from app.ui.controls.drawing import px
from app.ui.kit.clocks_draft import stretch_of
from app.ui.kit.clocks_words import stamp_words
from app.ui.kit.forms import KitForm
from app.ui.kit.words import tr
from app.ui.session import Session
from app.work.clock_notes import keep_setting, keep_stay
from app.work.note_down import moment_typed

_LEAST = 400  # px at a text size of 13 px
_UNKNOWN, _HOME, _LOCAL = "unknown", "home", "local"


class _Form(KitForm):
    """A form with room for stamps and zones."""

    def close_up(self) -> None:
        super().close_up()
        self.setMinimumWidth(px(_LEAST))


class SettingForm(_Form):
    """A meter's clock was set, or began anew, for instance with a new battery."""

    def __init__(self, session: Session, clocks: Clocks, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("A clock was set"), parent)
        self._meters = {each.meter.name: each.meter for each in clocks.memories}
        self.meter = Choice([(name, name) for name in self._meters], name=tr("Meter"))
        self.column.addWidget(Field(tr("Meter"), self.meter, parent=self))
        self.when = self.add_line(tr("When it truly was"), hint=tr("14 Nov 18:20"), text="now")
        self.before = self.add_line(
            tr("What the clock showed before"), hint=tr("2026-11-14 17:20, or empty")
        )
        self.after = self.add_line(
            tr("What it showed then"), hint=tr("2020-01-01 00:00; empty if it was set right")
        )
        self.cause = self.add_line(tr("Why"), hint=tr("battery, summer time, or empty"))
        self.close_up()
        self.when.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, meter = self.session, self._meters[str(self.meter.value())]
        at = moment_typed(self.when.text().strip(), session.person, now=now, zone=meter.zone)
        return keep_setting(
            session.diary,
            session.person,
            (meter.id, meter.name),
            at,
            now=now,
            shown_before=_wall(self.before.text()),
            shown_after=_wall(self.after.text()),
            cause=self.cause.text().strip() or None,
        )


class StayForm(_Form):
    """A stay in another zone; a proposal about a journey fills its days in."""

    def __init__(
        self, session: Session, about: Proposal | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(session, tr("A stay in another zone"), parent)
        first = last = ""
        if about is not None:
            first, last = (
                "" if each.shown is None else f"{each.shown:%Y-%m-%d %H:%M}"
                for each in (about.records[0], about.records[-1])
            )
        self.zone = self.add_line(tr("Zone"), hint=tr("America/New_York"))
        self.first = self.add_line(
            tr("From, by the clocks there"), hint=tr("2026-02-14 15:00"), text=first
        )
        self.last = self.add_line(tr("To"), hint=tr("2026-02-21 11:00"), text=last)
        ways = [
            (tr("not known"), _UNKNOWN),
            (tr("the time of home"), _HOME),
            (tr("the time of the place"), _LOCAL),
        ]
        self.meters = Choice(ways, name=tr("What the meters showed there"))
        if about is not None and about.kind == "home_time":
            self.meters.choose(_HOME)
        self.column.addWidget(Field(tr("What the meters showed there"), self.meters, parent=self))
        self.close_up()
        self.zone.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, zone = self.session, self.zone.text().strip()
        if not zone:
            raise Refused(tr("Say which zone, as Region/City. Nothing was saved."))
        person = session.person
        start, end = (
            moment_typed(each.text().strip(), person, now=now, zone=zone, sure=True)
            for each in (self.first, self.last)
        )
        kept = {_UNKNOWN: None, _HOME: person.zone, _LOCAL: zone}[str(self.meters.value())]
        return keep_stay(session.diary, person, start, end, now=now, meters_kept=kept)


class StretchForm(_Form):
    """Which records another stretch has. Signals: chosen(Stretch); it saves nothing."""

    chosen = Signal(object)

    def __init__(self, session: Session, clocks: Clocks, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Another stretch"), parent)
        self._clocks = clocks
        self._memories = {each.meter.name: each for each in clocks.memories if each.records}
        self.meter = Choice([(name, name) for name in self._memories], name=tr("Meter"))
        self.column.addWidget(Field(tr("Meter"), self.meter, parent=self))
        self.first = self.add_line(tr("From the stamp"), hint=tr("as the meter showed it"))
        self.last = self.add_line(tr("To the stamp"))
        self.save.setText(tr("Go on"))
        self.save.setAccessibleName(tr("Go on"))
        self.close_up()
        self.meter.currentIndexChanged.connect(self._begin)
        self._begin()
        self.first.setFocus(Qt.FocusReason.OtherFocusReason)

    def try_to_save(self) -> None:
        try:
            memory = memory_of(self._clocks, self._memories[str(self.meter.value())].meter)
            run = run_stamped(memory, a_wall(self.first.text()), a_wall(self.last.text()))
            stretch = stretch_of(self._clocks, run)
        except DiaryError as trouble:
            self._tell(str(trouble))
        else:
            self.accept()
            self.chosen.emit(stretch)

    def write(self, now: datetime) -> str:
        raise RuntimeError(f"a stretch is chosen, not saved, at {now}")

    def _begin(self) -> None:
        """Fill in the stamps of the newest record: what was copied last is asked about most."""
        records = self._memories[str(self.meter.value())].records
        shown = [each.shown for each in records if each.shown is not None]
        for line in (self.first, self.last):
            line.setText(stamp_words(shown[-1]) if shown else "")


def _wall(text: str) -> datetime | None:
    return a_wall(text) if text.strip() else None
