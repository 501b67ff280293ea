"""A control test, new or to be corrected: result, meter, level, vial, solution, temperature."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.domain.clock import Moment
from app.domain.errors import NeedsAnswer, Refused
from app.domain.glucose import Bound, Glucose
from app.domain.kit import LEVELS, Solution, Vial
from app.review.kit import KitShown
from app.review.kit_tests import TestLine
from app.ui.controls import TextColumn
from app.ui.kit.forms import meter_choices, meter_of
from app.ui.kit.removing import RemovingForm
from app.ui.kit.words import day_named, level_name, tr
from app.ui.session import Session
from app.ui.words import number_words
from app.work.kit_tests import edit_control, note_control
from app.work.note_down import moment_typed
from app.work.retype import typed_value

_IN_USE = _NOT_SAID = 0


class ControlForm(RemovingForm):
    """The range that will be held against it stands below; an odd result is asked about once."""

    def __init__(
        self,
        session: Session,
        shown: KitShown,
        parent: QWidget | None = None,
        *,
        line: TestLine | None = None,
    ) -> None:
        title = tr("Control test") if line is None else tr("Correct a control test")
        super().__init__(session, title, parent)
        self._shown, self._line = shown, line
        self._odd = ""  # the result that was asked about: saved again, it is meant
        test = line.judged.test if line else None
        self.shows = self.add_line(
            tr("Result"),
            hint=tr("as the meter shows it"),
            text=_typed(test.glucose) if test else "",
        )
        self.level = self.add_choice(
            tr("Level"), [(level_name(each), each) for each in LEVELS], beside=True
        )
        self.meter = self.add_choice(tr("Meter"), meter_choices(shown))
        in_use = tr("the one in use then")
        self.vial = self.add_choice(
            tr("Vial"),
            [(in_use, _IN_USE), *((e.name, e.id) for e in _newest(shown))],
            beside=True,
        )
        bottles = [(_bottle(each, shown), each.id) for each in reversed(shown.solutions)]
        self.solution = self.add_choice(tr("Solution"), [(tr("not said"), _NOT_SAID), *bottles])
        self.warmth = self.add_line(
            tr("Temperature"),
            hint=tr("22 C, 72 F, or empty"),
            text=(test.temperature or "") if test else "",
            beside=True,
        )
        self.range = TextColumn("", self, ink="ink2")
        self.add_field(self.range)
        self._stood = _written(test.moment) if test else "now"
        self.when = self.add_line(
            tr("When"), hint=tr("now, 18:20, yesterday 7:10"), text=self._stood
        )
        self._begin()
        for choice in (self.level, self.meter, self.vial, self.solution):
            choice.currentIndexChanged.connect(self._show_range)
        self.level.currentIndexChanged.connect(self._choose_bottle)
        if line is not None and test is not None:
            self.let_remove("control_test", test.id, test.uid, title)
        self.close_up()
        self.shows.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, glucose = self.session, self._result(now)
        vial = self._vial_said()
        bottle = next((e for e in self._shown.solutions if e.id == self.solution.value()), None)
        if self._line is not None:
            fields = self._different(glucose, vial, bottle)
            test = self._line.judged.test
            at = None if self._typed_when() == self._stood else self._moment(now)
            return edit_control(
                session.diary, session.person, test, fields, now=now, at=at
            ).sentence
        at = self._moment(now)
        done = note_control(
            session.diary,
            session.person,
            glucose,
            at,
            now=now,
            meter=meter_of(self._shown, self.meter.value()),
            level=str(self.level.value()),
            vial=vial,
            solution=bottle,
            temperature=self.warmth.text(),
        )
        return done.sentence

    def _begin(self) -> None:
        if self._line is None:
            self.level.choose("normal")
            self._choose_bottle()
        else:
            test = self._line.judged.test
            if test.level in LEVELS:
                self.level.choose(test.level)
            self.meter.choose(test.meter)
            self.vial.choose(test.vial_said or _IN_USE)
            self.solution.choose(test.solution or _NOT_SAID)
        self._show_range()

    def _choose_bottle(self) -> None:
        """Take the bottle of that level that was written down last."""
        own = [each.id for each in self._shown.solutions if each.level == self.level.value()]
        self.solution.choose(own[-1] if own else _NOT_SAID)

    def _typed_when(self) -> str:
        return self.when.text().strip()

    def _moment(self, now: datetime) -> Moment:
        """When it was, in the zone where it was where it stood already."""
        typed = self._typed_when()
        zone = self._line.judged.test.moment.zone if self._line else None
        text = None if typed in ("", "now") else typed
        return moment_typed(text, self.session.person, now=now, zone=zone)

    def _result(self, now: datetime) -> Glucose:
        meter = meter_of(self._shown, self.meter.value())
        typed = self.shows.text().strip()
        if not typed:
            raise Refused(tr("Say the result as a number. Nothing was saved."))
        entry = typed_value(
            typed, self.session.person, meter.unit, now=now, sure=typed == self._odd
        )
        if entry.questions:
            self._odd = typed
            raise NeedsAnswer(entry.questions)
        if entry.problems or entry.glucose is None:
            raise Refused(" ".join((*entry.problems, tr("Nothing was saved."))))
        return entry.glucose

    def _different(
        self, glucose: Glucose, vial: Vial | None, bottle: Solution | None
    ) -> dict[str, Any]:
        """The columns that are other than before."""
        assert self._line is not None
        test = self._line.judged.test
        fields: dict[str, Any] = {}
        if glucose != test.glucose:
            fields |= {"value": glucose.value, "bound": glucose.bound.value}
            fields["unit"] = glucose.unit.value
        given = {
            "meter_id": (meter_of(self._shown, self.meter.value()).id, test.meter),
            "vial_id": (vial.id if vial else None, test.vial_said),
            "level": (str(self.level.value()), test.level),
            "solution_id": (bottle.id if bottle else None, test.solution),
            "temperature": (" ".join(self.warmth.text().split()) or None, test.temperature),
        }
        return fields | {name: new for name, (new, old) in given.items() if new != old}

    def _vial_said(self) -> Vial | None:
        return next((e.vial for e in self._shown.vials if e.vial.id == self.vial.value()), None)

    def _show_range(self) -> None:
        """Say which range will be held against it, and what speaks against the test."""
        vial, said = self._vial_meant(), []
        level = str(self.level.value())
        if vial is None:
            said.append(tr("No vial is known there: it can neither pass nor fail."))
        elif (printed := vial.range_for(level)) is None:
            said.append(
                tr("No range for the {level} level is written for vial {vial}.").format(
                    level=level_name(level), vial=vial.name
                )
            )
        else:
            ends = number_words(f"{printed.low} – {printed.high}")
            said.append(
                tr("Range of vial {vial}: {range} {unit}, both ends included.").format(
                    vial=vial.name, range=ends, unit=printed.unit
                )
            )
        if vial is not None and _over(vial.last_good_day, self._shown.today):
            said.append(tr("Its strips are out of date."))
        bottle = next((e for e in self._shown.solutions if e.id == self.solution.value()), None)
        if bottle is not None and _over(bottle.last_good_day, self._shown.today):
            said.append(tr("The solution is out of date; the test will say so."))
        self.range.setText(" ".join(said))

    def _vial_meant(self) -> Vial | None:
        if self.vial.value() != _IN_USE:
            return self._vial_said()
        if self._line is not None and self.meter.value() == self._line.judged.test.meter:
            judged = self._line.judged
            return next((e.vial for e in self._shown.vials if e.vial.id == judged.vial), None)
        chosen = self.meter.value()
        line = next((each for each in self._shown.meters if each.meter.id == chosen), None)
        used = [
            each.vial
            for each in self._shown.vials
            if line is not None and each.in_use and line.meter.name in each.meters
        ]
        return used[-1] if used else None


def _newest(shown: KitShown) -> list[Vial]:
    return [each.vial for each in sorted(shown.vials, key=lambda e: (not e.in_use, -e.vial.id))]


def _bottle(bottle: Solution, shown: KitShown) -> str:
    said = f"{bottle.name} · {level_name(bottle.level)}"
    if not _over(bottle.last_good_day, shown.today):
        return said
    assert bottle.last_good_day is not None
    day = day_named(bottle.last_good_day, shown.today, shown.person)
    return tr("{bottle} · good until {day}").format(bottle=said, day=day)


def _over(last: int | None, today: int) -> bool:
    return last is not None and last < today


def _written(at: Moment) -> str:
    return f"{at.local:%Y-%m-%d %H:%M}"


def _typed(glucose: Glucose) -> str:
    if glucose.value is None:
        return {Bound.BELOW: "LO", Bound.ABOVE: "HI"}.get(glucose.bound, "")
    return {Bound.BELOW: "<", Bound.ABOVE: ">"}.get(glucose.bound, "") + glucose.value
