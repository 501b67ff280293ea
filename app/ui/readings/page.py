"""Readings: every reading in a table, to find, correct, mark, set apart and bin."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.review.table import COUNTED, ReadingsTable, counts_of, day_of, readings_table
from app.store.beside import NOTHING, Beside, beside_of
from app.store.columns import Columns
from app.ui.controls import PageHead
from app.ui.controls.drawing import px
from app.ui.gate import writes
from app.ui.job import Job
from app.ui.page import Page
from app.ui.period_bar import PeriodBar
from app.ui.readings.arriving import Arriving
from app.ui.readings.bulk_bar import BulkBar
from app.ui.readings.doing import Doing, keyed
from app.ui.readings.empty import EmptyState
from app.ui.readings.filters import FilterBar
from app.ui.readings.form import WIDTH, ReadingForm
from app.ui.readings.line import LineWriter
from app.ui.readings.model import Column, ReadingsModel
from app.ui.readings.view import ReadingsView
from app.ui.readings.widths import column_texts
from app.ui.readings.words import head_words, quiet_words
from app.ui.said import Said
from app.ui.session import DEFAULT_DAYS, Session

_TABLE_LEAST = 380.0  # px at a text size of 13 px: narrower, the form takes the table's place


class ReadingsPage(Page):
    """The table with its filters, what is done to selected rows, and the form of one row."""

    key: ClassVar[str] = "readings"
    title: ClassVar[str] = "Readings"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._columns: Columns | None = None
        self._table: ReadingsTable | None = None
        self._beside: Beside = NOTHING
        self._wanted_id: int | None = None
        self.model = ReadingsModel(self)
        # In the order of the eye, which is that of the Tab key.
        self.period = PeriodBar(session, self, offers_all=True)
        self.head = PageHead(self.tr("Readings"), parent=self, tools=[self.period])
        self.filters = FilterBar(self)
        self.bar = BulkBar(self)
        self.view = ReadingsView(self.model, self)
        self.empty = EmptyState(self)
        self.form = ReadingForm(session, self)
        self._texts = Job(self)
        self.arriving = Arriving(session, self)
        self.doing = Doing(session, self.view, self.bar, self)
        self._lay_out()
        self._edit = writes(keyed(self.tr("Correct…"), "F2", self._on_edit_current, of=self.view))
        find = QKeySequence.StandardKey.Find
        self._find = keyed(self.tr("Find in notes"), find, self._on_find, of=self)
        self._sort = keyed(
            self.tr("Sort by this column"), "F3", self.view.sort_by_current, of=self.view
        )
        self._connect()
        follow_theme(self._restyle)

    def menu_actions(self) -> Sequence[tuple[str, QAction]]:
        """Everything that is done to rows, each with its key."""
        edits = (self._edit, *self.doing.actions, self._find)
        return [*(("edit", action) for action in edits), ("view", self._sort)]

    def take_focus(self) -> None:
        """Into the table, or to what stands in its place."""
        arriving = self.arriving
        if arriving.is_shown and arriving.assistant is not None:
            arriving.assistant.take_focus()
        else:
            (self.view if self.empty.isHidden() else self.empty.button).setFocus()

    def refresh(self) -> None:
        """Show the period and what the diary holds now."""
        record = self.session.record
        if record.columns is not self._columns or self._table is None:
            self._columns = record.columns
            self._table = readings_table(record.columns, record.person.unit)
            self._texts.start(partial(beside_of, self.session.diary, record.person))
            self.form.follow()
        self.period.show_chosen()
        self._show()

    def bring_in(self, path: Path) -> None:
        """Begin to bring a file in: in the place of the table, until it is saved or left."""
        self.arriving.bring_in(path)

    def _on_import_made(self, made: QWidget) -> None:
        self._column.addWidget(made, 1)

    def _on_file(self) -> None:
        self.view.clearSelection()  # no menu shall change rows that nobody sees
        self._own.hide()

    def _on_file_left(self) -> None:
        self._own.show()
        self.take_focus()

    def show_reading(self, row_id: int) -> None:
        """Scroll to one reading and select it, whatever filter hides it."""
        self._wanted_id = row_id
        if self.isVisible():
            self._freshen()
            self._show_wanted()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._show_wanted()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_form()

    def _show(self) -> None:
        """Filter, count and show anew."""
        if self._table is None:
            return
        session = self.session
        table, beside, person = self._table, self._beside, session.person
        held = self.view.selected_ids()
        current = self.view.current_row()
        kept = None if current is None else self.model.ids_at([current])[0]
        place = self.view.verticalScrollBar().value()
        self.filters.offer(table, beside)
        wanted = self.filters.wanted(session.period)
        writer = LineWriter(table, beside, person, session.today())
        others = self.model.show(writer, wanted)
        self.view.fit(column_texts(writer, self.model.rows))
        if others:
            self._restore(held, kept, current, place)
        counts = counts_of(table, self.model.rows)
        self.head.set_subtitle(head_words(counts, session.period, person, table.columns.undated))
        column, falls = self.model.sorted_by
        newest_first = falls if column is Column.DAY else None
        said = quiet_words(counts.n, newest_first=newest_first, filtered=bool(wanted.filters))
        self.bar.say(said)
        self._show_empty(counts.n, filtered=wanted.filters)
        self._on_selected()
        self._show_wanted()

    def _restore(self, held: list[int], kept: int | None, row: int | None, place: int) -> None:
        """Selection, focus and place as before, as far as the rows are still there."""
        self.view.select_ids(held, current=kept)
        self.view.verticalScrollBar().setValue(place)
        if kept is not None and self.model.row_of(kept) is None and self.model.rowCount():
            # What had the focus went to the bin: the row that came to its place gets it.
            last = self.model.rowCount() - 1
            self.view.put_focus_on(min(row or 0, last))

    def _show_wanted(self) -> None:
        row_id = self._wanted_id
        if row_id is None or self._table is None:
            return
        if self.view.show_id(row_id):
            self._wanted_id = None
            self.view.setFocus()
            return
        day = day_of(self._table, row_id)
        period = self.session.period
        if day is None:
            self._wanted_id = None  # it is in the bin by now
        elif not period.first <= day <= period.last:
            self.session.show_days(self.session.days or DEFAULT_DAYS, day)
        else:
            self.filters.reset()

    def _show_empty(self, n: int, *, filtered: bool) -> None:
        self.view.setVisible(n > 0)
        self.bar.setVisible(n > 0)
        self.filters.setVisible(n > 0 or filtered)
        if n:
            was_there = self.empty.button.hasFocus()
            self.empty.hide()
            if was_there:
                self.view.setFocus()
        elif filtered:
            self.empty.say_filtered()
        elif self._table is not None and len(self._table.columns):
            self.empty.say_other_days()
        else:
            self.empty.say_nothing(example="7.2" if self.session.person.unit == "mmol/L" else "112")

    # What is heard.

    def _on_edit(self, row: int) -> None:
        if self.session.why_not:  # a double click asks no action
            self.session.said.emit(Said(self.session.why_not, undo=False))
            return
        self.form.suggest(sorted(set(self._beside.keepers.values())))
        self.form.open(self.model.ids_at([row])[0])
        self._fit_form()

    def _on_edit_current(self) -> None:
        row = self.view.current_row()
        if row is not None:
            self._on_edit(row)

    def _on_form_closed(self) -> None:
        self._fit_form()
        self.view.setFocus()

    def _on_texts(self, beside: Beside) -> None:
        if beside != self._beside:
            self._beside = beside
            self._show()

    def _on_filters(self) -> None:
        self._show()

    def _on_selected(self) -> None:
        rows = self.view.selected_rows()
        self.bar.show_selected(len(rows), self.model.rowCount())
        if self._table is not None:
            places = self.model.rows[rows] if rows else self.model.rows[:0]
            apart = bool((self._table.columns.standing[places] != COUNTED).any())
            self.bar.offer(counted=apart)
        self.doing.set_enabled(bool(rows))

    def _on_person(self) -> None:
        self._beside, self._columns, self._table = NOTHING, None, None
        self.form.forget_all()
        self.view.clearSelection()
        self.filters.reset()

    # How it is put together.

    def _on_find(self) -> None:
        self.filters.sought.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.filters.sought.selectAll()

    def _connect(self) -> None:
        session = self.session
        session.period_changed.connect(self.mark_stale)
        session.person_changed.connect(self._on_person)
        session.reading_chosen.connect(self.show_reading)
        self._texts.answered.connect(self._on_texts)
        self._texts.failed.connect(session.tell_trouble)
        self.arriving.made.connect(self._on_import_made)
        self.arriving.begun.connect(self._on_file)
        self.arriving.left.connect(self._on_file_left)
        self.filters.changed.connect(self._on_filters)
        self.view.selected.connect(self._on_selected)
        self.view.edit_asked.connect(self._on_edit)
        self.form.closed.connect(self._on_form_closed)
        self.empty.entry_asked.connect(self.go_to_line)
        self.empty.all_asked.connect(self.filters.reset)
        self.empty.days_asked.connect(session.show_newest)

    def _lay_out(self) -> None:
        beside = QHBoxLayout()
        beside.setSpacing(px(16))
        self._left = QWidget(self)
        left = QVBoxLayout(self._left)
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(px(4))
        left.addWidget(self.bar)
        left.addWidget(self.view, 1)
        left.addWidget(self.empty, 1)
        beside.addWidget(self._left, 1)
        beside.addWidget(self.form)
        self._own = QWidget(self)
        self._rows = QVBoxLayout(self._own)
        self._rows.setContentsMargins(0, 0, 0, 0)
        for widget in (self.head, self.period.from_to, self.filters):
            self._rows.addWidget(widget)
        self._rows.addLayout(beside, 1)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self._own, 1)

    def _fit_form(self) -> None:
        """Where the form leaves the table too little room, it takes its place."""
        is_open = self.form.row_id is not None
        narrow = self.width() < px(WIDTH) + px(_TABLE_LEAST)
        self._left.setVisible(not (is_open and narrow))
        self.form.spread(alone=narrow)

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(24), px(16), px(24), px(12))
        self._rows.setSpacing(px(10))
