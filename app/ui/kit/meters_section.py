"""Meters on the Kit page: what each shows and remembers, from when to when it was used."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from app.domain.kit import Meter
from app.review.kit import KitShown, MeterLine
from app.ui.controls import TextColumn
from app.ui.figures.cells import Cell
from app.ui.kit.kit_section import KitSection, cells, heads
from app.ui.kit.meter_form import MeterForm
from app.ui.kit.unmetered_form import UnmeteredForm
from app.ui.kit.words import day_named, many, tr
from app.ui.session import Session
from app.ui.words import count_words, joined, number_words


class MetersSection(KitSection):
    """Enter on a meter opens it to be changed."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Meters"), parent)
        self.title.set_note(tr("Enter on one changes it"))
        self.table = self.add_table(tr("Meters"), strip_column=6, may_go=(3, 2))
        self.table.picked.connect(self._on_picked)
        self.without = TextColumn("", self, ink="ink2")
        self.column.addWidget(self.without)
        self.says_meter = self.opener(tr("Say their meter…"), self._unmetered)
        self.tools = self.add_tools([self.says_meter])

    def show_kit(self, found: KitShown) -> None:
        self.found = found
        self.setVisible(bool(found.meters))
        names = (
            *(tr("Meter"), tr("Unit"), tr("Shows"), tr("Memory")),
            *(tr("Readings"), tr("Vial"), tr("Used")),
        )
        self.table.cells.set_cells(
            heads(*names, at_end=(3, 4)), [_line(each, found) for each in found.meters]
        )

        without = found.without_meter
        self.without.setText(_without_words(found) if without.n else "")
        for each in (self.without, self.tools):
            each.setVisible(without.n > 0)

    def _unmetered(self) -> UnmeteredForm:
        assert self.found is not None
        return UnmeteredForm(self.session, self.found, self)

    def _on_picked(self, _column: int) -> None:
        if self.found is not None and self.may_write:
            meter = self.found.meters[self.table.currentIndex().row()].meter
            self.open_form(MeterForm(self.session, self.found, self, meter=meter))


def _line(line: MeterLine, found: KitShown) -> list[Cell]:
    meter = line.meter
    texts = (
        meter.name,
        str(meter.unit),
        _shows(meter),
        tr("unknown") if meter.capacity is None else count_words(meter.capacity),
        count_words(line.n),
        line.vial or "–",
        joined(_used(line, found)) or "–",
    )
    row = cells(*texts, at_end=(3, 4), quiet=(6,))
    # Columns that have no room are in the words of the first cell.
    memory = tr("memory for {n}").format(n=texts[3])
    row[0] = replace(row[0], said=joined((*texts[:3], memory, texts[6])))
    return row


def _without_words(found: KitShown) -> str:
    without = found.without_meter
    days = [
        day_named(each, found.today, found.person)
        for each in (without.first_day, without.last_day)
        if each is not None
    ]
    return many(
        without.n,
        "{n} reading says no meter, {days}: no vial and no control test puts it in doubt.",
        "{n} readings say no meter, {days}: no vial and no control test puts them in doubt.",
        days=" – ".join(dict.fromkeys(days)),
    )


def _shows(meter: Meter) -> str:
    if meter.low is None or meter.high is None:
        return "–"
    low, high = (each.in_unit(meter.unit) for each in (meter.low, meter.high))
    return number_words(f"{low:.{meter.unit.places}f} – {high:.{meter.unit.places}f}")


def _used(line: MeterLine, found: KitShown) -> list[str]:
    """First and last use: the days that were said, else those of its readings."""
    meter = line.meter
    first, last = meter.first_day or line.first_day, meter.last_day or line.last_day
    said = []
    if first is not None and last is not None:
        days = [day_named(each, found.today, found.person) for each in (first, last)]
        said.append(" – ".join(dict.fromkeys(days)))
    elif first is not None:
        said.append(tr("since {day}").format(day=day_named(first, found.today, found.person)))
    if meter.last_day is not None:
        said.append(tr("no longer used"))
    if meter.keep_memory:
        said.append(tr("memory must be kept"))
    return said
