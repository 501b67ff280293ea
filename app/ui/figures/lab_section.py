"""Laboratory values beside the readings before them, translated one way only."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from PySide6.QtWidgets import QWidget

from app.domain.a1c import A1cUnit, TranslatedAverage, shown_a1c
from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.person import Person
from app.look.type import Role
from app.review.figure import Missing
from app.review.lab import A1cValue, LabValues, lab_values
from app.review.record import Record
from app.store.diary import Diary
from app.store.happenings import labs_of
from app.ui.controls import TextColumn
from app.ui.figures.cells import Cell, Head
from app.ui.figures.folded import Folded
from app.ui.figures.table import FigureTable
from app.ui.figures.words import many, mean_text, tr
from app.ui.session import Session
from app.ui.words import count_words, day_words, number_words


class LabSection(Folded):
    """Folded: all values of the laboratory, the newest first, whatever the period shown."""

    help_key = "eag"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Laboratory values beside the readings before them"), parent)
        self.title.set_count(tr("the A1C translated into an average; never the other way"))
        self.table = FigureTable(
            self.body, name=tr("Laboratory values, the newest first"), may_shorten=True
        )
        self.others = TextColumn("", self.body)
        self.reasons = TextColumn("", self.body, role=Role.SMALL, ink="ink2")
        for part in (self.table, self.others, self.reasons):
            self.column.addWidget(part)

    def ask_for(self, period: Period) -> Callable[[], Any]:  # noqa: ARG002 - all of them
        session = self.session
        diary, record, now = session.diary, session.record, session.now()
        return lambda: _found(diary, record, now)

    def show_found(self, found: Any) -> None:
        assert isinstance(found, LabValues)
        unit = found.person.unit
        heads = [
            Head(tr("Blood test"), at_end=False),
            Head(tr("A1C, % (mmol/mol)"), at_end=False),
            Head(
                tr("as an average, {unit}").format(unit=unit),
                tr("estimated from your lab A1C, with its 95 % interval"),
                at_end=False,
            ),
            Head(tr("readings, plain"), tr("plain average of the 90 days before")),
            Head(tr("evened"), tr("evened average of the 90 days before")),
            Head("n", tr("readings of the 90 days before")),
        ]
        newest = list(reversed(found.a1c))
        self.table.cells.set_cells(heads, [_row(each, found.person) for each in newest])
        self.table.setVisible(bool(newest))
        self.others.setText(_others(found))
        self.others.setVisible(bool(self.others.text()))
        said = []
        if newest:
            said = [
                tr(
                    "The average is a translation of the lab value; the readings are another thing."
                ),
                *(tr(reason) for reason in (*newest[0].reasons, *found.reasons)),
            ]
        self.reasons.setText("\n".join(said))
        self.reasons.setVisible(bool(said))


def _found(diary: Diary, record: Record, now: datetime) -> LabValues:
    return lab_values(record, labs_of(diary, record.person), now=now)


def _row(each: A1cValue, person: Person) -> list[Cell]:
    percent = number_words(shown_a1c(each.percent, A1cUnit.PERCENT))
    mmol_mol = number_words(shown_a1c(each.mmol_mol, A1cUnit.MMOL_MOL))
    before = each.before
    on = many(before.days_with_readings, "on {n} day", "on {n} days")
    return [
        Cell(day_words(each.day, person.date_order), at_end=False),
        Cell(percent, quiet=f"% ({mmol_mol})", bold=True, at_end=False),
        _average(each.average, person.unit),
        _mean(mean_text(before.mean, person.unit), before.mean),
        _mean(mean_text(before.evened, person.unit), before.evened),
        Cell(count_words(before.n), said=f"n {before.n} {on}", ink="ink2"),
    ]


def _average(average: TranslatedAverage | Missing, unit: Unit) -> Cell:
    if isinstance(average, Missing):
        return Cell("–", said=tr("not shown: {why}").format(why=average.why), at_end=False)
    value, low, high = (
        number_words(str(each.quantize(Decimal(1).scaleb(-unit.places), ROUND_HALF_UP)))
        for each in (average.value, average.low, average.high)
    )
    said = tr("{value} {unit}, 95 %: {low} to {high}, a translation of the lab value").format(
        value=value, unit=unit, low=low, high=high
    )
    return Cell(value, quiet=f"({low} – {high})", said=said, at_end=False)


def _mean(text: str, figure: object) -> Cell:
    if text:
        return Cell(text)
    why = figure.why if isinstance(figure, Missing) else ""
    return Cell("–", said=tr("not shown: {why}").format(why=why), ink="ink3")


def _others(found: LabValues) -> str:
    if not (found.a1c or found.glucose or found.unreadable):
        return tr("No laboratory value is written down.")
    said = [
        tr("{day}: laboratory glucose {value} {unit}").format(
            day=day_words(each.day, found.person.date_order),
            value=number_words(each.value),
            unit=each.unit,
        )
        for each in reversed(found.glucose)
    ]
    said += [
        tr("{day}: {value} {unit} is not a number that can be read").format(
            day=each.at.wall[:10], value=each.value, unit=each.unit
        )
        for each in found.unreadable
    ]
    return "\n".join(said)
