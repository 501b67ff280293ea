"""With and without: the same figures without what is in doubt, set aside, or a recheck."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.glucose import Unit
from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_LOW_BELOW
from app.look.type import Role
from app.review.figure import Missing
from app.review.figures import Figures, Without, of_all
from app.review.figures_shown import FiguresShown
from app.review.marks_drawn import HIGH_LEVELS, LOW_LEVELS
from app.review.parts import Share
from app.review.words import figure_words
from app.ui.controls import TextColumn
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cell, Head
from app.ui.figures.helped import HelpedTitle
from app.ui.figures.table import FigureTable
from app.ui.figures.words import many, mean_text, tr
from app.ui.words import count_words, figure_text, number_words


class WithoutTable(QWidget):
    """A row for all readings and one for each kind of them left out. Signals: help_asked(str)."""

    help_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = HelpedTitle(tr("With and without"), "without_doubt", self)
        self._title.help_asked.connect(self.help_asked)
        self.table = FigureTable(self, name=tr("With and without"), may_shorten=True, pad_px=6)
        self._note = TextColumn("", self, role=Role.SMALL, ink="ink3")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(2))
        for part in (self._title, self.table, self._note):
            column.addWidget(part)

    def show_figures(self, shown: FiguresShown) -> None:
        """Show what changes without some of the readings; nothing where none is left out."""
        whole = shown.whole
        rows = [(tr("all readings"), of_all(whole), "mean"), *_rows(whole)]
        self.setVisible(len(rows) > 1)
        unit = whole.unit
        low, far, high = (
            number_words(figure_words(limit.in_unit(unit), unit))
            for limit in (LOW_BELOW, VERY_LOW_BELOW, HIGH_ABOVE)
        )
        heads = [
            Head(str(unit), tr("readings, figures in {unit}").format(unit=unit), at_end=False),
            Head("n", tr("number of readings")),
            Head(tr("plain average")),
            Head(tr("evened")),
            Head(tr("SD")),
            Head(tr("below {low}").format(low=low)),
            Head(tr("below {low}").format(low=far)),
            Head(tr("above {high}").format(high=high)),
        ]
        self.table.cells.set_cells(heads, [_cells(name, each, unit) for name, each, _ in rows])
        self.table.row_help = tuple(key for _, _, key in rows)
        self._note.setText(_note(whole))
        self._note.setVisible(bool(self._note.text()))


def _rows(whole: Figures) -> list[tuple[str, Without, str]]:
    found = []
    doubt, rechecks, days = (
        whole.without_doubt,
        whole.without_rechecks,
        whole.without_set_aside_days,
    )
    if doubt.left_out:
        words = many(doubt.left_out, "without {n} in doubt", "without {n} in doubt")
        found.append((words, doubt, "without_doubt"))
    if days.left_out:
        words = many(
            whole.days_with_readings - days.days,
            "without {n} set-aside day",
            "without {n} set-aside days",
        )
        found.append((words, days, "without_set_aside_days"))
    if rechecks.left_out:
        words = many(rechecks.left_out, "without {n} recheck", "without {n} rechecks")
        found.append((words, rechecks, "without_rechecks"))
    return found


def _cells(name: str, each: Without, unit: Unit) -> list[Cell]:
    shares = each.shares
    return [
        Cell(name, said=name, at_end=False),
        Cell(count_words(each.n), ink="ink2"),
        _figure(mean_text(each.mean, unit), each.mean),
        _figure(mean_text(each.evened, unit), each.evened),
        _figure(figure_text(each.sd, unit), each.sd),
        _counted(shares[:LOW_LEVELS], each.n),
        _counted(shares[:1], each.n),
        _counted(shares[HIGH_LEVELS:], each.n),
    ]


def _figure(text: str, figure: object) -> Cell:
    if text:
        return Cell(text)
    why = figure.why if isinstance(figure, Missing) else ""
    return Cell("–", said=tr("not shown: {why}").format(why=why), ink="ink3")


def _counted(shares: Sequence[Share], n: int) -> Cell:
    if not n:
        return Cell("–", said=tr("no readings"), ink="ink3")
    count = sum(share.found.count for share in shares)
    said = tr("{count} of {n}").format(count=count_words(count), n=count_words(n))
    return Cell(count_words(count), said=said)


def _note(whole: Figures) -> str:
    """Why they are in doubt, and that nothing was taken out of the lists."""
    if not whole.without_doubt.left_out:
        return ""
    reasons = ", ".join(tr(reason.words) for reason in whole.doubt)
    return tr("In doubt: {reasons}. Lows in doubt stay in the list of lows.").format(
        reasons=reasons
    )
