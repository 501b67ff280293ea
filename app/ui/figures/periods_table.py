"""The same figures for 7 to 90 days beside each other; the chosen period is shaded."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.levels import HIGH_ABOVE, LOW_BELOW
from app.domain.person import Person
from app.look.type import Role
from app.review.figure import Missing
from app.review.periods import USUAL_DAYS, OfPeriod, Portion
from app.review.words import figure_words, percent_digits
from app.ui.controls import TextColumn
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cell, Head
from app.ui.figures.helped import HelpedTitle
from app.ui.figures.table import FigureTable
from app.ui.figures.words import mean_text, tr
from app.ui.words import count_words, day_words, figure_text, number_words

_FEW = "–"
# The help texts of the rows, in their order.
_ROW_HELP = (
    *("n", "days_with_readings", "mean", "evened", "sd"),
    *("shares", "shares", "by_mark", "median"),
)


class PeriodsTable(QWidget):
    """Signals: days_picked(int) when a period is picked by a click or by Enter, help_asked(str)."""

    days_picked = Signal(int)
    help_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = HelpedTitle("", "mean", self)
        self._title.help_asked.connect(self.help_asked)
        self.table = FigureTable(self, name="", pad_px=6)
        self._note = TextColumn("", self, role=Role.SMALL, ink="ink3")
        self._periods: tuple[OfPeriod, ...] = ()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(2))
        for widget in (self._title, self.table, self._note):
            column.addWidget(widget)
        self.table.picked.connect(self._on_picked)

    def show_periods(self, periods: Sequence[OfPeriod], chosen: Period, person: Person) -> None:
        """Show the figures of each period; the chosen one is shaded."""
        self._periods = tuple(periods)
        unit, ending = person.unit, day_words(chosen.last, person.date_order)
        title = tr("Same figures, other periods to {day}").format(day=ending)
        self._title.title.set_text(title)
        self.table.setAccessibleName(title)
        heads = [Head(tr("Days"), at_end=False)]
        for each in periods:
            days = count_words(each.period.days)
            said = tr("{days} days to {day}").format(days=days, day=ending)
            heads.append(Head(days, said, chosen=each.period == chosen))
        rows = []
        why: list[str] = []
        for name, quiet, worked in _rows(unit):
            cells = [Cell(name, quiet, said=f"{name}, {quiet}", at_end=False)]
            for each in periods:
                text, missing = worked(each)
                why.append(missing)
                cells.append(
                    Cell(
                        text or _FEW,
                        said=missing and tr("not shown: {why}").format(why=missing),
                        ink="ink" if text else "ink3",
                        bold=bool(text) and each.period == chosen,
                    )
                )
            rows.append(cells)
        self.table.cells.set_cells(heads, rows)
        self.table.row_help = _ROW_HELP
        self._note.setText(_notes(why))
        self._note.setVisible(any(why))

    def _on_picked(self, column: int) -> None:
        if column > 0 and self._periods[column - 1].period.days in USUAL_DAYS:
            self.days_picked.emit(self._periods[column - 1].period.days)


_Worked = Callable[[OfPeriod], tuple[str, str]]


def _rows(unit: Unit) -> list[tuple[str, str, _Worked]]:
    """Each row: its name, its unit, and its text for a period with what is missing for it."""
    low = number_words(figure_words(LOW_BELOW.in_unit(unit), unit))
    high = number_words(figure_words(HIGH_ABOVE.in_unit(unit), unit))

    def of(text: str, figure: object) -> tuple[str, str]:
        return text, "" if text or not isinstance(figure, Missing) else figure.why

    return [
        (tr("Readings"), "n", lambda p: (count_words(p.n), "")),
        (tr("Days with readings"), "n", lambda p: (count_words(p.days_with_readings), "")),
        (tr("Plain average"), unit, lambda p: of(mean_text(p.mean, unit), p.mean)),
        (tr("Evened average"), unit, lambda p: of(mean_text(p.evened, unit), p.evened)),
        (tr("SD"), unit, lambda p: of(figure_text(p.sd, unit), p.sd)),
        (tr("Below {limit}").format(limit=low), tr("% of n"), lambda p: _share(p.below)),
        (tr("Above {limit}").format(limit=high), tr("% of n"), lambda p: _share(p.above)),
        (tr("Waking"), "n", lambda p: (count_words(p.waking_n), "")),
        (
            tr("Waking median"),
            unit,
            lambda p: of(figure_text(p.waking_median, unit), p.waking_median),
        ),
    ]


def _share(portion: Portion) -> tuple[str, str]:
    if portion.missing is not None or portion.found.share is None:
        return "", "" if portion.missing is None else portion.missing.why
    return number_words(percent_digits(portion.found.share)), ""


def _notes(why: Sequence[str]) -> str:
    """What the figures that are not shown need; what is there is said by each cell."""
    needs = dict.fromkeys(each.partition(";")[0] for each in why if each)
    return tr("{few} not shown: {needs}.").format(few=_FEW, needs="; ".join(needs))
