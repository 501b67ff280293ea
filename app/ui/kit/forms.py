"""Forms of the Kit page: a control test, and a new vial; what is typed stays when it is refused."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from datetime import datetime
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.errors import DiaryError, NeedsAnswer
from app.domain.glucose import Glucose, Unit
from app.domain.numerals import plain_number
from app.review.kit import KitShown
from app.ui.controls import Button, Choice, Field, LineField, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.kit.words import tr
from app.ui.session import Session
from app.work.kit_tests import note_control
from app.work.kit_things import add_meter
from app.work.kit_vials import add_vial, read_range
from app.work.note_down import moment_typed

_LEVELS = ("low", "normal", "high")


class KitForm(QDialog):
    """Fields over a Save button. Signals: done_with(str), the sentence of what was saved."""

    done_with = Signal(str)

    def __init__(self, session: Session, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(px(24), px(20), px(24), px(16))
        self.column.setSpacing(px(10))
        self.column.addWidget(SectionTitle(title, self))
        self.trouble = TextColumn("", self)
        self.trouble.setMinimumWidth(px(380))
        self.trouble.setVisible(False)
        self.save = Button(tr("Save"), self, main=True, size="form")
        self.leave = Button(tr("Leave"), self, size="form")
        self.save.clicked.connect(self.try_to_save)
        self.leave.clicked.connect(self.reject)

    def add_line(self, label: str, *, hint: str = "", text: str = "") -> LineField:
        """Add a line to type in."""
        line = LineField(text, self, name=label)
        self.column.addWidget(Field(label, line, parent=self, hint=hint))
        return line

    def close_up(self) -> None:
        """Put the buttons below all fields."""
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.leave)
        row.addWidget(self.save)
        self.column.addWidget(self.trouble)
        self.column.addLayout(row)

    @abstractmethod
    def write(self, now: datetime) -> str:
        """Save what was typed and say what was done."""

    def try_to_save(self) -> None:
        """Save; what is refused or asked stands above the buttons, and nothing typed is lost."""
        try:
            sentence = self.write(self.session.now())
        except NeedsAnswer as asked:
            self._tell(" ".join(each.asks for each in asked.questions))
        except DiaryError as trouble:
            self._tell(str(trouble))
        else:
            self.done_with.emit(sentence)
            self.accept()

    def _tell(self, text: str) -> None:
        self.trouble.setText(text)
        self.trouble.setVisible(True)
        self.trouble.setAccessibleName(text)


class ControlForm(KitForm):
    """A control test: result, meter, level, when."""

    def __init__(self, session: Session, shown: KitShown, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Control test"), parent)
        self._meters = {each.meter.name: each.meter for each in shown.meters}
        self.shows = self.add_line(tr("Result"), hint=tr("as the meter shows it"))
        self.meter = Choice(
            [(_with_vial(each.meter.name, each.vial), each.meter.name) for each in shown.meters],
            name=tr("Meter"),
        )
        self.level = Choice([(tr(each), each) for each in _LEVELS], name=tr("Level"))
        self.level.setCurrentIndex(_LEVELS.index("normal"))
        for label, choice in ((tr("Meter"), self.meter), (tr("Level"), self.level)):
            self.column.addWidget(Field(label, choice, parent=self))
        self.when = self.add_line(tr("When"), hint=tr("now, 18:20, yesterday 7:10"), text="now")
        self.close_up()
        self.shows.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, meter = self.session, self._meters[str(self.meter.value())]
        number = plain_number(self.shows.text().strip())
        if number is None:
            raise DiaryError(tr("Say the result as a number. Nothing was saved."))
        typed = self.when.text().strip()
        at = moment_typed(None if typed in ("", "now") else typed, session.person, now=now)
        done = note_control(
            session.diary,
            session.person,
            Glucose(number, meter.unit),
            at,
            now=now,
            meter=meter,
            level=str(self.level.value()),
        )
        return done.sentence


class MeterForm(KitForm):
    """A new meter, in the person's unit unless another is chosen."""

    def __init__(self, session: Session, _shown: KitShown, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("New meter"), parent)
        self.name = self.add_line(tr("What you call it"), hint=tr("its colour, or whose it is"))
        own = session.person.unit
        others = [each for each in Unit if each is not own]
        self.unit = Choice([(str(each), each) for each in (own, *others)], name=tr("Unit"))
        self.column.addWidget(Field(tr("Unit"), self.unit, parent=self))
        self.memory = self.add_line(
            tr("Results that its memory holds"), hint=tr("as its leaflet says, or empty")
        )
        self.close_up()
        self.name.setFocus(Qt.FocusReason.OtherFocusReason)

    def write(self, now: datetime) -> str:
        session, memory = self.session, _whole(self.memory.text(), tr("Results"))
        more: dict[str, Any] = {} if memory is None else {"capacity": memory}
        done = add_meter(
            session.diary,
            session.person,
            self.name.text(),
            now=now,
            unit=Unit(str(self.unit.value())),
            **more,
        )
        return done.sentence


class VialForm(KitForm):
    """A new vial of strips with its dates and range, in use with a meter from now on."""

    def __init__(self, session: Session, shown: KitShown, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("New vial of strips"), parent)
        self._meters = {each.meter.name: each.meter for each in shown.meters}
        self.lot = self.add_line(tr("Lot, or your name for it"))
        self.printed = self.add_line(tr("Printed expiry"), hint=tr("2027-05 or 2027-05-31"))
        self.days = self.add_line(tr("Days after opening"), hint=tr("as the label says, or empty"))
        self.strips = self.add_line(tr("Strips in it"), hint=tr("50"))
        self.range = self.add_line(tr("Control range, normal level"), hint=tr("5.2-7.8"))
        self.meter = Choice([(name, name) for name in self._meters], name=tr("Used with"))
        self.column.addWidget(Field(tr("Used with"), self.meter, parent=self))
        self.close_up()

    def write(self, now: datetime) -> str:
        session, meter = self.session, self._meters[str(self.meter.value())]
        typed = self.range.text().strip()
        ranges = [read_range(typed, "normal", meter.unit)] if typed else []
        done = add_vial(
            session.diary,
            session.person,
            now=now,
            lot=self.lot.text() or None,
            printed=self.printed.text().strip() or None,
            opened=session.today(),
            days_open=_whole(self.days.text(), tr("Days after opening")),
            strips=_whole(self.strips.text(), tr("Strips in it")),
            ranges=ranges,
            meter=meter,
            since=int(now.timestamp()),
        )
        return done.sentence


def _whole(text: str, what: str) -> int | None:
    typed = text.strip()
    if not typed:
        return None
    if not typed.isdecimal():
        raise DiaryError(tr("{what}: say a whole number. Nothing was saved.").format(what=what))
    return int(typed)


def _with_vial(meter: str, vial: str | None) -> str:
    return f"{meter} · {vial}" if vial else meter


FormOf = Callable[[Session, KitShown, QWidget], KitForm]
