"""The share of readings in each level by slot, by weekday or by month, with Wilson intervals."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtWidgets import QWidget

from app.domain.clock import Period
from app.look.type import Role
from app.review.bands import Band, Bands, By, bands
from app.review.parts import Share
from app.review.words import level_words, percent_digits, portion_words
from app.ui.controls import Segment, Segments, TextColumn
from app.ui.figures.cells import Cell, Head
from app.ui.figures.folded import Folded
from app.ui.figures.table import FigureTable
from app.ui.figures.words import many, tr
from app.ui.session import Session
from app.ui.words import count_words, number_words

_BAR = 2  # the column of the bars


class BandsSection(Folded):
    """Folded: which groups, then a row for each with its n and its five levels."""

    help_key = "bands"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Shares by slot, weekday or month"), parent)
        self.title.set_count(tr("each with its 95 % interval"))
        self.by = Segments(
            [
                Segment(By.SLOT, tr("Slot")),
                Segment(By.WEEKDAY, tr("Weekday")),
                Segment(By.MONTH, tr("Month")),
            ],
            self.body,
            name=tr("Shares by"),
        )
        self.table = FigureTable(
            self.body,
            name=tr("Shares of readings by group"),
            strip_column=_BAR,
            may_go=[_BAR],
            may_shorten=True,
            pad_px=6,
        )
        self.said = TextColumn("", self.body, role=Role.SMALL, ink="ink2")
        self.table.selectionModel().currentChanged.connect(lambda *_: self._say())
        self.note = TextColumn("", self.body, role=Role.SMALL, ink="ink3")
        for part in (self.by, self.table, self.said, self.note):
            self.column.addWidget(part)
        self.by.chosen.connect(lambda _by: self.ask_again())

    def _say(self) -> None:
        """The current cell in full words, in one place below the table."""
        at = self.table.currentIndex()
        if not at.isValid():
            self.said.setText(tr("Each cell: count · share (95 % interval)."))
            return
        cells = self.table.cells
        head = cells.head(at.column()).text
        words = [cells.cell(at.siblingAtColumn(0)).words]
        if at.column() > 0:
            words += [head, cells.cell(at).words]
        self.said.setText(": ".join(word for word in words if word))

    def ask_for(self, period: Period) -> Callable[[], Any]:
        by = self.by.value()
        assert isinstance(by, By)  # only those are in the segments
        return partial(bands, self.session.record, period, by=by, now=self.session.now())

    def show_found(self, found: Any) -> None:
        assert isinstance(found, Bands)
        levels = [share.level for share in found.bands[0].shares] if found.bands else []
        unit = found.unit
        heads = [
            Head(str(unit), tr("group, levels in {unit}").format(unit=unit), at_end=False),
            Head("n", tr("number of readings")),
            Head("", tr("the five levels side by side")),
            *(Head(number_words(level_words(level, unit))) for level in levels),
        ]
        self.table.cells.set_cells(heads, [_row(band) for band in found.bands])
        self.table.setVisible(bool(found.bands))
        self._say()
        self.note.setText(
            tr(
                "Count, share in percent and its 95 % Wilson interval. Where there are fewer than "
                "14 readings or 5 days only the counts are shown."
            )
            if found.n
            else tr("No readings in these days.")
        )


def _row(band: Band) -> list[Cell]:
    name = Cell(tr(band.words), at_end=False, ink="ink" if band.n else "ink3")
    n = Cell(
        count_words(band.n),
        said=many(band.days, "n {m} on {n} day", "n {m} on {n} days", m=count_words(band.n)),
        ink="ink2",
    )
    return [name, n, _bar(band), *(_cell(each) for each in band.shares)]


def _bar(band: Band) -> Cell:
    """The levels side by side; nothing where there are too few readings to show a share."""
    shares = [(each.level, each.found.share) for each in band.shares]
    parts = tuple((level, share) for level, share in shares if share is not None)
    why = band.missing.why if band.missing else ""
    if band.missing or not parts:
        return Cell("", said=tr("no bar: {why}").format(why=why))
    return Cell(said=tr("the five levels side by side"), bar=parts)


def _cell(share: Share) -> Cell:
    found = share.found
    if not found.n:
        return Cell("–", said=tr("no readings"), ink="ink3", at_end=True)
    counted = count_words(found.count)
    if share.missing or found.low is None or found.high is None or found.share is None:
        why = share.missing.why if share.missing else ""
        said = tr("{count} of {n}; share not shown: {why}").format(
            count=counted, n=count_words(found.n), why=why
        )
        return Cell(counted, said=said)
    ends = [number_words(percent_digits(end)) for end in (found.low, found.high)]
    shown = number_words(percent_digits(found.share))
    text = tr("{count} · {share}\u00a0% ({interval})").format(
        count=counted, share=shown, interval="–".join(dict.fromkeys(ends))
    )
    return Cell(text, said=number_words(portion_words(found)))
