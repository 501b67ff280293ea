"""Before and after a change: verdict, evened difference, each slot, what else lies there."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.clock import Period
from app.domain.written import ChangeMark
from app.look.theme import follow_theme
from app.look.type import Role
from app.review.before_after import USUAL_DAYS, BeforeAfter, before_after
from app.review.record import Record
from app.store.diary import Diary
from app.ui.controls import (
    Button,
    FigureTile,
    Hairline,
    Label,
    PageHead,
    SectionTitle,
    Segment,
    Segments,
    TextColumn,
    WrapLabel,
)
from app.ui.controls.drawing import px
from app.ui.figures.helped import HelpButton, HelpedTitle, OneStop
from app.ui.figures.table import FigureTable
from app.ui.figures.trust_box import TrustBox
from app.ui.words import count_words, period_words
from app.ui.year.differences import DifferencesTable
from app.ui.year.sides_words import (
    change_title,
    evened_figures,
    notes,
    side_heads,
    side_rows,
    subtitle,
    verdict,
)
from app.ui.year.words import tr

LENGTHS = (USUAL_DAYS, 30)
_SLOTS_HELP = ("difference", "mean", "n", "mean", "n", "difference", "difference")
_RESTS_HELP = (
    *("n", "days_with_readings", "tested_days", "mean"),
    *("shares", "shares", "unmarked", "doubt"),
)
_RESTS_MOST = 640  # px at a text size of 13 px: a number far from its name loses the eye


def ask(diary: Diary, record: Record, change: ChangeMark, days: int, now: datetime) -> BeforeAfter:
    """Set the days before a change beside those after it."""
    return before_after(diary, record, change, now=now, days=days)


class Sides(QWidget):
    """Signals: left() the year is wanted back, days_chosen(int), help_asked(key)."""

    left = Signal()
    days_chosen = Signal(int)
    help_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.back = Button(tr("Back to the year"), self)
        self.days = Segments(
            [
                Segment(n, count_words(n), tr("{days} days").format(days=count_words(n)))
                for n in LENGTHS
            ],
            self,
            name=tr("Days on each side"),
        )
        self._head = PageHead(tr("Before and after"), tools=(self.days, self.back))
        self._change = Label("", self, role=Role.STRONG, wrap=True)
        self._windows = TextColumn("", self, ink="ink2")
        self._trouble = TextColumn("", self)
        self._box = TrustBox(self)
        self._box.help_key = "difference"
        buttons = [HelpButton(key) for key in ("evened", "evened", "difference")]
        names = tr("Evened before"), tr("Evened after"), tr("Difference")
        self._tiles = [
            FigureTile(name, self, beside=button)
            for name, button in zip(names, buttons, strict=True)
        ]
        self._helps = OneStop(buttons, self)
        self._slots_title = HelpedTitle(tr("Slot by slot"), "difference", self)
        self.slots = DifferencesTable(self)
        self._notes = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self.rests = FigureTable(
            self, name=tr("What each side rests on"), pad_px=6, may_shorten=True
        )
        self._others = QWidget(self)
        self._rows = QGridLayout(self._others)
        self._lay_out()
        for button in (*buttons, self._slots_title.button):
            button.help_asked.connect(self.help_asked)
        self.slots.column_help = _SLOTS_HELP
        self.rests.row_help = _RESTS_HELP
        self.back.clicked.connect(self.left)
        self.days.chosen.connect(self._on_days)
        follow_theme(self._restyle)

    def show_change(self, change: ChangeMark, title: str) -> None:
        """Name the change whose sides are being worked out."""
        self._change.setText(title)
        self._windows.setText(tr("Working out both sides of {what}").format(what=change.what))
        self._show_found(False)
        self._trouble.hide()

    def show_sides(self, found: BeforeAfter) -> None:
        """Show what was found."""
        self._change.setText(change_title(found.change.what, found.change.day, found.person))
        self._windows.setText(subtitle(found))
        self._box.say(*verdict(found))
        figures = evened_figures(found)
        for tile in self._tiles[:2]:
            tile.setVisible(len(figures) > 1)  # without them one sentence says why
        for tile, (_, number, lines) in zip(self._tiles[-len(figures) :], figures, strict=True):
            if number:
                tile.set_figure(number, found.unit, lines)
            else:
                tile.set_missing(tr("not shown: {why}").format(why=lines[0]))
        self._slots_title.title.set_note(
            tr("averages in {unit}, n, difference with its 95 % interval").format(unit=found.unit)
        )
        self.slots.show_sides(found.found, found.unit)
        self._notes.setText("\n".join(notes(found)))
        self._notes.setVisible(bool(self._notes.text()))
        self.rests.cells.set_cells(side_heads(), side_rows(found.found, found.unit))
        self._list_others(found)
        self._show_found(True)
        self._trouble.hide()

    def show_trouble(self, sentence: str) -> None:
        """Say why there are no two sides."""
        self._windows.setText("")
        self._trouble.setText(sentence)
        self._trouble.show()
        self._show_found(False)

    @property
    def verdict(self) -> str:
        """What the box says."""
        return self._box.accessibleName()

    @property
    def trouble(self) -> str:
        """Why there are no two sides; empty where there are."""
        return self._trouble.text() if self._trouble.isVisibleTo(self) else ""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc goes back to the year."""
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def _lay_out(self) -> None:
        tiles = QHBoxLayout()
        tiles.setSpacing(px(16))
        for tile in self._tiles:
            tiles.addWidget(tile, 1)
        self._found = QWidget(self)
        inner = QVBoxLayout(self._found)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.addWidget(self._box)
        inner.addLayout(tiles)
        parts = (
            Hairline(self),
            self._slots_title,
            self.slots,
            self._notes,
            Hairline(self),
            self.rests,
            Hairline(self),
            SectionTitle(tr("Also in these days"), self, note=tr("what else could differ")),
            self._others,
        )
        for part in parts:
            inner.addWidget(part)
        self._inner = inner
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        for widget in (self._head, self._change, self._windows, self._trouble, self._found):
            column.addWidget(widget)
        column.addStretch(1)
        self._column = column

    def _list_others(self, found: BeforeAfter) -> None:
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        order = found.person.date_order
        for row, other in enumerate(found.others):
            days = period_words(Period(other.first, other.last), order)
            self._rows.addWidget(WrapLabel(days, self._others, role=Role.SMALL, ink="ink3"), row, 0)
            self._rows.addWidget(WrapLabel(other.words, self._others), row, 1)
        if not found.others:
            self._rows.addWidget(
                WrapLabel(tr("Nothing else is written in these days."), self._others, ink="ink2"),
                *(0, 0, 1, 2),
            )

    def _show_found(self, on: bool) -> None:
        self._found.setVisible(on)

    def _on_days(self, value: object) -> None:
        if isinstance(value, int):
            self.days_chosen.emit(value)

    def _restyle(self) -> None:
        self._column.setSpacing(px(6))
        self._inner.setSpacing(px(10))
        self.rests.setMaximumWidth(px(_RESTS_MOST))
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setHorizontalSpacing(px(12))
        self._rows.setVerticalSpacing(px(4))
        self._rows.setColumnStretch(2, 1)
