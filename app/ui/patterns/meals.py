"""Meal rises: a row for each meal, what was not paired and why, and the pairs themselves."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.glucose import Unit
from app.look.type import Role
from app.review.pair_words import NO_START, REASONS, WITHIN_ERROR, change_words, pair_words
from app.review.pairs import ALL, MealPair, OfMeal, PairsFound
from app.ui.controls import SectionTitle
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cell, Head
from app.ui.figures.table import FigureTable
from app.ui.patterns.evidence import Evidence, EvidencePanel
from app.ui.patterns.evidence_list import Item
from app.ui.patterns.prose import Prose
from app.ui.patterns.words import many, tr
from app.ui.session import Session
from app.ui.words import count_words, joined, number_words, short_moment_words

_NONE = "–"
_MEAN, _ERROR, _LOST = 3, 5, 6  # columns whose counts stand in the words of a row too


class MealRises(QWidget):
    """Signals: day_asked(date)."""

    day_asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._found: PairsFound | None = None
        self._session: Session | None = None
        self._title = SectionTitle(tr("Meal rises"), self)
        self.table = FigureTable(self, name="", pad_px=6, may_go=(_MEAN, _ERROR, _LOST))
        self.panel = EvidencePanel(self)
        self._words = Prose("", self, role=Role.SMALL, ink="ink2")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(4))
        for widget in (self._title, self.table, self.panel, self._words):
            column.addWidget(widget)
        column.addStretch(1)
        self.panel.hide()
        self.table.picked.connect(self._on_picked)
        self.panel.day_asked.connect(self.day_asked)
        self.panel.closed.connect(self._on_closed)

    @property
    def words(self) -> str:
        """What stands below the table."""
        return self._words.text()

    def show_pairs(self, found: PairsFound, session: Session) -> None:
        """Show the rises of a period."""
        self._found, self._session = found, session
        self.panel.hide()
        unit, every = found.unit, found.all_meals
        self._title.set_note(
            tr("from a reading before to one after the same meal, {unit}").format(unit=unit)
        )
        heads = [
            Head(tr("Meal"), at_end=False),
            Head(tr("pairs"), tr("number of pairs, n")),
            Head(tr("median"), tr("median rise in {unit}").format(unit=unit)),
            Head(tr("mean"), tr("mean rise in {unit}").format(unit=unit)),
            Head(tr("from – to"), tr("lowest and highest rise in {unit}").format(unit=unit)),
            Head(tr("in meter error"), tr("pairs within the permitted error of meters")),
            Head(tr("no pair"), tr("readings that make no pair")),
        ]
        there = bool(every.rise.n or every.not_paired)
        rows = [_cells(each, unit) for each in found.by_meal] if there else []
        self.table.cells.set_cells(heads, rows, after_rule=[len(rows) - 1] if rows else [])
        self.table.setAccessibleName(_finding(found))
        self.table.setVisible(there)
        self._words.setText("\n".join(_notes(found)))

    def _on_picked(self, _column: int) -> None:
        found, session = self._found, self._session
        at = self.table.currentIndex().row()
        if found is None or session is None or not 0 <= at < len(found.by_meal):
            return
        self.panel.show_evidence(_evidence(found.by_meal[at], found, session))
        self.panel.take_focus()

    def _on_closed(self) -> None:
        self.panel.hide()
        self.table.setFocus()


def _cells(each: OfMeal, unit: Unit) -> list[Cell]:
    rise = each.rise
    said = many(rise.n, "{meal}: {n} pair", "{meal}: {n} pairs", meal=tr(each.meal))
    median, mean, ends = _NONE, _NONE, _NONE
    if rise.median is not None and not each.missing:
        median = number_words(change_words(rise.median, unit))
        said += tr(", median rise {median} {unit}").format(median=median, unit=unit)
        if rise.mean is not None:
            mean = number_words(change_words(rise.mean, unit))
    elif rise.n:
        median = tr("too few")
    if rise.lowest is not None and rise.highest is not None:
        low, high = (number_words(change_words(end, unit)) for end in (rise.lowest, rise.highest))
        ends = f"{low} – {high}" if rise.n > 1 else low
        said += tr(", from {low} to {high}").format(low=low, high=high)
    if mean != _NONE:
        said += tr(", mean {mean}").format(mean=mean)
    lost = sum(each.not_paired.values())
    if rise.n:
        within = ", {n} of them within the permitted error of meters"
        said += many(each.within_error, within, within)
    said += many(lost, ", {n} reading in no pair", ", {n} readings in no pair")
    few = median == tr("too few")
    return [
        Cell(tr(each.meal), said=said, at_end=False),
        Cell(count_words(rise.n)),
        Cell(median, bold=median not in (_NONE, tr("too few")), ink="ink2" if few else "ink"),
        Cell(mean, ink="ink2"),
        Cell(ends),
        Cell(count_words(each.within_error) if rise.n else _NONE, ink="ink2"),
        Cell(count_words(lost), said=_reasons(each) or count_words(lost), ink="ink2"),
    ]


def _finding(found: PairsFound) -> str:
    every = found.all_meals
    return many(
        every.rise.n,
        "Meal rises, {n} pair, {lost} readings in none",
        "Meal rises, {n} pairs, {lost} readings in none",
        lost=count_words(sum(every.not_paired.values())),
    )


def _notes(found: PairsFound) -> list[str]:
    every = found.all_meals
    if not (every.rise.n or every.not_paired):
        return [tr("No reading has the mark of a meal, so there is nothing to pair (n 0).")]
    said = []
    reasons = _reasons(every)
    if reasons:
        said.append(tr("Not paired: {reasons}.").format(reasons=reasons))
    if every.rise.n:
        within = "{n} of {of} {within}: these may be no rise at all."
        said.append(
            many(
                every.within_error,
                within,
                within,
                of=count_words(every.rise.n),
                within=tr(WITHIN_ERROR),
            )
        )
    if every.no_start:
        told = "{n} of {of}: {words}."
        said.append(
            many(every.no_start, told, told, of=count_words(every.rise.n), words=tr(NO_START))
        )
    if every.in_doubt:
        doubted = "{n} with a reading in doubt; they count here."
        said.append(many(every.in_doubt, doubted, doubted))
    return said


def _reasons(each: OfMeal) -> str:
    return "; ".join(f"{count_words(n)} {tr(REASONS[why])}" for why, n in each.not_paired.items())


def _evidence(meal: OfMeal, found: PairsFound, session: Session) -> Evidence:
    pairs = [each for each in found.pairs if meal.meal in (ALL, each.meal)]
    items = tuple(_item(each, found.unit, session) for each in reversed(pairs))
    title = many(len(pairs), "{meal}: {n} pair", "{meal}: {n} pairs", meal=tr(meal.meal))
    reasons = _reasons(meal)
    return Evidence(
        f"{title[:1].upper()}{title[1:]}",
        (tr("Not paired: {reasons}.").format(reasons=reasons),) if reasons else (),
        items,
    )


def _item(pair: MealPair, unit: Unit, session: Session) -> Item:
    before, after = pair.before, pair.after
    values = f"{before.glucose.shown(unit)} → {after.glucose.shown(unit)}"
    when = short_moment_words(before.wall, session.today(), session.person)
    change = number_words(change_words(pair.rise, unit))
    notes = [change, when, *([tr("within error")] if pair.within_error else [])]
    notes += [tr("in doubt")] if pair.in_doubt else []
    return Item(
        None,
        number_words(values),
        joined(notes),
        before.wall.fromordinal(before.day).date(),
        joined([when, pair_words(pair, unit)]),
    )
