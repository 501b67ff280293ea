"""The marks table: each slot and mark with its strip, median and how many lie beyond the goal."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.glucose import Unit
from app.domain.levels import HIGH_ABOVE, LOW_BELOW
from app.domain.marks import SLOTS
from app.domain.numerals import half_up
from app.domain.targets import CARE_TEAM_LINE
from app.look.type import Role
from app.review.by_mark import MarkRow, MarkRows
from app.review.figure import Missing
from app.review.words import figure_words
from app.ui.controls import TextColumn
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cell, Head
from app.ui.figures.helped import HelpedTitle
from app.ui.figures.table import FigureTable
from app.ui.figures.words import many, mean_text, tr
from app.ui.words import count_words, figure_text, number_words

_STRIP, _AVERAGE = 2, 3
_NONE = "–"
# The help texts of the columns, in their order.
_COLUMN_HELP = ("by_mark", "n", "by_mark", "mean", "median", "judged", "judged")


class MarksTable(QWidget):
    """Title, table and the goals that the counts are against. Signals: help_asked(str)."""

    help_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = HelpedTitle(tr("By mark"), "by_mark", self)
        self._title.help_asked.connect(self.help_asked)
        self.table = FigureTable(self, name="", strip_column=_STRIP, may_go=(_AVERAGE,), pad_px=6)
        self.table.column_help = _COLUMN_HELP
        self._note = TextColumn("", self, role=Role.SMALL, ink="ink3")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(2))
        column.addWidget(self._title)
        column.addWidget(self.table)
        column.addSpacing(px(4))
        column.addWidget(self._note)
        column.addStretch(1)

    def show_rows(self, found: MarkRows, unit: Unit) -> None:
        """Show the rows of a period."""
        self.table.scale = found.scale
        heads = [
            Head(tr("Mark"), at_end=False),
            Head("n", tr("number of readings, n")),
            Head("", tr("readings on a scale in {unit}").format(unit=unit)),
            Head(tr("average")),
            Head(tr("median")),
            Head(tr("below")),
            Head(tr("above")),
        ]
        rows = [_cells(row, unit, starred=bool(found.goals)) for row in found.rows]
        others = [at for at, row in enumerate(found.rows) if row.mark not in SLOTS]
        self.table.cells.set_cells(heads, rows, after_rule=others[:1])
        self.table.setAccessibleName(_finding(found))
        self._title.title.set_note(
            tr("below and above: against the goal of each reading's day")
            if found.goals
            else tr("below {low} and above {high}; there are no goals").format(
                low=_level(unit, low=True), high=_level(unit, low=False)
            )
        )
        self._note.setText(_notes(found, unit))


def _cells(row: MarkRow, unit: Unit, *, starred: bool) -> list[Cell]:
    few = isinstance(row.median, Missing)
    median = figure_text(row.median, unit)
    mean = mean_text(row.mean, unit)
    star = " *" if starred and row.n and not row.by_goal else ""
    name = tr("no mark") if row.mark.value == "none" else tr(row.mark.words)
    return [
        Cell(name, said=name, at_end=False),
        Cell(count_words(row.n)),
        Cell(said=_strip_words(row, unit), strip=row),
        _figure(mean, row.n),
        _figure("" if few else median, row.n, bold=True),
        _beyond(row.below, row.n, star, "low_text"),
        _beyond(row.above, row.n, star, "high_text"),
    ]


def _figure(text: str, n: int, *, bold: bool = False) -> Cell:
    if text:
        return Cell(text, bold=bold)
    if not n:
        return Cell(_NONE, said=tr("never tested"), ink="ink3")
    return Cell(tr("too few"), ink="ink2")


def _beyond(count: int, n: int, star: str, ink: str) -> Cell:
    if not n:
        return Cell(_NONE, said=tr("never tested"), ink="ink3")
    return Cell(count_words(count) + star, ink=ink if count else "ink2")


def _strip_words(row: MarkRow, unit: Unit) -> str:
    if not row.n:
        return tr("never tested: what happens there would not be seen")
    said = [many(row.n, "{n} reading", "{n} readings")]
    if not isinstance(row.median, Missing):
        said.append(
            tr("median {median} {unit}").format(median=figure_text(row.median, unit), unit=unit)
        )
    average = mean_text(row.mean, unit)
    if average:
        said.append(tr("average {average}").format(average=average))
    if row.box is not None:
        low, high = (figure_text(end, unit) for end in row.box)
        said.append(tr("middle half {low} to {high}").format(low=low, high=high))
    if not isinstance(row.sd, Missing):
        said.append(tr("SD {sd}").format(sd=figure_text(row.sd, unit)))
    goal = _goal(row, unit)
    if goal:
        said.append(goal)
    return ", ".join(said)


def _goal(row: MarkRow, unit: Unit) -> str:
    low = None if row.low is None else number_words(figure_words(row.low, unit))
    high = None if row.high is None else number_words(figure_words(row.high, unit))
    if low and high:
        return tr("goal {low} to {high}").format(low=low, high=high)
    if high:
        return tr("goal up to {high}").format(high=high)
    return tr("goal from {low}").format(low=low) if low else ""


def _finding(found: MarkRows) -> str:
    """What the strips say as a whole: where most lie above and below."""
    tested = [row for row in found.rows if row.n]
    said = [
        tr("Readings by mark, {slots} of 8 slots tested").format(
            slots=sum(row.mark in SLOTS for row in tested)
        )
    ]
    for key, sentence in (
        ("above", "most above at {mark}: {count} of {n}"),
        ("below", "most below at {mark}: {count} of {n}"),
    ):
        most = max(tested, key=lambda row: int(getattr(row, key)), default=None)
        count = 0 if most is None else int(getattr(most, key))
        if most is not None and count:
            said.append(tr(sentence).format(mark=tr(most.mark.words), count=count, n=most.n))
    return "; ".join(said)


def _notes(found: MarkRows, unit: Unit) -> str:
    said = []
    if found.goals:
        said.append(tr("Goals: {names}.").format(names="; ".join(found.goals)))
        said.append(tr(CARE_TEAM_LINE))
        if len(found.goals) > 1:
            said.append(
                tr("There are two limits in this period; each reading is judged by its day's.")
            )
        if any(row.n and not row.by_goal for row in found.rows):
            said.append(
                tr("* no goal for it, so below {low} and above {high}.").format(
                    low=_level(unit, low=True), high=_level(unit, low=False)
                )
            )
        if found.unjudged:
            said.append(
                many(
                    found.unjudged,
                    "{n} reading lies before the goals began and is judged by none.",
                    "{n} readings lie before the goals began and are judged by none.",
                )
            )
    return " ".join(said)


def _level(unit: Unit, *, low: bool) -> str:
    pair = LOW_BELOW if low else HIGH_ABOVE
    return number_words(str(half_up(pair.in_unit(unit), unit.places)))
