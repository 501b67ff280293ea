"""Strip vials on the Kit page: bars over time, what is left, and until when each is good."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from PySide6.QtWidgets import QWidget

from app.domain.numerals import half_up
from app.look.type import Role
from app.review.kit import KitShown
from app.review.kit_vials import StripsShown, VialLine
from app.statistics.supplies import weekday_before
from app.ui.controls import TextColumn
from app.ui.figures.cells import Cell
from app.ui.kit.bars import VialBars
from app.ui.kit.kit_section import KitSection, MoreButton, cells, heads
from app.ui.kit.part_forms import SupplyForm
from app.ui.kit.use_form import UseForm
from app.ui.kit.vial_form import VialForm
from app.ui.kit.words import day_named, many, tr
from app.ui.session import Session
from app.ui.words import count_words, day_words, joined, number_words

FEW = 6


class VialsSection(KitSection):
    """Enter on a bar or a line opens the vial to be corrected."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Strip vials"), parent)
        self._all = False
        self._lines: list[VialLine] = []
        self.title.set_note(
            tr(
                "bar: in use · dashed: still in date · hatched: readings in doubt · square: a "
                "control test, crossed where it failed"
            )
        )
        self.bars = VialBars(self)
        self.column.addWidget(self.bars)
        self.strips = TextColumn("", self)
        self.column.addWidget(self.strips)
        self.table = self.add_table(
            tr("Vials, those in use first"), strip_column=6, may_go=(3, 2, 1)
        )
        self.more = MoreButton(self)
        self.more.clicked.connect(self._on_more)
        self.use = self.opener(tr("Use of a vial…"), self._use)
        self.supply = self.opener(tr("Strips bought or counted…"), self._supply)
        self.add_tools((self.use, self.supply, self.more))
        self.note = TextColumn("", self, role=Role.SMALL, ink="ink3")
        self.column.addWidget(self.note)
        self.note.setText(
            tr(
                "A vial is good until the printed date or so many days after opening, whichever "
                "comes first; that day is still good."
            )
        )
        self.bars.chosen.connect(self._on_chosen)
        self.table.picked.connect(self._on_picked)

    def show_kit(self, found: KitShown) -> None:
        if self.found is not None and self.found.person != found.person:
            self._all = False
        self.found = found
        self.setVisible(bool(found.meters or found.vials))
        self.bars.show_kit(found)
        self.bars.setVisible(bool(self.bars.bars))
        self.strips.setText(strips_words(found))
        self.use.setEnabled(bool(found.vials))
        self._show_lines(found)

    def _show_lines(self, found: KitShown) -> None:
        lines = sorted(found.vials, key=_rank)
        now = sum(each.in_use or not each.uses for each in lines)
        self._lines = lines if self._all else lines[: max(FEW, now)]
        names = (
            *(tr("Vial"), tr("Meter"), tr("Printed"), tr("Opened"), tr("Good until")),
            *(tr("Strips left"), tr("What to know")),
        )
        self.table.cells.set_cells(
            heads(*names, at_end=(5,)), [_line(each, found) for each in self._lines]
        )
        self.table.setVisible(bool(lines))
        self.note.setVisible(bool(lines))
        self.more.offer(len(lines) - len(self._lines))

    def _on_more(self) -> None:
        self._all = True
        if self.found is not None:
            self._show_lines(self.found)
            self.table.setFocus()

    def _on_picked(self, _column: int) -> None:
        self._correct(self._lines[self.table.currentIndex().row()])

    def _on_chosen(self, vial: int) -> None:
        if self.found is not None:
            self._correct(next(each for each in self.found.vials if each.vial.id == vial))

    def _correct(self, line: VialLine) -> None:
        if self.found is not None and self.may_write:
            self.open_form(VialForm(self.session, self.found, self, vial=line.vial))

    def _use(self) -> UseForm:
        assert self.found is not None
        return UseForm(self.session, self.found, self)

    def _supply(self) -> SupplyForm:
        assert self.found is not None
        return SupplyForm(self.session, self.found, self)


def strips_words(found: KitShown) -> str:
    """How many strips are left, until when, and by which weekday new ones should be there."""
    strips, person, today = found.strips, found.person, found.today
    uncounted = tr("nobody said how many {vials} holds").format(vials=", ".join(strips.uncounted))
    if strips.left is None:
        why = uncounted if strips.uncounted else tr("no vial with a count is in use")
        return tr("Strips left: unknown, for {why}.").format(why=why)
    left = many(strips.left, "{n} strip left", "{n} strips left")
    said = f"{left} ({_vials(strips)})"
    if strips.uncounted:
        return tr("{left}; {why}, so there is no forecast.").format(left=said, why=uncounted)
    forecast = strips.forecast
    if forecast.per_day is None:
        days = many(forecast.days, "{n} day of tests", "{n} days of tests")
        return tr("{left}; no forecast from {days}.").format(left=said, days=days)
    pace = tr("{pace} tests a day (n {days} days)").format(
        pace=number_words(str(half_up(forecast.per_day, 1))), days=count_words(forecast.days)
    )
    if not forecast.per_day:
        days = many(forecast.days, "the last day", "the last {n} days")
        return tr("{left}; none was used in {days}, so there is no forecast.").format(
            left=said, days=days
        )
    if forecast.runs_out is None:
        return f"{said}; {pace}."
    out = day_named(forecast.runs_out, today, person)
    said = tr("{left}, until about {day} at {pace}").format(left=said, day=out, pace=pace)
    if forecast.get_by is not None:
        by = day_named(max(today, forecast.get_by), today, person)
        said += tr("; new ones by {day}, a weekday before").format(day=by)
    return f"{said}."


def _vials(strips: StripsShown) -> str:
    return many(strips.vials, "{n} vial", "{n} vials")


def _rank(line: VialLine) -> tuple[bool, int]:
    """Those in use and not begun first; then the newest."""
    return (bool(line.uses) and not line.in_use, -line.vial.id)


def _line(line: VialLine, found: KitShown) -> list[Cell]:
    vial = line.vial
    opened = tr("not yet")
    if vial.opened_day is not None:
        opened = _day(vial.opened_day, found)
        if vial.days_open is not None:
            opened += tr(" + {n} days").format(n=count_words(vial.days_open))
    left = "–" if line.left.left is None else count_words(line.left.left)
    good = "–" if line.last_good is None else _day(line.last_good, found)
    texts = (
        *(vial.name, ", ".join(line.meters) or "–", vial.printed or "–", opened, good, left),
        joined(_to_know(line, found)) or "–",
    )
    row = cells(*texts, at_end=(5,), quiet=(2, 3, 6))
    # Columns that have no room are in the words of the first cell.
    row[0] = replace(row[0], said=joined(texts))
    return row


def _to_know(line: VialLine, found: KitShown) -> list[str]:
    today, person, said = found.today, found.person, []
    doubted = line.lapsed + line.failed + line.heat
    if doubted:
        said.append(many(doubted, "? {n} reading in doubt", "? {n} readings in doubt"))
    if line.in_use and line.last_good is not None:
        if line.last_good < today:
            said.append(tr("out of date"))
        else:
            by = day_named(max(today, weekday_before(line.last_good + 1)), today, person)
            said.append(tr("a new one by {day}").format(day=by))
    out = line.forecast.runs_out
    if line.in_use and out is not None and line.left.left:
        said.append(tr("runs out about {day}").format(day=day_named(out, today, person)))
    if line.left.beyond:
        said.append(
            many(line.left.beyond, "{n} more used than it held", "{n} more used than it held")
        )
    if line.uses and not line.in_use:
        said.append(tr("no longer used") if line.left.left else tr("used up"))
    if not line.vial.ranges:
        said.append(tr("no control range written"))
    return said


def _day(ordinal: int, found: KitShown) -> str:
    day = date.fromordinal(ordinal)
    year = day.year != date.fromordinal(found.today).year
    return day_words(day, found.person.date_order, year=year, short=True)
