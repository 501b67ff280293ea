"""What stands on the page of a day, and how it is laid out from small windows to large ones."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.review.day import DayView
from app.review.day_pending import Pending
from app.ui.controls import ElidedLabel, FlatButton, Hairline, Label, SectionTitle
from app.ui.controls.drawing import px
from app.ui.day.begin import Begin
from app.ui.day.chart import DayChart
from app.ui.day.head import DayHead
from app.ui.day.slots import SlotsRow
from app.ui.day.words import tr
from app.ui.day.written import Written
from app.ui.reading_words import reading_line

_SIDE, _TOP = 24, 16
_CHART_LEAST, _CHART_MOST, _CHART_ALONE = 226, 500, 300
_LEFT_MOST, _ASIDE_LEAST, _ASIDE_GAP = 1080, 360, 36


class DayBody(QWidget):
    """Head, chart, slots and table.

    Signals: `chosen(int)` a reading is to be opened, `chart_stepped(-1 or 1)` the day before or
    after, `day_asked(date)`, `line_asked()`, `targets_asked()`.
    """

    chosen = Signal(int)
    chart_stepped = Signal(int)
    day_asked = Signal(object)
    line_asked = Signal()
    targets_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self._view: DayView | None = None
        self.head = DayHead(self)
        self._untargeted = self._untargeted_line()
        self.chart = DayChart(self)
        self.said = ElidedLabel("", self, role=Role.SMALL, ink="ink2")
        self._rule = Hairline(self)
        self._slots_title = SectionTitle(tr("By slot, beside the 14 days before"), self)
        self.slots = SlotsRow(self)
        self._rule_below = Hairline(self)
        self.written = Written(self)
        self.begin = Begin(self)
        self._lay_out()
        self._connect()
        self.setTabOrder(self.chart, self.slots)
        self.setTabOrder(self.slots, self.written.title)
        self.setTabOrder(self.written.title, self.written.table)
        follow_theme(self._restyle)

    def show_day(self, view: DayView) -> None:
        """Show another day, or the same one anew."""
        other = self._view is None or self._view.day != view.day
        self._view = view
        self.head.show_day(view)
        self._untargeted.setVisible(not view.lanes.has_goals)
        self.chart.show_day(view)
        if other:
            self.chart.point_at(None)
            self.written.table.look_at(None)
            self.said.setText("")
        self.slots.show_day(view)
        self._slots_title.set_note(_slots_note(view))
        self.written.show_day(view)
        self.begin.show_day(view)
        for widget in (self._rule, self._slots_title, self.slots, self.said):
            widget.setVisible(not view.is_empty_diary)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        # What it needs, not what it would like: else the page scrolls where nothing has to.
        return self._column.minimumHeightForWidth(width)

    def show_pending(self, pending: Pending | None) -> None:
        """Show what is being typed in the chart."""
        self.chart.show_pending(pending)

    def fit(self, window: QSize) -> None:
        """Arrange everything for the size of the window's page."""
        if self._view is None:
            return
        room = window.width() - 2 * px(_SIDE)
        aside = room >= px(_LEFT_MOST + _ASIDE_GAP + _ASIDE_LEAST) and self._has_rows()
        self._place(aside=aside)
        empty = self._view.is_empty_diary
        self.chart.setMinimumHeight(px(_CHART_ALONE if empty else _CHART_LEAST))
        self.written.arrange(aside=aside, room=self._room_for_table(window))
        self._rule_below.setVisible(not aside and self.written.is_folded and self._has_rows())

    def _has_rows(self) -> bool:
        return self._view is not None and bool(self._view.rows or self._view.told)

    def _room_for_table(self, window: QSize) -> int:
        """The px that are left for the table when everything else has its least height."""
        needed = self._column.minimumHeightForWidth(window.width())
        return window.height() - (needed - self.written.height_shown())

    def _place(self, *, aside: bool) -> None:
        wanted = (0, 1, 8, 1) if aside else (9, 0, 1, 1)
        self._grid.removeWidget(self.written)
        self._grid.addWidget(self.written, *wanted)
        top = Qt.AlignmentFlag.AlignTop if aside else Qt.AlignmentFlag(0)
        self._grid.setAlignment(self.written, top)
        self._grid.setRowStretch(10, 1 if aside or not self._has_rows() else 0)
        self._grid.setRowStretch(4, 3 if self.slots.isVisibleTo(self) else 0)
        self._grid.setColumnStretch(0, 1000 if aside else 1)
        self._grid.setColumnStretch(1, 400 if aside else 0)
        self._grid.setHorizontalSpacing(px(_ASIDE_GAP) if aside else 0)
        for widget in (self.chart, self.slots, self.said, self._slots_title):
            widget.setMaximumWidth(px(_LEFT_MOST) if aside else 16_777_215)

    def _lay_out(self) -> None:
        self._grid = QGridLayout()
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setVerticalSpacing(px(6))
        stacked: tuple[QWidget, ...] = (
            self.chart,
            self.said,
            self._rule,
            self._slots_title,
            self.slots,
            self._rule_below,
            self.begin,
        )
        for row, widget in enumerate(stacked):
            self._grid.addWidget(widget, row, 0)
        self._grid.setRowStretch(0, 5)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(px(4))
        self._column.addWidget(self.head)
        self._column.addWidget(self._untargeted)
        self._column.addSpacing(px(6))
        self._column.addLayout(self._grid, 1)

    def _untargeted_line(self) -> QWidget:
        line = QWidget(self)
        row = QHBoxLayout(line)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(
            Label(tr("No targets yet, so nothing is shaded as outside them."), ink="ink2")
        )
        button = FlatButton(tr("Set targets…"), size="bar", underlined=True)
        button.clicked.connect(self.targets_asked)
        row.addWidget(button)
        row.addStretch(1)
        return line

    def _connect(self) -> None:
        self.chart.chosen.connect(self.chosen)
        self.chart.stepped.connect(self.chart_stepped)
        self.chart.pointed.connect(self._on_pointed)
        self.slots.chosen.connect(self.chosen)
        self.slots.looked_at.connect(self.said.setText)
        self.written.table.opened.connect(self.chosen)
        self.written.table.looked_at.connect(self._on_looked_at)
        self.begin.line_asked.connect(self.line_asked)
        self.begin.day_asked.connect(self.day_asked)

    def _on_pointed(self, reading_id: object) -> None:
        found = reading_id if isinstance(reading_id, int) else None
        self.written.table.look_at(found)
        self._say(found)

    def _on_looked_at(self, reading_id: object) -> None:
        found = reading_id if isinstance(reading_id, int) else None
        self.chart.point_at(found)
        self._say(found)

    def _say(self, reading_id: int | None) -> None:
        view = self._view
        rows = view.rows if view is not None else ()
        row = next((each for each in rows if each.id == reading_id), None)
        self.said.setText(
            "" if row is None or view is None else reading_line(row, view.person, view.day)
        )

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(_SIDE), px(_TOP), px(_SIDE), px(_TOP) // 2)
        self.chart.setMaximumHeight(px(_CHART_MOST))


def _slots_note(view: DayView) -> str:
    here = tr("brass: today") if view.is_today else tr("brass: this day")
    said = [view.unit.value, tr("shaded: middle half"), tr("line: median"), here]
    if view.in_no_slot:
        said.append(tr("{n} of this day in no slot").format(n=view.in_no_slot))
    return " · ".join(said)
