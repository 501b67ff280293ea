"""Lows first: how many and how low, the spells with their readings, what followed them."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.clock import Period
from app.look.type import Role
from app.review.low_spells import LowReading, ToldSpell
from app.review.lows import Lows, lows_of
from app.ui.controls import Button, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cell, Head
from app.ui.figures.helped import HelpedLine
from app.ui.figures.low_tiles import LowTiles, line_of
from app.ui.figures.lows_words import (
    FEW,
    chain_words,
    end_words,
    help_words,
    highs_words,
    known_words,
    slots_words,
    summed_words,
    very_highs_words,
    when_words,
)
from app.ui.figures.table import FigureTable
from app.ui.figures.words import many, tr
from app.ui.job import Job
from app.ui.session import Session
from app.ui.words import number_words


class LowsSection(QWidget):
    """The lows of a period, worked out off the GUI thread.

    The newest spells stand first; the rest unfold. Signals: reading_picked(int) by Enter,
    help_asked(str).
    """

    reading_picked = Signal(int)
    help_asked = Signal(str)
    help_key = "low_spells"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._found: Lows | None = None
        self._ids: list[int] = []
        self._period: Period | None = None
        self._untested = True
        self.job = Job(self)
        self.job.answered.connect(self._on_answered)
        self.job.failed.connect(session.tell_trouble)
        self.title = SectionTitle(tr("Lows"), self)
        self.helps = TextColumn("", self)
        self.tiles = LowTiles(self)
        self.tiles.help_asked.connect(self.help_asked)
        self.summed = TextColumn("", self)
        self.slots = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self.table = FigureTable(
            self, name=tr("Low spells, the newest first"), strip_column=3, may_go=[2]
        )
        self.table.picked.connect(self._on_picked)
        self.more = Button("", self, size="bar")
        self.more.setCheckable(True)
        self.more.toggled.connect(lambda _on: self._ask_again())
        self.after = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self.very_high = TextColumn("", self, role=Role.SMALL, ink="ink2")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(4))
        for part in (
            self.title,
            self.helps,
            self.tiles,
            self.summed,
            self.slots,
            self.table,
            self.more,
        ):
            column.addWidget(part)
        for line, key in ((self.after, "highs_after"), (self.very_high, "very_highs")):
            row = HelpedLine(line, key, self)
            row.help_asked.connect(self.help_asked)
            column.addWidget(row)
        self.setVisible(False)

    def stay_away(self, *, unless_tested: bool) -> None:
        """Whether it is only seen where something is tested or help was written down."""
        self._untested = not unless_tested
        self._appear()

    def ask(self, period: Period) -> None:
        """Work out the lows of a period of whole diary days; what is shown of others goes."""
        session = self._session
        if self._found is not None and self._found.person != session.person:  # or in another unit
            self._found = None
            self.setVisible(False)
        self._period = period
        with QSignalBlocker(self.more):
            self.more.setChecked(False)
        self._ask_again()

    def _ask_again(self) -> None:
        """Of fifty years only the newest few are told, until somebody asks for all."""
        session, period = self._session, self._period
        if period is not None:
            newest = None if self.more.isChecked() else FEW
            ask = partial(lows_of, session.diary, session.record, period)
            self.job.start(partial(ask, now=session.now(), newest=newest))

    def _on_answered(self, found: Lows) -> None:
        self._found = found
        self.title.set_note(
            tr("in {unit}; the low line is {line}; readings in doubt stay in, marked").format(
                unit=found.unit, line=number_words(line_of(found).partition(" ")[0])
            )
        )
        for label, text in (
            (self.helps, self._helped(found)),
            (self.summed, summed_words(found)),
            (self.slots, slots_words(found)),
            (self.after, highs_words(found)),
            (self.very_high, very_highs_words(found)),
        ):
            label.setText(text)
            holder = label.parentWidget() if label in (self.after, self.very_high) else label
            assert holder is not None
            holder.setVisible(bool(text))
        self.tiles.show_lows(found)
        self.tiles.setVisible(bool(found.counts.n or found.helps))
        self._fill()
        self._appear()

    def _appear(self) -> None:
        found = self._found
        some = found is not None and bool(found.counts.n or found.helps)
        self.setVisible(found is not None and (self._untested or some))

    def _helped(self, found: Lows) -> str:
        if not found.helps:
            return ""
        told = "\n".join(help_words(each, found) for each in reversed(found.helps))
        return f"{tr('Help from another person was needed')}\n{told}"

    def _fill(self) -> None:
        found = self._found
        if found is None:
            return
        person = found.person
        rows: list[tuple[LowReading, list[Cell]]] = [
            (spell.readings[0], _spell_cells(spell, found)) for spell in found.spells
        ]
        rows += [(each, _aside_cells(each, found)) for each in found.set_aside]
        rows.sort(key=lambda row: row[0].wall, reverse=True)
        shown = rows if self.more.isChecked() else rows[:FEW]
        self._ids = [first.id for first, _ in shown]
        heads = [
            Head(tr("Begins"), at_end=False),
            Head(tr("lowest"), tr("lowest value, {unit}").format(unit=person.unit), at_end=False),
            Head(
                tr("readings, {unit}").format(unit=person.unit),
                tr("its readings in {unit}, one after the other").format(unit=person.unit),
                at_end=False,
            ),
            Head(tr("then"), tr("how it ended, and what is to be known of it"), at_end=False),
        ]
        self.table.cells.set_cells(heads, [cells for _, cells in shown])
        self.table.setVisible(bool(rows))
        count = found.sums.n + len(found.set_aside)
        self.more.setVisible(count > FEW)
        all_of_them = many(count, "All {n} spells", "All {n} spells")
        self.more.setText(tr("Fewer") if self.more.isChecked() else all_of_them)
        self.more.setAccessibleName(self.more.text())

    def _on_picked(self, _column: int) -> None:
        row = self.table.currentIndex().row()
        if 0 <= row < len(self._ids):
            self.reading_picked.emit(self._ids[row])


def _spell_cells(spell: ToldSpell, found: Lows) -> list[Cell]:
    known = [tr("help was needed")] if spell.helped else []
    known += dict.fromkeys(words for each in spell.readings for words in known_words(each))
    then = " · ".join([end_words(spell), *known])
    return _cells(spell.readings[0], spell.lowest, chain_words(spell, found.person), then, found)


def _aside_cells(each: LowReading, found: Lows) -> list[Cell]:
    then = " · ".join([tr("set aside, in no count"), *known_words(each)])
    return _cells(each, each, "", then, found, aside=True)


def _cells(
    begins: LowReading,
    lowest: LowReading,
    chain: str,
    then: str,
    found: Lows,
    *,
    aside: bool = False,
) -> list[Cell]:
    when, value = when_words(begins.wall, found), _value_cell(lowest, found, aside=aside)
    said = ". ".join(filter(None, (when, value.words, chain, then)))
    return [
        Cell(when, said=said, at_end=False),
        value,
        Cell(chain, at_end=False),
        Cell(then, said=then, at_end=False, ink="ink2"),
    ]


def _value_cell(each: LowReading, found: Lows, *, aside: bool) -> Cell:
    letter = "x" if aside else each.level.letter + ("?" if each.doubt else "")
    shown = number_words(each.glucose.shown(found.unit))
    return Cell(shown, quiet=letter, bold=True, at_end=False)
