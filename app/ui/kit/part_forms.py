"""Forms of the smaller things: solution, parts, what happened, strips bought, how often to test."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.domain.errors import Refused
from app.domain.good_days import read_printed
from app.domain.kit import (
    EVENT_KINDS,
    ITEM_KINDS,
    LEVELS,
    STRIPS,
    SUPPLY_WHY,
    KitItem,
    Meter,
    Solution,
    Vial,
)
from app.review.kit import KitShown
from app.ui.kit.forms import KitForm, day_said, day_text, whole
from app.ui.kit.part_words import event_name, item_name, supply_name
from app.ui.kit.removing import RemovingForm
from app.ui.kit.words import level_name, tr
from app.ui.session import Session
from app.work.kit_tests import note_item, note_kit_event, note_supply, say_control_every
from app.work.kit_things import add_solution, edit_solution
from app.work.note_down import moment_typed

_USUAL_DAYS = 90  # after opening, as most labels of control solution say


class SolutionForm(RemovingForm):
    """A bottle of control solution, new or to be corrected."""

    def __init__(
        self,
        session: Session,
        _shown: KitShown,
        parent: QWidget | None = None,
        *,
        bottle: Solution | None = None,
    ) -> None:
        title = tr("Solution {name}").format(name=bottle.name) if bottle else tr("New solution")
        super().__init__(session, title, parent)
        self._bottle = bottle
        self.lot = self.add_line(
            tr("Lot, or your name for it"), text=(bottle.lot or "") if bottle else ""
        )
        self.level = self.add_choice(
            tr("Level"), [(level_name(each), each) for each in LEVELS], beside=True
        )
        level = bottle.level if bottle else "normal"
        if level in LEVELS:
            self.level.choose(level)
        self.printed = self.add_line(
            tr("Printed expiry"),
            hint=tr("2027-05 or 2027-05-31; a month ends with its last day"),
            text=(bottle.printed or "") if bottle else "",
        )
        self.opened = self.add_line(
            tr("Opened on"),
            hint=tr("2026-03-01, today; empty: not yet"),
            text=day_text(bottle.opened_day) if bottle else "today",
            beside=True,
        )
        days = bottle.days_open if bottle else _USUAL_DAYS
        self.days = self.add_line(
            tr("Days after opening"),
            hint=tr("as the label says"),
            text="" if days is None else str(days),
        )
        if bottle is not None:
            self.let_remove("solution", bottle.id, bottle.uid, bottle.name)
        self.close_up()
        self.lot.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, bottle = self.session, self._bottle
        lot, level = " ".join(self.lot.text().split()) or None, str(self.level.value())
        typed = self.printed.text().strip()
        printed = read_printed(typed) if typed else None
        opened = day_said(self.opened.text(), session, now)
        days = whole(self.days.text(), tr("Days after opening"))
        if bottle is None:
            done = add_solution(
                session.diary,
                session.person,
                level,
                now=now,
                lot=lot,
                printed=printed,
                opened=opened,
                days_open=days,
            )
            return done.sentence
        opened_day = opened.toordinal() if opened else None
        given: dict[str, tuple[Any, Any]] = {
            "lot": (lot, bottle.lot),
            "level": (level, bottle.level),
            "printed_expiry": (printed, bottle.printed),
            "opened_day": (opened_day, bottle.opened_day),
            "days_open": (days, bottle.days_open),
        }
        fields = {name: new for name, (new, old) in given.items() if new != old}
        return edit_solution(session.diary, session.person, bottle, fields, now=now).sentence


class ItemForm(KitForm):
    """A lancing device, lancets, a battery or another part."""

    def __init__(self, session: Session, _shown: KitShown, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("New part"), parent)
        self.kind = self.add_choice(
            tr("What it is"), [(item_name(each), each) for each in ITEM_KINDS]
        )
        self.name = self.add_line(
            tr("What you call it"), hint=tr("its kind, size or place"), beside=True
        )
        self.close_up()
        self.kind.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, kind = self.session, str(self.kind.value())
        done = note_item(session.diary, session.person, kind, self.name.text(), now=now)
        return done.sentence


class EventForm(KitForm):
    """Something happened to a meter, a vial or a part: a drop, heat, a new battery or lancet."""

    def __init__(self, session: Session, shown: KitShown, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Something happened"), parent)
        self.kind = self.add_choice(
            tr("What happened"), [(event_name(each), each) for each in EVENT_KINDS]
        )
        self._things = _things(shown)
        self.thing = self.add_choice(
            tr("To what"), [(name, at) for at, (name, _) in enumerate(self._things)]
        )
        self.when = self.add_line(tr("When"), hint=tr("now, 18:20, yesterday 7:10"), text="now")
        self.note = self.add_line(tr("Note"), hint=tr("or empty"))
        self.close_up()
        self.kind.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, typed = self.session, self.when.text().strip()
        at = moment_typed(None if typed in ("", "now") else typed, session.person, now=now)
        chosen = self.thing.currentIndex()
        if chosen < 0:
            raise Refused(tr("There is no meter and no part yet. Nothing was saved."))
        thing = self._things[chosen][1]
        done = note_kit_event(
            session.diary,
            session.person,
            str(self.kind.value()),
            at,
            now=now,
            meter=thing if isinstance(thing, Meter) else None,
            vial=thing if isinstance(thing, Vial) else None,
            item=thing if isinstance(thing, KitItem) else None,
            note=self.note.text(),
        )
        return done.sentence


class SupplyForm(KitForm):
    """Strips or other pieces that were bought, counted, used or wasted."""

    def __init__(self, session: Session, shown: KitShown, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Strips bought or counted"), parent)
        self._shown = shown
        self.why = self.add_choice(tr("What"), [(supply_name(each), each) for each in SUPPLY_WHY])
        self.count = self.add_line(tr("How many"), hint=tr("50"), beside=True)
        running = [each.vial for each in shown.vials if each.in_use]
        self.vial = self.add_choice(
            tr("Of what"),
            [(tr("strips beside the vials in use"), 0), *((e.name, e.id) for e in running)],
        )
        self.when = self.add_line(tr("When"), hint=tr("now, yesterday 7:10"), text="now")
        self.close_up()
        self.why.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, typed = self.session, self.when.text().strip()
        count = whole(self.count.text(), tr("How many"))
        if count is None:
            raise Refused(tr("Say how many. Nothing was saved."))
        at = moment_typed(None if typed in ("", "now") else typed, session.person, now=now)
        done = note_supply(
            session.diary,
            session.person,
            STRIPS,
            count,
            str(self.why.value()),
            at,
            now=now,
            vial=next((e.vial for e in self._shown.vials if e.vial.id == self.vial.value()), None),
        )
        return done.sentence


class EveryForm(KitForm):
    """After how many days the label of the strips wants a control test."""

    def __init__(self, session: Session, shown: KitShown, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("How often a control test is due"), parent)
        self.days = self.add_line(
            tr("Every so many days"),
            hint=tr("as the label says; empty: not by days"),
            text="" if shown.every_days is None else str(shown.every_days),
        )
        self.close_up()
        self.days.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        days = whole(self.days.text(), tr("Every so many days"))
        return say_control_every(self.session.diary, self.session.person, days, now=now)


def _things(shown: KitShown) -> list[tuple[str, Meter | Vial | KitItem]]:
    """What something can happen to, by name: the meters, the vials in use, the parts."""
    vials = sorted(shown.vials, key=lambda each: (not each.in_use, -each.vial.id))
    return [
        *((tr("meter {name}").format(name=e.meter.name), e.meter) for e in shown.meters),
        *((tr("vial {name}").format(name=e.vial.name), e.vial) for e in vials),
        *((f"{item_name(e.kind)} {e.name}", e) for e in shown.items),
    ]
