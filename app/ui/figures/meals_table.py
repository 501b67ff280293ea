"""Before and after each meal: two sides with their own n, and no difference between them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.glucose import Unit
from app.look.type import Role
from app.review.figure import Figure, Mean, Missing
from app.review.meals import Meal, MealSide
from app.ui.controls import TextColumn
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cell, Head
from app.ui.figures.helped import HelpedTitle
from app.ui.figures.table import FigureTable
from app.ui.figures.words import mean_text, tr
from app.ui.words import count_words, figure_text


class MealsTable(QWidget):
    """Title, table and the words that keep the two sides apart. Signals: help_asked(str)."""

    help_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = HelpedTitle(tr("Before and after meals"), "meal_sides", self)
        self._title.help_asked.connect(self.help_asked)
        self.table = FigureTable(self, name=tr("Before and after meals"), pad_px=5)
        self.table.column_help = ("meal_sides",) * 7
        note = TextColumn(
            tr(
                "Not pairs: the two sides may come from different days, so no rise is shown. "
                "All meals holds snacks and meals without a name too."
            ),
            self,
            role=Role.SMALL,
            ink="ink3",
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(2))
        for widget in (self._title, self.table, note):
            column.addWidget(widget)

    def show_meals(self, meals: Sequence[Meal], unit: Unit) -> None:
        """Show the meals of a period."""
        heads = [
            Head(str(unit), tr("meal, figures in {unit}").format(unit=unit), at_end=False),
            Head("n", tr("before the meal, number of readings")),
            Head(tr("before"), tr("before the meal, average")),
            Head(tr("median"), tr("before the meal, median")),
            Head("n", tr("after the meal, number of readings")),
            Head(tr("after"), tr("after the meal, average")),
            Head(tr("median"), tr("after the meal, median")),
        ]
        rows = [
            [
                Cell(tr(meal.name), at_end=False),
                *_side(meal.before, unit),
                *_side(meal.after, unit),
            ]
            for meal in meals
        ]
        self.table.cells.set_cells(heads, rows, after_rule=[len(rows) - 1])


def _side(side: MealSide, unit: Unit) -> list[Cell]:
    return [
        Cell(count_words(side.n), ink="ink2"),
        _cell(mean_text(side.mean, unit), side.mean),
        _cell(figure_text(side.median, unit), side.median, bold=True),
    ]


def _cell(text: str, figure: Figure | Mean | Missing, *, bold: bool = False) -> Cell:
    if text:
        return Cell(text, bold=bold)
    why = figure.why if isinstance(figure, Missing) else ""
    return Cell("–", said=tr("not shown: {why}").format(why=why), ink="ink3")
